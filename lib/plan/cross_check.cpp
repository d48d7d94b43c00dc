#include "plan/cross_check.hpp"

#include "pot/pour.hpp"

#include <algorithm>

namespace tubgrove {

bool due_by_quantile(std::span<const double> dry_after_h, const Weights& weights, double next_h, double quantile) {
    double before = 0;
    for (std::size_t i = 0; i < weights.size(); ++i) before += dry_after_h[i] < next_h ? weights[i] : 0;
    return before > quantile;
}

namespace {

struct Absorbed {
    double rooted_l = 0, unrooted_l = 0;
};

Absorbed absorb(const Missing& m, double dose_l, int passes) {
    const double deficit_l = m.rooted_l + m.unrooted_l;
    const double taken = (1 - bypassed_share(m.bypass_scale, deficit_l > 0 ? std::min(1.0, dose_l / deficit_l) : 1, passes)) * dose_l;
    const double rooted_l = std::min(m.rooted_l, (1 - missed_share * (1 - m.top_share)) * taken);
    return {rooted_l, std::min(m.unrooted_l, taken - rooted_l)};
}

// What a dose does against the goal and the limit.
struct Goal {
    Missing missing;
    bool whole = false;
    double target_l = 0, limit = 0;
    int passes = 1;

    double refill_l(double dose_l) const {
        const Absorbed a = absorb(missing, dose_l, passes);
        return whole ? a.rooted_l + a.unrooted_l : a.rooted_l;
    }
    double leaching(double dose_l) const {
        const Absorbed a = absorb(missing, dose_l, passes);
        return dose_l > 0 ? (dose_l - a.rooted_l - a.unrooted_l) / dose_l : 0;
    }
    bool enough(double dose_l) const { return leaching(dose_l) > limit || refill_l(dose_l) >= target_l * (1 - 1e-12); }
};

// The first dose at which the goal is reached or the limit is passed: a fine scan, then halving inside the step.
double first_enough(const Goal& goal, double most_l) {
    constexpr int steps = 1000;
    int k = 1;
    while (k < steps && !goal.enough(most_l * k / steps)) ++k;
    double low = most_l * (k - 1) / steps, high = most_l * k / steps;
    for (int i = 0; i < 50; ++i) {
        const double middle = (low + high) / 2;
        (goal.enough(middle) ? high : low) = middle;
    }
    return high;
}

Refill with_passes(const Goal& goal, double most_l) {
    const double dose_l = first_enough(goal, most_l);
    const double refill_l = goal.refill_l(dose_l);
    return {goal.passes, dose_l, refill_l, std::max(0.0, goal.target_l - refill_l), goal.leaching(dose_l)};
}

}  // namespace

Refill refill_dose(const Missing& missing, double leaching_limit, int most_passes) {
    const bool all_rooted = missing.available_unrooted_l <= 0;
    const bool whole = all_rooted || missing.unrooted_l > 0.5 * missing.available_unrooted_l;
    Goal goal{missing, whole, whole ? missing.rooted_l + missing.unrooted_l : missing.rooted_l,
              leaching_limit + (whole ? 0 : missed_share * (1 - missing.top_share)), 1};
    if (goal.target_l <= 0) return {};
    const double most_l = 4 * (missing.rooted_l + missing.unrooted_l);
    Refill best;
    double largest = 0;
    for (goal.passes = 1; goal.passes <= most_passes; ++goal.passes) largest = std::max(largest, with_passes(goal, most_l).refill_l);
    for (goal.passes = 1; goal.passes <= most_passes; ++goal.passes) {
        best = with_passes(goal, most_l);
        if (best.refill_l >= 0.98 * largest) break;
    }
    return best;
}

}  // namespace tubgrove
