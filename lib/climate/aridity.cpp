#include "climate/aridity.hpp"

#include <algorithm>

namespace tubgrove {

DryAir over_watered_ground(DryAir observed, double usual_gap_K) {
    const double gap_K = kelvins_between(observed.min, observed.dew_point);
    const double half_K = std::max(0.0, gap_K - usual_gap_K) / 2;
    return {Celsius(degC(observed.max) - half_K), Celsius(degC(observed.min) - half_K),
            Celsius(degC(observed.dew_point) + half_K)};
}

double aridity_index(Millimetres et0, Millimetres et0_with_dew_point_at_minimum) {
    return et0 / et0_with_dew_point_at_minimum - 1;
}

}  // namespace tubgrove
