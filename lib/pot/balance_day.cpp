#include "pot/balance.hpp"
#include "pot/balance_stores.hpp"
#include "pot/exponential.hpp"
#include "pot/retention.hpp"

namespace tubgrove {
namespace {

constexpr double demand_exponent = 0.3, middle_demand_mm = 5;
constexpr double ln_threshold_least = -0.35667494393873245;   // ln 0.7
constexpr double ln_threshold_most = 0.33647223662121289;     // ln 1.4
constexpr double wet_surface = 1.2;                       // Kc of a wet surface. Source: [FAO56] eq. 72

using Column = std::vector<double>;

// Radius in dm of a sphere of so many litres.
double sphere_radius_dm(double l) {
    constexpr double per_volume = 0.238732414637843;      // 3/(4 pi)
    return power_of(per_volume * l, 1.0 / 3);
}

}  // namespace

Members::Members(std::span<const Member> list) {
    const auto column = [&](auto value) {
        Column c(list.size());
        for (std::size_t i = 0; i < list.size(); ++i) c[i] = value(list[i]);
        return c;
    };
    const auto retention = [](const Member& m) { return Retention{m.theta_r, m.theta_s, m.alpha_per_cm, m.n}; };
    volume_l = column([](const Member& m) { return m.volume_l; });
    capacity_l = column([](const Member& m) { return m.capacity_factor * m.capacity_l; });
    top_water_l = column([&](const Member& m) { return m.capacity_factor * m.volume_l * theta_at_cm(retention(m), m.height_cm); });
    limit_water_l = column([&](const Member& m) { return m.volume_l * theta_at(retention(m), Kilopascals(m.lower_limit_kPa)); });
    theta_r = column([](const Member& m) { return m.theta_r; });
    theta_span = column([](const Member& m) { return m.theta_s - m.theta_r; });
    ln_alpha_per_kPa = column([](const Member& m) { return logarithm(m.alpha_per_cm * cm_per_kPa); });
    n = column([](const Member& m) { return m.n; });
    minus_m = column([](const Member& m) { return 1 / m.n - 1; });
    ln_threshold_kPa = column([](const Member& m) { return logarithm(m.threshold_kPa); });
    top_m2 = column([](const Member& m) { return m.top_m2; });
    wall_kappa_m2 = column([](const Member& m) { return m.wall_factor * m.wall_m2; });
    surface_rate = column([](const Member& m) { return wet_surface * m.surface_factor; });
    surface_ready_mm = column([](const Member& m) { return m.surface_ready_mm; });
    surface_total_mm = column([](const Member& m) { return m.surface_total_mm; });
    per_falling_mm = column([](const Member& m) { return 1 / (m.surface_total_mm - m.surface_ready_mm); });
    rain_factor = column([](const Member& m) { return m.rain_factor; });
    rain_area_m2 = column([](const Member& m) { return m.top_m2 * m.capture; });
    held_max_mm = column([](const Member& m) { return m.held_max_mm; });
    bypass_scale = column([](const Member& m) { return m.bypass_scale; });
    dried_loss = column([](const Member& m) { return m.dried_loss; });
    saucer_l = column([](const Member& m) { return m.saucer_l; });
    saucer_m2 = column([](const Member& m) { return m.saucer_m2; });
    ball_radius_dm = column([](const Member& m) { return sphere_radius_dm(m.ball_l > 0 ? m.ball_l : m.volume_l); });
    pot_radius_dm = column([](const Member& m) { return sphere_radius_dm(m.volume_l); });
    front_dm_d = column([](const Member& m) { return m.front_mm_d / 100; });
    start_lag_d = column([](const Member& m) { return m.start_lag_d; });
    reach_kept = column([](const Member& m) { return m.roots_kept < 1 ? power_of(m.roots_kept, 1.0 / 3) : 1.0; });
    exchange_h = column([](const Member& m) { return m.exchange_h; });
    exchange_half = column([](const Member& m) { return 1 - exponential(-0.5 / m.exchange_h); });
    for (const Member& m : list) {
        any_wall = any_wall || m.wall_factor > 0;
        any_saucer = any_saucer || m.saucer_l > 0;
        any_drying = any_drying || m.dried_loss > 0;
        any_ball = any_ball || (m.ball_l > 0 && m.ball_l < m.volume_l);
    }
}

PotState::PotState(std::size_t members)
    : depletion_rooted_l(members), depletion_unrooted_l(members), surface_mm(members), saucer_l(members), held_mm(members),
      dried(members), warm_days(members), rooted_share(members), top_share(members), available_rooted_l(members),
      available_unrooted_l(members), ready_l(members), threshold_water_l(members), demand_l_mm(members) {}

Fluxes::Fluxes(std::size_t members)
    : rain_l(members), irrigation_l(members), top_l(members), wall_l(members), transpiration_l(members), drained_l(members),
      lost_l(members), saucer_l(members), dry_h(members) {}

void Fluxes::clear() {
    for (Column* c : {&rain_l, &irrigation_l, &top_l, &wall_l, &transpiration_l, &drained_l, &lost_l, &saucer_l, &dry_h})
        c->assign(c->size(), 0.0);
}

namespace {

// A_r, A_u and R_r of every member from its constants, rooted share and dryness.
struct SetStores {
    const Members& k;
    PotState& s;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        const auto of = [at](const Column& column) __attribute__((always_inline)) { return load<Real>(column.data() + at); };
        const Stores<Real> stores = stores_of<Real>({of(s.rooted_share), of(s.top_share), of(s.dried), of(s.threshold_water_l),
                                                     of(k.capacity_l), of(k.top_water_l), of(k.limit_water_l), of(k.dried_loss)});
        store(s.available_rooted_l.data() + at, stores.rooted_l);
        store(s.available_unrooted_l.data() + at, stores.unrooted_l);
        store(s.ready_l.data() + at, stores.ready_l);
    }
};

// V theta(h_t) of today: h_t = h_p clamp((5/e_c)^0.3, 0.7, 1.4), e_c the day's demand in mm on the crown.
// Source: exponent between those of the conductivities of [HEIS93] and [OMEARA]; limits own assumption
struct SetThreshold {
    const Members& k;
    const DayInput& day;
    PotState& s;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        const auto of = [at](std::span<const double> column) __attribute__((always_inline)) { return load<Real>(column.data() + at); };
        const Real used_l = greater(of(day.et0_mm) * of(s.demand_l_mm), each<Real>(1e-12));
        const Real on_crown_mm = used_l / greater(of(day.crown_m2), each<Real>(1e-6));
        const Real raise = demand_exponent * logarithm_of(middle_demand_mm / on_crown_mm);
        const Real held = lesser(greater(raise, each<Real>(ln_threshold_least)), each<Real>(ln_threshold_most));
        const Real drained = exponential_of(of(k.n) * (of(k.ln_alpha_per_kPa) + (of(k.ln_threshold_kPa) + held)));
        const Real left = exponential_of(of(k.minus_m) * logarithm_of(1 + drained));
        store(s.threshold_water_l.data() + at, of(k.volume_l) * (of(k.theta_r) + of(k.theta_span) * left));
    }
};

