// FAO-56's basal, evaporation and stress coefficients: the worked examples that the model's forms were taken from. What the
// model uses of them (exact steps, the cap of a lone crown) is asked of the rooms; the rest is recomputed here.
#include "climate/bay.hpp"
#include "climate/et0.hpp"
#include "climate/sun.hpp"
#include "climate/vapour.hpp"
#include "climate/wind.hpp"
#include "pot/drawdown.hpp"
#include "pot/exponential.hpp"
#include "pot_rows.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace tubgrove;
using rows::check;
using rows::flat;
using rows::Numbers;
using rows::pot_row;

namespace {

// [FAO56] eq. 62 and 70: the shift for wind, humidity and height, inside its limits.
double shift(double u2, double rh_min, double height) {
    return (0.04 * (std::clamp(u2, 1.0, 6.0) - 2) - 0.004 * (std::clamp(rh_min, 20.0, 80.0) - 45)) * std::pow(std::clamp(height, 0.1, 10.0) / 3, 0.3);
}
double kr(double de, double rew, double tew) { return std::clamp((tew - de) / (tew - rew), 0.0, 1.0); }          // eq. 74
double ks(double d, double taw, double raw) { return std::clamp((taw - d) / (taw - raw), 0.0, 1.0); }            // eq. 84
double p_of(double p, double etc) { return std::clamp(p + 0.04 * (5 - etc), 0.1, 0.8); }                         // table 22
double noon_elevation(double lat_deg, int day) { return sun_elevation_rad(Degrees(lat_deg), day, 0); }
// eq. 98: from full cover to what there is.
double sparse(double full, double fc, double fc_eff, double height, double least) {
    return least + (full - least) * std::min({1.0, 2 * fc, std::pow(fc_eff, 1 / (1 + height))});
}
double value(const YAML::Node& given, const char* key) { return given[key].as<double>(); }

}  // namespace

TEST_CASE("chk-31, chk-32, chk-53 coefficients shifted to a climate, and between stages") {
    const auto kcb = pot_row("chk-31"), kc = pot_row("chk-32"), days = pot_row("chk-53");
    Numbers shifted, of_kc, daily;
    for (double k : flat(kcb["given"]["kcb_table"])) shifted.push_back(k >= 0.45 ? k + shift(2.2, 30, 0.4) : k);
    check(kcb, "kcb", shifted);
    check(kcb, "printed", shifted);
    for (std::size_t i = 0; i < 2; ++i)
        of_kc.push_back(1.2 + shift(kc["given"]["u2_m_s"][i].as<double>(), kc["given"]["rh_min_pct"][i].as<double>(), 2));
    check(kc, "kc", of_kc);
    check(kc, "printed", of_kc);
    const Numbers k = flat(days["given"]["kcb"]), stage = flat(days["given"]["stage_d"]);
    for (double d : flat(days["given"]["day"])) {   // eq. 66
        const double start = stage[0], grown = start + stage[1], late = grown + stage[2];
        const double rising = k[0] + (k[1] - k[0]) * std::clamp((d - start) / stage[1], 0.0, 1.0);
        daily.push_back(d <= late ? rising : k[1] + (k[2] - k[1]) * (d - late) / stage[3]);
    }
    check(days, "kcb_day", daily);
    check(days, "printed", daily);
}

