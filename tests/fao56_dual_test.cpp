// FAO-56's basal, evaporation and stress coefficients: the worked examples that the model's forms were taken from. What the
// model uses of them (exact steps, the cap of a lone crown) is asked of the rooms; the rest is recomputed here.
#include "climate/sun.hpp"
#include "climate/et0.hpp"
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
using rows::pot_row;

namespace {

using Numbers = std::vector<double>;

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
    Numbers eq98;
    for (double fc : flat(citrus["given"]["fc"])) eq98.push_back(sparse(0.65, fc, fc, 3, 0.15));
    check(citrus, "eq98", eq98);
    check(citrus, "table17", eq98);
    CHECK(std::fabs(eq98[2] - 0.40) > 0.04);   // the footnote says the table follows from eq. 98; it misses by 0.05 here
    check(olive, "difference", std::round((0.70 - tables["expect"]["olive"]["kcb"][1].as<double>()) * 100) / 100);
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
    for (double e : ec) CHECK(e == Approx(1.5).margin(0.31));
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
