#include "pot/balance.hpp"

#include "pot/balance_stores.hpp"
#include "pot/drawdown.hpp"
#include "pot/exponential.hpp"
#include "pot/pour.hpp"
#include "pot/side_by_side.hpp"

#include <limits>

namespace tubgrove {
namespace {

constexpr double open_water = 1.1;                        // saucer's loss per ET0. Own assumption
constexpr double dries_above = 0.8, dries_in_h = 48;      // share of A_r; time constant. Own assumption
constexpr int soaking_passes = 3;                         // wet dried medium through. Own assumption

using Column = std::vector<double>;

inline double own_exp(double x) { return exponential(x); }

// 1. Rain fills leaves and surface first; the rest falls on the ball and the medium by area, and drains where there is no room.
// The top is wetted by no more than the medium gets: otherwise a crown that sheds rain (c_rain below 1) would wet a surface that
// then loses more than fell, and rain would raise the need.
void rain(const Members& k, const Hour& hour, PotState& s, Fluxes& flux, Column& drain) {
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double held = lesser(greater(k.held_max_mm[i] - s.held_mm[i], 0), hour.rain_mm[i]);
        const double reaching = (hour.rain_mm[i] - held) * k.rain_factor[i];
        const double gain = reaching * k.rain_area_m2[i];
        const double ball = lesser(s.depletion_rooted_l[i], s.top_share[i] * gain);
        const double medium = lesser(s.depletion_unrooted_l[i], gain - ball);
        s.held_mm[i] += held;
        s.surface_mm[i] = greater(0, s.surface_mm[i] - lesser(reaching, gain / k.top_m2[i]));
        s.depletion_rooted_l[i] -= ball;
        s.depletion_unrooted_l[i] -= medium;
        drain[i] += gain - ball - medium;
        flux.rain_l[i] += gain;
    }
}

// 2. A pour: some runs past, most of the rest lands on the ball; what overfills the ball sinks into the medium, never back.
void water(const Members& k, const Watering& w, PotState& s, Fluxes& flux, Column& drain) {
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double pour = w.pour_l[i], missing = s.depletion_rooted_l[i] + s.depletion_unrooted_l[i];
        const double dose = missing > pour ? pour / missing : 1;
        const double kept = (1 - bypassed_share(k.bypass_scale[i], dose, w.passes)) * pour;
        const double on_ball = (1 - missed_share * (1 - s.top_share[i])) * kept;
        const double ball = lesser(s.depletion_rooted_l[i], on_ball);
        const double medium = lesser(s.depletion_unrooted_l[i], kept - ball);
        s.depletion_rooted_l[i] -= ball;
        s.depletion_unrooted_l[i] -= medium;
        s.surface_mm[i] = greater(0, s.surface_mm[i] - pour / k.top_m2[i]);
        s.dried[i] = w.passes >= soaking_passes && pour > 0 ? 0 : s.dried[i];
        drain[i] += pour - ball - medium;
        flux.irrigation_l[i] += pour;
    }
}

// 3 and 6. Half the exchange between ball and medium:
//   X = A_r A_u/(A_r + A_u) (D_r/A_r - D_u/A_u) (1 - exp(-dt/tau)) over half the stretch, into the rooted store.
void exchange(const Members& k, double stretch_h, PotState& s) {
    double* const d_r = s.depletion_rooted_l.data();
    double* const d_u = s.depletion_unrooted_l.data();
    const double* const a_r = s.available_rooted_l.data();
    const double* const a_u = s.available_unrooted_l.data();
    const std::size_t count = s.size();
    const auto move = [=](std::size_t i, double part) {
        const double moved = (d_r[i] * a_u[i] - d_u[i] * a_r[i]) / (a_r[i] + a_u[i]) * part;
        d_r[i] -= moved;
        d_u[i] += moved;
    };
    if (stretch_h == 1) {
        const double* const part = k.exchange_half.data();
        SIDE_BY_SIDE
        for (std::size_t i = 0; i < count; ++i) move(i, part[i]);
        return;
    }
    const double* const tau = k.exchange_h.data();
    SIDE_BY_SIDE
    for (std::size_t i = 0; i < count; ++i) move(i, 1 - exponential(-0.5 * stretch_h / tau[i]));
}

