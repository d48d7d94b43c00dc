#include "climate/normals.hpp"

#include <cmath>
#include <numbers>

namespace tubgrove {

MonthNormals guessed_normals(Degrees latitude, Metres elevation, unsigned month) {
    const double lat = std::fabs(degrees(latitude));
    const double middle_of_month = 30.4 * month - 15;
    const double warmest_day = degrees(latitude) < 0 ? 17 : 200;
    const double season = std::cos(2 * std::numbers::pi * (middle_of_month - warmest_day) / 365);
    const double mean = 27.5 - 0.0072 * lat * lat + 0.25 * lat * season - 0.0065 * metres(elevation);
    return {mean + 5, mean - 5, 0};
}

}  // namespace tubgrove