// f_r = min(1, ((r_0 + v max(0, G - G_0))/r_V)^3) and lambda2 = f_r^(2/3); of a ball torn loose only `roots_kept` of f_r.
void set_roots(const Members& k, PotState& s) {
    bool all = true;
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double grown = k.front_dm_d[i] * greater(0.0, s.warm_days[i] - k.start_lag_d[i]);
        const double reach = k.reach_kept[i] * lesser(1.0, (k.ball_radius_dm[i] + grown) / k.pot_radius_dm[i]);
        s.top_share[i] = reach * reach;
        s.rooted_share[i] = reach * reach * reach;
        all = all && reach >= 1;
    }
    s.all_rooted = all;
}

// Medium that roots have newly reached brings its depletion along: m = (A_r' - A_r) D_u/A_u. Medium that torn roots have left
// keeps its own: m = (A_r' - A_r) D_r/A_r, below 0.
void take_over(const Members& k, const Column& a_r_before, const Column& a_u_before, PotState& s) {
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double gained = s.available_rooted_l[i] - a_r_before[i];
        if (k.reach_kept[i] < 1 && gained < 0 && a_r_before[i] > 0) {
            const double left = -gained / a_r_before[i] * s.depletion_rooted_l[i];
            s.depletion_rooted_l[i] -= left;
            s.depletion_unrooted_l[i] += left;
            continue;
        }
        const double share = a_u_before[i] > 0 ? lesser(1.0, gained / a_u_before[i]) : 0;
        const double moved = s.rooted_share[i] >= 1 ? s.depletion_unrooted_l[i] : share * s.depletion_unrooted_l[i];
        s.depletion_rooted_l[i] += moved;
        s.depletion_unrooted_l[i] -= moved;
    }
}

}  // namespace

void begin_day(const Members& k, const DayInput& day, PotState& s) {
    const Column a_r_before = s.available_rooted_l, a_u_before = s.available_unrooted_l;
    for (std::size_t i = 0; i < s.size(); ++i) {
        s.warm_days[i] += day.warm_rate;
        s.demand_l_mm[i] = day.demand_l_mm[i];
    }
    side_by_side(SetThreshold{k, day, s}, s.size());
    set_roots(k, s);
    side_by_side(SetStores{k, s}, s.size());
    take_over(k, a_r_before, a_u_before, s);
}

void refresh(const Members& k, const DayInput& day, PotState& s) {
    for (std::size_t i = 0; i < s.size(); ++i) s.demand_l_mm[i] = day.demand_l_mm[i];
    side_by_side(SetThreshold{k, day, s}, s.size());
    set_roots(k, s);
    side_by_side(SetStores{k, s}, s.size());
    for (std::size_t i = 0; i < s.size(); ++i) {
        s.depletion_rooted_l[i] = lesser(greater(s.depletion_rooted_l[i], 0.0), s.available_rooted_l[i]);
        s.depletion_unrooted_l[i] = lesser(greater(s.depletion_unrooted_l[i], 0.0), s.available_unrooted_l[i]);
        s.surface_mm[i] = lesser(greater(s.surface_mm[i], 0.0), k.surface_total_mm[i]);
    }
}

void stored_l(const PotState& s, std::span<double> out) {
    for (std::size_t i = 0; i < s.size(); ++i)
        out[i] = s.available_rooted_l[i] - s.depletion_rooted_l[i] + s.available_unrooted_l[i] - s.depletion_unrooted_l[i]
                 + s.saucer_l[i];
}

}  // namespace tubgrove