// True where any surface would pass REW in this stretch, so that the exponential is needed.
bool surface_falls(const Members& k, const double* et0, double part, const PotState& s) {
    const double* const de = s.surface_mm.data();
    const double* const rate = k.surface_rate.data();
    const double* const ready = k.surface_ready_mm.data();
    const std::size_t count = s.size();
    long any = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const double q = rate[i] * et0[i] * part;
        any |= (falls(de[i], q, ready[i]) ? 1L : 0L) & (q > 0 ? 1L : 0L);
    }
    return any != 0;
}

// 4, all rooted and a wall that loses nothing: the surface dries, limited by what the medium can still give.
template <class Exp>
void evaporate_top(const Members& k, const double* et0, double part, PotState& s, Fluxes& flux, Exp exp_of) {
    double* const de = s.surface_mm.data();
    double* const d_r = s.depletion_rooted_l.data();
    double* const top = flux.top_l.data();
    const double* const a_r = s.available_rooted_l.data();
    const double* const rate = k.surface_rate.data();
    const double* const ready = k.surface_ready_mm.data();
    const double* const total = k.surface_total_mm.data();
    const double* const per_falling = k.per_falling_mm.data();
    const double* const area = k.top_m2.data();
    const std::size_t count = s.size();
    SIDE_BY_SIDE
    for (std::size_t i = 0; i < count; ++i) {
        const double asked = rate[i] * et0[i] * part;
        const double dried = drawn_down({de[i], asked, ready[i], total[i], per_falling[i]}, exp_of);
        const double loss = (dried - de[i]) * area[i];
        const double room = greater(a_r[i] - d_r[i], 0);
        const double given = lesser(loss, room);
        de[i] = loss > room ? de[i] + given / area[i] : dried;
        d_r[i] += given;
        top[i] += given;
    }
}

// 4, the whole form: the top loses by area, a porous wall by volume, each store at most what it holds.
//   q = mu f_e 1.2 e;  E = (De' - De) A_top;  E_w = kappa e A_wall (1 - D/A)
template <class Exp>
void evaporate(const Members& k, const double* et0, double part, PotState& s, Fluxes& flux, Exp exp_of) {
    double* const de = s.surface_mm.data();
    double* const d_r = s.depletion_rooted_l.data();
    double* const d_u = s.depletion_unrooted_l.data();
    double* const top_flux = flux.top_l.data();
    double* const wall_flux = flux.wall_l.data();
    const double* const a_r = s.available_rooted_l.data();
    const double* const a_u = s.available_unrooted_l.data();
    const double* const f = s.rooted_share.data();
    const double* const top_share = s.top_share.data();
    const double* const rate = k.surface_rate.data();
    const double* const ready = k.surface_ready_mm.data();
    const double* const total = k.surface_total_mm.data();
    const double* const per_falling = k.per_falling_mm.data();
    const double* const area = k.top_m2.data();
    const double* const kappa = k.wall_kappa_m2.data();
    const std::size_t count = s.size();
    SIDE_BY_SIDE
    for (std::size_t i = 0; i < count; ++i) {
        const double e = et0[i] * part;
        const double dried = drawn_down({de[i], rate[i] * e, ready[i], total[i], per_falling[i]}, exp_of);
        const double top = (dried - de[i]) * area[i];
        const double emptied = (d_r[i] + d_u[i]) / (a_r[i] + a_u[i]);
        const double wall = kappa[i] * e * greater(1 - emptied, 0);
        const double ball = top_share[i] * top + f[i] * wall;
        const double medium = (1 - top_share[i]) * top + (1 - f[i]) * wall;
        const double room_r = greater(a_r[i] - d_r[i], 0), room_u = greater(a_u[i] - d_u[i], 0);
        const double scale_r = ball > room_r ? room_r / ball : 1;
        const double scale_u = medium > room_u ? room_u / medium : 1;
        const double from_top = top * (top_share[i] * scale_r + (1 - top_share[i]) * scale_u);
        const double from_wall = wall * (f[i] * scale_r + (1 - f[i]) * scale_u);
        de[i] = scale_r * scale_u < 1 ? de[i] + from_top / area[i] : dried;
        d_r[i] += ball * scale_r;
        d_u[i] += medium * scale_u;
        top_flux[i] += from_top;
        wall_flux[i] += from_wall;
    }
}

