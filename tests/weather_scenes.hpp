#pragma once
// Scenes of invented weather for the tests of completion: a site, hours, days, and who reports them.
#include "catch.h"
#include "climate/complete.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove::scenes {

using std::chrono::days;
using std::chrono::hours;

inline LocalDay day(const char* text) { return *parse_day(text); }

inline SiteClimate site_at(double latitude, double longitude, const char* zone) {
    SiteClimate site;
    site.latitude = Degrees(latitude);
    site.longitude = Degrees(longitude);
    site.elevation = Metres(120);
    site.zone = *Zone::find(zone);
    return site;
}
inline SiteClimate inland() { return site_at(47.1, 15.4, "Europe/Vienna"); }

// Weather that varies as weather does, so that no rule takes it for a stuck instrument.
inline Observation an_hour(Instant starts, double warm = 20) {
    Observation o(starts, starts + hours(1));
    const double h = double(starts.time_since_epoch().count() / 3600 % 24) + 1;
    const double curve = std::cos((h - 15) * 0.2618),
                 wobble = std::sin(double(starts.time_since_epoch().count() / 3600) * 1.7);
    o[Channel::air_temperature_mean] = warm + 6 * curve + 0.4 * wobble;
    o[Channel::relative_humidity_mean] = 65 - 20 * curve;
    o[Channel::wind_speed_mean] = 1.8 + 0.8 * curve + 0.3 * wobble;
    o[Channel::precipitation_amount_sum] = 0;
    return o;
}
inline std::vector<Observation> some_hours(Instant from, int count, double warm = 20) {
    std::vector<Observation> result;
    for (int i = 0; i < count; ++i) result.push_back(an_hour(from + hours(i), warm));
    return result;
}

inline Observation a_day(const Zone& zone, LocalDay d, double max, double min) {
    Observation o(zone.start_of(d), zone.end_of(d));
    o[Channel::air_temperature_max] = max;
    o[Channel::air_temperature_min] = min;
    return o;
}

inline Series own() { return {.source = "station"}; }
inline Series service(Instant issued) { return {.source = "service", .rung = Rung::published, .issued = issued}; }
inline Series by_hand() { return {.source = "gardener", .rung = Rung::by_hand}; }

inline DayRecord one(const SiteClimate& site, const std::vector<SeriesReadings>& readings, LocalDay d, Instant now) {
    const auto records = complete_days(site, readings, {d, d}, now);
    REQUIRE(records.size() == 1);
    return records.front();
}

inline bool says(const DayRecord& record, const std::string& part) {
    return std::any_of(record.notes.begin(), record.notes.end(),
                       [&](const auto& n) { return n.find(part) != std::string::npos; });
}

inline const LocalDay midsummer = day("2026-07-14");

}  // namespace tubgrove::scenes
