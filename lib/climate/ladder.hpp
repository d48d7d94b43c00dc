#pragma once
// Which rung speaks for a quantity: the hour's value where a series has one, else the day's, else the substitute for
// missing data. Used by complete.cpp.
#include "climate/hours.hpp"
#include "climate/screen.hpp"

#include <cmath>
#include <memory>
#include <optional>
#include <string_view>

namespace tubgrove {

// A value with where it came from. `how` is a word of complete.hpp.
struct Found {
    double value = std::numeric_limits<double>::quiet_NaN();
    std::string_view how;
    Origin origin = Origin::measured;
    bool forecast = false;
    bool guessed = false;

    explicit operator bool() const { return !std::isnan(value); }
};

// A day's extremes, and who gave them (empty: normals).
struct Extremes {
    double max_degC = 0, min_degC = 0;
    std::string_view how;
    Origin origin = Origin::measured;
    const SeriesTable* table = nullptr;
    bool guessed = false;
};

struct DaysTold;  // what is known of days near and of own months; made and read in usual.cpp

// All that a completion reads.
struct Weather {
    const SiteClimate& site;
    const Calendar& calendar;
    const Sky& sky;
    const std::vector<SeriesTable>& tables;               // best rung first, screened
    std::vector<std::vector<const SeriesTable*>> of_day;  // those that speak of each day, best first
    Instant now;
    std::span<const SeriesReadings> readings;  // for months that nobody gave normals for
    mutable std::shared_ptr<const DaysTold> told{};  // once looked up
};

// A reading of the past is measured; what lies ahead or was forecast is an estimate.
Origin origin_of(const SeriesTable&, const Weather&, int place);

Found hour_temperature(const Weather&, const SeriesTable&, int place);
std::optional<Extremes> day_extremes(const Weather&, int day);  // from a series; empty: none speaks
Extremes usual_extremes(const Weather&, int day);               // from normals, with the gardener's feel
Found usual_rain_mm(const Weather&, int day);                   // of the whole day

Found hour_vapour_kPa(const Weather&, int place, double air_temp_degC, double pressure_kPa);
Found day_vapour_kPa(const Weather&, int day, const Extremes&, double pressure_kPa);
Found hour_wind_m_s(const Weather&, int place);  // at 2 m
Found day_wind_m_s(const Weather&, int day);
Found hour_radiation_MJ_m2(const Weather&, int place);
Found day_radiation_MJ_m2(const Weather&, int day, const Extremes&);
double hour_pressure_kPa(const Weather&, int place, double otherwise_kPa);
double day_pressure_kPa(const Weather&, int day);  // measured at the station, else by elevation
// The day's highest gust, and when it fell, where the reading that had it tells.
struct FoundGust {
    Found m_s;
    std::optional<GustSpan> when;
};
FoundGust day_gust(const Weather&, int day);

}  // namespace tubgrove
