#include "care/wind.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace tubgrove {

int beaufort_force(double mean_m_s) {
    constexpr std::array from{0.0, 0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7};
    int force = 0;
    for (int i = 0; i < int(from.size()); ++i)
        if (mean_m_s >= from[std::size_t(i)]) force = i;
    return force;
}

double beaufort_middle_m_s(int force) { return 0.836 * std::pow(force, 1.5); }

double topple_gust_m_s(const Standing& s) {
    constexpr double g = 9.81;
    return std::sqrt(2 * s.mass_kg * g * s.base_radius_m / (s.air_kg_m3 * s.drag * s.frontal_m2 * s.centre_height_m));
}

double girth_growth_mm(double before_mm, double after_mm) { return std::numbers::pi * (after_mm - before_mm); }

}  // namespace tubgrove
