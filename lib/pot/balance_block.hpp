#pragma once
// Inside the balance only: some members of one pot side by side, and the steps of an hour on them. Real is one double,
// a pair or four of them (lib/lanes.hpp); every equation stands here once.
#include "pot/balance.hpp"
#include "pot/balance_stores.hpp"
#include "pot/drawdown.hpp"
#include "pot/pour.hpp"

#include <limits>

namespace tubgrove::balance {

inline constexpr double open_water = 1.1;                        // saucer's loss per ET0. Own assumption
inline constexpr double dries_above = 0.8, dries_in_h = 48;      // share of A_r; time constant. Own assumption
inline constexpr int soaking_passes = 3;                         // wet dried medium through. Own assumption

// What an hour needs of the members `at` and following, out of the arrays and back into them.
template <class Real>
struct Block {
    bool all_rooted, any_wall, any_saucer, any_drying;
    // constants
    Real surface_rate, surface_ready_mm, surface_total_mm, per_falling_mm, top_m2, per_top_m2, wall_kappa_m2;
    Real rain_factor, rain_area_m2, held_max_mm, bypass_scale, saucer_room_l, saucer_m2, exchange_h, exchange_half;
    // of the day, and what follows from it
    StoreTerms<Real> terms;
    Stores<Real> stores;
    Real demand_l_mm, per_rooted_left, per_all;
    // state
    Real rooted_l, unrooted_l, surface_mm, saucer_l, held_mm;
    double kept_h = -1, kept = 1;   // of a length of an hour: exp(-length/48 h), what is not yet dried of it
    // booked
    Real rain_l, irrigation_l, top_l, wall_l, transpiration_l, drained_l, lost_l, from_saucer_l, dry_h;
};

template <class Real>
TUBGROVE_LANES void set_reciprocals(Block<Real>& b) {
    b.per_rooted_left = 1 / (b.stores.rooted_l - b.stores.ready_l);
    b.per_all = 1 / (b.stores.rooted_l + b.stores.unrooted_l);
}

template <class Real>
TUBGROVE_LANES void take_constants(Block<Real>& b, const Members& k, std::size_t at) {
    const auto of = [at](const std::vector<double>& column) __attribute__((always_inline)) { return load<Real>(column.data() + at); };
    b.any_wall = k.any_wall, b.any_saucer = k.any_saucer, b.any_drying = k.any_drying;
    b.surface_rate = of(k.surface_rate);
    b.surface_ready_mm = of(k.surface_ready_mm), b.surface_total_mm = of(k.surface_total_mm);
    b.per_falling_mm = of(k.per_falling_mm);
    b.top_m2 = of(k.top_m2), b.per_top_m2 = 1 / b.top_m2;
    b.wall_kappa_m2 = of(k.wall_kappa_m2);
    b.rain_factor = of(k.rain_factor), b.rain_area_m2 = of(k.rain_area_m2), b.held_max_mm = of(k.held_max_mm);
    b.bypass_scale = of(k.bypass_scale);
    b.saucer_room_l = of(k.saucer_l), b.saucer_m2 = of(k.saucer_m2);
    b.exchange_h = of(k.exchange_h), b.exchange_half = of(k.exchange_half);
    b.terms.capacity_l = of(k.capacity_l), b.terms.top_water_l = of(k.top_water_l), b.terms.limit_l = of(k.limit_water_l);
    b.terms.dried_loss = of(k.dried_loss);
}

template <class Real>
TUBGROVE_LANES void take_state(Block<Real>& b, const PotState& s, std::size_t at) {
    const auto of = [at](const std::vector<double>& column) __attribute__((always_inline)) { return load<Real>(column.data() + at); };
    b.all_rooted = s.all_rooted;
    b.terms.rooted_share = of(s.rooted_share), b.terms.top_share = of(s.top_share), b.terms.dried = of(s.dried);
    b.terms.at_threshold_l = of(s.threshold_water_l);
    b.stores = {of(s.available_rooted_l), of(s.available_unrooted_l), of(s.ready_l)};
    b.demand_l_mm = of(s.demand_l_mm);
    b.rooted_l = of(s.depletion_rooted_l), b.unrooted_l = of(s.depletion_unrooted_l);
    b.surface_mm = of(s.surface_mm), b.saucer_l = of(s.saucer_l), b.held_mm = of(s.held_mm);
    set_reciprocals(b);
}

template <class Real>
TUBGROVE_LANES void take_fluxes(Block<Real>& b, const Fluxes& f, std::size_t at) {
    const auto of = [at](const std::vector<double>& column) __attribute__((always_inline)) { return load<Real>(column.data() + at); };
    b.rain_l = of(f.rain_l), b.irrigation_l = of(f.irrigation_l), b.top_l = of(f.top_l), b.wall_l = of(f.wall_l);
    b.transpiration_l = of(f.transpiration_l), b.drained_l = of(f.drained_l), b.lost_l = of(f.lost_l);
    b.from_saucer_l = of(f.saucer_l), b.dry_h = of(f.dry_h);
}

template <class Real>
TUBGROVE_LANES void give_back(const Block<Real>& b, PotState& s, Fluxes& f, std::size_t at) {
    const auto to = [at](std::vector<double>& column, Real x) __attribute__((always_inline)) { store(column.data() + at, x); };
    to(s.depletion_rooted_l, b.rooted_l), to(s.depletion_unrooted_l, b.unrooted_l);
    to(s.surface_mm, b.surface_mm), to(s.saucer_l, b.saucer_l), to(s.held_mm, b.held_mm), to(s.dried, b.terms.dried);
    to(s.available_rooted_l, b.stores.rooted_l), to(s.available_unrooted_l, b.stores.unrooted_l), to(s.ready_l, b.stores.ready_l);
    to(f.rain_l, b.rain_l), to(f.irrigation_l, b.irrigation_l), to(f.top_l, b.top_l), to(f.wall_l, b.wall_l);
    to(f.transpiration_l, b.transpiration_l), to(f.drained_l, b.drained_l), to(f.lost_l, b.lost_l);
    to(f.saucer_l, b.from_saucer_l), to(f.dry_h, b.dry_h);
}

// 1. Rain fills leaves and surface first; the rest falls on the ball and the medium by area, and drains where there is no room.
// The top is wetted by no more than the medium gets: otherwise a crown that sheds rain (c_rain below 1) would wet a surface that
// then loses more than fell, and rain would raise the need. Returns what drains.
template <class Real>
TUBGROVE_LANES Real rain(Block<Real>& b, Real rain_mm) {
    const Real held = lesser(greater(b.held_max_mm - b.held_mm, each<Real>(0)), rain_mm);
    const Real reaching = (rain_mm - held) * b.rain_factor;
    const Real gain = reaching * b.rain_area_m2;
    const Real ball = lesser(b.rooted_l, b.terms.top_share * gain);
    const Real medium = lesser(b.unrooted_l, gain - ball);
    b.held_mm += held;
    b.surface_mm = greater(each<Real>(0), b.surface_mm - lesser(reaching, gain * b.per_top_m2));
    b.rooted_l -= ball;
    b.unrooted_l -= medium;
    b.rain_l += gain;
    return gain - ball - medium;
}

// 2. A pour: some runs past, most of the rest lands on the ball; what overfills the ball sinks into the medium, never back.
// Returns what drains.
template <class Real>
TUBGROVE_LANES Real water(Block<Real>& b, Real pour, int passes) {
    const Real missing = b.rooted_l + b.unrooted_l;
    const Real dose = select(missing > pour, pour / missing, each<Real>(1));
    const Real kept = (1 - bypassed_share_of(b.bypass_scale, dose, passes)) * pour;
    const Real on_ball = (1 - missed_share * (1 - b.terms.top_share)) * kept;
    const Real ball = lesser(b.rooted_l, on_ball);
    const Real medium = lesser(b.unrooted_l, kept - ball);
    b.rooted_l -= ball;
    b.unrooted_l -= medium;
    b.surface_mm = greater(each<Real>(0), b.surface_mm - pour * b.per_top_m2);
    if (passes >= soaking_passes) b.terms.dried = select(pour > 0.0, each<Real>(0), b.terms.dried);
    b.irrigation_l += pour;
    return pour - ball - medium;
}

// 3 and 6. Half the exchange between ball and medium:
//   X = A_r A_u/(A_r + A_u) (D_r/A_r - D_u/A_u) (1 - exp(-dt/tau)) over half the stretch, into the rooted store.
template <class Real>
TUBGROVE_LANES void exchange(Block<Real>& b, Real part) {
    const Real moved = (b.rooted_l * b.stores.unrooted_l - b.unrooted_l * b.stores.rooted_l) * b.per_all * part;
    b.rooted_l -= moved;
    b.unrooted_l += moved;
}

// 4. The top loses by area, a porous wall by volume, each store at most what it holds.
//   q = mu f_e 1.2 e;  E = (De' - De) A_top;  E_w = kappa e A_wall (1 - D/A)
template <class Real>
TUBGROVE_LANES void evaporate(Block<Real>& b, Real et0) {
    const Real dried = drawn_down<Real>({b.surface_mm, b.surface_rate * et0, b.surface_ready_mm, b.surface_total_mm, b.per_falling_mm});
    const Real top = (dried - b.surface_mm) * b.top_m2;
    const Real room_r = greater(b.stores.rooted_l - b.rooted_l, each<Real>(0));
    const Real room_u = greater(b.stores.unrooted_l - b.unrooted_l, each<Real>(0));
    const Real top_of_ball = b.terms.top_share * top, top_of_medium = top - top_of_ball;
    const Real ball = lesser(top_of_ball, room_r), medium = lesser(top_of_medium, room_u);
    const auto held_back = (top_of_ball > room_r) | (top_of_medium > room_u);
    const Real given = select(held_back, ball + medium, top);
    b.surface_mm = select(held_back, b.surface_mm + given * b.per_top_m2, dried);
    b.rooted_l += ball;
    b.unrooted_l += medium;
    b.top_l += given;
}

// The same beside a porous wall: top and wall share what a store can still give.
template <class Real>
TUBGROVE_LANES void evaporate_walled(Block<Real>& b, Real et0) {
    const Real dried = drawn_down<Real>({b.surface_mm, b.surface_rate * et0, b.surface_ready_mm, b.surface_total_mm, b.per_falling_mm});
    const Real top = (dried - b.surface_mm) * b.top_m2;
    const Real wall = b.wall_kappa_m2 * et0 * greater(1 - (b.rooted_l + b.unrooted_l) * b.per_all, each<Real>(0));
    const Real f = b.terms.rooted_share, on_ball = b.terms.top_share;
    const Real ball = on_ball * top + f * wall, medium = (1 - on_ball) * top + (1 - f) * wall;
    const Real room_r = greater(b.stores.rooted_l - b.rooted_l, each<Real>(0));
    const Real room_u = greater(b.stores.unrooted_l - b.unrooted_l, each<Real>(0));
    const Real scale_r = select(ball > room_r, room_r / ball, each<Real>(1));
    const Real scale_u = select(medium > room_u, room_u / medium, each<Real>(1));
    const Real from_top = top * (on_ball * scale_r + (1 - on_ball) * scale_u);
    const Real from_wall = wall * (f * scale_r + (1 - f) * scale_u);
    b.surface_mm = select(scale_r * scale_u < 1.0, b.surface_mm + from_top * b.per_top_m2, dried);
    b.rooted_l += ball * scale_r;
    b.unrooted_l += medium * scale_u;
    b.top_l += from_top;
    b.wall_l += from_wall;
}

// 5. Transpiration from the rooted store: full down to R_r, then falling with what is left. Exact over the stretch.
template <class Real>
TUBGROVE_LANES void transpire(Block<Real>& b, Real et0) {
    const Real after = drawn_down<Real>({b.rooted_l, b.demand_l_mm * et0, b.stores.ready_l, b.stores.rooted_l, b.per_rooted_left});
    b.transpiration_l += after - b.rooted_l;
    b.rooted_l = after;
}

// Steps 3 to 6 over a part of the hour; et0 is that part's.
template <class Real>
TUBGROVE_LANES void losses(Block<Real>& b, Real et0, double stretch_h) {
    Real part = b.exchange_half;
    if (!b.all_rooted) {
        if (stretch_h != 1) part = 1 - exponential_of(-0.5 * stretch_h / b.exchange_h);
        exchange(b, part);
    }
    if (any(et0 > 0.0)) {   // a night without wind asks nothing
        if (b.any_wall) evaporate_walled(b, et0);
        else evaporate(b, et0);
        transpire(b, et0);
    }
    if (!b.all_rooted) exchange(b, part);
}

// A stretch of the hour without water: from where to how long, both as shares of it; et0 is the whole hour's.
struct Stretch {
    double begun, part, hour_h;
};

// The losses, and when each member's rooted depletion reaches R_r by its full demand: where the line from the stretch's
// start to depletion plus E of the ball plus T_p minus X crosses. Returns the hours since the hour's start.
template <class Real>
TUBGROVE_LANES Real losses_watched(Block<Real>& b, Real et0, const Stretch& s) {
    const Real start = b.rooted_l, used = b.transpiration_l;
    losses(b, et0, s.hour_h * s.part);
    const Real asked = b.demand_l_mm * et0;
    const Real net = b.rooted_l - start + asked - (b.transpiration_l - used);
    const Real missing = b.stores.ready_l - start;
    const auto dry = missing <= 0.0;
    const auto reached = dry | ((net > 0.0) & (net >= missing));
    const Real after = (s.begun + select(dry, each<Real>(0), s.part * missing / net)) * s.hour_h;
    return select(reached, after, each<Real>(std::numeric_limits<double>::infinity()));
}

// 7. What drains fills the saucer and wets the medium from below, the ball at most by f_r of the rest.
template <class Real>
TUBGROVE_LANES void saucer(Block<Real>& b, Real drained, Real et0) {
    const Real caught = lesser(greater(b.saucer_room_l - b.saucer_l, each<Real>(0)), drained);
    const Real standing = b.saucer_l + caught;
    const Real medium = lesser(standing, b.unrooted_l);
    const Real ball = lesser(b.terms.rooted_share * (standing - medium), b.rooted_l);
    const Real left = standing - medium - ball;
    const Real dried = lesser(left, open_water * et0 * b.saucer_m2);
    b.unrooted_l -= medium;
    b.rooted_l -= ball;
    b.saucer_l = left - dried;
    b.lost_l += drained - caught;
    b.from_saucer_l += dried;
}

// 8. Medium that stays dry loses capacity, y -> 1 with 48 h; standing water restores it (three passes did so in step 2).
// Depletions follow the change of the stores; what no longer fits drains.
template <class Real>
TUBGROVE_LANES void dry_out(Block<Real>& b, double length_h) {
    if (b.kept_h != length_h) b.kept_h = length_h, b.kept = exponential(-length_h / dries_in_h);
    const Real y = b.terms.dried;
    const Real drier = select(b.rooted_l > dries_above * b.stores.rooted_l, 1 - (1 - y) * b.kept, y);
    b.terms.dried = select(b.saucer_l > 0.0, each<Real>(0), drier);
    const Stores<Real> before = b.stores;
    b.stores = stores_of(b.terms);
    set_reciprocals(b);
    const Real rooted = b.rooted_l + (b.stores.rooted_l - before.rooted_l);
    const Real unrooted = b.unrooted_l + (b.stores.unrooted_l - before.unrooted_l);
    const Real over = greater(-rooted, each<Real>(0)) + greater(-unrooted, each<Real>(0));
    b.rooted_l = greater(rooted, each<Real>(0));
    b.unrooted_l = greater(unrooted, each<Real>(0));
    b.drained_l += over;
    b.lost_l += over;
}

// One hour: rain, then waterings, then the losses; `at`: the block's first member.
template <class Real>
TUBGROVE_LANES void live(Block<Real>& b, const Hour& hour, std::size_t at) {
    const Real et0 = load<Real>(hour.et0_mm.data() + at);
    const bool watched = !hour.dry_after_h.empty();
    Real drain = each<Real>(0), dry_after_h = each<Real>(std::numeric_limits<double>::infinity());
    if (!hour.rain_mm.empty()) drain = rain(b, load<Real>(hour.rain_mm.data() + at));
    double begun = 0;
    bool soaked = false;   // three passes restored what drying had taken; the stores follow in step 8
    for (std::size_t w = 0; w <= hour.waterings.size(); ++w) {
        const Watering* const pour = w < hour.waterings.size() ? &hour.waterings[w] : nullptr;
        const double until = pour ? lesser(greater(pour->minute / (60 * hour.length_h), begun), 1.0) : 1.0;
        if (const double part = until - begun; part > 0) {
            if (watched) dry_after_h = lesser(dry_after_h, losses_watched(b, et0 * part, {begun, part, hour.length_h}));
            else losses(b, et0 * part, hour.length_h * part);
        }
        if (!pour) break;
        drain += water(b, load<Real>(pour->pour_l.data() + at), pour->passes);
        soaked = soaked || pour->passes >= soaking_passes;
        begun = until;
    }
    b.drained_l += drain;
    if (b.any_saucer) saucer(b, drain, et0);
    else b.lost_l += drain;
    if (b.any_drying && (soaked || any((b.saucer_l > 0.0) | (b.rooted_l > dries_above * b.stores.rooted_l)))) dry_out(b, hour.length_h);
    b.held_mm = greater(each<Real>(0), b.held_mm - et0);
    b.dry_h += select(b.rooted_l > b.stores.ready_l, each<Real>(hour.length_h), each<Real>(0));
    if (watched) store(hour.dry_after_h.data() + at, dry_after_h);
}

// Some hours in a row. A block goes through all of them before the next block begins, so that its numbers stay where the
// processor works.
struct Hours {
    const Members& members;
    std::span<const Hour> hours;
    PotState& state;
    Fluxes& fluxes;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        Block<Real> block;
        take_constants(block, members, at);
        take_state(block, state, at);
        take_fluxes(block, fluxes, at);
        for (const Hour& hour : hours) live(block, hour, at);
        give_back(block, state, fluxes, at);
    }
};

}  // namespace tubgrove::balance
