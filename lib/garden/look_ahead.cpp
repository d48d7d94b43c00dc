// Use case: the days ahead, pot by pot.
#include "care/words.hpp"
#include "garden/heat_help.hpp"
#include "garden/list_now.hpp"
#include "garden/round_notices.hpp"
#include "garden/stay_away.hpp"
#include "garden/stocks.hpp"
#include "plan/plain_text.hpp"
#include "plan/trips.hpp"
#include "pot/exponential.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

Range80 plus(const Range80& a, const Range80& b) { return {a.low + b.low, a.median + b.median, a.high + b.high}; }
Range80 less(const Range80& a, const Range80& b) { return {a.low - b.low, a.median - b.median, a.high - b.high}; }

// Members of the weather count alike.
Range80 range_of_members(std::vector<double> values) {
    return {sample_quantile(values, 0.1), sample_quantile(values, 0.5), sample_quantile(values, 0.9)};
}

// Of a usual day every member has the same: its range is what a forecast's error comes to in the end, and the spread of such weather.
void widen(DayAheadLine& line, const Tables& tables) {
    const double z = normal_quantile(0.9);
    const double off_K = z * (tables.figures[FigureKey::warmest_sd_K] + (leads - 1) * tables.figures[FigureKey::warmest_growth_K]);
    const auto by_factor = [&](Range80& range, PriorKey key) {
        range.low = range.median * exponential(-z * tables.priors[key].sd_ln);
        range.high = range.median * exponential(z * tables.priors[key].sd_ln);
    };
    line.max_degC = {line.max_degC.median - off_K, line.max_degC.median, line.max_degC.median + off_K};
    by_factor(line.et0_mm, PriorKey::et0_normals);
    by_factor(line.rain_mm, PriorKey::rain_normals);
}

std::vector<DayAheadLine> weather_lines(const WeatherSeen& seen, const Tables& tables, LocalDay first, LocalDay last) {
    std::vector<DayAheadLine> lines;
    for (auto day = first; day <= last; day += std::chrono::days(1)) {
        std::vector<double> highest, et0, rain;
        const DayRecord* middle = nullptr;
        for (const auto& days : seen.members) {
            const auto found = std::ranges::lower_bound(days, day, {}, &DayRecord::day);
            if (found == days.end() || found->day != day) continue;
            if (!middle) middle = &*found;
            highest.push_back(found->air_temp_max_degC.value);
            et0.push_back(found->et0_mm);
            rain.push_back(found->rain_mm.value);
        }
        if (!middle) break;
        lines.push_back({.day = day, .max_degC = range_of_members(highest), .et0_mm = range_of_members(et0), .rain_mm = range_of_members(rain),
                         .from = middle->rung == Rung::normals ? "usual" : middle->rung == Rung::published ? "forecast" : "readings"});
        if (middle->rung == Rung::normals) widen(lines.back(), tables);
    }
    return lines;
}

std::optional<Instant> moment_seen(Instant now, double hours) {
    return std::isfinite(hours) ? std::optional(moment_after(now, hours)) : std::nullopt;
}

// What one pot gives to the answer.
struct Worked {
    bool known = false;
    PotAheadLine line;
    std::vector<PlannedPour> pours;
    std::vector<HeatPot> heat;                             // one an episode
};

std::vector<HottestDay> hottest_days(const GardenNow& garden, const Configuration& configuration, const Zone& zone, LocalDay last) {
    std::vector<HottestDay> hottest;
    const auto& days = garden.weather.members.front();
    const auto today = zone.day_of(garden.now);
    const auto evening = configuration.walks.evening.value_or(std::chrono::minutes(19 * 60));
    for (const auto& e : garden.heat) {
        HottestDay h;
        double most = -1e9;
        for (const auto& day : days)
            if (day.day >= std::max(e.first, today) && day.day <= std::min(e.last, last) && day.et0_mm > most) most = day.et0_mm, h.day = day.day;
        if (most < 0) continue;                    // it begins after the days asked for
        h.walk = std::max(garden.now, zone.at(LocalTime(h.day) + configuration.walks.morning));
        const auto evening_before = zone.at(LocalTime(h.day - std::chrono::days(1)) + evening);
        h.filled = evening_before >= garden.now ? evening_before : h.walk;
        h.evening = std::max(h.walk, zone.at(LocalTime(h.day) + evening));
        h.next_walk = zone.at(LocalTime(h.day + std::chrono::days(1)) + configuration.walks.morning);
        hottest.push_back(h);
    }
    return hottest;
}

std::string episode_text(const HeatEpisode& e) {
    const std::string by = e.by == "record" ? "the hottest tenth of these days in other years" : "5 K and more above what is usual";
    return day_text(e.first) + " to " + day_text(e.last) + ", most likely up to " + plain(e.peak_degC, 1) + " °C. A chance of " + plain(10 * e.chance, 0)
           + " in 10 of " + std::to_string(e.days_in_a_row) + " days in a row above " + plain(e.above_degC, 1) + " °C, which counts as heat here (" + by + ")";
}

}  // namespace

