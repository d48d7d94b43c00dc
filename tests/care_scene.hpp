#pragma once
// Scenes for jobs of care: one pot with its tree, invented days and entries, the shipped table at work on them.
#include "catch.h"
#include "care_world.hpp"

#include <algorithm>

namespace care_world {

using std::chrono::days;

inline constexpr Climate still{.place = {47, 10, 300, std::chrono::hours(1)}, .rain_every_d = 100000, .rain_mm = 0, .gale_every_d = 100000};

// Days without spells: so that a row's own figures are all that happens.
inline std::vector<DayRecord> calm_days(LocalDay today, const std::function<void(DayRecord&)>& change) {
    auto all = days_of(still, today - days(400), today + days(10));
    for (auto& r : all) {
        const auto n = (r.day - date(2000, 1, 1)).count();
        const double spell = 4 * std::sin(double(n) / 5.3) + 2.5 * std::sin(double(n) / 2.1);
        r.air_temp_max_degC.value -= spell;
        r.air_temp_min_degC.value -= spell;
        r.mean_temp_degC -= spell;
        if (change) change(r);
    }
    return all;
}

struct Scene {
    LocalDay today = date(2026, 6, 1);
    TreeWords tree = {.planted = date(2022, 11, 12)};
    LocalDay added = date(2023, 3, 1);
    std::function<void(PotCare&)> pot = {};
    std::function<void(Pots&)> notes = {};
    std::function<void(DayRecord&)> weather = {};
    double volume_l = 40;
};

inline std::vector<Job> jobs(const Scene& s) {
    Pots pots;
    auto& pot = pots.add("1", s.tree, s.added, s.volume_l);
    if (s.pot) s.pot(pot);
    if (s.notes) s.notes(pots);
    const CareSite site(still.place, calm_days(s.today, s.weather), s.today);
    const auto all = pots.at(site);
    // Each row's day is the one of care: rows ask for the rule, not for the day of the week.
    return jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = {}, .care_day = std::chrono::weekday(s.today)});
}
inline bool open_job(const Job& job) { return job.state <= JobState::waiting; }
inline bool stands(const Scene& s, const std::string& rule) {
    const auto all = jobs(s);
    return std::ranges::any_of(all, [&](const Job& job) { return job.rule == rule && open_job(job); });
}
// Whether it stood at any time of the last three weeks: a look that nobody took rests.
inline bool stood(Scene s, const std::string& rule) {
    const LocalDay last = s.today;
    for (s.today = last - days(21); s.today <= last; s.today += days(1))
        if (stands(s, rule)) return true;
    return false;
}
// Whether it may be asked for today: standing, and not put off by the weather.
inline bool asked(const Scene& s, const std::string& rule) {
    const auto all = jobs(s);
    return std::ranges::any_of(all, [&](const Job& job) { return job.rule == rule && job.state == JobState::due; });
}
inline const CareRule& rule(const std::string& key) { return *tables().care.rule(key); }

inline std::function<void(DayRecord&)> gust_on(LocalDay day, double m_s) {
    return [=](DayRecord& r) { r.gust_m_s = Marked{r.day == day ? m_s : 6.0, Origin::measured, "daily"}; };
}
inline std::function<void(DayRecord&)> steady(double mean, double half = 5) {
    return [=](DayRecord& r) {
        r.air_temp_max_degC.value = mean + half;
        r.air_temp_min_degC.value = mean - half;
        r.mean_temp_degC = mean;
    };
}
// The smooth year, but from a day on something else.
inline std::function<void(DayRecord&)> from_on(LocalDay first, std::function<void(DayRecord&)> change) {
    return [=](DayRecord& r) {
        if (r.day >= first) change(r);
    };
}
inline LocalDay bloom(LocalDay today, const std::string& species = "apple") {
    const CareSite site(still.place, calm_days(today, {}), today);
    return tree_years(site, *tables().one_species(species), 0, {}).last(Mark::full_bloom, today)->day;
}
inline LocalDay mark_day(Mark m, LocalDay near, const std::string& species = "apple") {
    const CareSite site(still.place, calm_days(near, {}), near);
    return tree_years(site, *tables().one_species(species), tables().care.one_species(species)->harvest_d, {}).next(m, near - days(60))->day;
}
inline const LocalDay bloom_26 = bloom(date(2026, 7, 1));
inline TreeWords apple() { return {.planted = date(2020, 11, 12)}; }
inline TreeWords kind(const std::string& species) { return {.species = species, .stock = {}, .planted = date(2020, 11, 12)}; }

