#include "climate/radiation.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tubgrove {

namespace {

// Water that could fall out of the air column, mm. Source: [FAO56] eq. 3-19
double precipitable_mm(Air air) { return 0.14 * kPa(air.vapour_pressure) * kPa(air.pressure) + 2.1; }

}  // namespace

Radiation shortwave_from_sunshine(Radiation extraterrestrial, double relative, SunshineCoefficients c) {
    return extraterrestrial * (c.a + c.b * std::clamp(relative, 0.0, 1.0));
}

Radiation shortwave_from_range(Radiation extraterrestrial, double range_K, double coefficient) {
    return extraterrestrial * (coefficient * std::sqrt(std::max(0.0, range_K)));
}

Radiation shortwave_from_station(NearStation near, Radiation extraterrestrial) {
    return extraterrestrial * (near.shortwave / near.extraterrestrial);
}

Radiation shortwave_on_island(Radiation extraterrestrial) {
    return Radiation(std::max(0.0, 0.7 * MJ_per_m2(extraterrestrial) - 4));
}

Radiation clear_sky(Radiation extraterrestrial, Metres elevation) {
    return extraterrestrial * (0.75 + 2e-5 * metres(elevation));
}

Radiation clear_sky_calibrated(Radiation extraterrestrial, SunshineCoefficients c) {
    return extraterrestrial * (c.a + c.b);
}

double mean_sun_sine(double latitude_rad, int day_of_year) {
    const double season = std::sin(2 * std::numbers::pi / 365 * day_of_year - 1.39);
    return std::sin(0.85 + 0.3 * latitude_rad * season - 0.42 * latitude_rad * latitude_rad);
}

ClearSkyShares clear_sky_shares(Air air, double sun_sine) {
    const double sine = std::max(0.01, sun_sine);
    const double beam = 0.98 * std::exp(-0.00146 * kPa(air.pressure) / (air.clearness * sine) -
                                        0.091 * std::pow(precipitable_mm(air) / sine, 0.25));
    return {beam, beam >= 0.15 ? 0.35 - 0.33 * beam : 0.18 + 0.82 * beam};
}

ClearSkyShares clear_sky_shares_standardised(Air air, double sun_sine) {
    const double sine = std::max(0.01, sun_sine);
    const double beam = 0.98 * std::exp(-0.00146 * kPa(air.pressure) / (air.clearness * sine) -
                                        0.075 * std::pow(precipitable_mm(air) / sine, 0.4));
    return {beam, beam >= 0.15 ? 0.35 - 0.36 * beam : 0.18 + 0.82 * beam};
}

Radiation net_shortwave(Radiation shortwave, double albedo) { return shortwave * (1 - albedo); }

double cloud_factor_unheld(double rs_over_rso) { return 1.35 * std::min(rs_over_rso, 1.0) - 0.35; }

double cloud_factor(double rs_over_rso) { return 1.35 * std::clamp(rs_over_rso, 0.3, 1.0) - 0.35; }

double humidity_factor(Kilopascals vapour_pressure) { return 0.34 - 0.14 * std::sqrt(kPa(vapour_pressure)); }

Radiation black_body(double sigma, Celsius air_temp) {
    const double squared = (degC(air_temp) + 273.16) * (degC(air_temp) + 273.16);
    return Radiation(sigma * squared * squared);
}

Radiation net_longwave(Radiation body, double humidity, double cloud) { return body * (humidity * cloud); }

Radiation soil_heat_month(Celsius next_month, Celsius month_before) {
    return Radiation(0.07 * kelvins_between(next_month, month_before));
}

Radiation soil_heat_month_known_past(Celsius month, Celsius month_before) {
    return Radiation(0.14 * kelvins_between(month, month_before));
}

Radiation soil_heat_hour(Radiation net) { return net * (MJ_per_m2(net) < 0 ? 0.5 : 0.1); }

Radiation soil_heat_hour_tall(Radiation net) { return net * (MJ_per_m2(net) < 0 ? 0.2 : 0.04); }

double soil_heat_share(double leaf_area_index) { return 0.4 * std::exp(-0.5 * leaf_area_index); }

}  // namespace tubgrove
