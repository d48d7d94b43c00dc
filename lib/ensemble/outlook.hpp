#pragma once
// What lies ahead of a pot: its members run on under the forecast, with or without a pour. Nothing here learns.
#include "ensemble/pouring.hpp"

#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace tubgrove {

// The days ahead as each member sees them, made once and run many times.
class Outlook {
public:
    // `forecasts`: one course of days a forecast member, all over the same days, the first holding e.until; a member of the
    // ensemble follows one of them. `until`: how far it may be run. The references must outlive the outlook.
    Outlook(const Ensemble&, const Belief&, const Priors&, const Zone&, std::span<const std::vector<DayCourse>> forecasts, Instant until);

    // A state somewhere ahead, and what crossed the pot's border since the start.
    struct Run {
        PotState state;
        Fluxes fluxes;
        Instant at;
        std::size_t next = 0;        // stretch
    };
    Run start() const;
    // The same days in blocks of `hours`, for many quick runs; a block never crosses midnight.
    Outlook coarser(int hours) const;
    // A run of another outlook over the same days, taken up here.
    Run take_up(Run) const;
    // Runs to `until`, dry hours and fluxes added up.
    void run(Run&, Instant until) const;
    // Pours at the run's moment.
    MemberPour pour(Run&, const Manner&) const;

    // First moment at which each member runs dry without water from here, hours from the run's moment; infinity if not
    // within the outlook.
    std::vector<double> dry_after_h(Run) const;

    const Ensemble& ensemble() const { return e_; }
    const Belief& belief() const { return belief_; }
    const Members& members() const { return members_; }
    Instant until() const { return until_; }

private:
    struct Stretch {
        Instant starts, ends;
        double length_h = 1;
        std::vector<double> et0_mm, rain_mm;
        std::size_t day = 0;
        bool midnight = false;       // a day begins with it
        bool drip = false;
    };
    struct DayAhead {
        std::vector<double> et0_mm, demand_l_mm, crown_m2;
        double warm_rate_before = 0;
    };
    void step(Run&, Instant until, std::span<double> dry_within_h) const;
    void add_day(std::span<const std::vector<DayCourse>> forecasts, std::size_t index, double warm_rate_before);

    const Ensemble& e_;
    const Belief& belief_;
    const Priors& priors_;
    const Zone& zone_;
    Members members_;
    std::vector<double> scatter_;
    std::vector<bool> ignores_;
    std::vector<Stretch> stretches_;
    std::vector<DayAhead> days_;
    Instant until_;
};

}  // namespace tubgrove
