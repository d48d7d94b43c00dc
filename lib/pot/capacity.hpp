#pragma once
// Container capacity: what a freely drained pot holds. Suction is 0 at the drainage level and rises by 1 kPa per 10 cm.
#include "pot/geometry.hpp"
#include "pot/retention.hpp"

namespace tubgrove {

struct HeightRange {
    double from_cm = 0, to_cm = 0;
};

// Water between two heights of a drained body: integral of section(z) theta(z + h0), Simpson's rule with 200 panels.
// base_suction_cm h0: 0 freely drained, below 0 standing in water, above 0 on a wick. Source: [MILKS]; 0 <= from < to <= height
Litres water_held(const Body&, const Retention&, HeightRange, double base_suction_cm = 0);

// Water in the whole body after draining: W_cc0, the capacity at a factor c of 1.
Litres container_capacity(const Body&, const Retention&, double base_suction_cm = 0);

}  // namespace tubgrove