TEST_CASE("chk-33 to chk-37 sparse and adjusted covers") {
    const auto a = pot_row("chk-33");
    const double reduction = 1 - std::sqrt(0.5 / 0.85), moved = shift(1.1, 30, 0.75);
    check(a, "reduction", reduction);
    check(a, "climate_shift", moved);
    check(a, "kcb", 1.15 + moved - reduction);
    check(a, "kc", 1.2 + moved - reduction);
    check(a, "printed", {reduction, moved, 1.15 + moved - reduction, 1.2 + moved - reduction});

    const auto b = pot_row("chk-34");
    const double eta = noon_elevation(40, 200), eff = 0.3 / std::sin(eta), full = 1.2 + shift(1.5, 55, 2);
    // rows of trees, box 18: fc (1 + HWR/tan eta)
    const double rows_eff = 0.3 * (1 + 1 / std::tan(eta));
    CHECK(eff < rows_eff);
    check(b, "sin_eta", std::sin(eta));
    check(b, "tan_eta", std::tan(eta));
    check(b, "fc_eff", rows_eff);
    check(b, "kcb_full", full);
    check(b, "kcb_mid", sparse(full, 0.3, rows_eff, 2, 0.15));

    const auto c = pot_row("chk-35");
    const double eta_c = noon_elevation(38.5, 201), eff_c = 0.5 * (1 + 1 / std::tan(eta_c)), full_c = 1.15 + shift(1.1, 30, 0.75);
    check(c, "fc_eff", eff_c);
    check(c, "kcb_full", full_c);
    check(c, "kcb", sparse(full_c, 0.5, eff_c, 0.75, 0.15));
    check(c, "printed", {eff_c, full_c, sparse(full_c, 0.5, eff_c, 0.75, 0.15)});

    const auto d = pot_row("chk-36");
    const double eta_d = noon_elevation(30, 180), full_d = 1.2 + shift(2, 25, 5);
    const double fr = (0.189 + 0.0676 * (1 + 0.34 * 2)) / (0.189 + 0.0676 * (1 + 0.34 * 2 * 420 / 100));   // eq. 102
    Numbers cover, effective, kcb, adjusted;
    for (double spacing : flat(d["given"]["spacing_m2"])) {
        cover.push_back(std::numbers::pi / 4 * 25 / spacing);
        effective.push_back(cover.back() / std::sin(eta_d));
        kcb.push_back(sparse(full_d, cover.back(), effective.back(), 5, 0.15));
        adjusted.push_back(kcb.back() * fr);
    }
    check(d, "fc", cover);
    check(d, "fc_eff", effective);
    check(d, "kcb_full", full_d);
    check(d, "kcb", kcb);
    check(d, "printed_kcb", kcb);
    check(d, "stomatal_factor", fr);
    check(d, "printed_factor", fr);
    check(d, "kcb_adjusted", adjusted);
    check(d, "printed_adjusted", adjusted);

    const auto e = pot_row("chk-37");   // eq. 97 inverted
    Numbers lai;
    for (std::size_t i = 0; i < 2; ++i) {
        const double most = e["given"]["kcb_full"][i].as<double>(), k = e["given"]["kc"][i].as<double>();
        lai.push_back(-std::log(1 - (k - 0.15) / (most - 0.15)) / 0.7);
    }
    check(e, "lai", lai);
    check(e, "printed_lai", lai);
    // The first crop's coefficient, raised as the cover of both together shades the ground.
    const auto covered = [](double leaf_area_index) { return 1 - std::exp(-0.7 * leaf_area_index); };
    const double combined = e["given"]["kc"][0].as<double>() * covered(value(e["given"], "lai_combined")) / covered(value(e["given"], "lai_single"));
    check(e, "kc_combined", combined);
    check(e, "printed_kc", combined);
}

TEST_CASE("chk-39 to chk-42 evaporation from the exposed part") {
    const auto a = pot_row("chk-39"), b = pot_row("chk-40"), c = pot_row("chk-41"), d = pot_row("chk-42");
    const double most = std::max(1.2 + shift(3, 20, 1), 0.9 + 0.05);
    const double cover = std::pow((0.9 - 0.15) / (most - 0.15), 1 + 0.5 * 1), open = std::min(1 - cover, 1.0);
    const double ke = std::min(most - 0.9, open * most);
    check(a, "kc_max", most);
    check(a, "fc", cover);
    check(a, "few", open);
    check(a, "ke", ke);
    check(a, "kc", 0.9 + ke);
    check(a, "printed", {most, cover, open, ke, 0.9 + ke});
    const double furrow = std::min(1 - 0.53, 0.3), ke_b = std::min(1.3 - 0.9, furrow * 1.3);
    check(b, "few", furrow);
    check(b, "ke", ke_b);
    check(b, "kc", 0.9 + ke_b);
    const double drip = 0.3 * (1 - 2.0 / 3 * 0.53), ke_c = std::min(1.3 - 0.9, drip * 1.3);
    check(c, "few", drip);
    check(c, "ke", ke_c);
    check(c, "kc", 0.9 + ke_c);
    check(c, "printed", {drip, ke_c, 0.9 + ke_c});
    Numbers tew;
    for (std::size_t i = 0; i < 2; ++i)
        tew.push_back(1000 * (d["given"]["theta_fc"][i].as<double>() - 0.5 * d["given"]["theta_wp"][i].as<double>()) * d["given"]["ze_m"][i].as<double>());
    check(d, "tew_mm", tew);
}

