#pragma once
// What a tree asks for while water is free.
#include "lanes.hpp"

namespace tubgrove {

inline constexpr double reference_leaf_index = 2.88;   // leaf area index of the reference grass. Source: [FAO56] box 8, [PER06]

// Largest transpiration of a lone crown, mm on the crown per mm of ET0: min(1.2 + Fr h/w, 2.5).
// height_over_width of the canopy; stomatal_factor Fr 1 or less. Source: [FAO56] eq. 105
inline double lone_crown_cap(double height_over_width, double stomatal_factor) {
    const double kc = 1.2 + stomatal_factor * height_over_width;
    return kc < 2.5 ? kc : 2.5;
}

// Litres per mm of ET0: min(L_e/2.88, cap A_crown). leaf_m2: effective leaf area L_e times the season's share; crown_m2: projected.
// Source: [PER06]; cap [FAO56] eq. 105
template <class Real>
TUBGROVE_LANES Real demand_of(Real leaf_m2, Real crown_m2, double cap) {
    return lesser(leaf_m2 / reference_leaf_index, cap * crown_m2);
}
inline double demand_l_mm(double leaf_m2, double crown_m2, double cap) { return demand_of(leaf_m2, crown_m2, cap); }

}  // namespace tubgrove
