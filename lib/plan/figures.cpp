#include "plan/figures.hpp"

#include "keyed.hpp"

namespace tubgrove {
namespace {

constexpr std::array<std::string_view, figure_count> names{
    "warmest_sd_K",
    "warmest_growth_K",
    "coldest_sd_K",
    "coldest_growth_K",
    "dew_sd_K",
    "dew_growth_K",
    "humidity_sd_pct",
    "humidity_growth_pct",
    "wind_sd_ln",
    "wind_growth_ln",
    "radiation_sd_ln",
    "radiation_growth_ln",
    "rain_sd_ln",
    "rain_growth_ln",
    "rain_missed",
    "rain_missed_growth",
    "rain_unforeseen",
    "rain_unforeseen_growth",
    "rain_unforeseen_mm",
    "rain_unforeseen_sd_ln",
    "rain_wet_mm",
    "forecast_trust_days",
    "forecast_history_d",
    "forecast_stale_d",
    "forecast_members",
    "forecast_persistence",
    "forecast_unproven_miss",
    "heat_percentile",
    "heat_window_d",
    "heat_days",
    "heat_least_years",
    "heat_over_usual_K",
    "heat_over_days",
    "heat_chance",
    "due_chance",
    "harmed_share",
    "safe_chance",
    "mulch_cm",
    "saucer_share",
    "group_wind_share",
    "worth_litres_share",
    "worth_dry_h",
    "worth_walks_share",
};

}  // namespace

std::string_view name_of(FigureKey k) { return names[std::size_t(k)]; }

std::optional<FigureKey> figure_key(std::string_view name) { return key_named<FigureKey>(names, name); }

std::string complaint(FigureKey k, const Price& row) {
    const bool share = k == FigureKey::heat_percentile || k == FigureKey::due_chance || k == FigureKey::safe_chance ||
                       k == FigureKey::harmed_share || k == FigureKey::forecast_persistence || k == FigureKey::heat_chance;
    if (share && !(row.value >= 0 && row.value < 1)) return "value must be a share from 0 to less than 1";
    // The rest is judged as a price is.
    return complaint(PriceKey::dry_hour_l, row);
}

std::optional<FigureKey> missing(const Figures& figures) { return first_unset<FigureKey>(figures.rows); }

}  // namespace tubgrove
