// Whole seasons of the hourly balance, and how long a pot lasts, against the published runs.
#include "climate/sun.hpp"
#include "plan/cross_check.hpp"
#include "pot/rooted.hpp"
#include "pot_rows.hpp"
#include "tree/demand.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

using namespace tubgrove;
using rows::check;
using rows::pot_row;
using rows::Single;

namespace {

double number(const YAML::Node& given, const char* key, double otherwise) {
    return given[key] ? given[key].as<double>() : otherwise;
}

// Share of a day's clear-sky radiation that falls in each solar hour; ET0 follows an hour later.
std::vector<double> weights(double latitude_deg, int day) {
    const Degrees lat(latitude_deg);
    std::vector<double> w(24, 1.0 / 24);
    const double whole = MJ_per_m2(extraterrestrial_day(lat, day));
    if (whole <= 0) return w;
    for (int h = 0; h < 24; ++h)
        w[std::size_t(h)] = MJ_per_m2(extraterrestrial_period(lat, day, {std::numbers::pi / 12 * (h - 11.5), 1})) / whole;
    return w;
}
double et0_at(const std::vector<double>& w, double et0_day, int hour) { return et0_day * w[std::size_t((hour + 23) % 24)]; }

Member season_member(const YAML::Node& g) {
    const Body body = rows::round_pot(g["pot_cm"].as<std::vector<double>>());
    Member m = rows::member_of(body, rows::medium(g["medium"].as<std::string>()));
    m.surface_factor = 0.65 * number(g, "mulch", 1);
    m.wall_factor = number(g, "kappa", 0);
    m.capture = number(g, "capture", 1);
    m.rain_factor = number(g, "sky", 1);
    m.bypass_scale = number(g, "bypass_scale", 0.5);
    m.dried_loss = number(g, "eta", 0);
    m.saucer_l = number(g, "saucer_l", 0);
    m.saucer_m2 = number(g, "saucer_m2", 0);
    m.ball_l = number(g, "ball_l", 0);
    m.front_mm_d = number(g, "front_mm_d", 2);
    m.start_lag_d = number(g, "start_lag_d", 7);
    m.exchange_h = number(g, "exchange_h", 24);
    return m;
}

struct Season {
    Single pot;
    int doses = 0, rooted_on = -1;
    double largest = 0;
    std::vector<double> rooted_at = {};
};

double pour_at(const YAML::Node& g, Single& pot, int& passes) {
    const double over = g["water_when_over_fraction_of_readily_available"].as<double>();
    if (over <= 0 || pot.d_r() <= over * pot.ready()) return 0;
    passes = int(number(g, "pulses", 1));
    if (!g["dose_rule"]) return pot.d_r() + pot.d_u();
    const Refill r = refill_dose({pot.d_r(), pot.d_u(), pot.a_u(), pot.state.top_share[0], number(g, "bypass_scale", 0.5)}, 0.15, 3);
    passes = r.passes;
    return r.dose_l;
}

// With `p` the threshold is FAO's share of the available water instead of a suction: the cross-check form.
Season live(const YAML::Node& g, double p = 0) {
    Season s{.pot = Single(season_member(g))};
    const int days = g["days"].as<int>();
    const double crown = g["crown_m2"].as<double>();
    double warm = 0;
    for (int i = 0; i < days; ++i) {
        const double bell = std::sin(std::numbers::pi * (i + 0.5) / days);
        const double et0 = g["et0_base_mm_d"].as<double>() + g["et0_amplitude_mm_d"].as<double>() * bell;
        const double leaf = g["leaf_max_m2"].as<double>() * std::clamp((i - 20) / 60.0, 0.0, 1.0);
        const double demand = demand_l_mm(leaf, crown, lone_crown_cap(1, 1));
        s.pot.begin(et0, demand, crown, warm);
        if (p > 0) s.pot.state.ready_l[0] = std::clamp(p + 0.04 * (5 - et0 * demand / crown), 0.1, 0.8) * s.pot.a_r();
        if (g["degc_base"]) warm = warm_rate(Celsius(g["degc_base"].as<double>() + g["degc_amplitude"].as<double>() * bell));
        if (i == 0 || i == 30 || i == 60 || i == 90 || i == 120) s.rooted_at.push_back(s.pot.state.rooted_share[0]);
        if (s.rooted_on < 0 && s.pot.state.rooted_share[0] >= 1) s.rooted_on = i;
        const auto w = weights(g["lat_deg"].as<double>(), (g["first_day"].as<int>() + i - 1) % 365 + 1);
        for (int h = 0; h < 24; ++h) {
            const bool rains = h == 15 && i % g["rain_every_d"].as<int>() == 2;
            int passes = 1;
            const std::vector<double> pour{h == 7 ? pour_at(g, s.pot, passes) : 0};
            std::vector<Watering> waterings;
            if (pour[0] > 0) waterings.push_back({0, passes, pour});
            s.doses += pour[0] > 0;
            s.pot.hour(et0_at(w, et0, h), rains ? g["rain_mm"].as<double>() : 0, waterings);
            s.largest = std::max(s.largest, s.pot.d_r() + s.pot.d_u());
        }
    }
    return s;
}

void check_season(const std::string& id) {
    const auto row = pot_row(id);
    Season s = live(row["given"]);
    Single pot(season_member(row["given"]));
    pot.begin(1, 0, 0);
    const double change = s.pot.stored() - pot.stored();
    const Fluxes& f = s.pot.fluxes;
    const double closure = f.rain_l[0] + f.irrigation_l[0] - s.pot.losses() - change;
    INFO(id);
    CHECK(closure == Approx(row["expect"]["closure_l"].as<double>()).margin(1e-9));
    check(row, "rain_l", f.rain_l[0]);
    check(row, "irrigation_l", f.irrigation_l[0]);
    check(row, "transpiration_l", f.transpiration_l[0]);
    check(row, "top_evaporation_l", f.top_l[0]);
    check(row, "wall_evaporation_l", f.wall_l[0]);
    check(row, "saucer_evaporation_l", f.saucer_l[0]);
    check(row, "lost_below_l", f.lost_l[0]);
    check(row, "storage_change_l", change);
    check(row, "end_depletion_l", s.pot.d_r() + s.pot.d_u());
    check(row, "doses", s.doses);
    check(row, "hours_beyond_readily_available", f.dry_h[0]);
    check(row, "largest_depletion_l", s.largest);
    if (!row["expect"]["all_rooted_on_day"]) return;
    check(row, "rooted_fraction_at_day_0_30_60_90_120", s.rooted_at);
    check(row, "all_rooted_on_day", s.rooted_on);
    check(row, "end_dryness_state", s.pot.state.dried[0]);
}

}  // namespace

