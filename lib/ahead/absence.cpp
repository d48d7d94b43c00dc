#include "ahead/absence.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

// The moment by which no more than `chance` of the members' weight has come to harm: no straight line between members, which
// would pass over an infinity.
double safe_hours(const std::vector<double>& after_h, const Weights& w, double chance) {
    std::vector<std::size_t> order(after_h.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return after_h[a] < after_h[b]; });
    double harmed = 0;
    for (const std::size_t i : order) {
        harmed += w[i];
        if (harmed > chance + 1e-12) return after_h[i];
    }
    return std::numeric_limits<double>::infinity();
}

}  // namespace

double safe_hours(const Outlook& outlook, Outlook::Run run, double harmed_share, double safe_chance) {
    return safe_hours(harmed_after_h(outlook, std::move(run), harmed_share), outlook.ensemble().weights, safe_chance);
}

Lasts lasts_from(const Outlook& outlook, const Pouring& pouring, const Outlook::Run& before, double harmed_share, double safe_chance) {
    const Weights& w = outlook.ensemble().weights;
    Outlook::Run run = before;
    Lasts lasts;
    const Manner manner = filling(outlook, run, pouring);
    lasts.until = manner.until;
    lasts.pour_l = range80(outlook.pour(run, manner), w);
    const auto harmed = harmed_after_h(outlook, run, harmed_share);
    lasts.harmed_after_h = range80(harmed, w);
    lasts.safe_h = safe_hours(harmed, w, safe_chance);
    lasts.checked_after_h = range80(outlook.dry_after_h(std::move(run)), w);
    return lasts;
}

std::vector<Lasts> lasts_from_each(const Outlook& outlook, const Pouring& pouring, std::span<const Instant> moments, double harmed_share,
                                   double safe_chance) {
    std::vector<Lasts> all;
    Outlook::Run run = outlook.start();
    for (const Instant t : moments) {
        outlook.run(run, t);
        all.push_back(lasts_from(outlook, pouring, run, harmed_share, safe_chance));
    }
    return all;
}

std::optional<std::vector<std::size_t>> least_visits(std::span<const Instant> moments, std::span<const std::vector<Instant>> safe_until) {
    const std::size_t last = moments.size() - 1;
    // Until when all pots are safe from each moment on.
    std::vector<Instant> reach(moments.size(), Instant::max());
    for (const auto& pot : safe_until)
        for (std::size_t m = 0; m < last; ++m) reach[m] = std::min(reach[m], pot[m]);
    constexpr std::size_t never = std::size_t(-1);
    std::vector<std::size_t> visits(moments.size(), never), from(moments.size(), never);
    visits[0] = 0;
    for (std::size_t to = 1; to <= last; ++to)
        for (std::size_t m = 0; m < to; ++m) {
            if (visits[m] == never || moments[to] > reach[m]) continue;
            const std::size_t needed = visits[m] + (to < last);
            if (needed < visits[to] || (needed == visits[to] && m > from[to])) visits[to] = needed, from[to] = m;
        }
    if (visits[last] == never) return std::nullopt;
    std::vector<std::size_t> plan;
    for (std::size_t m = from[last]; m != 0 && m != never; m = from[m]) plan.push_back(m);
    std::reverse(plan.begin(), plan.end());
    return plan;
}

}  // namespace tubgrove