inline Scene thinning(int after_d) { return {.today = bloom_26 + days(after_d), .tree = apple()}; }
inline Scene mulched(double depth_cm, LocalDay today, std::function<void(DayRecord&)> weather = {}) {
    return {.today = today, .pot = [=](PotCare& pot) {
                pot.setup.mulch = Mulch{Centimetres(depth_cm), 1};
                pot.mulched = today;
            }, .weather = weather};
}
inline Scene noted(const std::string& action, int ago_d, LocalDay today = date(2026, 6, 20), std::function<void(DayRecord&)> weather = {}) {
    return {.today = today, .notes = [=](Pots& pots) { pots.note("1", today - days(ago_d), action); }, .weather = weather};
}
inline Scene frost(LocalDay today, double minimum) {
    return {.today = today, .tree = apple(), .weather = from_on(today + days(1), [=](DayRecord& r) {
                r.air_temp_min_degC.value = minimum;
                r.air_temp_max_degC.value = minimum + 10;
                r.mean_temp_degC = minimum + 5;
            })};
}
inline Scene heat(bool shade, Colour colour, double max_degC) {
    const LocalDay today = date(2026, 7, 15);
    return {.today = today, .pot = [=](PotCare& pot) {
                pot.light = shade ? 0.3 : 1;
                pot.setup.container.colour = colour;
            }, .weather = from_on(today, steady(max_degC - 7, 7))};
}
// What disease weather did is looked for when it shows: two weeks later each of the three looks is open.
constexpr days shown_after{15};
// Warm bloom days, wet or dry: 150 degree hours in the flowers' life.
inline Scene blossom(const std::string& species, bool wet, bool open) {
    const LocalDay flowers = bloom(date(2026, 7, 1), species);
    const LocalDay day = open ? flowers + days(1) : flowers - days(30);
    return {.today = day + shown_after, .tree = kind(species), .weather = [=](DayRecord& r) {
                if (r.day < day - days(2) || r.day > day) return;
                steady(19, 8)(r);
                r.rain_mm.value = wet ? 3 : 0;
                r.vapour_pressure_kPa.value = 0.8;
                r.guessed.humidity = false;
            }};
}
inline Scene wet_day(const std::string& species, LocalDay day) {
    return {.today = day + shown_after, .tree = kind(species), .weather = [=](DayRecord& r) {
                if (r.day != day) return;
                steady(10, 4)(r);
                r.rain_mm.value = 12;
                r.vapour_pressure_kPa.value = 0.9;
                r.guessed.humidity = false;
            }};
}
inline Scene saucer(double night_degC) {
    const LocalDay today = date(2026, 6, 10);
    return {.today = today, .pot = [](PotCare& pot) { pot.setup.container.saucer = Litres(2); }, .weather = from_on(today - days(14), [=](DayRecord& r) {
                r.air_temp_min_degC.value = night_degC;
                r.air_temp_max_degC.value = night_degC + 10;
                r.mean_temp_degC = night_degC + 5;
                r.rain_mm.value = 3;
            })};
}
inline Scene grafted(int weeks, std::optional<bool> taken = {}) {
    const LocalDay today = date(2026, 6, 1);
    return {.today = today, .tree = {.planted = today - days(7 * weeks), .grafted = today - days(7 * weeks), .taken = taken}, .added = today - days(7 * weeks)};
}

}  // namespace care_world
