#pragma once
// Reference evapotranspiration at an open site, as the works print it: it may be negative (condensation), it has no
// floor of wind. The program itself goes through bay.hpp, which holds both; tests tie the two together.
#include "climate/radiation.hpp"
#include "units.hpp"

namespace tubgrove {

// The combination equation's constants: numerator's and denominator's, for a reference crop and a time step.
struct Combination {
    double cn, cd;
};
inline constexpr Combination fao_day{900, 0.34};  // Source: [FAO56] eq. 6
inline constexpr Combination fao_hour{37, 0.34};  // Source: [FAO56] eq. 53, by day and night
inline constexpr Combination short_day{900, 0.34}, short_hour_bright{37, 0.24}, short_hour_dark{37, 0.96};
inline constexpr Combination tall_day{1600, 0.38}, tall_hour_bright{66, 0.25}, tall_hour_dark{66, 1.7};
// Source: [ASCE2005] table 1; dark where Rn < 0

struct CombinationInputs {
    Celsius air_temp{0};     // mean of the day's extremes, or of the hour
    double slope_kPa_K = 0;  // Delta
    double gamma_kPa_K = 0;
    Radiation net{0}, soil{0};  // Rn and G of the step
    MetresPerSecond wind_2m{0};
    Kilopascals deficit{0};  // es - ea
};

// Weights of the two terms: Delta and gamma over Delta + gamma (1 + Cd u2). Source: [FAO56] box 11
struct Weights {
    double delta, gamma;
};
Weights weights(const CombinationInputs&, Combination);
// ET0 = radiation term + aerodynamic term, mm of the step. Source: [FAO56] eq. 6, 53; [ASCE2005] eq. 1
Millimetres radiation_term(const CombinationInputs&, Combination);
Millimetres aerodynamic_term(const CombinationInputs&, Combination);
Millimetres reference_et(const CombinationInputs&, Combination);

// ET0 of a day from temperatures alone, where all else is missing. It falls short in wind above 3 m/s and goes too
// high in humid air. 0 where max = min. Source: [FAO56] eq. 52
struct DayRange {
    Celsius max, min;
};
Millimetres hargreaves_et(DayRange, Radiation extraterrestrial_day);

}  // namespace tubgrove
