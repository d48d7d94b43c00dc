#pragma once
// One law for two stores: water leaves at its full rate down to a level and in proportion to what is left beyond it.
// The surface of a pot dries by it (REW, TEW), and a tree empties its medium by it (R, A).

namespace tubgrove {

// Where a store stands after `draw` was asked of it, exactly. All in one unit; levels count from full.
//   level + draw up to `free`; beyond it  total - (total - start) exp(-rest/(total - free)),  start = max(level, free)
// 0 <= level <= total, draw >= 0, 0 <= free < total; per_falling = 1/(total - free).
// The exponential is an argument, so that a loop over members can take the vectorised one, and skip it where unneeded.
// Source: [FAO56] eq. 74 and 84 (rates), integrated in closed form over the step
struct Drawdown {
    double level, draw, free, total, per_falling;
};

// False: the draw ends in the free part, and level + draw is the answer.
inline bool falls(double level, double draw, double free) { return level + draw > free; }

template <class Exp>
inline double drawn_down(const Drawdown& d, Exp exponential_of) {
    const double start = d.level > d.free ? d.level : d.free;
    const double rest = d.draw - (start - d.level);
    const double curved = d.total - (d.total - start) * exponential_of(-rest * d.per_falling);
    return d.level + d.draw > d.free ? curved : d.level + d.draw;
}

}  // namespace tubgrove
