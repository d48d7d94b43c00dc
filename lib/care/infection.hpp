#pragma once
// Weather in which a disease could have spread. Every answer is "could have", never "has".
#include "care/frost.hpp"

#include <array>
#include <optional>
#include <span>
#include <string_view>

namespace tubgrove {

enum class Infection : unsigned char { none, light, moderate, severe };

// Wet hours that scab needs at one temperature. Source: [SCABON]; its printed row "24-25" is entered as 24.1 to 24.9, since
// its neighbours overlap it (own reading)
struct ScabRow {
    double from_degC, to_degC;
    double light_h, moderate_h, severe_h;  // spores from fallen leaves
    double conidia_h;                      // spores from lesions; the longer of two printed figures
    double lesions_after_d;                // the longer of two printed figures; NaN: not stated
};
std::span<const ScabRow> scab_rows();
// The row at a temperature: the nearest in a gap between two rows. Empty below 1 and above 26 degC, where the table is silent.
const ScabRow* scab_row(double air_degC);
// The same need by another table, from fallen leaves, h; NaN outside. Source: [SCABWVU]
struct ScabHours {
    double degF, degC, hours;
};
std::span<const ScabHours> scab_hours_wvu();

enum class Spores : unsigned char { from_leaves, from_lesions };
// Empty where the table is silent. From lesions: light for "long enough".
std::optional<Infection> scab_infection(double wet_h, double air_degC, Spores);

// Hours that count of a wet spell. Spores from fallen leaves fly by day: when rain began at night only the hours from 07:00
// standard time on count. Times are hours after the midnight before the spell, standard time; `ends_h` may pass 24.
// Source: [SCABMG89]
double counted_wet_h(double begins_h, double ends_h, Spores);
// Two wet spells are one, the gap left out, when it is shorter than 8 h. Source: [SCABWVU]
inline constexpr double joining_gap_h = 8;

// Days only: whether an infection could have been. Without rain unlikely; else possible where the table needs no more than
// 24 h for each wet day in a row. No dew, no night rule, no severity: about one in three is wrong. Own assumption
enum class DailyScab : unsigned char { unlikely, possible, silent };
DailyScab scab_by_days(double rain_mm, double mean_degC, int wet_days_running);
inline constexpr double wet_hour_rain_mm = 0.2;  // and humidity of 90 %, from memory

// Leaf curl of peach: rain of 3 mm, 12.5 h wet, under 16 degC; on fruit 12 mm, 24 h with gaps of up to 4 h, up to 16 degC
// (after petal fall). Source: [CURLLEAF], [CURLFRUIT], [CURLUC]
struct Wetting {
    double rain_mm, wet_h, air_degC;
};
bool curl_possible_on_shoots(const Wetting&);
bool curl_possible_on_fruit(const Wetting&, double longest_gap_h);

// Fire blight in the flower: four things in one day. Source: [BLIGHT]; wetting amounts second-hand
inline constexpr double blight_base_degC = 18.3, blight_degree_hours = 110, blight_day_mean_degC = 15.6;
inline constexpr double blight_severe_mean_degC = 18.3;                 // from colour to petal fall. Source: [BLIGHTPSU]
inline constexpr double blossom_life_dd = 80 / 1.8;                     // above 4.4 degC
enum class Blight : unsigned char { none, one_rain_away, warning };
struct BlightDay {
    bool open_flowers;
    double degree_hours;  // above 18.3 degC since the oldest open flower
    bool wet;
    double mean_degC;
};
Blight blight(const BlightDay&);
// Degree hours of a day known by its extremes: 24 times the single sine. Source: [BE69], [BLIGHT]
double degree_hours_of_day(double max_degC, double min_degC, double base_degC);

// Codling moth: degree days by single sine between 10 and 31.1 degC. Source: [MOTH], [MOTHT], [MOTHWSU], [MOTHUC]
inline constexpr double moth_base_degC = 10, moth_upper_degC = 31.1;
inline constexpr double moth_egg_hatch_dd = 250 / 1.8, moth_first_flight_dd = 175 / 1.8;
inline constexpr double moth_dusk_degC = (62 - 32) / 1.8;
inline bool is_moth_biofix(bool first_catch, double dusk_degC) { return first_catch && dusk_degC >= moth_dusk_degC; }

// What shredding or clearing fallen leaves takes off next spring's scab, %: all of it, and a part (65 to 90 % of the
// leaves). Source: [LITTER]
Band litter_cut_pct(double cleared_share);

// Bleach on blades used on blight: one part in ten. Source: [BLADEUMN]
inline constexpr double blade_bleach_parts = 1, blade_bleach_of = 10;

}  // namespace tubgrove
