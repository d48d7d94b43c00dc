#pragma once
// Heat of a day above a base temperature, from its highest and lowest. A model keeps the method that it was fitted with.

namespace tubgrove {

struct DayRange {
    double max_degC = 0, min_degC = 0;   // max not below min
};

// Mean of highest and lowest above the base, not below 0, K d. Source: [DDIPPC]
double degree_days_average(DayRange, double base_degC);

// Single sine with a horizontal cut-off at `upper_degC`, K d. Source: [BE69], [ALLEN76]; formula from memory, outputs checked
double degree_days_sine(DayRange, double base_degC, double upper_degC);

}  // namespace tubgrove
