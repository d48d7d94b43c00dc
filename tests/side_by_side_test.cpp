// Members side by side: the loops over many give each the digits that it would have alone, and our own functions are those
// of the C library.
#include "pot/balance_block.hpp"
#include "pot/exponential.hpp"
#include "pot_rows.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace tubgrove;
using rows::Numbers;
using rows::Single;
using rows::tall_member;

TEST_CASE("own exponential and logarithm against the C library") {
    for (double x = -700; x <= 700; x += 0.37) CHECK(exponential(x) == Approx(std::exp(x)).epsilon(1e-14).margin(0));
    for (double x = -1; x <= 1; x += 0.0137) CHECK(exponential(x) == Approx(std::exp(x)).epsilon(1e-15).margin(0));
    CHECK(exponential(0) == 1);
    CHECK(exponential(-1e6) < 1e-300);
    for (double x = -300; x <= 300; x += 0.61) {
        const double v = std::pow(10.0, x);
        CHECK(std::fabs(logarithm(v) - std::log(v)) <= 1e-14 * std::max(1.0, std::fabs(std::log(v))));
    }
    for (double x = 0.5; x <= 2; x += 0.0031) CHECK(std::fabs(logarithm(x) - std::log(x)) < 1e-15);
    CHECK(logarithm(1) == 0);
    CHECK(power_of(2, 10) == Approx(1024).epsilon(1e-14));
}

TEST_CASE("members in a block answer as each alone") {
    std::vector<Member> list;
    for (int i = 0; i < 7; ++i) {
        Member m = tall_member(rows::media[std::size_t(i)], i % 2 == 0 ? 0 : 1.0 + 3 * i);
        m.wall_factor = 0.1 * i, m.dried_loss = 0.05 * (i % 3), m.surface_ready_mm = 4 + 0.7 * i;
        list.push_back(m);
    }
    Members block(list);
    PotState state(7);
    Fluxes fluxes(7);
    std::vector<Single> alone;
    for (const Member& m : list) alone.emplace_back(m);
    for (int d = 0; d < 20; ++d) {
        const std::vector<double> et0(7, 4.0), crown(7, 1.0);
        std::vector<double> demand(7);
        for (std::size_t i = 0; i < 7; ++i) {
            demand[i] = 0.2 + 0.1 * double(i);
            alone[i].begin(4, demand[i], 1, 0.9);
        }
        begin_day(block, {et0, demand, crown, 0.9}, state);
        for (int h = 0; h < 24; ++h) {
            const double e = std::max(0.0, std::sin((h - 6) * 0.22)) * 0.4;
            const std::vector<double> each(7, e), rain(7, 6.0), pour(7, 2.0);
            const Watering w{25, 2, pour};
            Hour hour;
            hour.et0_mm = each;
            if (h == 15 && d % 5 == 1) hour.rain_mm = rain;
            if (h == 7 && d % 3 == 0) hour.waterings = {&w, 1};
            hour_step(block, hour, state, fluxes);
            for (std::size_t i = 0; i < 7; ++i)
                alone[i].hour(e, hour.rain_mm.empty() ? 0 : 6.0, hour.waterings.empty() ? std::vector<Watering>{} : std::vector<Watering>{{25, 2, pour}});
        }
    }
    for (std::size_t i = 0; i < 7; ++i) {
        CHECK(state.depletion_rooted_l[i] == alone[i].d_r());
        CHECK(state.depletion_unrooted_l[i] == alone[i].d_u());
        CHECK(fluxes.top_l[i] == alone[i].fluxes.top_l[0]);
        CHECK(fluxes.transpiration_l[i] == alone[i].fluxes.transpiration_l[0]);
    }
}

TEST_CASE("pairs, fours and single members give the same digits, hour by hour and all at once") {
    std::vector<Member> list;
    for (double ball_l : {0.0, 4.0, 8.0, 60.0}) {
        list.push_back(tall_member("peat", ball_l));
        list.back().dried_loss = 0.3;
        list.push_back(tall_member("bark_peat_sand", ball_l));
        for (std::size_t i = list.size() - 2; i < list.size(); ++i)
            list[i].wall_factor = 0.1, list[i].saucer_l = ball_l > 5 ? 1 : 0, list[i].saucer_m2 = 0.1;
    }
    const std::size_t n = list.size();
    const Members members(list);
    PotState start(n);
    const Numbers et0(n, 6.0), demand{0.1, 0.3, 0.6, 0.9, 1.2, 0.5, 0.2, 0.0}, crown(n, 1.0), rain(n, 3.0), pour(n, 90.0);
    begin_day(members, {et0, demand, crown, 20}, start);
    const Watering watering{40, 1, pour};
    std::vector<Numbers> rows, dry(72, Numbers(n));
    for (int h = 0; h < 72; ++h) rows.push_back(Numbers(n, std::max(0.0, 2.0 * std::sin((h - 6) * std::numbers::pi / 12))));
    std::vector<Hour> hours;
    for (std::size_t h = 0; h < rows.size(); ++h) hours.push_back({.length_h = 1, .et0_mm = rows[h], .rain_mm = {}, .waterings = {}, .dry_after_h = dry[h]});
    hours[30].rain_mm = rain;
    hours[70].waterings = {&watering, 1};

    struct Ran {
        PotState state;
        Fluxes fluxes;
        std::vector<Numbers> dry;
    };
    const auto ran = [&](auto way) {
        Ran r{start, Fluxes(n), {}};
        way(r);
        r.dry = dry;
        return r;
    };
    const Ran singly = ran([&](Ran& r) { in_steps<double>(balance::Hours{members, hours, r.state, r.fluxes}, 0, n); });
    std::vector<Ran> others{ran([&](Ran& r) { CHECK(in_pairs(balance::Hours{members, hours, r.state, r.fluxes}, n) == n); }),
                            ran([&](Ran& r) { run_hours(members, hours, r.state, r.fluxes); }),
                            ran([&](Ran& r) { for (const Hour& hour : hours) hour_step(members, hour, r.state, r.fluxes); })};
    if (has_fours()) others.push_back(ran([&](Ran& r) { CHECK(in_fours(balance::Hours{members, hours, r.state, r.fluxes}, n) == n); }));
    for (const Ran& other : others) {
        CHECK(other.state.depletion_rooted_l == singly.state.depletion_rooted_l);
        CHECK(other.state.depletion_unrooted_l == singly.state.depletion_unrooted_l);
        CHECK(other.state.surface_mm == singly.state.surface_mm);
        CHECK(other.state.dried == singly.state.dried);
        CHECK(other.state.saucer_l == singly.state.saucer_l);
        CHECK(other.fluxes.transpiration_l == singly.fluxes.transpiration_l);
        CHECK(other.fluxes.wall_l == singly.fluxes.wall_l);
        CHECK(other.fluxes.lost_l == singly.fluxes.lost_l);
        CHECK(other.fluxes.dry_h == singly.fluxes.dry_h);
        CHECK(other.dry == singly.dry);
    }
    CHECK(*std::max_element(singly.state.dried.begin(), singly.state.dried.end()) > 0);
    CHECK(singly.state.saucer_l.back() != singly.state.saucer_l.front());
}
