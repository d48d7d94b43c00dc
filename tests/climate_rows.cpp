#include "climate_rows.hpp"

#include "calendar.hpp"
#include "catch.h"
#include "climate/aridity.hpp"
#include "climate/et0.hpp"
#include "climate/quality.hpp"
#include "climate/radiation.hpp"
#include "climate/sun.hpp"
#include "climate/vapour.hpp"
#include "climate/wind.hpp"

#include <cmath>
#include <fstream>
#include <numbers>
#include <set>
#include <sstream>

namespace tubgrove::rows {

namespace {

constexpr double pi = std::numbers::pi;
using Rule = std::function<double(Reckoning&)>;
using Rules = std::map<std::string, Rule>;

std::vector<std::string> split(const std::string& text, const std::string& by) {
    std::vector<std::string> parts;
    std::size_t from = 0;
    for (std::size_t at; (at = text.find(by, from)) != std::string::npos; from = at + by.size())
        parts.push_back(text.substr(from, at - from));
    parts.push_back(text.substr(from));
    return parts;
}

std::map<std::string, std::string> pairs(const std::string& text) {
    std::map<std::string, std::string> result;
    if (text == "-") return result;
    for (const std::string& part : split(text, "; ")) {
        const auto equals = part.find('=');
        result[part.substr(0, equals)] = part.substr(equals + 1);
    }
    return result;
}

// --- Names for the room's arguments ---

Celsius t(Reckoning& r) { return Celsius(r("t_degc")); }
Celsius tmax(Reckoning& r) { return Celsius(r("tmax_degc")); }
Celsius tmin(Reckoning& r) { return Celsius(r("tmin_degc")); }
DayTemps temps(Reckoning& r) { return {tmax(r), tmin(r)}; }
Degrees latitude(Reckoning& r) { return Degrees(r("lat_deg")); }
int day(Reckoning& r) { return int(r("day_of_year")); }
Metres elevation(Reckoning& r) { return Metres(r("z_m")); }
Kilopascals ea(Reckoning& r) { return Kilopascals(r("ea_kpa")); }
Kilopascals pressure(Reckoning& r) { return Kilopascals(r("p_kpa")); }
Radiation ra_day(Reckoning& r) { return Radiation(r("ra_mj_m2_d")); }
bool hourly(Reckoning& r) { return r.has("t_degc"); }
double MJ(Radiation q) { return MJ_per_m2(q); }
double water(Radiation q) { return mm(as_water(q)); }

CombinationInputs inputs(Reckoning& r, Radiation net, Radiation soil) {
    return {.air_temp = Celsius(hourly(r) ? r("t_degc") : r("tmean_degc")),
            .slope_kPa_K = r("delta_kpa_degc"),
            .gamma_kPa_K = r("gamma_kpa_degc"),
            .net = net,
            .soil = soil,
            .wind_2m = MetresPerSecond(r("u2_mps")),
            .deficit = Kilopascals(r("vpd_kpa"))};
}
CombinationInputs day_inputs(Reckoning& r) {
    return inputs(r, Radiation(r("rn_mj_m2_d")), Radiation(r("g_mj_m2_d")));
}
CombinationInputs hour_inputs(Reckoning& r) {
    return inputs(r, Radiation(r("rn_mj_m2_h")), Radiation(r("g_mj_m2_h")));
}
CombinationInputs tall_hour_inputs(Reckoning& r) {
    const Radiation net(r("rn_mj_m2_h"));
    return inputs(r, net, soil_heat_hour_tall(net));
}
// Without the energy terms, where a row asks only for weights.
CombinationInputs air_inputs(Reckoning& r) {
    return {.air_temp = Celsius(r("tmean_degc")),
            .slope_kPa_K = r("delta_kpa_degc"),
            .gamma_kPa_K = r("gamma_kpa_degc"),
            .wind_2m = MetresPerSecond(r("u2_mps"))};
}
// Slope 0 and a psychrometric constant of 1 leave of the aerodynamic term what box 11 tabulates.
double aerodynamic_factor(Reckoning& r) {
    return mm(aerodynamic_term({.air_temp = Celsius(r("tmean_degc")),
                                .slope_kPa_K = 0,
                                .gamma_kPa_K = 1,
                                .wind_2m = MetresPerSecond(r("u2_mps")),
                                .deficit = Kilopascals(1)},
                               {900, 0}));
}

double vapour_pressure(Reckoning& r) {
    if (r.has("twet_degc")) {
        const Psychrometer kind = r("a_psy_per_degc") == 0.000662 ? Psychrometer::aspirated : Psychrometer::natural;
        return kPa(
            vapour_pressure_from_wet_bulb(Celsius(r("twet_degc")), Celsius(r("tdry_degc")), pressure(r), kind));
    }
    if (r.has("tdew_degc")) return kPa(vapour_pressure_from_dew_point(Celsius(r("tdew_degc"))));
    if (r.has("rhmax_pct"))
        return kPa(r.by("18") ? vapour_pressure_from_rh_max(temps(r), r("rhmax_pct"))
                              : vapour_pressure_from_rh_extremes(temps(r), r("rhmax_pct"), r("rhmin_pct")));
    if (r.has("rhmean_pct")) return kPa(vapour_pressure_from_rh_mean(temps(r), r("rhmean_pct")));
    if (r.has("rh_pct") && hourly(r)) return kPa(vapour_pressure_from_rh(t(r), r("rh_pct")));
    if (r.has("rh_pct")) return kPa(vapour_pressure_from_rh_mean(temps(r), r("rh_pct")));
    return kPa(vapour_pressure_from_night_minimum(tmin(r), r.has("k0_degc") ? r("k0_degc") : 0));
}

double deficit(Reckoning& r) {
    const Kilopascals saturation(hourly(r) ? r("e0_kpa") : r("es_kpa"));
    return kPa(vapour_deficit(saturation, ea(r)));
}

// Eq. 26 and 27, the form that leaves 0.02 h of day in polar night; kept here to show why it is not in the room.
double sunset_by_arctan(Reckoning& r) {
    const double product = std::tan(radians(latitude(r))) * std::tan(declination_rad(day(r)));
    const double x = std::max(1 - product * product, 0.00001);
    return pi / 2 - std::atan(-product / std::sqrt(x));
}
double sunset(Reckoning& r) { return r.by("26") ? sunset_by_arctan(r) : sunset_hour_angle_rad(latitude(r), day(r)); }

// Middle of a row's hour in hours of UTC, and the longitude that belongs to it.
double omega(Reckoning& r) {
    if (r.has("utc_hour_start")) return hour_angle_rad(r("utc_hour_start") + 0.5, Degrees(r("lon_deg_east")), day(r));
    const double clock_h = r.has("t_mid_h") ? r("t_mid_h") : r("hour_ending_standard") - 0.5;
    return hour_angle_rad(clock_h + r("lz_deg_west") / 15, Degrees(-r("lm_deg_west")), day(r));
}
double period_h(Reckoning& r) { return r.has("period_h") ? r("period_h") : 1; }
double ra_hour(Reckoning& r) { return MJ(extraterrestrial_period(latitude(r), day(r), {omega(r), period_h(r)})); }

// The one hour of the afternoon that FAO-56 takes the night's cloudiness from.
double hour_before_night(Reckoning& r) {
    const double ws = sunset_hour_angle_rad(latitude(r), day(r));
    for (int ending = 1; ending <= 24; ++ending) {
        const double w = hour_angle_rad(ending - 0.5 + r("lz_deg_west") / 15, Degrees(-r("lm_deg_west")), day(r));
        if (w >= ws - 0.79 && w <= ws - 0.52) return ending;
    }
    return 0;
}

SunshineCoefficients angstrom(Reckoning& r) { return {r("a_s"), r("b_s")}; }
double shortwave_of(Reckoning& r, Radiation ra) {
    if (r.has("sunshine_h")) return MJ(shortwave_from_sunshine(ra, r("n_over_n"), angstrom(r)));
    return MJ(shortwave_from_range(ra, r("tmax_degc") - r("tmin_degc"), r("k_rs")));
}
double shortwave(Reckoning& r) {
    if (r.has("rs_reg_mj_m2_d"))
        return MJ(
            shortwave_from_station({Radiation(r("rs_reg_mj_m2_d")), Radiation(r("ra_reg_mj_m2_d"))}, ra_day(r)));
    if (r.has("b_mj_m2_d")) return MJ(shortwave_on_island(ra_day(r)));
    const double rs = shortwave_of(r, ra_day(r));
    return r.has("k_rs") && r.has("z_m") ? std::min(rs, r("rso_mj_m2_d")) : rs;
}

ClearSkyShares complex_sky(Reckoning& r) {
    const double sine = mean_sun_sine(radians(latitude(r)), day(r));
    const Air air{.pressure = pressure(r), .vapour_pressure = ea(r)};
    return r.standardised() ? clear_sky_shares_standardised(air, std::max(0.1, sine)) : clear_sky_shares(air, sine);
}
double clear_sky_of_day(Reckoning& r) {
    if (r.by("3-17") || r.by("ASCE D")) return MJ(ra_day(r) * (complex_sky(r).beam + complex_sky(r).diffuse));
    if (r.has("a_s_plus_b_s")) return MJ(clear_sky_calibrated(ra_day(r), {r("a_s_plus_b_s"), 0}));
    return MJ(clear_sky(ra_day(r), elevation(r)));
}

// Rs/Rso of the row's step; where there is no clear sky a day counts as cloudless.
double clearness(Reckoning& r) {
    if (r.has("k_rs") && r.row().quantity == "rs_over_ra") return 0;
    const bool hour = r.has("rs_mj_m2_h");
    const double rs = hour ? r("rs_mj_m2_h") : r("rs_mj_m2_d"), rso = hour ? r("rso_mj_m2_h") : r("rso_mj_m2_d");
    return rso > 0 ? rs / rso : 1;
}
double cloud(Reckoning& r) { return r.has("fcd") ? r("fcd") : cloud_factor(r("rs_over_rso")); }

double longwave_day(Reckoning& r) {
    const double sigma = r.standardised() ? sigma_day_standardised : sigma_day;
    const Radiation body = (black_body(sigma, tmax(r)) + black_body(sigma, tmin(r))) / 2;
    return MJ(net_longwave(body, r("humidity_factor"), cloud(r)));
}
double longwave_hour(Reckoning& r) {
    const double sigma = r.standardised() ? sigma_hour_standardised : sigma_hour;
    return MJ(net_longwave(black_body(sigma, t(r)), r("humidity_factor"), cloud(r)));
}

double soil_heat_day(Reckoning& r) {
    if (r.has("t_next_month_degc"))
        return MJ(soil_heat_month(Celsius(r("t_next_month_degc")), Celsius(r("t_prev_month_degc"))));
    if (r.has("t_month_degc"))
        return MJ(soil_heat_month_known_past(Celsius(r("t_month_degc")), Celsius(r("t_prev_month_degc"))));
    return 0;
}

double wind_2m(Reckoning& r) { return m_per_s(wind_at_2m(MetresPerSecond(r("u_mps")), Metres(r("z_w_m")))); }

double change_against_usual_wind(Reckoning& r) {
    CombinationInputs usual = day_inputs(r);
    usual.wind_2m = unknown_wind;
    return 100 * (reference_et(day_inputs(r), fao_day) / reference_et(usual, fao_day) - 1);
}

DryAir watered(Reckoning& r) {
    return over_watered_ground(
        {Celsius(r("tmax_obs_degc")), Celsius(r("tmin_obs_degc")), Celsius(r("tdew_obs_degc"))}, r("k0_degc"));
}

Combination standard_hour(Reckoning& r, Combination bright, Combination dark) {
    return r("rn_mj_m2_h") < 0 ? dark : bright;
}

double signed_latitude(Reckoning& r) {
    const double degrees_ = r("lat_deg_part") + r("lat_min_part") / 60;
    return r("south") == 1 ? -degrees_ : degrees_;
}

double day_number(Reckoning& r) {
    const std::chrono::year year(r("leap") == 1 ? 2024 : 2023);
    return day_of_year(
        LocalDay(year / std::chrono::month(unsigned(r("month"))) / std::chrono::day(unsigned(r("day")))));
}

const Rules& air_rules() {
    static const Rules rules{
        {"p_kpa",
         [](Reckoning& r) {
             return r.has("p_mbar")   ? 0.1 * r("p_mbar")
                    : r.has("p_mmhg") ? 101.325 / 760 * r("p_mmhg")
                    : r.has("p_psi")  ? 6.894757 * r("p_psi")
                                      : kPa(air_pressure(elevation(r)));
         }},
        {"gamma_kpa_degc", [](Reckoning& r) { return psychrometric_kPa_K(pressure(r)); }},
        {"lambda_mj_kg", [](Reckoning& r) { return latent_heat_MJ_kg(t(r)); }},
        {"e0_kpa", [](Reckoning& r) { return kPa(saturation_vapour_pressure(t(r))); }},
        {"es_kpa", [](Reckoning& r) { return kPa(saturation_vapour_pressure(tmax(r), tmin(r))); }},
        {"delta_kpa_degc",
         [](Reckoning& r) {
             const Celsius at(r.has("t_degc") ? r("t_degc") : r("tmean_degc"));
             return r.standardised() ? saturation_slope_rounded_kPa_K(at) : saturation_slope_kPa_K(at);
         }},
        {"ea_kpa", vapour_pressure},
        {"vpd_kpa", deficit},
        {"tdew_degc",
         [](Reckoning& r) { return degC(r.by("3-11") ? *dew_point_rounded(ea(r)) : *dew_point(ea(r))); }},
        {"rhmax_pct",
         [](Reckoning& r) { return relative_humidity_pct(saturation_vapour_pressure(tmin(r)), tmin(r)); }},
        {"rhmin_pct",
         [](Reckoning& r) { return relative_humidity_pct(saturation_vapour_pressure(tmin(r)), tmax(r)); }},
        {"rhmean_pct", [](Reckoning& r) { return (r("rhmax_pct") + r("rhmin_pct")) / 2; }},
        {"tmean_degc", [](Reckoning& r) { return (r("tmax_degc") + r("tmin_degc")) / 2; }},
        {"t_range_degc", [](Reckoning& r) { return kelvins_between(tmax(r), tmin(r)); }},
        {"t_k", [](Reckoning& r) { return std::pow(MJ(black_body(1, t(r))), 0.25); }},
        {"tmax_cor_degc", [](Reckoning& r) { return degC(watered(r).max); }},
        {"tmin_cor_degc", [](Reckoning& r) { return degC(watered(r).min); }},
        {"tdew_cor_degc", [](Reckoning& r) { return degC(watered(r).dew_point); }},
        {"u_mps",
         [](Reckoning& r) {
             return r.has("u_kmh")    ? r("u_kmh") / 3.6
                    : r.has("u_km_d") ? r("u_km_d") / 86.4
                                      : r("u_knot") * 1852 / 3600;
         }},
        {"wind_factor", [](Reckoning& r) { return wind_factor(Metres(r("z_w_m"))); }},
        {"u2_mps", wind_2m},
    };
    return rules;
}

const Rules& sun_rules() {
    static const Rules rules{
        {"lat_deg", signed_latitude},
        {"lat_rad", [](Reckoning& r) { return radians(latitude(r)); }},
        {"day_of_year", day_number},
        {"dr", [](Reckoning& r) { return inverse_distance(day(r)); }},
        {"declination_rad", [](Reckoning& r) { return declination_rad(day(r)); }},
        {"sunset_hour_angle_rad", sunset},
        {"sin_lat_sin_decl", [](Reckoning& r) { return std::sin(r("lat_rad")) * std::sin(r("declination_rad")); }},
        {"cos_lat_cos_decl", [](Reckoning& r) { return std::cos(r("lat_rad")) * std::cos(r("declination_rad")); }},
        {"ra_mj_m2_d", [](Reckoning& r) { return MJ(extraterrestrial_day(latitude(r), day(r))); }},
        {"ra_mm_d", [](Reckoning& r) { return water(ra_day(r)); }},
        {"daylight_h",
         [](Reckoning& r) { return r.by("26") ? 24 / pi * sunset(r) : daylight_h(latitude(r), day(r)); }},
        {"b_rad", [](Reckoning& r) { return 2 * pi * (r("day_of_year") - 81) / 364; }},
        {"sc_h", [](Reckoning& r) { return seasonal_correction_h(day(r)); }},
        {"omega_rad", omega},
        {"omega1_rad", [](Reckoning& r) { return omega(r) - pi * period_h(r) / 24; }},
        {"omega2_rad", [](Reckoning& r) { return omega(r) + pi * period_h(r) / 24; }},
        {"ra_mj_m2_h", ra_hour},
        {"hour_ending_standard", hour_before_night},
    };
    return rules;
}

const Rules& radiation_rules() {
    static const Rules rules{
        {"sunshine_h", [](Reckoning& r) { return r("sunshine_month_h") / r("days"); }},
        {"n_over_n", [](Reckoning& r) { return r("sunshine_h") / r("daylight_h"); }},
        {"rs_over_ra", [](Reckoning& r) { return shortwave_of(r, Radiation(1)); }},
        {"rs_mj_m2_d", shortwave},
        {"rs_mm_d", [](Reckoning& r) { return water(Radiation(r("rs_mj_m2_d"))); }},
        {"rso_mj_m2_d", clear_sky_of_day},
        {"rso_mj_m2_h", [](Reckoning& r) { return MJ(clear_sky(Radiation(r("ra_mj_m2_h")), elevation(r))); }},
        {"k_b", [](Reckoning& r) { return complex_sky(r).beam; }},
        {"rs_over_rso", clearness},
        {"cloud_factor", [](Reckoning& r) { return cloud_factor_unheld(r("rs_over_rso")); }},
        {"fcd", [](Reckoning& r) { return cloud_factor(r("rs_over_rso")); }},
        {"humidity_factor", [](Reckoning& r) { return humidity_factor(ea(r)); }},
        {"sigma_hour_1e10_mj_k4_m2_h", [](Reckoning& r) { return r("sigma_day_1e9_mj_k4_m2_d") * 10 / 24; }},
        {"sigma_t4_mj_m2_d", [](Reckoning& r) { return MJ(black_body(sigma_day, t(r))); }},
        {"sigma_t4_mj_m2_h", [](Reckoning& r) { return MJ(black_body(sigma_hour, t(r))); }},
        {"sigma_t4_mean_mj_m2_d",
         [](Reckoning& r) { return MJ((black_body(sigma_day, tmax(r)) + black_body(sigma_day, tmin(r))) / 2); }},
        {"rnl_mj_m2_d", longwave_day},
        {"rnl_mm_d", [](Reckoning& r) { return water(Radiation(r("rnl_mj_m2_d"))); }},
        {"rnl_mj_m2_h", longwave_hour},
        {"albedo", [](Reckoning&) { return 0.23; }},
        {"rns_mj_m2_d", [](Reckoning& r) { return MJ(net_shortwave(Radiation(r("rs_mj_m2_d")), r("albedo"))); }},
        {"rns_mj_m2_h", [](Reckoning& r) { return MJ(net_shortwave(Radiation(r("rs_mj_m2_h")), r("albedo"))); }},
        {"rn_mj_m2_d", [](Reckoning& r) { return r("rns_mj_m2_d") - r("rnl_mj_m2_d"); }},
        {"rn_mj_m2_h", [](Reckoning& r) { return r("rns_mj_m2_h") - r("rnl_mj_m2_h"); }},
        {"rn_mm_d", [](Reckoning& r) { return water(Radiation(r("rn_mj_m2_d"))); }},
        {"g_mj_m2_d", soil_heat_day},
        {"g_mm_d", [](Reckoning& r) { return water(Radiation(r("g_mj_m2_d"))); }},
        {"g_mj_m2_h", [](Reckoning& r) { return MJ(soil_heat_hour(Radiation(r("rn_mj_m2_h")))); }},
        {"g_over_rn", [](Reckoning& r) { return soil_heat_share(r("lai")) * r("rn_mj_m2_h"); }},
        {"rn_minus_g_mj_m2_d", [](Reckoning& r) { return r("rn_mj_m2_d") - r("g_mj_m2_d"); }},
        {"rn_minus_g_mm_d", [](Reckoning& r) { return water(Radiation(r("rn_minus_g_mj_m2_d"))); }},
        {"rn_minus_g_mj_m2_h", [](Reckoning& r) { return r("rn_mj_m2_h") - r("g_mj_m2_h"); }},
        {"rn_minus_g_mm_h", [](Reckoning& r) { return water(Radiation(r("rn_minus_g_mj_m2_h"))); }},
        {"radiation_mj_m2_d",
         [](Reckoning& r) {
             return r.has("radiation_mm_d")        ? 2.45 * r("radiation_mm_d")
                    : r.has("irradiance_w_m2")     ? 0.0864 * r("irradiance_w_m2")
                    : r.has("radiation_cal_cm2_d") ? 0.041868 * r("radiation_cal_cm2_d")
                                                   : 0.01 * r("radiation_j_cm2_d");
         }},
        {"radiation_mm_d", [](Reckoning& r) { return r("radiation_mj_m2_d") / 2.45; }},
        {"irradiance_w_m2", [](Reckoning& r) { return r("radiation_mj_m2_d") / 0.0864; }},
    };
    return rules;
}

const Rules& et0_rules() {
    static const Rules rules{
        {"one_plus_cd_u2",
         [](Reckoning& r) {
             const CombinationInputs unit{
                 .slope_kPa_K = 1, .gamma_kPa_K = 1, .wind_2m = MetresPerSecond(r("u2_mps"))};
             return 1 / weights(unit, fao_day).delta - 1;
         }},
        {"delta_weight", [](Reckoning& r) { return weights(air_inputs(r), fao_day).delta; }},
        {"gamma_weight", [](Reckoning& r) { return weights(air_inputs(r), fao_day).gamma; }},
        {"aero_factor", aerodynamic_factor},
        {"radiation_term_mm_d", [](Reckoning& r) { return mm(radiation_term(day_inputs(r), fao_day)); }},
        {"aerodynamic_term_mm_d", [](Reckoning& r) { return mm(aerodynamic_term(day_inputs(r), fao_day)); }},
        {"et0_mm_d", [](Reckoning& r) { return mm(reference_et(day_inputs(r), fao_day)); }},
        {"et0_change_pct", change_against_usual_wind},
        {"et0_hargreaves_mm_d",
         [](Reckoning& r) {
             return mm(hargreaves_et({tmax(r), tmin(r)}, ra_day(r)));
         }},
        {"radiation_term_mm_h", [](Reckoning& r) { return mm(radiation_term(hour_inputs(r), fao_hour)); }},
        {"aerodynamic_term_mm_h", [](Reckoning& r) { return mm(aerodynamic_term(hour_inputs(r), fao_hour)); }},
        {"et0_mm_h", [](Reckoning& r) { return mm(reference_et(hour_inputs(r), fao_hour)); }},
        {"etos_mm_d", [](Reckoning& r) { return mm(reference_et(day_inputs(r), short_day)); }},
        {"etrs_mm_d", [](Reckoning& r) { return mm(reference_et(day_inputs(r), tall_day)); }},
        {"etos_mm_h",
         [](Reckoning& r) {
             return mm(reference_et(hour_inputs(r), standard_hour(r, short_hour_bright, short_hour_dark)));
         }},
        {"etrs_mm_h",
         [](Reckoning& r) {
             return mm(reference_et(tall_hour_inputs(r), standard_hour(r, tall_hour_bright, tall_hour_dark)));
         }},
        {"cd_s_m", [](Reckoning& r) { return r("r_s_s_m") / r("r_a_times_u2"); }},
        {"cn",
         [](Reckoning& r) { return 86400 * r("epsilon") / (1.01 * r("gas_const_kj_kg_k") * r("r_a_times_u2")); }},
    };
    return rules;
}

const Rule* find_rule(const std::string& name) {
    for (const Rules* rules : {&air_rules(), &sun_rules(), &radiation_rules(), &et0_rules()})
        if (const auto found = rules->find(name); found != rules->end()) return &found->second;
    return nullptr;
}

// Rows that are given a cloud factor have it to five decimals: half of the last, times a longwave loss of at most
// 0.4 MJ m-2 in an hour without cloud, is what an answer can be off by.
double input_rounding(const Row& row) { return row.given.contains("fcd") ? 0.000005 * 0.4 : 0; }

const char* word(Verdict v) {
    return v == Verdict::pass ? "pass" : v == Verdict::clip ? "clip" : v == Verdict::suspect ? "suspect" : "reject";
}

}  // namespace

std::vector<Row> read(const std::string& file) {
    std::ifstream in(std::string(TEST_DATA) + "/" + file);
    REQUIRE(in.good());
    std::vector<Row> result;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line[0] == '#') continue;
        const auto c = split(line, "\t");
        REQUIRE(c.size() == 10);
        result.push_back({c[0], c[1], c[2], c[3], pairs(c[4]), c[5], c[6], c[7] == "-" ? "" : c[7],
                          c[8] == "-" ? "" : c[8], pairs(c[9])});
    }
    return result;
}

