#pragma once
// The prior of every uncertain quantity, as rows of config/priors.yaml (one row a key, each with its source).
// A row is lognormal (median, sd_ln), triangular (low, mode, high) or fixed (median only).
#include "prior.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

// What a row is about. The medians marked "tree" or "pot" come from those rooms; the row then has the spread only.
enum class PriorKey : unsigned char {
    // shape of a pot's unknowns
    leaf_area_sd,              // sd ln of k LAI, nothing known
    leaf_area_answered_sd,     // the same once leaves few/usual/dense is answered
    crown_sd, crown_measured_sd,
    capacity,                  // multiplier of container capacity, lognormal
    capacity_shop_mix,         // the same for a medium that nobody named
    capacity_rim_only,         // further factor where only the rim litres are known
    threshold,                 // factor on the tree's threshold suction, lognormal
    lower_limit,               // factor on the lower limit, lognormal
    lower_limit_mineral,       // the same in loam and soil
    surface_exposure,          // f_e, triangular
    mulch_factor,              // at full cover and 3 cm, triangular
    wall_clay, wall_fabric, wall_wood,   // kappa, triangular
    rain_capture,              // c_rain, lognormal
    bypass_bark, bypass_other, // bypass scale s, triangular
    start_depletion,           // D0/TAW of both stores, triangular
    start_planted,             // the same on the day of planting (watered in)
    ball_stated_sd, ball_unstated_sd,
    ball_bare_root_l, ball_bench_graft_l,
    root_front_mm_d,           // v, lognormal, before the stock's factor
    exchange_h,                // tau, lognormal
    // weather
    et0_own, et0_published, et0_by_hand, et0_normals,  // lasting factor of ET0 by the ladder's rung, lognormal
    et0_guess_heat,            // extra upward ln shift per kelvin above 28 degC where the weather was guessed, at a score of 1
    et0_forecast,              // of one forecast day, lognormal
    rain_own, rain_published, rain_by_hand, rain_normals,   // factor of rain by rung, lognormal
    rain_missed,               // chance that a forecast rain stays away
    // what people do and see
    poured_sd,                 // of stated litres, as sd ln
    onset_sd, onset_young_sd,  // sd ln of the litres at which water shows; while f_r < 0.9
    onset_lasting_sd,          // lasting error of that law in one pot
    stop_sd,                   // of the logarithm of the litres at which a gardener stopped, in the filter
    stop_overrun,              // poured beyond the onset when told to stop, factor
    stop_ignored,              // chance that a stop is ignored and the whole ceiling poured
    run_through_told,          // chance that a seen run-through is told
    feel_sd, feel_practised_sd,
    weigh_scale_kg, weigh_growth_kg, weigh_leaves_kg, weigh_week_kg,
    drained_sd,                // of drained litres, as a share of the dose
    wilt_sd,                   // of D_r at wilting, as a share of A_r
    // learning
    temper,                    // power on the weights of run-through, feel and wilting
    resample_below,            // effective share of members below which they are resampled
    shrink, jitter,            // at resampling
    drift_leaf_area_week,      // growth of the sd of ln L_e per week
    drift_depletion_day_l,     // what a day's depletion is unsure by, as sd
    drift_use_share,           // the same as a share of the day's use
    temper_untold,             // power on the weights of a done round of which no run-through was told
    unlisted_poured,           // chance that a walk without a list was done
    // what was noted and holds for a while
    shade_left,                // share of the light under a cloth of which nothing else was told, triangular
    roof_left,                 // share of the light under a rain roof
    shade_d,                   // days that a shade is counted without another word
    weeds_demand,              // what weeds in the pot add to the tree's demand, as a share of it
    rocked_roots,              // share of the roots' reach by volume that a loose ball keeps
    rocked_d,                  // days until torn roots are back
    indoors_low_degC, indoors_high_degC,   // between these the air of a bay indoors is held
    // what is asked about before it is believed
    doubted_pour,              // a pour above this share of the brim-full pot may be a slip
    zone_off_sun_h,            // hours that a zone's standard clock may stand off the sun of its own places
    count_
};
inline constexpr std::size_t prior_count = std::size_t(PriorKey::count_);

struct PriorRow {
    Spread spread = Spread::fixed;   // key `shape` of the row
    double median = 0;         // fixed, lognormal
    double sd_ln = 0;          // lognormal
    double low = 0, mode = 0, high = 0;   // triangular
    std::string unit;          // "1" for a factor or a share
    std::string source;
    bool set = false;
};

struct Priors {
    std::array<PriorRow, prior_count> rows;
    const PriorRow& operator[](PriorKey k) const { return rows[std::size_t(k)]; }
    PriorRow& operator[](PriorKey k) { return rows[std::size_t(k)]; }
    // The single number of a fixed row.
    double fixed(PriorKey k) const { return rows[std::size_t(k)].median; }
};

// The key's spelling in the file ("leaf_area_sd"), and back; empty for a word that is no key.
std::string_view name_of(PriorKey);
std::optional<PriorKey> prior_key(std::string_view name);
// What is wrong with a row, in words, or empty: a median not above 0, low <= mode <= high broken, no source, …
std::string complaint(PriorKey, const PriorRow&);
// The first key that has no row; empty when the table is whole.
std::optional<PriorKey> missing(const Priors&);

}  // namespace tubgrove
