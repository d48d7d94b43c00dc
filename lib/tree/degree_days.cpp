#include "tree/degree_days.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tubgrove {
namespace {

// Heat of a sine day above one level L: M - L where the whole day is above it, 0 where it is below, else
// ((M - L)(pi/2 - t) + W cos t)/pi, t = asin((L - M)/W); M the mean, W half the range.
double above(DayRange d, double level) {
    const double mean = (d.max_degC + d.min_degC) / 2, half = (d.max_degC - d.min_degC) / 2;
    if (d.min_degC >= level) return mean - level;
    if (d.max_degC <= level) return 0;
    const double t = std::asin((level - mean) / half);
    return ((mean - level) * (std::numbers::pi / 2 - t) + half * std::cos(t)) / std::numbers::pi;
}

}  // namespace

double degree_days_average(DayRange d, double base_degC) { return std::max(0.0, (d.max_degC + d.min_degC) / 2 - base_degC); }

double degree_days_sine(DayRange d, double base_degC, double upper_degC) { return above(d, base_degC) - above(d, upper_degC); }

}  // namespace tubgrove
