#include "care/lifting.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tubgrove {
namespace {

constexpr std::array filters{
    LiftFilter{"above shoulder", 10, 7},      LiftFilter{"shoulder to elbow", 20, 13},
    LiftFilter{"elbow to knuckle", 25, 16},   LiftFilter{"knuckle to mid lower leg", 20, 13},
    LiftFilter{"below mid lower leg", 10, 7},
};
constexpr double degrees_per_radian = 180 / std::numbers::pi;

}  // namespace

double potful_kg(const Potful& p) { return p.volume_l * p.wet_density_kg_l + p.pot_kg + p.tree_kg; }

double cylinder_l(double diameter_cm, double depth_cm) {
    return std::numbers::pi / 4 * diameter_cm * diameter_cm * depth_cm / 1000;
}

double cans_kg(int cans, double can_l, double empty_can_kg) { return cans * (can_l + empty_can_kg); }

double twist_factor(double twisted_deg) { return 1 - 0.0032 * twisted_deg; }

double recommended_lift_kg(const Lift& lift) {
    const double horizontal = 25 / std::max(25.0, lift.hands_out_cm);
    const double vertical = 1 - 0.003 * std::fabs(lift.hands_up_cm - 75);
    const double distance = std::min(1.0, 0.82 + 4.5 / lift.lifted_cm);
    return 23 * horizontal * vertical * distance * twist_factor(lift.twisted_deg) * lift.frequency * lift.grip;
}

std::span<const LiftFilter> lift_filters() { return filters; }

double filter_by_frequency_kg(double filter_kg, double lifts_per_min) {
    if (lifts_per_min > 12) return 0.2 * filter_kg;
    if (lifts_per_min >= 5) return 0.5 * filter_kg;
    return lifts_per_min >= 1 ? 0.7 * filter_kg : filter_kg;
}

double footprint_kg_m2(double mass_kg, double base_diameter_m) {
    return mass_kg / (std::numbers::pi / 4 * base_diameter_m * base_diameter_m);
}

double balcony_us_kN_m2(double occupancy_lbf_ft2, double factor) { return occupancy_lbf_ft2 * factor * 0.04788; }

double ladder_angle_deg(double out, double up) { return std::atan2(up, out) * degrees_per_radian; }
double ladder_angle_by_length_deg(double out_over_length) { return std::acos(out_over_length) * degrees_per_radian; }

}  // namespace tubgrove