Printed printed(const std::string& text) {
    const auto point = text.find('.');
    const int decimals = point == std::string::npos ? 0 : int(text.size() - point - 1);
    return {std::stod(text), 0.5 * std::pow(10, -decimals)};
}

double Reckoning::operator()(const std::string& name) {
    if (const auto found = known_.find(name); found != known_.end()) return found->second;
    double value = 0;
    if (has(name)) {
        value = std::stod(row_.given.at(name));
    } else {
        INFO(row_.id << " asks for " << name);
        const Rule* rule = find_rule(name);
        REQUIRE(rule != nullptr);
        value = (*rule)(*this);
    }
    return known_[name] = value;
}

std::vector<double> Reckoning::list(const std::string& name) const {
    std::vector<double> values;
    for (const std::string& word : split(row_.given.at(name), " ")) values.push_back(std::stod(word));
    return values;
}

std::string verdict(Reckoning& r) {
    if (r.has("rs_mj_m2_d")) {
        SkyLimits limits;
        if (r.has("rso_mj_m2_d")) limits.clear_sky = Radiation(r("rso_mj_m2_d"));
        if (r.has("ra_mj_m2_d")) limits.extraterrestrial = Radiation(r("ra_mj_m2_d"));
        return word(check_day_radiation(Radiation(r("rs_mj_m2_d")), limits));
    }
    if (r.has("rh_pct")) return word(check_humidity(r("rh_pct")));
    if (r.has("rhmax_daily_pct")) return word(check_week_humidity(r.list("rhmax_daily_pct")));
    if (r.has("u_hourly_mps")) return word(check_stuck(r.list("u_hourly_mps"), stuck_wind_m_s));
    if (r.has("t_hourly_degc")) return word(check_stuck(r.list("t_hourly_degc"), stuck_temperature_K));
    if (r.has("tdew_degc")) return word(check_dew_point(Celsius(r("tdew_degc")), {Celsius(60), tmin(r), {}}));
    return word(check_day_temperatures({tmax(r), tmin(r), Celsius(r("tmean_degc"))}));
}