// True where any tree would pass its threshold in this stretch.
bool roots_fall(const double* et0, double part, const PotState& s) {
    const double* const d_r = s.depletion_rooted_l.data();
    const double* const ready = s.ready_l.data();
    const double* const demand = s.demand_l_mm.data();
    const std::size_t count = s.size();
    long any = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const double t = demand[i] * et0[i] * part;
        any |= (falls(d_r[i], t, ready[i]) ? 1L : 0L) & (t > 0 ? 1L : 0L);
    }
    return any != 0;
}

// 5. Transpiration from the rooted store: full down to R_r, then falling with what is left. Exact over the stretch.
void transpire_freely(const double* et0, double part, PotState& s, Fluxes& flux) {
    double* const d_r = s.depletion_rooted_l.data();
    double* const used = flux.transpiration_l.data();
    const double* const demand = s.demand_l_mm.data();
    const std::size_t count = s.size();
    SIDE_BY_SIDE
    for (std::size_t i = 0; i < count; ++i) {
        const double after = d_r[i] + demand[i] * et0[i] * part;
        used[i] += after - d_r[i];   // as in transpire, so that a member's books do not depend on its neighbours
        d_r[i] = after;
    }
}

void transpire(const double* et0, double part, PotState& s, Fluxes& flux) {
    double* const d_r = s.depletion_rooted_l.data();
    double* const used = flux.transpiration_l.data();
    const double* const a_r = s.available_rooted_l.data();
    const double* const ready = s.ready_l.data();
    const double* const demand = s.demand_l_mm.data();
    const std::size_t count = s.size();
    SIDE_BY_SIDE
    for (std::size_t i = 0; i < count; ++i) {
        const double t = demand[i] * et0[i] * part;
        const double after = drawn_down({d_r[i], t, ready[i], a_r[i], 1 / (a_r[i] - ready[i])}, own_exp);
        used[i] += after - d_r[i];
        d_r[i] = after;
    }
}

// Steps 3 to 6 over a part of the hour.
void losses(const Members& k, const Hour& hour, double part, PotState& s, Fluxes& flux) {
    const double* const et0 = hour.et0_mm.data();
    const auto straight = [](double) { return 1.0; };   // stands in where no surface needs the exponential
    const bool curved = surface_falls(k, et0, part, s);
    if (s.all_rooted && !k.any_wall) {
        if (curved) evaporate_top(k, et0, part, s, flux, own_exp);
        else evaporate_top(k, et0, part, s, flux, straight);
    } else {
        if (!s.all_rooted) exchange(k, hour.length_h * part, s);
        if (curved) evaporate(k, et0, part, s, flux, own_exp);
        else evaporate(k, et0, part, s, flux, straight);
    }
    if (roots_fall(et0, part, s)) transpire(et0, part, s, flux);
    else transpire_freely(et0, part, s, flux);
    if (!s.all_rooted) exchange(k, hour.length_h * part, s);
}

// The same, and when each member's rooted depletion reaches R_r by its full demand: where the line from the stretch's
// start to depletion plus E of the ball plus T_p minus X crosses.
void losses_watched(const Members& k, const Hour& hour, double begun, double part, PotState& s, Fluxes& flux) {
    const Column start = s.depletion_rooted_l, used = flux.transpiration_l;
    losses(k, hour, part, s, flux);
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double asked = s.demand_l_mm[i] * hour.et0_mm[i] * part;
        const double net = s.depletion_rooted_l[i] - start[i] + asked - (flux.transpiration_l[i] - used[i]);
        const double missing = s.ready_l[i] - start[i];
        const bool reached = missing <= 0 || (net > 0 && net >= missing);
        const double after = (begun + (missing > 0 ? part * missing / net : 0)) * hour.length_h;
        if (reached) hour.dry_after_h[i] = lesser(hour.dry_after_h[i], after);
    }
}

void stretch(const Members& k, const Hour& hour, double begun, double part, PotState& s, Fluxes& flux) {
    if (part <= 0) return;
    if (hour.dry_after_h.empty()) losses(k, hour, part, s, flux);
    else losses_watched(k, hour, begun, part, s, flux);
}

