#include "ahead/pot_ahead.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

using Values = std::vector<double>;

Values used_l(const Fluxes& f) {
    Values sum(f.top_l.size());
    for (std::size_t i = 0; i < sum.size(); ++i) sum[i] = f.top_l[i] + f.wall_l[i] + f.transpiration_l[i] + f.saucer_l[i];
    return sum;
}
Values less(const Values& a, const Values& b) {
    Values out(a.size());
    for (std::size_t i = 0; i < a.size(); ++i) out[i] = a[i] - b[i];
    return out;
}
// Weight of the members for which the value is above 0.
double share_above(const Values& values, const Weights& w) {
    double share = 0;
    for (std::size_t i = 0; i < w.size(); ++i) share += values[i] > 1e-9 ? w[i] : 0;
    return share;
}

// Runs on, and adds what each of the days on the way used.
class Booked {
public:
    Booked(const Outlook& outlook, std::span<const Instant> midnights) : run(outlook.start()), outlook_(outlook), midnights_(midnights) {
        used_before_ = used_l(run.fluxes);
        rain_before_ = run.fluxes.rain_l;
        dry_before_ = run.fluxes.dry_h;
    }
    void to(Instant t) {
        while (next_ < midnights_.size() && midnights_[next_] <= t) {
            outlook_.run(run, midnights_[next_++]);
            close();
        }
        outlook_.run(run, t);
    }

    Outlook::Run run;
    std::vector<Values> used, rain, dry;     // by day

private:
    const Outlook& outlook_;
    std::span<const Instant> midnights_;
    std::size_t next_ = 0;
    Values used_before_, rain_before_, dry_before_;

    void close() {
        const Values now = used_l(run.fluxes);
        used.push_back(less(now, used_before_));
        rain.push_back(less(run.fluxes.rain_l, rain_before_));
        dry.push_back(less(run.fluxes.dry_h, dry_before_));
        used_before_ = now;
        rain_before_ = run.fluxes.rain_l;
        dry_before_ = run.fluxes.dry_h;
    }
};

}  // namespace

Range80 range80(std::span<const double> values, const Weights& w) {
    const Percentiles p = percentiles(values, w);
    return {p.low, p.median, p.high};
}

Range80 likely_l(const Manner& manner, std::span<const double> poured_l, const Weights& w) {
    return manner.until == Until::amount ? Range80{manner.pour_l, manner.pour_l, manner.pour_l} : range80(poured_l, w);
}

PotAhead look_ahead(const Outlook& fine, std::span<const WalkAhead> walks, std::span<const Instant> midnights, const Pouring& pouring, const Manner* listed) {
    const Weights& w = fine.ensemble().weights;
    const Outlook outlook = fine.coarser(3, fine.until());
    PotAhead ahead;
    ahead.dry_after_h = range80(fine.dry_after_h(fine.start()), w);   // hour by hour, as a list tells it

    Booked dry(outlook, midnights), planned(outlook, midnights);
    dry.to(midnights.back());
    Values total(w.size(), 0.0);
    for (std::size_t k = 0; k < walks.size(); ++k) {
        if (walks[k].at >= midnights.back()) break;
        planned.to(walks[k].at);
        Outlook::Run without = planned.run;
        outlook.run(without, walks[k].next);
        const double chance = share_above(less(without.fluxes.dry_h, planned.run.fluxes.dry_h), w);
        const bool told = listed && k == 0;
        if (!told && chance <= pouring.due_chance) continue;
        const Manner manner = told ? *listed : filling(outlook, planned.run, pouring);
        if (manner.pour_l <= 0) continue;
        const Values poured = outlook.pour(planned.run, manner);
        // A told amount counts as told, as in likely_l.
        for (std::size_t i = 0; i < total.size(); ++i) total[i] += manner.until == Until::amount ? manner.pour_l : poured[i];
        ahead.pours.push_back({k, manner, likely_l(manner, poured, w), range80(total, w), chance});
    }
    planned.to(midnights.back());
    ahead.total_l = range80(total, w);
    ahead.total_by_member = std::move(total);

    Values dry_so_far(w.size(), 0.0);
    Instant starts = outlook.start().at;
    for (std::size_t d = 0; d < planned.used.size(); ++d) {
        for (std::size_t i = 0; i < w.size(); ++i) dry_so_far[i] += dry.dry[d][i];
        ahead.days.push_back({starts, midnights[d], range80(planned.used[d], w), range80(planned.rain[d], w),
                              share_above(dry_so_far, w), share_above(planned.dry[d], w)});
        starts = midnights[d];
    }
    return ahead;
}

