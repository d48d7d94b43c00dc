#include "ahead/absence.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

double safe_hours(const Outlook& outlook, Outlook::Run run, double harmed_share, double safe_chance) {
    return hours_until(harmed_after_h(outlook, std::move(run), harmed_share, safe_chance), outlook.ensemble().weights, safe_chance);
}

Filling fill(const Outlook& outlook, const Pouring& pouring, Outlook::Run& run) {
    const Manner manner = filling(outlook, run, pouring);
    return {manner, likely_l(manner, outlook.pour(run, manner), outlook.ensemble().weights)};
}

Lasts lasts_from(const Outlook& outlook, const Pouring& pouring, const Outlook::Run& before, double harmed_share, double safe_chance) {
    const Weights& w = outlook.ensemble().weights;
    Outlook::Run run = before;
    Lasts lasts;
    fill(outlook, pouring, run);
    const auto harmed = harmed_after_h(outlook, run, harmed_share);
    lasts.harmed_after_h = range80(harmed, w);
    lasts.safe_h = hours_until(harmed, w, safe_chance);
    lasts.checked_after_h = range80(outlook.dry_after_h(std::move(run)), w);
    return lasts;
}

std::vector<Filling> fillings_after(const Outlook& outlook, const Pouring& pouring, Outlook::Run run, std::span<const Instant> moments, Instant safe_until) {
    std::vector<Filling> fillings;
    for (std::size_t m = 0; m < moments.size() && (m == 0 || moments[m] <= safe_until); ++m) {
        outlook.run(run, moments[m]);
        Outlook::Run then = run;
        fillings.push_back(fill(outlook, pouring, then));
    }
    return fillings;
}

namespace {

// A way to stand at a moment with all pots filled: how many visits it took, what it drew, and where it came from.
struct Way {
    std::size_t visits = 0, from = 0, way = 0;   // `way`: of that moment's ways
    std::vector<double> drawn_l;                 // by stock
};

bool no_worse(const Way& a, const Way& b) {
    if (a.visits > b.visits) return false;
    for (std::size_t s = 0; s < a.drawn_l.size(); ++s)
        if (a.drawn_l[s] > b.drawn_l[s] + 1e-9) return false;
    return true;
}

// Keeps the ways that nothing beats; of equal ones the one that comes from a later moment, which is added later.
void keep(std::vector<Way>& ways, Way way) {
    for (const auto& other : ways)
        if (no_worse(other, way) && !no_worse(way, other)) return;
    std::erase_if(ways, [&](const Way& other) { return no_worse(way, other); });
    ways.push_back(std::move(way));
}

}  // namespace

std::optional<std::vector<std::size_t>> least_visits(std::span<const Instant> moments, std::span<const std::vector<Instant>> safe_until,
                                                     std::span<const Stock> stocks) {
    const std::size_t last = moments.size() - 1;
    // Until when all pots are safe from each moment on.
    std::vector<Instant> reach(moments.size(), Instant::max());
    for (const auto& pot : safe_until)
        for (std::size_t m = 0; m < last; ++m) reach[m] = std::min(reach[m], pot[m]);
    std::vector<std::vector<Way>> ways(moments.size());
    ways[0].push_back({.visits = 0, .from = 0, .way = 0, .drawn_l = std::vector<double>(stocks.size(), 0.0)});
    for (std::size_t to = 1; to <= last; ++to)
        for (std::size_t m = 0; m < to; ++m) {
            if (moments[to] > reach[m]) continue;
            for (std::size_t k = 0; k < ways[m].size(); ++k) {
                Way way{.visits = ways[m][k].visits + (to < last), .from = m, .way = k, .drawn_l = ways[m][k].drawn_l};
                bool there = true;
                for (std::size_t s = 0; s < stocks.size() && to < last; ++s) {
                    way.drawn_l[s] += stocks[s].needed_l[m][to];
                    there = there && way.drawn_l[s] <= stocks[s].holds_l + 1e-9;
                }
                if (there) keep(ways[to], std::move(way));
            }
        }
    if (ways[last].empty()) return std::nullopt;
    const Way* way = &*std::ranges::min_element(ways[last], {}, &Way::visits);
    std::vector<std::size_t> plan;
    for (; way->from != 0; way = &ways[way->from][way->way]) plan.push_back(way->from);
    std::reverse(plan.begin(), plan.end());
    return plan;
}

}  // namespace tubgrove
