#pragma once
// What is believed of one tree before anything was seen of its pot: medians, and what the grower stated of them. The ensemble
// spreads its members around these; the spreads stand in config/priors.yaml.
#include "calendar.hpp"
#include "ensemble/setup.hpp"
#include "tree/rootstock.hpp"
#include "tree/species.hpp"
#include "units.hpp"

#include <string_view>
#include <vector>

namespace tubgrove {

inline constexpr double crown_per_litre_m2 = 0.04;   // at most, projected; 0.02 to 0.08. Own assumption
// A(a) = A_max/(1 + exp(-r (a - a50))), a years since planting, may be below 0; A_max at most crown_per_litre_m2 for each litre of medium.
// Own assumption
double crown_by_age_m2(const Rootstock&, double age_y, Litres medium);

enum class BallFrom : unsigned char {
    stated,         // sd ln 0.2
    unstated,       // a quarter of the medium, sd ln 0.6
    bare_root,      // 2 L, sd ln 0.5
    bench_graft,    // 1 L, sd ln 0.5
    all_rooted,     // long enough in this pot
};

struct TreeBelief {
    double crown_m2 = 0;              // projected
    bool crown_measured = false;
    double leaf_m2 = 0;               // effective leaf area k LAI A_crown, all leaves out
    bool leaves_answered = false;
    double cap = 2.2;                 // demand.hpp, lone_crown_cap
    double threshold_kPa = 8;         // h_p: medium times species times stock
    BallFrom ball_from = BallFrom::unstated;
    double ball_l = 0;                // 0: all rooted
    double root_front_factor = 1;     // on the front's speed
    double start_lag_d = 7;           // warm days before roots leave the ball
    std::vector<std::string_view> because;   // crown-never-measured, leaves-not-answered, age-unknown, rootstock-unknown,
                                             // ball-unknown, graft-not-taken-yet, graft-failed
};

// What surrounds the tree in its pot.
struct TreeGround {
    Litres medium{0};                 // this tree's part of the volume
    double threshold_kPa = 8;         // of the medium
    LocalDay in_this_pot_since{};
    std::optional<Litres> grew_in{};  // its part of the smaller medium that it stood in before
    LocalDay grew_until{};            // the day on which it was moved
};

// `stock`: the tree's rootstock, or the row of its class of vigour. Where neither was stated the caller takes the row of
// species.vigour; the tree then says "rootstock-unknown".
// Graft: a scion counts as one and a half years younger than a planted tree; until it is known to have taken (or ninety days have
// passed) it bears 0.01 m2 of crown, a failed one 0.05 m2 of the stock's own shoots. Own assumption
// Tables: leaf medians from [PER06], [OAK] and [FAO56] eq. 97; few and dense leaves shift ln by -0.375 and +0.219.
TreeBelief believe_tree(const Tree&, const Species&, const Rootstock& stock, const TreeGround&, LocalDay day);

}  // namespace tubgrove
