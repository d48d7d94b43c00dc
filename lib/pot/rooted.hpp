#pragma once
// How fast roots grow into the medium on a day.
#include "units.hpp"

#include <cmath>

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

// Warm days that a pot saw from one moment to another while its weather is not known, in years since a midwinter: 150 in a
// year of a temperate garden, rising straight from none at midwinter to midsummer and falling again. Own assumption
inline double usual_warm_days(double from_y, double to_y) {
    const auto sum = [](double y) {
        const double whole = std::floor(y), part = y - whole;
        return 150 * whole + (part < 0.5 ? 300 * part * part : 150 - 300 * (1 - part) * (1 - part));
    };
    return to_y > from_y ? sum(to_y) - sum(from_y) : 0;
}

}  // namespace tubgrove