TEST_CASE("chk-43, chk-44 soil dries in daily steps; the model's exact step stays below them") {
    const auto a = pot_row("chk-43");
    double de = 0, exact = 0;
    Numbers end, ke, etc;
    for (int day = 0; day < 10; ++day) {
        ke.push_back((1.2 - 0.15) * kr(de, 9, 20));
        de += ke.back() * 4.5;
        exact = drawn_down<double>({exact, 1.05 * 4.5, 9, 20, 1.0 / 11});
        CHECK(exact <= de + 1e-12);
        end.push_back(de);
        etc.push_back((0.15 + ke.back()) * 4.5);
    }
    check(a, "de_end_mm", end);
    check(a, "printed_de_end_mm", end);
    check(a, "ke", ke);
    check(a, "etc_mm_d", etc);
    check(a, "printed_etc_mm_d", etc);

    const auto b = pot_row("chk-44");
    const YAML::Node g = b["given"];
    Numbers start, factor, evap, after, total;
    double before = 18;
    for (std::size_t i = 0; i < 10; ++i) {
        const auto at = [&](const char* key) { return g[key][i].as<double>(); };
        const double kcb = at("kcb"), most = std::max(1.2 + shift(1.6, 35, 0.3), kcb + 0.05);
        const double few = std::min(at("exposed"), at("fw"));
        start.push_back(std::max(0.0, before - at("rain_mm") - at("irrigation_over_fw_mm")));
        factor.push_back(kr(start.back(), 8, 18));
        evap.push_back(std::min(factor.back() * (most - kcb), few * most));
        after.push_back(start.back() + evap.back() * at("et0_mm_d") / few);
        total.push_back((kcb + evap.back()) * at("et0_mm_d"));
        before = after.back();
    }
    check(b, "de_start_mm", start);
    check(b, "kr", factor);
    check(b, "ke", evap);
    check(b, "de_end_mm", after);
    check(b, "etc_mm_d", total);
    check(b, "printed_de_start_mm", start);
    check(b, "printed_ke", evap);
    check(b, "printed_etc_mm_d", total);
}

TEST_CASE("chk-45 to chk-49 water stress") {
    const auto a = pot_row("chk-45");
    Numbers stores;
    for (const auto& crop : a["given"]["zr_m_p"])
        for (const auto& soil : a["given"]["theta_fc_theta_wp"]) {
            const double taw = 1000 * (soil.second[0].as<double>() - soil.second[1].as<double>()) * crop.second[0].as<double>();
            stores.insert(stores.end(), {taw, crop.second[1].as<double>() * taw});
        }
    check(a, "taw_raw_mm", stores);
    check(a, "printed_taw_raw_mm", stores);

    const auto b = pot_row("chk-46");
    double d = 55, exact = 55;
    Numbers stress, depletion, closed;
    for (int day = 0; day < 10; ++day) {
        stress.push_back(ks(d, 160, 64));
        d += stress.back() * 6;
        depletion.push_back(d);
        exact = drawn_down<double>({exact, 6, 64, 160, 1.0 / 96});
        closed.push_back(exact);
    }
    check(b, "ks", stress);
    check(b, "printed_ks", stress);
    check(b, "depletion_end_mm", depletion);
    check(b, "printed_depletion_end_mm", depletion);
    check(b, "exact_depletion_end_mm", closed);

    const auto c = pot_row("chk-47");
    const YAML::Node g = c["given"];
    double level = value(g, "depletion_before_mm");
    Numbers end, lost;
    for (std::size_t i = 0; i < 10; ++i) {
        const double water = g["irrigation_mm"][i].as<double>() + g["rain_mm"][i].as<double>();
        lost.push_back(std::max(0.0, water - level));
        level = std::max(0.0, level - water) + g["etc_mm_d"][i].as<double>();
        end.push_back(level);
    }
    check(c, "water_first_depletion_end_mm", end);
    check(c, "water_first_percolation_mm", lost);
    check(c, "printed_depletion_end_mm", end);
    check(c, "printed_percolation_mm", lost);

    const auto e = pot_row("chk-48"), f = pot_row("chk-49");
    Numbers factors, p;
    for (double x : flat(e["given"]["depletion_mm"])) factors.push_back(ks(x, 110, 44));
    check(e, "ks", factors);
    check(e, "printed_ks", factors);
    for (std::size_t i = 0; i < 7; ++i) p.push_back(p_of(f["given"]["p_table"][i].as<double>(), f["given"]["etc_mm_d"][i].as<double>()));
    for (double& x : p) x = std::round(x * 1e9) / 1e9;
    check(f, "p", p);
}

