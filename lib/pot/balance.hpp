#pragma once
// The hourly water balance of a pot, the heart of the program. A pot's members (parameter sets that are all still
// believed) lie side by side, one array a quantity, and the processor works on several of them at once (lib/lanes.hpp).
// A single pot is one member: the checked code is the code that runs.
//
// Two stores: the medium that roots have reached ("rooted") and the rest. Depletion is what is missing to container
// capacity, litres; it runs from 0 (drained after a full watering) to the store's available water.
// Water is in litres, depths in mm on the top of the pot (or on leaves and surface for `held`), times in hours.
#include <cstddef>
#include <span>
#include <vector>

namespace tubgrove {

// The constants of one member. Defaults are the reference values of the model; geometry and medium have none.
struct Member {
    double volume_l = 0;               // V, of the medium
    double capacity_l = 0;             // W, water held after draining, by the height integral (pot/capacity.hpp)
    double capacity_factor = 1;        // c, multiplies W and V theta(H)
    double top_m2 = 0;                 // area of the medium's surface
    double wall_m2 = 0;                // area of the wall along the medium
    double theta_r = 0, theta_s = 0, alpha_per_cm = 0, n = 0;   // retention curve (pot/retention.hpp)
    double height_cm = 0;              // H, of the medium above the drainage level
    double threshold_kPa = 8;          // h_p, suction at which free uptake ends, at 5 mm a day
    double lower_limit_kPa = 100;      // h_L, suction at which uptake ends
    double surface_factor = 0.65;      // mu f_e: mulch times exposure of the surface
    double surface_ready_mm = 6;       // REW
    double surface_total_mm = 15;      // TEW, above REW
    double wall_factor = 0;            // kappa
    double rain_factor = 1;            // f_sky: share of the open rain that falls on the pot's place
    double capture = 1;                // c_rain: what the crown sheds onto or keeps off the pot
    double held_max_mm = 1;            // C_max, held on leaves and surface before rain reaches the medium
    double bypass_scale = 0.5;         // s
    double dried_loss = 0;             // eta, share of the capacity that dried peat has lost
    double saucer_l = 0, saucer_m2 = 0;
    double ball_l = 0;                 // root ball at planting; 0 or at least the volume: all rooted
    double front_mm_d = 2;             // v, root front on a warm day
    double start_lag_d = 7;            // G_0, warm days before roots leave the ball
    double roots_kept = 1;             // share of f_r that a ball torn loose has kept, above 0
    double exchange_h = 24;            // tau
};

// The members of one pot as arrays, with what follows from the constants alone. Built once, read by every step.
class Members {
public:
    // Preconditions per member: volume_l, capacity_l, top_m2, theta_s > theta_r >= 0, alpha_per_cm > 0, n > 1, height_cm > 0,
    // surface_total_mm > surface_ready_mm > 0, exchange_h > 0, 0 <= dried_loss < 1, c W > V theta(h_L).
    explicit Members(std::span<const Member> list);

    std::size_t size() const { return volume_l.size(); }

    std::vector<double> volume_l, capacity_l;                  // V; c W without drying
    std::vector<double> top_water_l, limit_water_l;            // c V theta(H); V theta(h_L)
    std::vector<double> theta_r, theta_span, ln_alpha_per_kPa, n, minus_m;
    std::vector<double> ln_threshold_kPa;
    std::vector<double> top_m2, wall_kappa_m2;                 // A_top; kappa A_wall
    std::vector<double> surface_rate;                          // 1.2 mu f_e: depth evaporated from a wet top per mm of ET0
    std::vector<double> surface_ready_mm, surface_total_mm, per_falling_mm;   // 1/(TEW - REW)
    std::vector<double> rain_factor, rain_area_m2, held_max_mm;               // f_sky; A_top c_rain
    std::vector<double> bypass_scale, dried_loss;
    std::vector<double> saucer_l, saucer_m2;
    std::vector<double> ball_radius_dm, pot_radius_dm;         // of the spheres of ball and medium
    std::vector<double> front_dm_d, start_lag_d, reach_kept;   // reach_kept: cube root of roots_kept
    std::vector<double> exchange_h, exchange_half;             // tau; 1 - exp(-0.5 h/tau)
    bool any_wall = false, any_saucer = false, any_drying = false, any_ball = false;
};

// What changes. Copying it starts a what-if run from here.
struct PotState {
    explicit PotState(std::size_t members);

