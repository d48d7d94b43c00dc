#include "climate/et0.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

Weights weights(const CombinationInputs& in, Combination c) {
    const double below = in.slope_kPa_K + in.gamma_kPa_K * (1 + c.cd * m_per_s(in.wind_2m));
    return {in.slope_kPa_K / below, in.gamma_kPa_K / below};
}

Millimetres radiation_term(const CombinationInputs& in, Combination c) {
    return as_water(in.net - in.soil) * weights(in, c).delta;
}

Millimetres aerodynamic_term(const CombinationInputs& in, Combination c) {
    const double drying = c.cn / (degC(in.air_temp) + 273) * m_per_s(in.wind_2m) * kPa(in.deficit);
    return Millimetres(drying * weights(in, c).gamma);
}

Millimetres reference_et(const CombinationInputs& in, Combination c) {
    return radiation_term(in, c) + aerodynamic_term(in, c);
}

Millimetres hargreaves_et(DayRange t, Radiation extraterrestrial_day) {
    const double mean_degC = (degC(t.max) + degC(t.min)) / 2;
    const double range_K = std::max(0.0, kelvins_between(t.max, t.min));
    return as_water(extraterrestrial_day) * (0.0023 * (mean_degC + 17.8) * std::sqrt(range_K));
}

}  // namespace tubgrove
