#pragma once
// Frost at buds, flowers and small fruit. Temperatures are those of the bud, held for half an hour.
#include <optional>
#include <span>
#include <string_view>

namespace tubgrove {

inline constexpr double celsius_of(double fahrenheit) { return (fahrenheit - 32) / 1.8; }

// What kills a tenth and nine tenths of the buds of a stage. NaN where the source is silent.
struct BudKill {
    std::string_view species;  // apple, pear, plum, cherry, sour_cherry, peach, apricot
    std::string_view stage;    // as the source names it
    std::string_view from;     // the stage of stage_names from which it holds
    double kill10_degF, kill90_degF;

    double kill10_degC() const { return celsius_of(kill10_degF); }
    double kill90_degC() const { return celsius_of(kill90_degF); }
};

// By species, in the order of the year. Source: [FROSTMSU], [FROSTPSU], sour cherry [FROSTCHERRY]
std::span<const BudKill> bud_kills();
// By the source's stage, and by the newest of our stages that has passed (a word of stage_names). Empty: no such row, or
// a bud that still sleeps. Quince counts as pear and medlar as apple: own assumption
const BudKill* bud_kill(std::string_view species, std::string_view stage);
const BudKill* bud_kill_at(std::string_view species, std::string_view passed_stage);

// Share of the buds killed at a bud temperature, 0..100 %: a straight line between the two published points, held beyond
// them. To be shown as a band. Own assumption; points [FROSTMSU]
double killed_pct(const BudKill&, double bud_degC);

// Share of the flowers that a full crop needs, %. Source: [FROSTCHERRY]
struct Band {
    double low, high;
};
inline constexpr Band flowers_for_full_crop_pct{10, 15};    // apple, pear, peach
inline constexpr double cherry_flowers_for_full_crop_pct = 50;  // well over it

// What a forecast minimum may be too warm by, K: 2 in a clear calm night, 1 otherwise, 3 where a day ranges over more
// than 15 K. Own assumption
double frost_margin_K(bool clear_and_calm, double daily_range_K);

// What a fleece gains, K: 2 in still air, none where cold air comes with the wind (over 4 m/s). Source: [FREEZEUGA] for the
// wind; figures own assumption
double cover_gain_K(double wind_m_s);

// Where citrus fruit, dormant fig wood and olive wood are hurt, degC. Source: [CITRUSLSU], [FIGAL], [OLIVEUC]
inline constexpr Band citrus_fruit_freezes_degF{26, 28}, fig_wood_stands_degF{15, 20};
inline constexpr double olive_critical_degF = 20;

// Where dormant trees in pots are kept, and from what air temperature a dry pot is watered in winter.
// Source: [WINTERISU], [WINTERUNH]
inline constexpr Band dormant_store_degF{20, 45};
inline constexpr double winter_water_degF = 40;

}  // namespace tubgrove
