#include "ahead/season_replay.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

namespace {

// The weights of some of the members, sum 1.
Weights weights_of(const std::vector<bool>& whom, const Weights& w) {
    Weights some(w.size(), 0.0);
    double sum = 0;
    for (std::size_t i = 0; i < w.size(); ++i) sum += whom[i] ? w[i] : 0;
    for (std::size_t i = 0; i < w.size(); ++i) some[i] = whom[i] ? (sum > 0 ? w[i] / sum : 1) : 0;
    return some;
}

Range80 whole(const Range80& r) { return {std::round(r.low), std::round(r.median), std::round(r.high)}; }

}  // namespace

SeasonSum live_by_rule(const Outlook& fine, std::span<const WalkAhead> walks, const Pouring& pouring) {
    const Outlook outlook = fine.coarser(3, fine.until());
    const Weights& w = outlook.ensemble().weights;
    Outlook::Run run = outlook.start();
    std::vector<double> poured(w.size(), 0.0), watered(w.size(), 0.0);
    SeasonSum sum;
    for (const WalkAhead& walk : walks) {
        if (walk.at >= outlook.until()) break;
        outlook.run(run, walk.at);
        Outlook::Run without = run;
        outlook.run(without, walk.next);
        std::vector<bool> due(w.size());
        for (std::size_t i = 0; i < w.size(); ++i) due[i] = w[i] > 0 && without.fluxes.dry_h[i] > run.fluxes.dry_h[i] + 1e-9;
        if (std::ranges::find(due, true) == due.end()) {
            run = std::move(without);            // it stands at the next walk already
            continue;
        }
        const auto given = outlook.pour(run, filling(outlook, run, pouring, weights_of(due, w)), due);
        for (std::size_t i = 0; i < poured.size(); ++i) poured[i] += given[i], watered[i] += due[i];
    }
    outlook.run(run, outlook.until());
    std::vector<double> used(w.size());
    for (std::size_t i = 0; i < used.size(); ++i)
        used[i] = run.fluxes.top_l[i] + run.fluxes.wall_l[i] + run.fluxes.transpiration_l[i] + run.fluxes.saucer_l[i];
    sum.walks = whole(range80(watered, w));
    sum.poured_l = range80(poured, w);
    sum.dry_h = range80(run.fluxes.dry_h, w);
    sum.used_l = range80(used, w);
    sum.poured_by_member = std::move(poured);
    sum.dry_by_member = run.fluxes.dry_h;
    sum.walks_by_member = std::move(watered);
    return sum;
}

Difference difference_of(const SeasonSum& without, const SeasonSum& with, const Weights& w, const Figures& f) {
    std::vector<double> litres(w.size()), dry(w.size()), walks(w.size());
    for (std::size_t i = 0; i < w.size(); ++i) {
        litres[i] = with.poured_by_member[i] - without.poured_by_member[i];
        dry[i] = with.dry_by_member[i] - without.dry_by_member[i];
        walks[i] = with.walks_by_member[i] - without.walks_by_member[i];
    }
    Difference d{.litres = range80(litres, w), .dry_h = range80(dry, w), .walks = whole(range80(walks, w))};
    const bool litres_count = std::abs(d.litres.median) >= f[FigureKey::worth_litres_share] * without.poured_l.median && std::abs(d.litres.median) >= 1;
    const bool dry_counts = std::abs(d.dry_h.median) >= f[FigureKey::worth_dry_h];
    const bool walks_count = std::abs(d.walks.median) >= 2 && std::abs(d.walks.median) >= f[FigureKey::worth_walks_share] * without.walks.median;
    d.worth_having = litres_count || dry_counts || walks_count;
    return d;
}

}  // namespace tubgrove
