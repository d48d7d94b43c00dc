#pragma once
// Loads: what a pot weighs, what a back may lift, what a floor carries, how a ladder stands.
#include "care/frost.hpp"

#include <span>
#include <string_view>

namespace tubgrove {

// A wet pot with its tree, kg. Wet density of the medium 0.7 to 1.6 kg/L. Own assumption
struct Potful {
    double volume_l, wet_density_kg_l, pot_kg, tree_kg;
};
double potful_kg(const Potful&);
double cylinder_l(double diameter_cm, double depth_cm);
double cans_kg(int cans, double can_l, double empty_can_kg);

// Recommended weight of a slow lift with two hands, kg: 23 HM VM DM AM FM CM. Not for carrying, nor for one hand.
// H hands before the ankles 25..63 cm, V hands above the floor 0..175 cm, D lifted by 25..175 cm, A twisted 0..135 degrees.
// Below the lowest H and D these count as the lowest. Source: [NIOSH94]; AM from memory
struct Lift {
    double hands_out_cm, hands_up_cm, lifted_cm, twisted_deg = 0;
    double frequency = 1, grip = 1;  // FM, CM
};
double recommended_lift_kg(const Lift&);
double twist_factor(double twisted_deg);  // AM
inline double lifting_index(double load_kg, const Lift& lift) { return load_kg / recommended_lift_kg(lift); }

// A filter that asks for a closer look, not a limit: kg close to the body, by the height of the hands. Source: [HSELIFT]
struct LiftFilter {
    std::string_view zone;
    double men_kg, women_kg;
};
std::span<const LiftFilter> lift_filters();
// The same for repeated lifts: less 30 % at one or two a minute, 50 % at five to eight, 80 % above twelve. Source: [HSELIFT]
double filter_by_frequency_kg(double filter_kg, double lifts_per_min);
inline constexpr double carried_without_rest_m = 10;  // held against the body. Source: [HSELIFT]

// From this weight on a move says what it weighs. Own assumption
inline constexpr double heavy_kg = 20;

// Load of a round base on the floor under it.
double footprint_kg_m2(double mass_kg, double base_diameter_m);
inline double kN_m2(double kg_m2) { return kg_m2 * 9.81 / 1000; }
inline double kg_m2(double load_kN_m2) { return load_kN_m2 * 1000 / 9.81; }
// What balconies are designed for, spread evenly: the house's own papers and an engineer decide.
// Source: [EN1991], from memory; [BALCONYUS]: 1.5 times the load of the rooms behind, pounds per square foot
inline constexpr Band balcony_kN_m2{2.5, 4.0};
double balcony_us_kN_m2(double occupancy_lbf_ft2, double factor);

// Angle of a leaning ladder, degrees: one out for so many up, or out over its length. Source: [LADDER]
double ladder_angle_deg(double out, double up);
double ladder_angle_by_length_deg(double out_over_length);

// Where the bacteria of warm standing water grow, degC. Source: [LEGIONWHO]
inline constexpr Band legionella_grows_degC{25, 45}, legionella_best_degC{32, 42};
inline constexpr double legionella_none_below_degC = 20;
// A few centimetres in a bucket are enough to drown a small child, so that every open vessel carries the caution. No safe
// depth is named, and none is used. Source: [DROWNWHO], [DROWNCPSC]
inline constexpr std::string_view drowning_depth = "a few centimetres in a bucket";

}  // namespace tubgrove
