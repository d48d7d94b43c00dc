#include "garden/weather_seen.hpp"

#include "ahead/heat.hpp"
#include "garden/past.hpp"

#include <algorithm>
#include <cmath>
#include <deque>

namespace tubgrove {
namespace {

std::map<LocalDay, Feel> felt_days(std::span<const Entry> entries, const Zone& zone) {
    std::map<LocalDay, Feel> feel;
    auto struck = struck_ids(entries);
    for (const auto& entry : entries) {
        auto word = entry.values.find("feel");
        if (entry.action != "weather" || word == entry.values.end() || struck.contains(entry.id)) continue;
        feel[zone.day_of(entry.when)] =
            word->second == "cool" ? Feel::cool : word->second == "hot" ? Feel::hot : Feel::usual;
    }
    return feel;
}

SiteClimate climate_of(const Site& site, const Zone& zone) {
    return {.latitude = site.latitude, .longitude = site.longitude, .elevation = site.elevation, .zone = zone,
            .arid = site.arid, .coastal = site.coastal, .normals = {}, .feel = {}};
}

// What is no forecast.
std::vector<SeriesReadings> without_forecasts(std::span<const StoredReadings> stored) {
    std::vector<SeriesReadings> chosen;
    for (const auto& readings : stored)
        if (!readings.series.issued) chosen.push_back({.series = readings.series, .observations = readings.observations});
    return chosen;
}

// What was told of the past: of each forecast its first member as it was issued.
std::vector<SeriesReadings> as_told(std::span<const StoredReadings> stored) {
    auto chosen = without_forecasts(stored);
    for (const auto& readings : stored)
        if (readings.series.issued && readings.series.member == 0) chosen.push_back({.series = readings.series, .observations = readings.observations});
    return chosen;
}

std::chrono::hours stale_after(const Figures& figures) { return std::chrono::hours(std::lround(24 * figures[FigureKey::forecast_stale_d])); }

// A forecast that is too old says nothing more of what lies ahead; until then it widens, since its lead grows. When the newest of
// those was issued that would still speak of it.
std::optional<Instant> end_stale(std::vector<StoredReadings>& stored, Instant now, const Figures& figures) {
    const auto longest = stale_after(figures);
    std::optional<Instant> newest;
    for (auto& readings : stored)
        if (readings.series.issued && now - *readings.series.issued > longest &&
            std::erase_if(readings.observations, [&](const Observation& o) { return o.ends > now; }) > 0)
            newest = std::max(newest.value_or(*readings.series.issued), *readings.series.issued);
    return newest;
}

bool speaks_of_later(std::span<const StoredReadings> stored, Instant now) {
    return std::ranges::any_of(stored, [&](const StoredReadings& readings) {
        return readings.series.issued &&
               std::ranges::any_of(readings.observations, [&](const Observation& o) { return o.ends > now; });
    });
}

// Readings older than this no longer speak for the present.
constexpr std::chrono::hours fresh_readings{36};

// What readings speak for the present, the best kind first: who has a station needs no word of what was told beside it.
struct Speaking {
    bool own = false, published = false, by_hand = false, gauge = false;
};

void add(Speaking& speaking, const StoredReadings& readings, Instant now) {
    if (now - readings.observations.back().ends >= fresh_readings) return;
    if (readings.series.source == gauge_by_hand) speaking.gauge = true;
    else if (readings.series.rung == Rung::own_readings) speaking.own = true;
    else (readings.series.rung == Rung::by_hand ? speaking.by_hand : speaking.published) = true;
}

std::string in_words(const WeatherSeen& seen, const Speaking& speaking) {
    std::string words = speaking.own ? "own readings" : speaking.published ? "published readings" : "";
    const auto also = [&](bool speaks, const char* what) {
        if (speaks && !speaking.own) words += (words.empty() ? "" : " and ") + std::string(what);
    };
    also(speaking.by_hand, "highest and lowest by hand");
    also(speaking.gauge, "rain by hand");
    std::string later = seen.has_forecast ? "forecast" : "usual values";
    return words.empty() ? later : words + ", then " + later;
}

}  // namespace

WeatherSeen weather_seen(const Store& store, const View& view, const Configuration& configuration, const Zone& zone,
                         const DaySpan& span, ForecastKnowledge& knowledge, WeatherMembers which) {
    // The quality rules and carried cloudiness look back from a day.
    constexpr std::chrono::days looked_back{9};
    ReadingsQuery query{.from = zone.start_of(span.first - looked_back), .to = zone.end_of(span.last), .learned_until = {},
                        .issued_until = view.now, .issued_from = view.now - stale_after(knowledge.figures), .forecasts = Forecasts::standing};
    query.learned_until = learned_until(view);
    auto stored = store.readings(query);
    WeatherSeen seen;
    Speaking speaking;
    for (auto& readings : stored) {
        if (readings.series.issued) continue;
        // With hindsight too, what has not happened yet at the view's moment is not known.
        std::erase_if(readings.observations, [&](const Observation& o) { return o.starts >= view.now; });
        if (readings.observations.empty()) continue;
        add(speaking, readings, view.now);
        auto first = readings.observations.front().starts, newest = readings.observations.back().ends;
        if (!seen.first_reading || first < *seen.first_reading) seen.first_reading = first;
        if (!seen.newest_reading || newest > *seen.newest_reading) seen.newest_reading = newest;
    }
    auto climate = climate_of(configuration.site, zone);
    climate.feel = felt_days(entries_seen(store, view), zone);
    const auto today = zone.day_of(view.now);
    const auto too_old = end_stale(stored, view.now, knowledge.figures);
    if (span.last >= today && speaks_of_later(stored, view.now)) {
        forecast_record(knowledge, store, view, zone);
        const ForecastMembers forecasts(stored, view.now, knowledge, {.zone = zone, .latitude_deg = degrees(configuration.site.latitude),
                                                                      .elevation_m = metres(configuration.site.elevation)});
        const auto told = without_forecasts(stored);
        for (int member = 0; member < (which == WeatherMembers::middle ? 1 : forecasts.count()); ++member) {
            const DaySpan days{member == 0 ? span.first : std::max(span.first, today), span.last};
            std::deque<std::vector<Observation>> made;
            auto readings = forecasts.of(member, made);
            readings.insert(readings.end(), told.begin(), told.end());
            seen.members.push_back(complete_days(climate, readings, days, view.now));
        }
        seen.differ = forecasts.differ({today, span.last});
    } else {
        seen.members.push_back(complete_days(climate, as_told(stored), span, view.now));
        seen.too_old = too_old;
    }
    seen.has_forecast = std::ranges::any_of(seen.members.front(), [&](const DayRecord& day) {
        return day.day >= today && day.rung == Rung::published;
    });
    seen.from = in_words(seen, speaking);
    return seen;
}

double middle_highest(const WeatherSeen& seen, LocalDay day) {
    std::vector<double> highest;
    for (const auto& days : seen.members)
        if (const auto found = std::ranges::find(days, day, &DayRecord::day); found != days.end()) highest.push_back(found->air_temp_max_degC.value);
    return highest.empty() ? NAN : sample_quantile(std::move(highest), 0.5);
}

}  // namespace tubgrove
