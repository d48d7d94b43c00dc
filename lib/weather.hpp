#pragma once
// What a weather source says: one observation is every quantity that one source reports for one interval.
// Names are CF standard names; numbers are in the unit beside each channel. NaN means "not reported".
#include "calendar.hpp"

#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

// A CF quantity with its statistic over the interval. A value without a statistic is taken as the mean
// of the interval that it ends.
enum class Channel : unsigned char {
    air_temperature_mean,        // degC
    air_temperature_max,         // degC
    air_temperature_min,         // degC
    dew_point_temperature_mean,  // degC
    wet_bulb_temperature_mean,   // degC
    relative_humidity_mean,      // %
    relative_humidity_max,       // %
    relative_humidity_min,       // %
    wind_speed_mean,             // m s-1, at the source's own instrument height
    wind_speed_of_gust_max,      // m s-1
    surface_downwelling_shortwave_flux_in_air_mean,  // W m-2
    duration_of_sunshine_sum,    // h
    precipitation_amount_sum,    // mm (kg m-2)
    air_pressure_mean,           // kPa, at the station, not reduced to sea level
};
inline constexpr std::size_t channel_count = 14;

struct ChannelName {
    std::string_view quantity;   // CF standard name
    std::string_view statistic;  // mean, max, min or sum
    std::string_view unit;       // UDUNITS spelling of the stored unit
};
inline constexpr std::array<ChannelName, channel_count> channel_names{{
    {"air_temperature", "mean", "degC"},
    {"air_temperature", "max", "degC"},
    {"air_temperature", "min", "degC"},
    {"dew_point_temperature", "mean", "degC"},
    {"wet_bulb_temperature", "mean", "degC"},
    {"relative_humidity", "mean", "%"},
    {"relative_humidity", "max", "%"},
    {"relative_humidity", "min", "%"},
    {"wind_speed", "mean", "m s-1"},
    {"wind_speed_of_gust", "max", "m s-1"},
    {"surface_downwelling_shortwave_flux_in_air", "mean", "W m-2"},
    {"duration_of_sunshine", "sum", "h"},
    {"precipitation_amount", "sum", "mm"},
    {"air_pressure", "mean", "kPa"},
}};

struct Observation {
    Instant starts;
    Instant ends;
    std::array<double, channel_count> values;

    Observation(Instant starts_at, Instant ends_at) : starts(starts_at), ends(ends_at) {
        values.fill(std::numeric_limits<double>::quiet_NaN());
    }
    double& operator[](Channel c) { return values[std::size_t(c)]; }
    double operator[](Channel c) const { return values[std::size_t(c)]; }
    bool has(Channel c) const { return !std::isnan(values[std::size_t(c)]); }
};

// The rungs of the weather ladder, best first (how the list names where its weather came from).
enum class Rung : unsigned char { own_readings, published, by_hand, normals };

// One series of observations: a source, and for a forecast also when it was issued and which member it is.
struct Series {
    std::string source;                  // as named in the configuration or on the command line
    Rung rung = Rung::own_readings;
    std::optional<Instant> issued = std::nullopt;   // set: a forecast
    int member = 0;
    double wind_height_m = 2.0;          // of the anemometer, above short grass
};

}  // namespace tubgrove
