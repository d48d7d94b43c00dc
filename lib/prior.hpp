#pragma once
// What is believed of one number before anything was seen: a value with its spread, whether the grower stated it, and
// a code for the list's reasons. The ensemble draws its members from these.
#include <string_view>

namespace tubgrove {

enum class Spread : unsigned char {
    fixed,        // known; all members alike
    lognormal,    // `middle` is the median, `sd_ln` the standard deviation of the logarithm
    triangular,   // `middle` is the mode, `low` and `high` are the support
};

struct Prior {
    Spread spread = Spread::fixed;
    double middle = 0;
    double sd_ln = 0;
    double low = 0, high = 0;
    bool known = false;            // stated, measured, or certain by kind (a plastic wall loses nothing)
    std::string_view because;      // "crown-never-measured"; empty: nothing worth telling
};

constexpr Prior fixed_prior(double value) { return {Spread::fixed, value, 0, value, value, true, {}}; }
constexpr Prior lognormal_prior(double median, double sd_ln, std::string_view because = {}) {
    return {Spread::lognormal, median, sd_ln, 0, 0, because.empty(), because};
}
struct Range { double low, high; };
constexpr Prior triangular_prior(double mode, Range support, std::string_view because = {}) {
    return {Spread::triangular, mode, 0, support.low, support.high, because.empty(), because};
}

}  // namespace tubgrove