void check(const Row& row) {
    INFO(row.id << " (" << row.work << ", " << row.place << ", " << row.equation << ")");
    Reckoning reckoning(row);
    if (row.quantity == "verdict") {
        CHECK(verdict(reckoning) == row.as_printed);
        return;
    }
    const double value = reckoning(row.quantity);
    const Printed print = printed(row.as_printed);
    const double rounded = input_rounding(row);
    if (!row.recomputed.empty())
        CHECK_THAT(value, WithinAbs(std::stod(row.recomputed), 6e-6 * std::fabs(value) + rounded + 1e-12));
    const bool met = std::fabs(value - print.value) <= print.half_digit * (1 + 1e-9) + rounded;
    INFO("value " << value << ", printed " << row.as_printed);
    if (row.disagrees.empty())
        CHECK(met);
    else
        CHECK_FALSE(met);
    for (const auto& [name, text] : row.also) {
        INFO("also " << name);
        const Printed also = printed(text);
        CHECK_THAT(reckoning(name), WithinAbs(also.value, also.half_digit * (1 + 1e-9)));
    }
}

void check_all(const std::string& file, const Counted& expected) {
    const auto all = read(file);
    std::set<std::string> ids;
    int disagreeing = 0;
    for (const Row& row : all) {
        check(row);
        ids.insert(row.id);
        disagreeing += !row.disagrees.empty();
    }
    CHECK(all.size() == expected.rows);
    CHECK(ids.size() == expected.rows);
    CHECK(disagreeing == expected.disagreeing);
}

}  // namespace tubgrove::rows
