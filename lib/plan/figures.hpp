#pragma once
// The figures that looking ahead rests on, as rows of config/ahead.yaml: how far forecasts err before their own record tells,
// what counts as heat, when leaves are harmed, from where on a difference is worth having. One row a key, each with its source.
#include "plan/prices.hpp"

namespace tubgrove {

enum class FigureKey : unsigned char {
    // errors of a forecast for the day of issue, and their growth a day of lead; until the site's own record tells
    warmest_sd_K, warmest_growth_K,
    coldest_sd_K, coldest_growth_K,
    dew_sd_K, dew_growth_K,
    humidity_sd_pct, humidity_growth_pct,
    wind_sd_ln, wind_growth_ln,
    radiation_sd_ln, radiation_growth_ln,
    rain_sd_ln, rain_growth_ln,          // of the amount, where it rains on a day that was forecast wet
    rain_missed, rain_missed_growth,     // chance that a day forecast wet stays dry
    rain_unforeseen, rain_unforeseen_growth,   // chance that a day forecast dry turns wet
    rain_unforeseen_mm, rain_unforeseen_sd_ln, // how much then
    rain_wet_mm,                         // a day is wet from here on
    forecast_trust_days,                 // the prior counts as so many days of record
    forecast_history_d,                  // days back from which errors are learned
    forecast_stale_d,                    // a forecast older than this says nothing of what lies ahead
    forecast_members,                    // a single forecast becomes so many beside its middle one
    forecast_persistence,                // correlation of the errors of one day and the next
    forecast_unproven_miss,              // beside other sources, one without a record is taken to miss so many times the prior
    // heat
    heat_percentile, heat_window_d, heat_days, heat_least_years,
    heat_over_usual_K, heat_over_days,
    heat_chance,                         // an episode is told from this share of the members on
    // running dry and absence
    due_chance,                          // a walk is planned where more of the members would be dry before the next one
    harmed_share,                        // leaves are harmed at this share of the way from running dry to no water left
    safe_chance,                         // a plan is safe when no more of the members come to harm
    // what-if
    mulch_cm, saucer_share, group_wind_share,
    worth_litres_share, worth_dry_h, worth_walks_share,
    count_
};
inline constexpr std::size_t figure_count = std::size_t(FigureKey::count_);

struct Figures {
    std::array<Price, figure_count> rows;
    double operator[](FigureKey k) const { return rows[std::size_t(k)].value; }
    Price& row(FigureKey k) { return rows[std::size_t(k)]; }
};

std::string_view name_of(FigureKey);
std::optional<FigureKey> figure_key(std::string_view name);
// What is wrong with a row, in words, or empty.
std::string complaint(FigureKey, const Price&);
std::optional<FigureKey> missing(const Figures&);

}  // namespace tubgrove
