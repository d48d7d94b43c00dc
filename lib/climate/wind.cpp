#include "climate/wind.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

double wind_factor(Metres height) { return 4.87 / std::log(67.8 * std::max(1.0, metres(height)) - 5.42); }

}  // namespace tubgrove
