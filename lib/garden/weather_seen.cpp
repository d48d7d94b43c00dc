#include "garden/weather_seen.hpp"

#include "ahead/spread.hpp"
#include "garden/past.hpp"

#include <algorithm>
#include <cmath>
#include <set>

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

// The readings of one forecast member: all that is not a forecast, and the forecasts of that member (or of member 0 for
// a source that has fewer).
std::vector<SeriesReadings> of_member(std::span<const StoredReadings> stored, int member) {
    std::map<std::string, int> most;
    for (const auto& readings : stored)
        if (readings.series.issued) most[readings.series.source] = std::max(most[readings.series.source], readings.series.member);
    std::vector<SeriesReadings> chosen;
    for (const auto& readings : stored) {
        const auto& series = readings.series;
        bool here = !series.issued || series.member == (member <= most[series.source] ? member : 0);
        if (here) chosen.push_back({.series = series, .observations = readings.observations});
    }
    return chosen;
}

std::chrono::hours stale_after(const Figures& figures) { return std::chrono::hours(std::lround(24 * figures[FigureKey::forecast_stale_d])); }

// A forecast that is too old says nothing more of what lies ahead; until then it widens, since its lead grows.
void end_stale(std::vector<StoredReadings>& stored, Instant now, const Figures& figures) {
    const auto longest = stale_after(figures);
    for (auto& readings : stored)
        if (readings.series.issued && now - *readings.series.issued > longest)
            std::erase_if(readings.observations, [&](const Observation& o) { return o.ends > now; });
}

bool speaks_of_later(std::span<const StoredReadings> stored, Instant now) {
    return std::ranges::any_of(stored, [&](const StoredReadings& readings) {
        return readings.series.issued &&
               std::ranges::any_of(readings.observations, [&](const Observation& o) { return o.ends > now; });
    });
}

// The forecasts among the readings as one member of a single forecast sees them; `turned` keeps them.
void spread(std::vector<SeriesReadings>& readings, std::vector<std::vector<Observation>>& turned, const ForecastKnowledge& knowledge,
            const SpreadPlace& place, int member) {
    turned.reserve(readings.size());
    for (auto& part : readings) {
        if (!part.series.issued) continue;
        turned.push_back(member_of_forecast(part.observations, *part.series.issued, errors_of(knowledge, part.series.source),
                                            knowledge.figures, place, member));
        part.observations = turned.back();
    }
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
    std::string later = seen.has_forecast ? "forecast" : "the month's normals";
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
    int members = 1;
    for (auto& readings : stored) {
        if (readings.series.issued) {
            members = std::max(members, readings.series.member + 1);
            continue;
        }
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
    auto today = zone.day_of(view.now);
    end_stale(stored, view.now, knowledge.figures);
    const bool single = members == 1 && span.last >= today && speaks_of_later(stored, view.now);
    if (single) {
        forecast_record(knowledge, store, view, zone);
        members = int(knowledge.figures[FigureKey::forecast_members]) + 1;
    }
    const SpreadPlace place{.zone = zone, .latitude_deg = degrees(configuration.site.latitude),
                            .elevation_m = metres(configuration.site.elevation)};
    for (int member = 0; member < (which == WeatherMembers::middle ? 1 : members); ++member) {
        const DaySpan days{member == 0 ? span.first : std::max(span.first, today), span.last};
        if (days.first > days.last) break;
        auto readings = of_member(stored, single ? 0 : member);
        std::vector<std::vector<Observation>> turned;
        if (single) spread(readings, turned, knowledge, place, member);
        seen.members.push_back(complete_days(climate, readings, days, view.now));
    }
    seen.has_forecast = std::ranges::any_of(seen.members.front(), [&](const DayRecord& day) {
        return day.day >= today && day.rung == Rung::published;
    });
    seen.from = in_words(seen, speaking);
    return seen;
}

}  // namespace tubgrove
