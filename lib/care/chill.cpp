#include "care/chill.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tubgrove {
namespace {

struct ChillBand {
    double up_to_degC, up_to_degF;
    double units;
};
constexpr std::array bands{ChillBand{1.4, 34, 0},    ChillBand{2.4, 36, 0.5}, ChillBand{9.1, 48, 1},
                           ChillBand{12.4, 54, 0.5}, ChillBand{15.9, 60, 0},  ChillBand{18.0, 65, -0.5}};

// [DYNAMIC]: E0, E1 in K; A0, A1 per hour; slope; Tf in K; the papers' offset is 273.
constexpr double E0 = 4153.5, E1 = 12888.8, A0 = 139500.0, A1 = 2.567e18, slope = 1.6, Tf = 277.0, kelvin = 273.0;

constexpr std::array needs{ChillNeed{"apple", 50, 50},     ChillNeed{"apricot", 30, 69}, ChillNeed{"cherry", 30, 70},
                           ChillNeed{"nectarine", 12, 42}, ChillNeed{"peach", 8, 75},    ChillNeed{"prune", 55, 60}};

// Heat of a triangle day above one level.
double triangle_above(DayRange d, double level) {
    if (d.min_degC >= level) return (d.max_degC + d.min_degC) / 2 - level;
    if (d.max_degC <= level) return 0;
    const double over = d.max_degC - level;
    return over * over / (2 * (d.max_degC - d.min_degC));
}

}  // namespace

double chill_units(double air_degC, ChillEdition edition) {
    // An hour is reported to a tenth: the bands of the first edition meet between two tenths.
    for (const auto& band : bands) {
        const bool inside = edition == ChillEdition::celsius ? air_degC < band.up_to_degC + 0.05 : air_degC * 1.8 + 32 <= band.up_to_degF;
        if (inside) return band.units;
    }
    return -1;
}

bool is_chill_hour(double air_degC) { return air_degC >= 0 && air_degC <= 7.2; }

void ChillPortions::hour(double air_degC) {
    const double tk = air_degC + kelvin;
    const double sr = std::exp(slope * Tf * (tk - Tf) / tk), xi = sr / (1 + sr);
    const double xs = A0 / A1 * std::exp((E1 - E0) / tk), k = A1 * std::exp(-E1 / tk);
    const double start = first_ ? 0 : precursor_ < 1 ? precursor_ : precursor_ * (1 - tipped_);
    first_ = false;
    precursor_ = xs - (xs - start) * std::exp(-k);
    tipped_ = xi;
    if (precursor_ >= 1) portions_ += xi * precursor_;
}

std::span<const ChillNeed> chill_needs() { return needs; }

double growing_degree_hours(double air_degC) {
    constexpr double base = 4, best = 25, none = 36, pi = std::numbers::pi;
    if (air_degC <= base || air_degC >= none) return 0;
    if (air_degC <= best) return (best - base) / 2 * (1 + std::cos(pi + pi * (air_degC - base) / (best - base)));
    return (best - base) * (1 + std::cos(pi / 2 + pi / 2 * (air_degC - best) / (none - best)));
}

double degree_days_raised_minimum(DayRange d, double base_degC) {
    return degree_days_average({d.max_degC, std::max(d.min_degC, base_degC)}, base_degC);
}

double degree_days_triangle(DayRange d, double base_degC, double upper_degC) {
    return triangle_above(d, base_degC) - triangle_above(d, upper_degC);
}

double degree_days_average_cut(DayRange d, double base_degC, double upper_degC) {
    return degree_days_average({std::min(d.max_degC, upper_degC), d.min_degC}, base_degC);
}

}  // namespace tubgrove
