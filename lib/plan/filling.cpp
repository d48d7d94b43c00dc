#include "plan/filling.hpp"

#include "plan/decision.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tubgrove {

Manner filling(const Outlook& outlook, const Outlook::Run& run, const Pouring& pouring) {
    return filling(outlook, run, pouring, outlook.ensemble().weights);
}

Manner filling(const Outlook& outlook, const Outlook::Run& run, const Pouring& pouring, const Weights& weights) {
    const Percentiles missing = percentiles(depletion_l(run.state), weights);
    if (!outlook.belief().drains) return {pouring.mark_l * marks_where_nothing_drains(missing.median, pouring.mark_l), 1, Until::amount};
    const double marks = std::ceil(missing.high / pouring.mark_l - 1e-9);
    return {std::max(1.0, marks) * pouring.mark_l, std::clamp(int(marks), 1, pouring.passes), Until::run_through};
}

double hours_until(std::span<const double> after_h, const Weights& w, double chance) {
    std::vector<std::size_t> order(after_h.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return after_h[a] < after_h[b]; });
    double come = 0;
    for (const std::size_t i : order) {
        come += w[i];
        if (come > chance + 1e-12) return after_h[i];
    }
    return std::numeric_limits<double>::infinity();
}

FilledLasts filled_lasts(const Outlook& outlook, Outlook::Run filled, const Pouring& pouring) {
    FilledLasts l{.after_h = outlook.dry_after_h(std::move(filled)), .surely_h = 0, .likely_h = 0};
    const Weights& w = outlook.ensemble().weights;
    l.surely_h = hours_until(l.after_h, w, pouring.due_chance);
    l.likely_h = hours_until(l.after_h, w, 0.5);
    return l;
}

}  // namespace tubgrove
