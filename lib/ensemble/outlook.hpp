#pragma once
// What lies ahead of a pot: its members run on under the forecast, with or without a pour. Nothing here learns.
#include "ensemble/member_weather.hpp"
#include "ensemble/pouring.hpp"

#include <limits>
#include <memory>
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
    // The same days up to `until` in blocks of `hours`, for many quick runs; a block never crosses midnight.
    Outlook coarser(int hours, Instant until) const;
    // A run of another outlook over the same days, taken up here.
    Run take_up(Run) const;
    // Runs to `until`, dry hours and fluxes added up.
    void run(Run&, Instant until) const;
    // Pours at the run's moment; returns what each member gets. `whom`: the members that are poured at all; empty: all of them.
    std::vector<double> pour(Run&, const Manner&, const std::vector<bool>& whom = {}) const;

    // First moment at which each member runs dry without water from here, hours from the run's moment; infinity if not
    // within the outlook.
    std::vector<double> dry_after_h(Run) const;

    const Ensemble& ensemble() const { return e_; }
    const Belief& belief() const { return belief_; }
    const Members& members() const { return members_; }
    Instant until() const { return until_; }

private:
    // An hour or a block of them; its numbers are rows of the grid.
    struct Stretch {
        Instant starts, ends;
        double length_h = 1;
        std::size_t et0_row = 0;
        std::optional<std::size_t> rain_row;
        std::size_t day = 0;
        bool midnight = false;       // a day begins with it
        bool drip = false;
    };
    struct Grid {
        std::size_t members = 0;
        std::vector<Stretch> stretches;
        std::vector<double> rows;    // one value a member each
        std::size_t add_row(std::span<const double>);
        std::span<double> row(std::size_t r) { return std::span(rows).subspan(r * members, members); }
        std::span<const double> row(std::size_t r) const { return std::span(rows).subspan(r * members, members); }
    };
    struct DayAhead {
        std::vector<double> et0_mm, demand_l_mm, crown_m2;
        double warm_rate_before = 0;
    };
    void add_day(Grid&, const DayCourse&, const MemberDay& weather, double warm_rate_before);
    std::vector<Hour> hours_to(Run&, Instant until, std::vector<double>& part) const;

    const Ensemble& e_;
    const Belief& belief_;
    const Priors& priors_;
    const Zone& zone_;
    Members members_;
    std::vector<double> onset_;
    MemberPlace place_;
    std::vector<double> scatter_;
    std::vector<bool> ignores_;
    std::shared_ptr<const Grid> grid_;   // a copy of an outlook looks at the same one
    std::vector<DayAhead> days_;
    Instant until_;
};

}  // namespace tubgrove
