#include "garden/heat_now.hpp"

#include "climate/normals.hpp"
#include "garden/past.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

// The highest temperatures of the days around the present in each earlier year that the store has.
const std::map<LocalDay, double>& record_of(ForecastKnowledge& knowledge, const Store& store, const View& view, const Zone& zone) {
    constexpr std::chrono::days around{25};
    constexpr int most_years = 40;
    const auto today = zone.day_of(view.now);
    const auto mark = store.input_mark(learned_until(view));
    const auto key = format_day(today) + "/" + std::to_string(mark.delivery) + (view.hindsight ? "/hindsight" : "");
    if (key == knowledge.heat_key) return knowledge.highest;
    knowledge.highest.clear();
    const auto oldest = store.first_reading(zone.start_of(today - std::chrono::days(366 * most_years)), view.now, learned_until(view));
    for (int years = 1; oldest && years <= most_years; ++years) {
        const auto middle = today - std::chrono::days(long(365.2425 * years));
        if (zone.start_of(middle + around) < *oldest) break;
        const auto stored = store.readings({.from = zone.start_of(middle - around), .to = zone.start_of(middle + around),
                                            .learned_until = learned_until(view), .issued_until = view.now, .forecasts = Forecasts::none});
        for (const auto& readings : stored)
            for (const auto& [day, values] : days_of(readings.observations, zone))
                if (const double highest = values[std::size_t(Foreseen::warmest)]; !std::isnan(highest) && readings.series.rung == Rung::own_readings)
                    knowledge.highest.emplace(day, highest);
    }
    knowledge.heat_key = key;
    return knowledge.highest;
}

// Mean of the same days of earlier years, however few; else what a month is like at such a latitude.
double usual_highest(LocalDay day, const std::map<LocalDay, double>& record, const Site& site) {
    double sum = 0;
    int count = 0;
    for (const auto& [past, highest] : record) {
        const long years = std::lround(double((day - past).count()) / 365.2425);
        const auto same = past + std::chrono::days(std::lround(365.2425 * double(years)));
        if (years > 0 && std::abs((day - same).count()) <= 7) sum += highest, ++count;
    }
    if (count > 7) return sum / count;
    const std::chrono::year_month_day date(day);
    return guessed_normals(site.latitude, site.elevation, unsigned(date.month())).air_temp_max_degC;
}

}  // namespace

std::vector<HeatEpisode> heat_now(ForecastKnowledge& knowledge, const WeatherSeen& seen, const Store& store, const View& view,
                                  const Site& site, const Zone& zone) {
    if (!seen.has_forecast) return {};
    const auto today = zone.day_of(view.now);
    const auto& front = seen.members.front();
    const auto first = std::max(front.front().day, today - heat_looked_back);
    const auto& record = record_of(knowledge, store, view, zone);
    std::vector<std::optional<HeatRule>> rules;
    std::vector<std::vector<double>> maxima(seen.members.size());
    // Beyond the forecast stand usual values, which foretell no heat.
    const auto foreseen = std::ranges::find_if(front, [&](const DayRecord& d) { return d.day >= today && d.rung == Rung::normals; });
    const auto last = foreseen == front.end() ? front.back().day : foreseen->day - std::chrono::days(1);
    for (auto day = first; day <= last; day += std::chrono::days(1)) {
        rules.push_back(heat_rule(day, record, usual_highest(day, record, site), knowledge.figures));
        const auto highest = [&](const std::vector<DayRecord>& days) -> const DayRecord* {
            const auto at = (day - days.front().day).count();
            return at < 0 || at >= long(days.size()) ? nullptr : &days[std::size_t(at)];
        };
        for (std::size_t m = 0; m < maxima.size(); ++m) {
            const auto* of_member = highest(seen.members[m]);
            maxima[m].push_back((of_member ? of_member : highest(front))->air_temp_max_degC.value);
        }
    }
    auto episodes = heat_episodes(first, maxima, rules, knowledge.figures);
    std::erase_if(episodes, [&](const HeatEpisode& e) { return e.last < today; });
    return episodes;
}

std::vector<HeatEpisode> heat_told_before(const WeatherSeen& seen, const Store& store, const View& view, const Configuration& configuration,
                                          const Zone& zone, const Figures& figures) {
    if (!seen.too_old) return {};
    // Seen again as if no forecast grew old so soon.
    auto patient = figures;
    patient.row(FigureKey::forecast_stale_d).value = std::ceil(double((view.now - *seen.too_old).count()) / 86400) + 1;
    ForecastKnowledge knowledge{.figures = patient};
    const auto today = zone.day_of(view.now);
    constexpr std::chrono::days furthest{16};
    const auto as_before = weather_seen(store, view, configuration, zone, {today - heat_looked_back, today + furthest}, knowledge);
    return heat_now(knowledge, as_before, store, view, configuration.site, zone);
}

IsHot hot_days(const WeatherSeen& weather, std::vector<HeatEpisode> episodes, const Prices& prices) {
    return [&weather, heat = std::move(episodes), limit_mm = prices[PriceKey::hot_evening_et0_mm]](LocalDay day) {
        for (const auto& e : heat)
            if (day >= e.first - std::chrono::days(1) && day <= e.last) return true;
        auto found = std::ranges::find(weather.members.front(), day, &DayRecord::day);
        return found != weather.members.front().end() && found->et0_mm > limit_mm;
    };
}

}  // namespace tubgrove
