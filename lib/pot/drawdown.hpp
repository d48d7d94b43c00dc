#pragma once
// One law for two stores: water leaves at its full rate down to a level and in proportion to what is left beyond it.
// The surface of a pot dries by it (REW, TEW), and a tree empties its medium by it (R, A).
#include "pot/exponential.hpp"

namespace tubgrove {

// Where a store stands after `draw` was asked of it, exactly. All in one unit; levels count from full.
//   level + draw up to `free`; beyond it  total - (total - start) exp(-rest/(total - free)),  start = max(level, free)
// 0 <= level <= total, draw >= 0, 0 <= free < total; per_falling = 1/(total - free).
// Source: [FAO56] eq. 74 and 84 (rates), integrated in closed form over the step
template <class Real>
struct Drawdown {
    Real level, draw, free, total, per_falling;
};

template <class Real>
TUBGROVE_LANES Real drawn_down(const Drawdown<Real>& d) {
    const Real straight = d.level + d.draw;
    const auto falls = (straight > d.free) & (d.draw > 0.0);
    if (!any(falls)) return straight;   // most stores are in the free part, or nothing is asked of them
    const Real start = greater(d.level, d.free);
    const Real rest = d.draw - (start - d.level);
    return select(falls, d.total - (d.total - start) * exponential_of(-rest * d.per_falling), straight);
}

}  // namespace tubgrove
