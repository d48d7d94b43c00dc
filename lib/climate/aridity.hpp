#pragma once
// Weather from over dry ground is hotter and drier than over watered grass. Pots on a hot terrace are such a place
// and are left as measured; these are for a station's record that is to stand for watered ground elsewhere.
#include "units.hpp"

namespace tubgrove {

struct DryAir {
    Celsius max, min, dew_point;
};
// Takes half of what the night's minimum lies over the dew point beyond `usual_gap_K` (2 in arid country, 0 against
// a watered site) from the temperatures and gives it to the dew point. Unchanged where the gap is usual.
// Source: [FAO56] eq. 6-1 to 6-5
DryAir over_watered_ground(DryAir observed, double usual_gap_K);

// Over 0.05 month after month: the record wants that correction. Source: [FAO56] eq. 6-7
double aridity_index(Millimetres et0, Millimetres et0_with_dew_point_at_minimum);

}  // namespace tubgrove
