#include "climate/bay.hpp"

#include "climate/vapour.hpp"

#include <cmath>

namespace tubgrove {

namespace {

double fourth_power_of_kelvins(double t_degC) {
    const double squared = (t_degC + 273.16) * (t_degC + 273.16);
    return squared * squared;
}

}  // namespace

Et0Terms et0_terms(const HourAir& air) {
    const Celsius t(air.air_temp_degC);
    const Kilopascals ea(air.vapour_pressure_kPa);
    const double deficit_kPa = kPa(vapour_deficit(saturation_vapour_pressure(t), ea));
    const double humidity_factor = 0.34 - 0.14 * std::sqrt(kPa(ea));
    Et0Terms terms;
    terms.rs_MJ_m2 = air.rs_MJ_m2;
    terms.rs_over_rso = air.rs_over_rso;
    terms.longwave_MJ_m2 = 2.042e-10 * air.length_h * fourth_power_of_kelvins(degC(t)) * humidity_factor;
    terms.delta_kPa_K = saturation_slope_rounded_kPa_K(t);
    terms.gamma_kPa_K = psychrometric_kPa_K(Kilopascals(air.pressure_kPa));
    terms.aerodynamic = terms.gamma_kPa_K * 37 * air.length_h / (degC(t) + 273) * deficit_kPa;
    terms.wind_2m_m_s = air.wind_2m_m_s;
    return terms;
}

Et0Terms et0_terms(const DayAir& air) {
    const double mean_degC = (air.air_temp_max_degC + air.air_temp_min_degC) / 2;
    const Kilopascals es = saturation_vapour_pressure(Celsius(air.air_temp_max_degC), Celsius(air.air_temp_min_degC));
    const Kilopascals ea(air.vapour_pressure_kPa);
    const double mean_fourth =
        (fourth_power_of_kelvins(air.air_temp_max_degC) + fourth_power_of_kelvins(air.air_temp_min_degC)) / 2;
    Et0Terms terms;
    terms.hourly = false;
    terms.rs_MJ_m2 = air.rs_MJ_m2;
    terms.rs_over_rso = air.rs_over_rso;
    terms.longwave_MJ_m2 = 4.903e-9 * mean_fourth * (0.34 - 0.14 * std::sqrt(kPa(ea)));
    terms.delta_kPa_K = saturation_slope_kPa_K(Celsius(mean_degC));
    terms.gamma_kPa_K = psychrometric_kPa_K(Kilopascals(air.pressure_kPa));
    terms.aerodynamic = terms.gamma_kPa_K * 900 / (mean_degC + 273) * kPa(vapour_deficit(es, ea));
    terms.wind_2m_m_s = air.wind_2m_m_s;
    return terms;
}

}  // namespace tubgrove