std::vector<double> dry_chances(const Outlook& fine, std::span<const GivenPour> pours, std::span<const Instant> midnights) {
    const Outlook outlook = fine.coarser(3, fine.until());
    Booked booked(outlook, midnights);
    for (const auto& pour : pours) {
        if (pour.at < booked.run.at || pour.at >= midnights.back()) continue;
        booked.to(pour.at);
        outlook.pour(booked.run, pour.manner);
    }
    booked.to(midnights.back());
    std::vector<double> chances;
    for (std::size_t d = 1; d < booked.dry.size(); ++d) chances.push_back(share_above(booked.dry[d], outlook.ensemble().weights));
    return chances;
}

std::vector<Range80> demand_by_day(const Outlook& fine, std::span<const Instant> midnights) {
    const Outlook outlook = fine.coarser(3, fine.until());
    Outlook::Run run = outlook.start();
    outlook.run(run, midnights.front());
    std::vector<Range80> days;
    for (const Instant midnight : midnights.subspan(1)) {
        days.push_back(use_l(outlook, run, midnight));
        outlook.run(run, midnight);
    }
    return days;
}

std::vector<double> harmed_after_h(const Outlook& outlook, Outlook::Run run, double harmed_share, double enough) {
    constexpr double never = std::numeric_limits<double>::infinity();
    constexpr std::chrono::hours step(3);
    const Instant starts = run.at;
    Values first(run.state.size(), never), before_h(run.state.size(), 0.0);
    Values before_gone(run.state.size());
    const auto gone = [&](std::size_t i) {       // share of the way, at 1 no water is left
        const double ready = run.state.ready_l[i], all = run.state.available_rooted_l[i];
        return (run.state.depletion_rooted_l[i] - ready) / std::max(all - ready, 1e-9);
    };
    for (std::size_t i = 0; i < first.size(); ++i) {
        before_gone[i] = gone(i);
        if (before_gone[i] >= harmed_share) first[i] = 0;
    }
    const Weights& weights = outlook.ensemble().weights;
    std::size_t left = 0;
    double harmed = 0;
    for (std::size_t i = 0; i < first.size(); ++i) {
        if (first[i] == never) ++left;
        else harmed += weights[i];
    }
    constexpr double rounding = 1e-9;            // weights add up to 1 in any order within this
    while (left > 0 && harmed <= enough + rounding && run.at < outlook.until()) {
        const double from_h = double((run.at - starts).count()) / 3600;
        outlook.run(run, std::min(outlook.until(), run.at + step));
        const double to_h = double((run.at - starts).count()) / 3600;
        if (to_h <= from_h) break;
        for (std::size_t i = 0; i < first.size(); ++i) {
            if (first[i] < never) continue;
            const double now = gone(i);
            if (now >= harmed_share) {
                const double part = now > before_gone[i] ? (harmed_share - before_gone[i]) / (now - before_gone[i]) : 1;
                first[i] = from_h + std::clamp(part, 0.0, 1.0) * (to_h - from_h);
                --left;
                harmed += weights[i];
            }
            before_gone[i] = now;
        }
    }
    return first;
}

Range80 use_l(const Outlook& outlook, const Outlook::Run& from, Instant until) {
    // A pot that is kept full uses what it would: filled again every three hours.
    Outlook::Run run = from;
    const auto fill = [&] {
        std::fill(run.state.depletion_rooted_l.begin(), run.state.depletion_rooted_l.end(), 0.0);
        std::fill(run.state.depletion_unrooted_l.begin(), run.state.depletion_unrooted_l.end(), 0.0);
    };
    const Values before = used_l(run.fluxes);
    while (run.at < until) {
        fill();
        const Instant at = run.at;
        outlook.run(run, std::min(until, run.at + std::chrono::hours(3)));
        if (run.at == at) break;
    }
    return range80(less(used_l(run.fluxes), before), outlook.ensemble().weights);
}

}  // namespace tubgrove
