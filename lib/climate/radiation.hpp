#pragma once
// Radiation at the ground: shortwave measured or not, a clear sky, and what is left after longwave and the soil.
// Energies are of the interval that the caller means, an hour or a day, unless the name says which.
#include "units.hpp"

namespace tubgrove {

using Radiation = MegajoulesPerSquareMetre;

// Shortwave from sunshine. `relative` n/N, held to 0..1. Source: [FAO56] eq. 35
struct SunshineCoefficients {
    double a = 0.25, b = 0.50;  // uncalibrated
};
Radiation shortwave_from_sunshine(Radiation extraterrestrial, double relative, SunshineCoefficients = {});

// Shortwave of a day from its temperature range, which the caller holds to a clear sky. 0 where max = min.
// Not for islands. Source: [FAO56] eq. 50
inline constexpr double range_coefficient_inland = 0.16, range_coefficient_coast = 0.19;
Radiation shortwave_from_range(Radiation extraterrestrial, double range_K, double coefficient);

// From a station in the same air, in flat country. Source: [FAO56] eq. 49
struct NearStation {
    Radiation shortwave, extraterrestrial;
};
Radiation shortwave_from_station(NearStation, Radiation extraterrestrial);

// Islands up to 20 km wide, 0 to 100 m, monthly values only. Source: [FAO56] eq. 51
Radiation shortwave_on_island(Radiation extraterrestrial);

// A clear sky. Elevation below 6000 m, sun about 50 degrees high. Source: [FAO56] eq. 37; [ASCE2005] eq. 19
Radiation clear_sky(Radiation extraterrestrial, Metres elevation);
// The same near sea level, or with locally fitted coefficients. Source: [FAO56] eq. 36
Radiation clear_sky_calibrated(Radiation extraterrestrial, SunshineCoefficients);

// A clear sky through moist or dusty air with a low sun: shares of Ra in the beam and diffuse.
struct ClearSkyShares {
    double beam, diffuse;
};
struct Air {
    Kilopascals pressure, vapour_pressure;
    double clearness = 1.0;  // 1 clean air .. 0.5 very turbid
};
double mean_sun_sine(double latitude_rad, int day_of_year);  // of a whole day. Source: [FAO56] eq. 3-16
ClearSkyShares clear_sky_shares(Air, double sun_sine);       // Source: [FAO56] eq. 3-14 to 3-20
// Sine of the sun's height at least 0.1 for a day, 0.01 for an hour. Source: [ASCE2005] Appendix D
ClearSkyShares clear_sky_shares_standardised(Air, double sun_sine);

Radiation net_shortwave(Radiation shortwave, double albedo = 0.23);  // Source: [FAO56] eq. 38

// 1.35 Rs/Rso - 0.35 with the ratio held to at most 1, as printed. Without sunlight it turns the loss into a gain, so
// the program itself uses the held one. Source: [FAO56] eq. 39
double cloud_factor_unheld(double rs_over_rso);
// The same with the ratio held to 0.3..1, so 0.055..1. Source: [ASCE2005] eq. 18
double cloud_factor(double rs_over_rso);
double humidity_factor(
    Kilopascals vapour_pressure);  // 0.34 - 0.14 sqrt ea; below 0 above 5.9 kPa. Source: [FAO56] eq. 39

// Stefan-Boltzmann constant, MJ m-2 K-4. Sources: [FAO56] eq. 39; [ASCE2005] eq. 17 and 44
inline constexpr double sigma_day = 4.903e-9, sigma_hour = 2.043e-10;
inline constexpr double sigma_day_standardised = 4.901e-9, sigma_hour_standardised = 2.042e-10;
// sigma T^4, with T in kelvins as T + 273.16
Radiation black_body(double sigma, Celsius air_temp);
Radiation net_longwave(Radiation black_body, double humidity_factor, double cloud_factor);  // Source: [FAO56] eq. 39

// Heat into the soil under grass.
Radiation soil_heat_month(Celsius next_month, Celsius month_before);        // MJ m-2 d-1. Source: [FAO56] eq. 43
Radiation soil_heat_month_known_past(Celsius month, Celsius month_before);  // MJ m-2 d-1. Source: [FAO56] eq. 44
Radiation soil_heat_hour(Radiation net);         // Source: [FAO56] eq. 45, 46; [ASCE2005] short
Radiation soil_heat_hour_tall(Radiation net);    // Source: [ASCE2005] eq. 66
double soil_heat_share(double leaf_area_index);  // of Rn, in daylight. Source: [FAO56] eq. 5-2

inline constexpr double mm_per_MJ = 0.408;  // Source: [FAO56] eq. 20
constexpr Millimetres as_water(Radiation energy) { return Millimetres(mm_per_MJ * MJ_per_m2(energy)); }

}  // namespace tubgrove
