#pragma once
// Is a weather value believable? Rejected values count as missing, suspect ones are used and named, and nothing is
// ever written over the reading. Limits without a citation are our own rules, stricter than a network's and looser
// than a laboratory's: they are for one cheap instrument in a garden.
#include "climate/radiation.hpp"
#include "units.hpp"

#include <optional>
#include <span>

namespace tubgrove {

enum class Verdict : unsigned char { pass, clip, suspect, reject };  // clip: taken at the limit, and counted

// Order min <= mean <= max, all within -60..60 degC; a range of 0 or above 35 K is suspect. Source: own rule
struct DayTemperatures {
    Celsius max, min;
    std::optional<Celsius> mean;
};
Verdict check_day_temperatures(const DayTemperatures&);
Verdict check_temperature(Celsius air_temp);  // -60..60; NaN is rejected. Source: own rule
Verdict check_humidity(double rh_pct);        // 0..100; to 105 clipped. Source: own rule, after [FAO56] annex 5
Verdict check_dew_point(Celsius dew_point,
                        DayTemperatures);  // a day's mean; suspect 2 K over the minimum. Source: own rule

// A day's shortwave against a clear sky and against no air at all; what is unknown is left empty.
// Source: own rule, after [FAO56] annex 5
struct SkyLimits {
    std::optional<Radiation> clear_sky, extraterrestrial;
};
Verdict check_day_radiation(Radiation shortwave, SkyLimits);
// An hour's. Cloud edges lift an hour above a clear sky, so the limits are wider. Source: own rule
struct HourSky {
    Radiation clear_sky, extraterrestrial;
    double sun_elevation_rad;
};
Verdict check_hour_radiation(Radiation shortwave, const HourSky&);

Verdict check_wind(MetresPerSecond wind);  // 0..60, suspect above 25. Source: own rule

// The values of consecutive hours that end with the one in question: no change for 12 h is suspect, for 48 h
// rejected. Source: own rule, after air quality practice
Verdict check_stuck(std::span<const double> hours, double within);
inline constexpr double stuck_temperature_K = 0.05, stuck_wind_m_s = 0.1;
// Whether wind that check_stuck rejects may be a calm: below what cups turn at, and not for a week yet; cups that never turn for a week are
// taken as broken. Source: [FAO56] chapter 3 (0.5 m/s in a calm) and annex 5 (always below it); how long: own assumption
bool may_be_calm(std::span<const double> hours, double within);
inline constexpr int longest_calm_h = 7 * 24;

// From one hour to the next.  Source: own rule
Verdict check_temperature_step(double change_K);  // above 8 suspect, above 20 rejected
Verdict check_humidity_step(double change_pct);   // above 50 suspect
Verdict check_dew_point_step(double change_K);    // above 8 suspect

// Daily maxima of a week at a watered site: all under 80 % is a bad sensor or a dry site.
// Source: own rule, after [FAO56] annex 5
Verdict check_week_humidity(std::span<const double> rh_max_pct);
// Daily means of a week: under 0.5 m/s says broken cups or a sheltered mast. Source: own rule, after [FAO56] annex 5
Verdict check_week_wind(std::span<const double> wind_m_s);

}  // namespace tubgrove
