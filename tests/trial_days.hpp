#pragma once
// A pot in simple weather, for tests of members and decisions: stated shortly, run through the same rooms as a real one.
#include "climate/complete.hpp"
#include "ensemble/outlook.hpp"
#include "plan/beliefs.hpp"
#include "trial_tables.hpp"

#include <functional>
#include <string>
#include <vector>

namespace trial {

struct Sky {
    double max_degC = 25, min_degC = 13, rain_mm = 0;
};

// Days from the first of January 2026 at 47 N, whose weather `sky` tells by index.
inline std::vector<DayRecord> days(int count, const std::function<Sky(int)>& sky) {
    const Zone zone = Zone::utc();
    const LocalDay first = *parse_day("2026-01-01");
    std::vector<Observation> seen;
    for (int d = 0; d < count; ++d) {
        const LocalDay day = first + std::chrono::days(d);
        const Sky s = sky(d);
        Observation o(zone.start_of(day), zone.end_of(day));
        o[Channel::air_temperature_max] = s.max_degC;
        o[Channel::air_temperature_min] = s.min_degC;
        o[Channel::wind_speed_mean] = 2 + 0.1 * (d % 5);
        o[Channel::precipitation_amount_sum] = s.rain_mm;
        seen.push_back(o);
    }
    SiteClimate site;
    site.latitude = Degrees(47);
    site.elevation = Metres(200);
    const SeriesReadings readings{Series{.source = "station"}, seen};
    const DaySpan all{first, first + std::chrono::days(count - 1)};
    return complete_days(site, std::span(&readings, 1), all, zone.end_of(all.last));
}

inline PotSetup apple(const std::string& id, double rim_l = 30) {
    PotSetup s;
    s.id = id;
    s.container.size = Litres(rim_l);
    s.medium = "peat_perlite";
    s.in_this_pot_since = *parse_day("2022-03-01");
    Tree t;
    t.id = "a";
    t.species = "apple";
    t.rootstock = "M.9";
    t.planted = parse_day("2022-03-01");
    t.leaves = Leaves::usual;
    t.crown = Crown{Centimetres(100), Centimetres(100), Centimetres(150), *parse_day("2026-05-01")};
    s.trees.push_back(t);
    s.exposure = {"yard", "full", "usual", "open", "ground", "paving"};
    return s;
}

inline const Tables& shipped() {
    static const Tables all = tables();
    return all;
}

// One pot with all that its run refers to.
struct PotLife {
    std::vector<DayRecord> days;
    PotHistory history;
    std::vector<Belief> beliefs;
    std::vector<DayCourse> course;
    Zone zone = Zone::utc();
    const Tables* tables = &shipped();

    PotLife(PotSetup setup, std::vector<DayRecord> weather, int first_day) : days(std::move(weather)) {
        history.pot = setup.id;
        history.starts = days[std::size_t(first_day)].starts;
        beliefs.push_back(std::get<Belief>(belief_of(setup, *tables, days[std::size_t(first_day)].day)));
        history.setups.push_back({history.starts - std::chrono::days(300), std::move(setup)});
        course = course_of(history, *tables, {47, 200}, zone, days);
    }
    PotLife(const PotLife&) = delete;

    PotRun run() const { return {history, beliefs, course, tables->priors, zone}; }
    Instant midnight(int day) const { return days[std::size_t(day)].starts; }
    void happened(Instant at, decltype(Happened::what) what) {
        history.events.push_back({at, std::int64_t(history.events.size() + 1), std::move(what)});
    }
    Ensemble at(Instant t) const {
        Ensemble e = begin(run());
        advance(e, run(), t);
        return e;
    }
    Outlook outlook(const Ensemble& e, Instant until) const {
        static thread_local std::vector<std::vector<DayCourse>> ahead;
        ahead.assign(1, course);
        return Outlook(e, beliefs[e.setup], tables->priors, zone, ahead, until);
    }
};

inline double median_missing_l(const Ensemble& e) { return quantile(depletion_l(e.state), e.weights, 0.5); }
inline double spread_l(const Ensemble& e) {
    const Percentiles p = percentiles(depletion_l(e.state), e.weights);
    return p.high - p.low;
}

}  // namespace trial