    std::vector<double> depletion_rooted_l, depletion_unrooted_l;   // D_r, D_u
    std::vector<double> surface_mm;        // De, 0..TEW
    std::vector<double> saucer_l;          // S
    std::vector<double> held_mm;           // C
    std::vector<double> dried;             // y, 0 wettable .. 1 dried
    std::vector<double> warm_days;         // G since planting

    // Set by begin_day, and by hour_step where drying moves the capacity.
    std::vector<double> rooted_share;      // f_r
    std::vector<double> top_share;         // lambda2 = f_r^(2/3), the ball's share of the top
    std::vector<double> available_rooted_l, available_unrooted_l;   // A_r, A_u
    std::vector<double> ready_l;           // R_r: running dry is depletion_rooted_l >= ready_l
    std::vector<double> threshold_water_l; // V theta(h_t)
    std::vector<double> demand_l_mm;       // transpiration per mm of ET0 while water is free
    bool all_rooted = false;               // every member has f_r = 1

    std::size_t size() const { return surface_mm.size(); }
};

// What crossed the pot's border since the booking began, a value a member.
struct Fluxes {
    explicit Fluxes(std::size_t members);
    void clear();

    std::vector<double> rain_l;            // rain that reached the medium
    std::vector<double> irrigation_l;
    std::vector<double> top_l, wall_l;     // evaporated from the surface and through the wall
    std::vector<double> transpiration_l;
    std::vector<double> drained_l;         // ran out at the bottom, into the saucer or lost
    std::vector<double> lost_l;            // drained and not caught by the saucer
    std::vector<double> saucer_l;          // evaporated from the saucer
    std::vector<double> dry_h;             // hours at whose end depletion_rooted_l > ready_l
};

struct DayInput {
    std::span<const double> et0_mm;        // of the whole local day, in the pot's bay
    std::span<const double> demand_l_mm;   // litres per mm of ET0 today (tree/demand.hpp), all trees of the pot
    std::span<const double> crown_m2;      // their crowns; 0 only where the demand is 0
    double warm_rate = 0;                  // rho of the day that ended (pot/rooted.hpp), times the days since the last call; 0 at the start
};

// Local midnight: roots grow into the medium and take over its water, the threshold follows today's demand.
// Call before the first hour of each day, and at the start. Depletions keep the pot's water.
void begin_day(const Members&, const DayInput&, PotState&);

// After a change of members (learning): rooted share, A_r, A_u and R_r anew for the day begun, its warm_rate not counted
// again; depletions clipped to their stores.
void refresh(const Members&, const DayInput&, PotState&);

// One pour of a round or one run of a drip line, at a minute of the hour. Passes at least 30 minutes apart count as
// one watering with `passes` > 1, booked at the first.
struct Watering {
    double minute = 0;                     // 0..60 after the hour's start
    int passes = 1;
    std::span<const double> pour_l;        // what each member got; 0 where it got none
};

struct Hour {
    double length_h = 1;
    std::span<const double> et0_mm;        // in this hour, at least 0
    std::span<const double> rain_mm;       // over the open site, at the hour's start; empty: none
    std::span<const Watering> waterings;   // by rising minute; empty: none
    std::span<double> dry_after_h;         // out, may be empty: hours from the hour's start until depletion_rooted_l reaches
                                           // ready_l by the hour's full demand; 0 if it is so already, infinity if not in this hour
};

// One hour: rain, then waterings, then the losses. Everything that moved is added to `fluxes`.
void hour_step(const Members&, const Hour&, PotState&, Fluxes&);

// Several hours in a row, to the same digits as one after the other, and quicker.
void run_hours(const Members&, std::span<const Hour>, PotState&, Fluxes&);

// What each member holds above its lower limit, saucer included: the storage whose change the fluxes explain to 1e-9 L.
void stored_l(const PotState&, std::span<double> out);

}  // namespace tubgrove
