#pragma once
// Inside the balance only: the stores of the day, set at midnight and again where drying moves the capacity.
#include "lanes.hpp"

namespace tubgrove {

inline constexpr double least_ready = 0.05, most_ready = 0.95;   // R_r as a share of A_r. Own assumption
inline constexpr double least_rooted = 0.05;   // A_r as a share of its part by volume, where c is so low that
                                               // the ball would hold nothing. Own assumption

// What the stores follow from: f_r, lambda2, y, V theta(h_t); c W, c V theta(H), V theta(h_L), eta.
template <class Real>
struct StoreTerms {
    Real rooted_share, top_share, dried, at_threshold_l;
    Real capacity_l, top_water_l, limit_l, dried_loss;
};
template <class Real>
struct Stores {
    Real rooted_l, unrooted_l, ready_l;   // A_r, A_u, R_r
};

//   A_r = f_r (c' (lambda2 W + (1 - lambda2) V theta(H)) - V theta(h_L)),  A_u = A - A_r,  c' = c (1 - eta y)
//   R_r = f_r (c' (...) - V theta(h_t)) within 0.05 to 0.95 of A_r
// The ball is a scaled pot hung from the top; within 8 % of the exact integral, bark 13 %. Own construction
template <class Real>
TUBGROVE_LANES Stores<Real> stores_of(const StoreTerms<Real>& t) {
    const Real wettable = 1 - t.dried_loss * t.dried;
    const Real all = wettable * t.capacity_l - t.limit_l;
    const Real full = wettable * (t.top_share * t.capacity_l + (1 - t.top_share) * t.top_water_l);
    const Real rooted = greater(t.rooted_share * (full - t.limit_l), least_rooted * t.rooted_share * all);
    const Real free = t.rooted_share * (full - t.at_threshold_l);
    return {rooted, all - rooted, lesser(greater(free, least_ready * rooted), most_ready * rooted)};
}

}  // namespace tubgrove
