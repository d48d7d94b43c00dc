#include "pot/dose.hpp"

#include "pot/pour.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

struct Taken {
    double ball, medium;
};

Taken taken_of(const DoseCase& c, double pour_l, int passes) {
    const double missing = c.depletion_rooted_l + c.depletion_unrooted_l;
    const double kept = (1 - bypassed_share(c.bypass_scale, std::min(1.0, pour_l / missing), passes)) * pour_l;
    const double ball = std::min(c.depletion_rooted_l, (1 - missed_share * (1 - c.top_share)) * kept);
    return {ball, std::min(c.depletion_unrooted_l, kept - ball)};
}

// Largest x in [low, high] with fits(x), where fits holds at low and fails only above some point.
template <class Fits>
double largest(double low, double high, Fits fits) {
    if (fits(high)) return high;
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        (fits(middle) ? low : high) = middle;
    }
    return low;
}

Dose dose_in(const DoseCase& c, bool whole, int passes) {
    const double wanted = whole ? c.depletion_rooted_l + c.depletion_unrooted_l : c.depletion_rooted_l;
    const double limit = whole ? c.leaching_most : c.leaching_most + missed_share * (1 - c.top_share);
    const auto refill = [&](double pour) {
        const Taken t = taken_of(c, pour, passes);
        return whole ? t.ball + t.medium : t.ball;
    };
    const auto leached = [&](double pour) {
        const Taken t = taken_of(c, pour, passes);
        return 1 - (t.ball + t.medium) / pour;
    };
    constexpr double enough = 1 - 1e-12;
    const double full = largest(0, wanted / 0.1, [&](double pour) { return refill(pour) < enough * wanted; });
    const double pour = leached(full) <= limit + 1e-9 ? full : largest(1e-9 * full, full, [&](double p) { return leached(p) <= limit; });
    const double refilled = std::min(refill(pour), wanted);
    return {passes, pour, refilled, wanted - refilled, leached(pour)};
}

}  // namespace

Dose dose_by_rule(const DoseCase& c) {
    const bool whole = c.top_share >= 1 || c.depletion_unrooted_l > 0.5 * c.available_unrooted_l;
    const double wanted = whole ? c.depletion_rooted_l + c.depletion_unrooted_l : c.depletion_rooted_l;
    if (wanted <= 0) return {};
    double best = 0;
    for (int passes = 1; passes <= c.passes_most; ++passes) best = std::max(best, dose_in(c, whole, passes).refill_l);
    for (int passes = 1; passes < c.passes_most; ++passes)
        if (const Dose d = dose_in(c, whole, passes); d.refill_l >= 0.98 * best) return d;
    return dose_in(c, whole, c.passes_most);
}

}  // namespace tubgrove
