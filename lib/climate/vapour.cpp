#include "climate/vapour.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

namespace {

double e0_kPa(double t_degC) { return 0.6108 * std::exp(17.27 * t_degC / (t_degC + 237.3)); }

// Psychrometer coefficient, per K. Source: [FAO56] eq. 16
double a_psy(Psychrometer kind) {
    switch (kind) {
        case Psychrometer::aspirated:
            return 0.000662;
        case Psychrometer::natural:
            return 0.000800;
        case Psychrometer::unventilated:
            return 0.001200;
    }
    return 0.000800;
}

}  // namespace

Kilopascals air_pressure(Metres elevation) {
    return Kilopascals(101.3 * std::pow((293 - 0.0065 * metres(elevation)) / 293, 5.26));
}

double psychrometric_kPa_K(Kilopascals pressure) { return 0.665e-3 * kPa(pressure); }

double latent_heat_MJ_kg(Celsius air_temp) { return 2.501 - 2.361e-3 * degC(air_temp); }

Kilopascals saturation_vapour_pressure(Celsius air_temp) { return Kilopascals(e0_kPa(degC(air_temp))); }

Kilopascals saturation_vapour_pressure(Celsius air_temp_max, Celsius air_temp_min) {
    return Kilopascals((e0_kPa(degC(air_temp_max)) + e0_kPa(degC(air_temp_min))) / 2);
}

double saturation_slope_kPa_K(Celsius air_temp) {
    const double t = degC(air_temp);
    return 4098 * e0_kPa(t) / ((t + 237.3) * (t + 237.3));
}

double saturation_slope_rounded_kPa_K(Celsius air_temp) {
    const double t = degC(air_temp);
    return 2503 * std::exp(17.27 * t / (t + 237.3)) / ((t + 237.3) * (t + 237.3));
}

Kilopascals vapour_pressure_from_dew_point(Celsius dew_point) { return saturation_vapour_pressure(dew_point); }

Kilopascals vapour_pressure_from_wet_bulb(Celsius wet_bulb, Celsius dry_bulb, Kilopascals pressure,
                                          Psychrometer kind) {
    const double depression_K = kelvins_between(dry_bulb, wet_bulb);
    return Kilopascals(std::max(0.0, e0_kPa(degC(wet_bulb)) - a_psy(kind) * kPa(pressure) * depression_K));
}

Kilopascals vapour_pressure_from_rh_extremes(DayTemps t, double rh_max_pct, double rh_min_pct) {
    return Kilopascals((e0_kPa(degC(t.min)) * rh_max_pct + e0_kPa(degC(t.max)) * rh_min_pct) / 200);
}

Kilopascals vapour_pressure_from_rh_max(DayTemps t, double rh_max_pct) {
    return Kilopascals(e0_kPa(degC(t.min)) * rh_max_pct / 100);
}

Kilopascals vapour_pressure_from_rh_mean(DayTemps t, double rh_mean_pct) {
    return saturation_vapour_pressure(t.max, t.min) * (rh_mean_pct / 100);
}

Kilopascals vapour_pressure_from_rh(Celsius air_temp, double rh_pct) {
    return saturation_vapour_pressure(air_temp) * (rh_pct / 100);
}

Kilopascals vapour_pressure_from_night_minimum(Celsius air_temp_min, double arid_drop_K) {
    return Kilopascals(e0_kPa(degC(air_temp_min) - arid_drop_K));
}

Kilopascals vapour_pressure_from_specific_humidity(double kg_kg, Kilopascals pressure) {
    return pressure * (kg_kg / (0.622 + 0.378 * kg_kg));
}

std::optional<Celsius> dew_point(Kilopascals vapour_pressure) {
    const double ea = kPa(vapour_pressure);
    if (!(ea > 0)) return std::nullopt;
    const double l = std::log(ea / 0.6108);
    return Celsius(237.3 * l / (17.27 - l));
}

std::optional<Celsius> dew_point_rounded(Kilopascals vapour_pressure) {
    const double ea = kPa(vapour_pressure);
    if (!(ea > 0)) return std::nullopt;
    const double l = std::log(ea);
    return Celsius((116.91 + 237.3 * l) / (16.78 - l));
}

double relative_humidity_pct(Kilopascals vapour_pressure, Celsius air_temp) {
    return 100 * (vapour_pressure / saturation_vapour_pressure(air_temp));
}

Kilopascals vapour_deficit(Kilopascals saturation, Kilopascals actual) {
    return Kilopascals(std::max(0.0, kPa(saturation) - kPa(actual)));
}

Humidity day_humidity(const HumiditySources& has, DayTemps t, Kilopascals pressure, double arid_drop_K) {
    if (has.hours_mean) return {*has.hours_mean, "hourly"};
    if (has.dew_point) return {vapour_pressure_from_dew_point(*has.dew_point), "dew-point"};
    if (has.wet_bulb && has.dry_bulb)
        return {vapour_pressure_from_wet_bulb(*has.wet_bulb, *has.dry_bulb, pressure, Psychrometer::natural),
                "wet-bulb"};
    if (has.rh_max_pct && has.rh_min_pct)
        return {vapour_pressure_from_rh_extremes(t, *has.rh_max_pct, *has.rh_min_pct), "rh-max-min"};
    if (has.rh_max_pct) return {vapour_pressure_from_rh_max(t, *has.rh_max_pct), "rh-max"};
    if (has.rh_mean_pct) return {vapour_pressure_from_rh_mean(t, *has.rh_mean_pct), "rh-mean"};
    return {vapour_pressure_from_night_minimum(t.min, arid_drop_K), "tmin-dew"};
}

}  // namespace tubgrove
