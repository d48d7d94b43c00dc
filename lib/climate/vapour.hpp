#pragma once
// Water vapour and the psychrometric quantities of the combination equation.
#include "units.hpp"

#include <optional>
#include <string_view>

namespace tubgrove {

// Air pressure, kPa, in a standard atmosphere of 20 degC at sea level. Elevation -500..6000 m.
// Source: [FAO56] eq. 7
Kilopascals air_pressure(Metres elevation);

// Psychrometric constant, kPa per K. Source: [FAO56] eq. 8
double psychrometric_kPa_K(Kilopascals pressure);

// Latent heat of vaporisation, MJ per kg; ET0 itself uses 2.45 throughout. Source: [FAO56] eq. 3-1
double latent_heat_MJ_kg(Celsius air_temp);

// Saturation vapour pressure over water, also below 0 degC. Above -237.3 degC. Source: [FAO56] eq. 11
Kilopascals saturation_vapour_pressure(Celsius air_temp);

// Mean of the saturation pressures at a day's extremes; at the mean temperature it would be too low.
// Source: [FAO56] eq. 12
Kilopascals saturation_vapour_pressure(Celsius air_temp_max, Celsius air_temp_min);

// Slope of the saturation curve, kPa per K. Source: [FAO56] eq. 13
double saturation_slope_kPa_K(Celsius air_temp);
// The same as the standardised equation rounds it, at most 0.003 % lower. Source: [ASCE2005] eq. 5
double saturation_slope_rounded_kPa_K(Celsius air_temp);

// Actual vapour pressure, one function a source of humidity.
Kilopascals vapour_pressure_from_dew_point(Celsius dew_point);                 // Source: [FAO56] eq. 14
enum class Psychrometer : unsigned char { aspirated, natural, unventilated };  // about 5 m/s, 1 m/s, indoors
Kilopascals vapour_pressure_from_wet_bulb(Celsius wet_bulb, Celsius dry_bulb, Kilopascals pressure,
                                          Psychrometer kind);  // Source: [FAO56] eq. 15, 16
struct DayTemps {
    Celsius max, min;
};
Kilopascals vapour_pressure_from_rh_extremes(DayTemps, double rh_max_pct, double rh_min_pct);  // [FAO56] eq. 17
Kilopascals vapour_pressure_from_rh_max(DayTemps, double rh_max_pct);    // Source: [FAO56] eq. 18
Kilopascals vapour_pressure_from_rh_mean(DayTemps, double rh_mean_pct);  // Source: [FAO56] eq. 19
Kilopascals vapour_pressure_from_rh(Celsius air_temp, double rh_pct);    // an hour; [FAO56] eq. 54
// No humidity at all: the night's minimum is near the dew point over watered ground, 2 to 3 K above it in arid
// country. Source: [FAO56] eq. 48 and 6-6
Kilopascals vapour_pressure_from_night_minimum(Celsius air_temp_min, double arid_drop_K);
// From specific humidity, kg of vapour per kg of moist air. Source: [REFET]
Kilopascals vapour_pressure_from_specific_humidity(double kg_kg, Kilopascals pressure);

// The inverse of eq. 14; none where there is no vapour.
std::optional<Celsius> dew_point(Kilopascals vapour_pressure);
// The book's own rounding of it, up to 0.012 K apart for 0.1..6 kPa. Source: [FAO56] eq. 3-11
std::optional<Celsius> dew_point_rounded(Kilopascals vapour_pressure);

// Relative humidity, %, at a temperature. Source: [FAO56] eq. 10
double relative_humidity_pct(Kilopascals vapour_pressure, Celsius air_temp);

// es - ea, not below 0: air that is called supersaturated by its readings is saturated.
Kilopascals vapour_deficit(Kilopascals saturation, Kilopascals actual);

// What a day offers as humidity; absent ones empty.
struct HumiditySources {
    std::optional<Kilopascals> hours_mean;      // vapour pressure averaged from hours
    std::optional<Celsius> dew_point;           // mean of the day
    std::optional<Celsius> wet_bulb, dry_bulb;  // read together
    std::optional<double> rh_max_pct, rh_min_pct, rh_mean_pct;
};
struct Humidity {
    Kilopascals vapour_pressure;
    std::string_view how;  // "hourly", "dew-point", "wet-bulb", "rh-max-min", "rh-max", "rh-mean", "tmin-dew"
};
// The first source that is there, in the order: hours, dew point, wet bulb, RH extremes, RH maximum, RH mean, the
// night's minimum less `arid_drop_K`. Source: [FAO56] box 7 and chapter 3; hours first as in [ASCE2005] table 3
Humidity day_humidity(const HumiditySources&, DayTemps, Kilopascals pressure, double arid_drop_K);

}  // namespace tubgrove
