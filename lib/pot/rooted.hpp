#pragma once
// How fast roots grow into the medium on a day.
#include "units.hpp"

namespace tubgrove {

// rho, the share of full speed: 0 up to 5 degC, straight to 1 at 20, 1 up to 30, straight to 0 at 39. `medium`: the day's mean
// temperature of the medium, taken as that of the air (own assumption).
// Source: [AUK07] (few new roots below 6 degC, most above 9), [MARK] (slower above 30, none above 39); lines own assumption
inline double warm_rate(Celsius medium) {
    const double t = degC(medium);
    if (t <= 5 || t >= 39) return 0;
    if (t < 20) return (t - 5) / 15;
    return t <= 30 ? 1 : (39 - t) / 9;
}

// Warm days that a pot saw in time before its weather is known: 150 in a year of a temperate garden. Own assumption
inline double usual_warm_days(double days) { return days * 150 / 365; }

}  // namespace tubgrove
