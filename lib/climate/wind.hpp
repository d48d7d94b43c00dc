#pragma once
// Wind at the height that the combination equation means.
#include "units.hpp"

namespace tubgrove {

inline constexpr MetresPerSecond unknown_wind{2};  // mean of some 2000 stations. Source: [FAO56] chapter 3

// Wind at 2 m over wind at `height` of the cups, over short grass. From 1 m upward (the logarithm fails at 0.095 m);
// lower instruments are taken as at 1 m. Source: [FAO56] eq. 47
double wind_factor(Metres height);
inline MetresPerSecond wind_at_2m(MetresPerSecond measured, Metres height) { return measured * wind_factor(height); }

}  // namespace tubgrove
