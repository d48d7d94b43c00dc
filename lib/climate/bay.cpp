#include "climate/bay.hpp"

#include "climate/vapour.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

namespace {

double fourth_power_of_kelvins(double t_degC) {
    const double squared = (t_degC + 273.16) * (t_degC + 273.16);
    return squared * squared;
}

// The parts of the terms that follow from the air's temperature and how dry it is; `cn`: 900 a day, 37 an hour.
void set_air(Et0Terms& terms, double t_degC, Kilopascals deficit, double cn) {
    terms.delta_kPa_K = terms.hourly ? saturation_slope_rounded_kPa_K(Celsius(t_degC)) : saturation_slope_kPa_K(Celsius(t_degC));
    terms.aerodynamic = terms.gamma_kPa_K * cn / (t_degC + 273) * kPa(deficit);
}

Et0Terms terms_in(const RoomAir& room, const HourWeather& hour, const DayRecord& day) {
    Et0Terms terms = hour.et0;
    const Kilopascals outside(day.vapour_pressure_kPa.value);
    const auto deficit = [&](Kilopascals saturation) { return vapour_deficit(saturation, std::min(outside, saturation)); };
    if (terms.hourly) {
        const double t = room.held(hour.air_temp_degC);
        if (t != hour.air_temp_degC) set_air(terms, t, deficit(saturation_vapour_pressure(Celsius(t))), 37 * hour.length_h);
        return terms;
    }
    const double max = room.held(day.air_temp_max_degC.value), min = room.held(day.air_temp_min_degC.value);
    if (max != day.air_temp_max_degC.value || min != day.air_temp_min_degC.value)
        set_air(terms, (max + min) / 2, deficit(saturation_vapour_pressure(Celsius(max), Celsius(min))), 900);
    return terms;
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
    terms.gamma_kPa_K = psychrometric_kPa_K(Kilopascals(air.pressure_kPa));
    set_air(terms, degC(t), Kilopascals(deficit_kPa), 37 * air.length_h);
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
    terms.gamma_kPa_K = psychrometric_kPa_K(Kilopascals(air.pressure_kPa));
    set_air(terms, mean_degC, vapour_deficit(es, ea), 900);
    terms.wind_2m_m_s = air.wind_2m_m_s;
    return terms;
}

std::vector<HourWeather> hours_in(const RoomAir& room, const DayRecord& day) {
    std::vector<HourWeather> hours = day.hours;
    for (HourWeather& hour : hours) {
        hour.et0 = terms_in(room, hour, day);
        hour.air_temp_degC = room.held(hour.air_temp_degC);
    }
    return hours;
}

}  // namespace tubgrove