// 7. What drains fills the saucer and wets the medium from below, the ball at most by f_r of the rest.
void saucer(const Members& k, const Hour& hour, const Column& drain, PotState& s, Fluxes& flux) {
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double drained = drain.empty() ? 0 : drain[i];
        const double caught = lesser(greater(k.saucer_l[i] - s.saucer_l[i], 0), drained);
        const double standing = s.saucer_l[i] + caught;
        const double medium = lesser(standing, s.depletion_unrooted_l[i]);
        const double ball = lesser(s.rooted_share[i] * (standing - medium), s.depletion_rooted_l[i]);
        const double left = standing - medium - ball;
        const double dried = lesser(left, open_water * hour.et0_mm[i] * k.saucer_m2[i]);
        s.depletion_unrooted_l[i] -= medium;
        s.depletion_rooted_l[i] -= ball;
        s.saucer_l[i] = left - dried;
        flux.drained_l[i] += drained;
        flux.lost_l[i] += drained - caught;
        flux.saucer_l[i] += dried;
    }
}

void drain_away(const Column& drain, Fluxes& flux) {
    for (std::size_t i = 0; i < drain.size(); ++i) {
        flux.drained_l[i] += drain[i];
        flux.lost_l[i] += drain[i];
    }
}

// True where dried medium would take up or lose part of its capacity in this hour.
bool dryness_moves(const PotState& s) {
    const double* const y = s.dried.data();
    const double* const d_r = s.depletion_rooted_l.data();
    const double* const a_r = s.available_rooted_l.data();
    const std::size_t count = s.size();
    long any = 0;
    for (std::size_t i = 0; i < count; ++i) any |= (y[i] > 0 ? 1L : 0L) | (d_r[i] > dries_above * a_r[i] ? 1L : 0L);
    return any != 0;
}

// 8. Medium that stays dry loses capacity, y -> 1 with 48 h; standing water restores it (three passes did so in step 2).
// Depletions follow the change of the stores; what no longer fits drains.
void dry_out(const Members& k, double length_h, PotState& s, Fluxes& flux) {
    const Column a_r = s.available_rooted_l, a_u = s.available_unrooted_l;
    const double kept = exponential(-length_h / dries_in_h);
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double drier = s.depletion_rooted_l[i] > dries_above * a_r[i] ? 1 - (1 - s.dried[i]) * kept : s.dried[i];
        s.dried[i] = s.saucer_l[i] > 0 ? 0 : drier;
    }
    set_stores(k, s);
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double rooted = s.depletion_rooted_l[i] + (s.available_rooted_l[i] - a_r[i]);
        const double unrooted = s.depletion_unrooted_l[i] + (s.available_unrooted_l[i] - a_u[i]);
        const double over = greater(-rooted, 0) + greater(-unrooted, 0);
        s.depletion_rooted_l[i] = greater(rooted, 0);
        s.depletion_unrooted_l[i] = greater(unrooted, 0);
        flux.drained_l[i] += over;
        flux.lost_l[i] += over;
    }
}

// The end of an hour: leaves dry, dry hours are counted.
void close_hour(const Hour& hour, PotState& s, Fluxes& flux) {
    double* const held = s.held_mm.data();
    double* const dry = flux.dry_h.data();
    const double* const et0 = hour.et0_mm.data();
    const double* const d_r = s.depletion_rooted_l.data();
    const double* const ready = s.ready_l.data();
    const double length_h = hour.length_h;
    const std::size_t count = s.size();
    SIDE_BY_SIDE
    for (std::size_t i = 0; i < count; ++i) {
        held[i] = greater(0, held[i] - et0[i]);
        dry[i] += d_r[i] > ready[i] ? length_h : 0;
    }
}

}  // namespace

void hour_step(const Members& k, const Hour& hour, PotState& s, Fluxes& flux) {
    const bool wet = !hour.rain_mm.empty() || !hour.waterings.empty();
    Column drain(wet ? s.size() : 0);
    for (double& t : hour.dry_after_h) t = std::numeric_limits<double>::infinity();
    if (!hour.rain_mm.empty()) rain(k, hour, s, flux, drain);
    double begun = 0;
    bool soaked = false;   // three passes restored what drying had taken; the stores follow in step 8
    for (const Watering& w : hour.waterings) {
        soaked = soaked || w.passes >= soaking_passes;
        const double at = lesser(greater(w.minute / (60 * hour.length_h), begun), 1);
        stretch(k, hour, begun, at - begun, s, flux);
        water(k, w, s, flux, drain);
        begun = at;
    }
    stretch(k, hour, begun, 1 - begun, s, flux);
    if (k.any_saucer) saucer(k, hour, drain, s, flux);
    else drain_away(drain, flux);
    if (k.any_drying && (soaked || dryness_moves(s))) dry_out(k, hour.length_h, s, flux);
    close_hour(hour, s, flux);
}

}  // namespace tubgrove