TEST_CASE("chk-107 to chk-111 five seasons, all rooted") {
    for (const char* id : {"chk-107", "chk-108", "chk-109", "chk-110", "chk-111"}) check_season(id);
}

TEST_CASE("chk-159 to chk-161 three seasons of new plantings") {
    for (const char* id : {"chk-159", "chk-160", "chk-161"}) check_season(id);
}

TEST_CASE("chk-124 the same seasons with the threshold as a share of the available water") {
    const auto row = pot_row("chk-124");
    std::vector<double> found;
    for (const auto& as : row["given"]["as_chk"]) {
        Season s = live(pot_row(as.as<std::string>())["given"], row["given"]["p"].as<double>());
        const Fluxes& f = s.pot.fluxes;
        found.insert(found.end(), {f.irrigation_l[0], f.transpiration_l[0], f.lost_l[0], s.pot.d_r()});
    }
    check(row, "irrigation_transpiration_lost_end_l", found);
}

namespace {

// A 28/38/35 cm pot of peat and perlite from 7 h on, with the threshold as a share of its water for each day.
struct Wait {
    double et0_mm = 6, leaf_m2 = 2.5, depletion_l = 0.5;
    double surface = 0, wall = 0;
    double share_today = 0.3917, share_later = 0.3917;
    int horizon_h = 240;
};
// Clock hours from the first midnight until it runs dry; infinity if not within the horizon.
double dry_at_h(const Wait& c) {
    Member m = rows::member_of(rows::round_pot(std::vector<double>{28, 38, 35}), rows::medium("peat_perlite"));
    m.surface_factor = c.surface, m.wall_factor = c.wall;
    Single pot(m);
    const double demand = demand_l_mm(c.leaf_m2, 1.0, lone_crown_cap(1, 1));
    for (int t = 7; t < 7 + c.horizon_h; ++t) {
        if (t == 7 || t % 24 == 0) {
            pot.begin(c.et0_mm, demand, 1);
            pot.state.ready_l[0] = (t < 24 ? c.share_today : c.share_later) * pot.a_r();
            if (t == 7) pot.d_r() = c.depletion_l;
        }
        const double after = pot.hour(et0_at(weights(50, 196 + t / 24), c.et0_mm, t % 24));
        if (std::isfinite(after)) return t + after;
    }
    return std::numeric_limits<double>::infinity();
}

YAML::Node cross_row(const std::string& id) { return rows::find("ensemble_checks.yaml", id); }

}  // namespace

TEST_CASE("chk-78 to chk-81 when a pot runs dry") {
    const auto row = cross_row("chk-78"), all = cross_row("chk-79"), edges = cross_row("chk-80"), midnight = cross_row("chk-81");
    Single pot(rows::member_of(rows::round_pot(std::vector<double>{28, 38, 35}), rows::medium("peat_perlite")));
    pot.begin(6, 1, 1);
    const double demand = 6 * demand_l_mm(2.5, 1, lone_crown_cap(1, 1)), share = 0.4 + 0.04 * (5 - demand);
    check(row, "available_l", pot.a_r());
    check(row, "p_today", share);
    check(row, "readily_available_l", share * pot.a_r());
    check(row, "demand_l_d", demand);
    check(row, "dry_at_h", dry_at_h({.share_today = share, .share_later = share}));
    const double losses = dry_at_h({.surface = 0.65, .wall = 0.25, .share_today = share, .share_later = share});
    check(all, "dry_at_h", losses);
    check(all, "fine_step_h", losses);
    CHECK(dry_at_h({.depletion_l = 5}) == edges["expect"]["dry_at_h"][0].as<double>());
    CHECK(std::isinf(dry_at_h({.leaf_m2 = 0.02, .depletion_l = 0.1, .horizon_h = 48})));
    check(midnight, "dry_at_h", dry_at_h({.et0_mm = 3, .share_today = 0.45, .share_later = 0.2}));
}

TEST_CASE("chk-82, chk-144 the largest leaf area that one filling a day can serve") {
    const std::vector<std::vector<double>> pots{{20, 26, 24}, {24, 32, 32}, {28, 38, 35}, {34, 46, 40}};
    for (const bool by_suction : {false, true}) {
        const auto row = cross_row(by_suction ? "chk-144" : "chk-82");
        std::vector<double> leaf;
        for (const auto& entry : row["expect"]["largest_leaf_m2"])
            for (const auto& d : pots) {
                Single pot(rows::member_of(rows::round_pot(d), rows::medium(entry.first.as<std::string>())));
                pot.begin(5.2, 1, 1);   // 5.2 mm on the crown
                leaf.push_back((by_suction ? pot.ready() : 0.4 * pot.a_r()) * reference_leaf_index / 6);
            }
        check(row, "largest_leaf_m2", leaf);
    }
}