Outcome<AheadAnswer> Garden::ahead(const View& view, int days) {
    auto& inside = *inside_;
    if (days < 1 || days > 10) return Refusal{std::to_string(days) + " days cannot be seen ahead", "1 to 10 days"};
    const auto& configuration = inside.configuration;
    const auto& figures = inside.tables.figures;
    auto garden = garden_now(inside.store, view, configuration, inside.zone, inside.forecasts);
    const auto lives = in_walking_order(garden.past.lives, configuration, view.now);
    if (lives.empty()) return no_pot_yet();
    const auto today = inside.zone.day_of(view.now);
    const auto last = today + std::chrono::days(days - 1);
    AheadAnswer answer{.from = today, .to = last, .weather_from = garden.weather.from, .members = int(garden.weather.members.size()),
                       .days = weather_lines(garden.weather, inside.tables, today, last), .walks = {}, .pots = {}, .total_l = {}, .stocks = {}, .heat = {},
                       .cautions = {}, .remarks = {}};
    const auto hot = hot_days(garden.weather, garden.heat, inside.tables.prices);
    const auto until = inside.zone.end_of(last);
    const auto named = walks_ahead(garden, configuration, inside.zone, hot, until);
    std::vector<WalkAhead> walks;
    for (const auto& walk : named) walks.push_back({walk.at, walk.next});
    std::vector<Instant> midnights;
    for (auto day = today; day <= last; day += std::chrono::days(1)) midnights.push_back(inside.zone.end_of(day));
    const auto hottest = hottest_days(garden, configuration, inside.zone, last);
    const auto pouring = pouring_of(configuration, figures);
    const auto list = list_of_first(inside, view, garden, named, hot);

    std::vector<Worked> worked(lives.size());
    each_pot(inside, garden, lives, [&](std::size_t i, const PotNow& pot) {
        Worked& w = worked[i];
        const auto courses = days_ahead(pot, inside.zone);
        const Outlook outlook(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, courses, outlook_end(garden, inside.zone));
        const auto listed = list ? std::optional(list->of(pot)) : std::nullopt;
        const PotAhead seen = look_ahead(outlook, walks, midnights, pouring, listed ? &*listed : nullptr);
        w.known = true;
        w.line = {.pot = pot.life->id, .label = pot.setup().label, .bay = pot.setup().exposure.bay,
                  .dry_early_at = moment_seen(garden.now, seen.dry_after_h.low), .dry_at = moment_seen(garden.now, seen.dry_after_h.median),
                  .dry_late_at = moment_seen(garden.now, seen.dry_after_h.high), .total_l = seen.total_l, .days = {}};
        for (std::size_t d = 0; d < seen.days.size(); ++d)
            w.line.days.push_back({.day = today + std::chrono::days(long(d)), .demand_l = seen.days[d].demand_l, .rain_l = seen.days[d].rain_l,
                                   .dry_share = seen.days[d].dry_chance, .dry_planned_share = seen.days[d].dry_planned_chance});
        w.pours = seen.pours;
        for (const auto& day : hottest) w.heat.push_back(heat_of(inside, pot, day, outlook_end(garden, inside.zone)));
    });

    for (const auto& walk : named) answer.walks.push_back({.day = walk.walk.day, .walk = walk.walk.name, .at = walk.at, .listed = list && answer.walks.empty(), .pours = {}, .total_l = {}, .total_most_l = 0});
    std::size_t episode = 0;
    for (std::size_t e = 0; e < garden.heat.size() && episode < hottest.size(); ++e, ++episode)
        answer.heat.push_back({.episode = garden.heat[e], .hottest = hottest[episode].day, .pots = {}, .text = episode_text(garden.heat[e])});
    std::vector<Draw> draws;
    for (auto& w : worked) {
        if (!w.known) continue;
        Range80 so_far_l;                        // so that what a butt gives is summed as all of it is
        for (const auto& pour : w.pours) {
            auto& line = answer.walks[pour.walk];
            draws.push_back({line.day, w.line.bay, less(pour.so_far_l, so_far_l)});
            so_far_l = pour.so_far_l;
            line.pours.push_back({.pot = w.line.pot, .label = w.line.label, .pour_l = pour.pour_l, .most_l = pour.manner.pour_l, .passes = pour.manner.passes,
                                  .until = pour.manner.until});
            line.total_l = plus(line.total_l, pour.pour_l);
            line.total_most_l += pour.manner.pour_l;
        }
        answer.total_l = plus(answer.total_l, w.line.total_l);
        for (std::size_t e = 0; e < answer.heat.size(); ++e) answer.heat[e].pots.push_back(std::move(w.heat[e]));
        answer.pots.push_back(std::move(w.line));
    }
    std::erase_if(answer.walks, [](const WalkAheadLine& walk) { return walk.pours.empty(); });
    std::ranges::stable_sort(draws, {}, &Draw::day);
    answer.stocks = stocks_of(configuration.carry, draws);
    answer.remarks.push_back("The litres of all pots together are ranged as if all of them erred the same way.");
    if (garden.weather.differ) answer.remarks.push_back(differ_text(*garden.weather.differ));
    if (!garden.weather.has_forecast)
        answer.remarks.push_back((garden.weather.too_old ? forecast_too_old_text(garden, inside.zone) + " What" : "There is no forecast: what")
                                 + std::string(" lies ahead stands on usual values, and no heat can be seen coming."));
    // Usual values of a garden in its first year.
    const auto a_year_ago = inside.zone.start_of(today - std::chrono::days(300));
    const bool on_usual = std::ranges::any_of(answer.days, [](const DayAheadLine& day) { return day.from == "usual"; });
    if (on_usual && !inside.store.first_reading(inside.zone.start_of(today - std::chrono::days(500)), a_year_ago, learned_until(view)))
        answer.remarks.push_back("There is no other year of readings: usual values stand on this month's own days, its heat among them, where there are ten; else on the days of the last week and the latitude.");
    if (!answer.heat.empty()) {
        answer.cautions.push_back("Water early or late, with a hat and something to drink; stop when dizzy. Heat warnings and your doctor's advice come first.");
        answer.cautions.push_back("A full pot is heavy: two people or a trolley before it is moved.");
    }
    return answer;
}

}  // namespace tubgrove