TEST_CASE("chk-50 to chk-52 the tables, and where they contradict their examples") {
    const auto tables = pot_row("chk-50"), citrus = pot_row("chk-51"), olive = pot_row("chk-52");
    // Order of the thresholds by species follows table 22's p.
    CHECK(tables["expect"]["olive"]["p"].as<double>() > tables["expect"]["apple_cherry_pear"]["p"].as<double>());
    CHECK(tables["expect"]["kiwi_p"].as<double>() < tables["expect"]["citrus_bare"]["p"].as<double>());
    // What else the tables say of p and of kinds that we have no row for: in the order that thresholds follow.
    const YAML::Node kinds = tables["expect"];
    const auto p_value = [&](const char* key) { return kinds[key].IsMap() ? kinds[key]["p"].as<double>() : kinds[key].as<double>(); };
    CHECK(p_value("kiwi_p") < p_value("almond_p"));
    CHECK(p_value("almond_p") < p_value("walnut_p"));
    CHECK(p_value("walnut_p") == p_value("apricot_peach_stone"));
    CHECK(p_value("apricot_peach_stone") < p_value("avocado"));
    CHECK(flat(kinds["grape_table_wine_p"])[0] < flat(kinds["grape_table_wine_p"])[1]);
    for (const char* ground : {"bare_frost", "bare_no_frost", "cover_frost", "cover_no_frost"})
        CHECK(flat(kinds["apricot_peach_stone"][ground])[1] <= flat(kinds["apple_cherry_pear"][ground])[1]);
    CHECK(sparse(1.2, 0, 0, 3, kinds["after_leaf_fall_bare_kcb"].as<double>()) == 0.15);   // what bare ground is left with above
    Numbers eq98;
    for (double fc : flat(citrus["given"]["fc"])) eq98.push_back(sparse(0.65, fc, fc, 3, 0.15));
    check(citrus, "eq98", eq98);
    check(citrus, "table17", eq98);
    CHECK(std::fabs(eq98[2] - 0.40) > 0.04);   // the footnote says the table follows from eq. 98; it misses by 0.05 here
    CHECK(olive["expect"]["table17_mid"].as<double>() == flat(kinds["olive"]["kcb"])[1]);
    check(olive, "difference", std::round((olive["expect"]["example43_quotes"].as<double>() - flat(kinds["olive"]["kcb"])[1]) * 100) / 100);
}

TEST_CASE("chk-54 wind at other heights") {
    const auto row = pot_row("chk-54");
    Numbers factor;
    for (double z : flat(row["given"]["heights_m"])) factor.push_back(4.87 / std::log(67.8 * z - 5.42));
    check(row, "factor", factor);
    check(row, "u2_m_s", m_per_s(wind_at_2m(MetresPerSecond(3.2), Metres(10))));
    check(row, "printed_u2_m_s", m_per_s(wind_at_2m(MetresPerSecond(3.2), Metres(10))));
    check(row, "u20_over_u2", 1 / m_per_s(wind_at_2m(MetresPerSecond(1), Metres(20))));
}

TEST_CASE("chk-74 salt against leaching") {
    const auto row = pot_row("chk-74");
    Numbers ec;
    for (double lf : flat(row["given"]["leaching_fraction"])) ec.push_back((1 + lf) / lf / 5);
    check(row, "ec_extract_ds_m", ec);
    for (double e : ec) CHECK(e == Approx(row["expect"]["rule_of_thumb"].as<double>()).margin(row["tol"]["rule_of_thumb"].as<double>()));
}

