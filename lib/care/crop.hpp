#pragma once
// Fruit: sun on it, how much to leave, when to look, how to keep it; who pollinates whom.
#include "care/frost.hpp"

#include <optional>
#include <span>
#include <string_view>

namespace tubgrove {

// Skin of fruit in sun and still air is 11 to 17 K warmer than the air. Source: [SUNBURN09]
Band fruit_skin_degC(double air_degC);
enum class SunInjury : unsigned char { none, browning, necrosis };
// Browning after an hour from 46 degC on (46 to 49 by kind), dead patches after ten minutes from 52. Source: [SUNBURN01]
SunInjury sun_injury(double skin_degC, double minutes);
inline bool sun_risk(double air_degC) { return fruit_skin_degC(air_degC).high >= 46; }  // calm and sunlit. Source: [SUNBURNON]

// Space to leave between fruits, cm, and fruits a cluster (0: not by clusters); the widest range of the sources.
// Source: [THINOSU], [THINUC], [THINUCIPM], [THINNC]
struct Thinning {
    std::string_view species;
    double low_cm, high_cm;
    int per_cluster;
};
std::span<const Thinning> thinnings();
const Thinning* thinning_of(std::string_view species);  // null: not thinned (cherry: [THINUSU])

// Fruits that a young tree may carry: so many per cm2 of trunk section. 4 (bears every other year) to 6. Source: [LOADUMASS]
double trunk_cm2(double diameter_mm);
inline double fruits_to_leave(double diameter_mm, double per_cm2) { return trunk_cm2(diameter_mm) * per_cm2; }

// Days after full bloom between which to look whether fruit is ripe: the usual day and two weeks to either side.
// Source: [RIPEUW]
Band ripe_from_bloom_d(double usual_d);
inline constexpr Band pears_ripen_indoors_weeks{1, 2};  // picked firm, not ripened on the tree. Source: [RIPEEXT]

// Keeping, degC. Source: [STOREUSDA], [STOREKSU]
inline constexpr Band apples_keep_best_degF{30, 32}, tender_apples_keep_degF{35, 38}, apples_at_home_degF{32, 40},
    apples_freeze_degF{28, 29}, pears_keep_best_degF{30, 31}, pears_ripen_degF{65, 70};
inline constexpr double pears_freeze_degF = 29;
// How much faster apples ripen than at 0 degC: doubled at 4.4, six times at 15.6; a straight line of the logarithm between.
// Source: [STOREUSDA]
double ripening_rate(double degC);

// Whether two trees help each other: flowering groups one apart at most (common practice, no source), and both give pollen
// (three sets of chromosomes: none of use). European and Asian plums do not serve each other. Source: [POLLUSU]
struct PollenTree {
    int group = 0;   // 0: unknown, taken to fit
    int ploidy = 2;
    std::string_view kind = "";
};
bool partners(const PollenTree&, const PollenTree&);
// Whether every one of them has a giver among the others.
bool all_served(std::span<const PollenTree>);

// Weeds in a pot: growth lost at half and at full cover, %, by the pot's litres; and how long a tree is kept clear.
// Source: [WEEDPOT] (two woody ornamentals); [WEEDON], [WEEDNY]
struct WeedLoss {
    double pot_l;
    double a_half_pct, a_full_pct, b_half_pct, b_full_pct;
};
std::span<const WeedLoss> weed_losses();
inline constexpr Band weed_free_new_months{5, 6}, weed_free_best_d{60, 90};
inline constexpr double weed_free_after_bloom_d = 30;  // of a bearing tree, from bud burst

// A final pot: years between repottings, cut from the ball, and fresh medium on top in the other years.
// Source: [REPOTNV] for 3 to 4 years, [REPOTASK]; else common practice, no source
inline constexpr Band repot_every_years{2, 4}, ball_cut_cm{2, 5}, top_dress_cm{3, 5};
// Water that washes salts out, litres: twice the pot. Source: [LEACHUC]
inline double leaching_l(double pot_l) { return 2 * pot_l; }

// Scion wood: one-year wood, pieces of 6 to 8 in with three buds or more. Source: [SCIONKSU]
inline constexpr Band scion_length_cm{15.24, 20.32};
inline constexpr int scion_buds_least = 3, scion_wood_years = 1;
// Dwarfing cherry stocks: vigour cut by half or more, full crop by the fourth leaf. Source: [STOCKPNW]
inline constexpr double dwarf_cherry_cut_pct = 50;
inline constexpr int dwarf_cherry_full_crop_leaf = 4;
// Citrus on trifoliate orange: a smaller and hardier tree. Source: [STOCKUF]
inline constexpr bool trifoliate_is_smaller = true, trifoliate_is_hardier = true;
// Whether stocks of a species rule its size as those of apple do (peach, plum, apricot: not). Source: [STOCKUSU]
bool stock_rules_size(std::string_view species);

}  // namespace tubgrove