TEST_CASE("chk-55 example 20 in shade and in other winds") {
    const auto row = pot_row("chk-55");
    const YAML::Node g = row["given"];
    const double high = value(g, "t_max_c"), low = value(g, "t_min_c");
    const Metres altitude(value(g, "altitude_m"));
    const Radiation ra = extraterrestrial_day(Degrees(value(g, "lat_deg")), g["day"].as<int>());
    const Radiation rs = shortwave_from_range(ra, high - low, range_coefficient_inland);
    const Et0Terms site = et0_terms(DayAir{.air_temp_max_degC = high,
                                           .air_temp_min_degC = low,
                                           .vapour_pressure_kPa = kPa(saturation_vapour_pressure(Celsius(low))),
                                           .wind_2m_m_s = value(g, "u2_m_s"),
                                           .rs_MJ_m2 = MJ_per_m2(rs),
                                           .rs_over_rso = rs / clear_sky(ra, altitude),
                                           .pressure_kPa = kPa(air_pressure(altitude))});
    const double open = et0_mm(site, 1, 1);
    check(row, "et0_mm_d", open);
    check(row, "printed_et0_mm_d", open);
    Numbers windy, fixed, scaled, held;
    for (double u2 : flat(g["wind_m_s"])) windy.push_back(et0_mm(site, 1, u2 / value(g, "u2_m_s")));
    check(row, "et0_wind_mm_d", windy);
    const double mm_of_MJ = et0_constants::mm_per_MJ_m2 * site.delta_kPa_K / (site.delta_kPa_K + site.gamma_kPa_K * (1 + 0.34 * value(g, "u2_m_s")));
    for (double share : flat(g["rs_factor"])) {
        const double light = open - mm_of_MJ * MJ_per_m2(net_shortwave(rs)) * (1 - share);   // the longwave loss as in the open
        const double lost = site.longwave_MJ_m2 * (cloud_factor_unheld(site.rs_over_rso) - cloud_factor_unheld(share * site.rs_over_rso));
        fixed.push_back(light / open);
        scaled.push_back((light + mm_of_MJ * lost) / open);
        held.push_back(et0_mm(site, share, 1) / open);
    }
    check(row, "ratio_longwave_fixed", fixed);
    check(row, "ratio_longwave_scaled", scaled);
    // The bay's door holds Rs/Rso at 0.3 and above, so that deep shade gains no longwave: at a quarter of the light it says
    // 0.51 where eq. 39 as printed says 0.557. The two agree where the hold does nothing.
    for (std::size_t i : {0, 1}) CHECK(held[i] == Approx(scaled[i]).margin(0.003));
    CHECK(held[2] == Approx(0.51).margin(0.005));
    CHECK(std::fabs(held[2] - flat(row["expect"]["ratio_longwave_scaled"])[2]) > 0.04);
}

TEST_CASE("chk-56 example 19, an hour of the night and one of the afternoon") {
    const auto row = pot_row("chk-56");
    const YAML::Node g = row["given"];
    Numbers et0;
    for (std::size_t i = 0; i < 2; ++i) {
        const auto of = [&](const char* key) { return g[key][i].as<double>(); };
        const Celsius air(of("t_c"));
        const Kilopascals es = saturation_vapour_pressure(air);
        et0.push_back(mm(reference_et({.air_temp = air,
                                       .slope_kPa_K = saturation_slope_kPa_K(air),
                                       .gamma_kPa_K = psychrometric_kPa_K(air_pressure(Metres(value(g, "altitude_m")))),
                                       .net = Radiation(of("rn_mj_m2_h")),
                                       .soil = Radiation(of("g_mj_m2_h")),
                                       .wind_2m = MetresPerSecond(of("u2_m_s")),
                                       .deficit = vapour_deficit(es, vapour_pressure_from_rh(air, of("rh_pct")))},
                                      fao_hour)));
    }
    check(row, "et0_mm_h", et0);
    check(row, "printed_et0_mm_h", et0);
}

TEST_CASE("chk-75, chk-76 the day's clear-sky curve") {
    const auto row = pot_row("chk-75"), places = pot_row("chk-76");
    const auto weight = [](double lat, int day, int h) {
        return MJ_per_m2(extraterrestrial_period(Degrees(lat), day, {std::numbers::pi / 12 * (h - 11.5), 1}))
               / MJ_per_m2(extraterrestrial_day(Degrees(lat), day));
    };
    Numbers w;
    double sum = 0;
    for (int h = 0; h < 24; ++h) {
        w.push_back(weight(50, 172, h));
        sum += w.back();
    }
    check(row, "weight", w);
    check(row, "daylight_h", daylight_h(Degrees(50), 172));
    check(row, "sum", sum);
    Numbers length;
    for (std::size_t i = 0; i < 4; ++i) {
        const double lat = places["given"]["lat_deg"][i].as<double>();
        const int day = places["given"]["day"][i].as<int>();
        length.push_back(daylight_h(Degrees(lat), day));
        const bool night = places["expect"]["polar_night"][i].as<bool>();
        CHECK(night == (MJ_per_m2(extraterrestrial_day(Degrees(lat), day)) <= 0));
        if (night) continue;
        CHECK(weight(lat, day, 12) == Approx(places["expect"]["noon_bin_12_13"][i].as<double>()).margin(2e-5));
        CHECK(weight(lat, day, 0) == Approx(places["expect"]["midnight_bin_0_1"][i].as<double>()).margin(2e-5));
    }
    check(places, "daylight_h", length);
}
