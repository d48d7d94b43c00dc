#include "ensemble/priors.hpp"

#include "keyed.hpp"

#include <charconv>
#include <cmath>

namespace tubgrove {
namespace {

constexpr std::array<std::string_view, prior_count> names{
    "leaf_area_sd",
    "leaf_area_answered_sd",
    "crown_sd",
    "crown_measured_sd",
    "capacity",
    "capacity_shop_mix",
    "capacity_rim_only",
    "threshold",
    "lower_limit",
    "lower_limit_mineral",
    "surface_exposure",
    "mulch_factor",
    "wall_clay",
    "wall_fabric",
    "wall_wood",
    "rain_capture",
    "bypass_bark",
    "bypass_other",
    "start_depletion",
    "start_planted",
    "ball_stated_sd",
    "ball_unstated_sd",
    "ball_bare_root_l",
    "ball_bench_graft_l",
    "root_front_mm_d",
    "exchange_h",
    "et0_own",
    "et0_published",
    "et0_by_hand",
    "et0_normals",
    "et0_guess_heat",
    "et0_forecast",
    "rain_own",
    "rain_published",
    "rain_by_hand",
    "rain_normals",
    "rain_missed",
    "poured_sd",
    "onset_sd",
    "onset_young_sd",
    "onset_lasting_sd",
    "stop_sd",
    "stop_overrun",
    "stop_ignored",
    "run_through_told",
    "feel_sd",
    "feel_practised_sd",
    "weigh_scale_kg",
    "weigh_growth_kg",
    "weigh_leaves_kg",
    "weigh_week_kg",
    "drained_sd",
    "wilt_sd",
    "temper",
    "resample_below",
    "shrink",
    "jitter",
    "drift_leaf_area_week",
    "drift_depletion_day_l",
    "drift_use_share",
    "temper_untold",
    "unlisted_poured",
    "shade_left",
    "roof_left",
    "shade_d",
    "weeds_demand",
    "rocked_roots",
    "rocked_d",
    "indoors_low_degC",
    "indoors_high_degC",
    "doubted_pour",
    "zone_off_sun_h",
};

bool finite(const PriorRow& p) {
    for (double x : {p.median, p.sd_ln, p.low, p.mode, p.high})
        if (!std::isfinite(x)) return false;
    return true;
}

std::string shortest(double x) {
    std::array<char, 32> digits{};
    return {digits.data(), std::to_chars(digits.data(), digits.data() + digits.size(), x).ptr};
}

struct Between {
    double low, high;
};
// Where the single number of a fixed row may lie: most are shares; a spread of 0 would make an observation exact.
Between limits_of(PriorKey k, const PriorRow& p) {
    switch (k) {
    case PriorKey::stop_overrun: return {1, 3};
    case PriorKey::doubted_pour: return {0.1, 100};
    case PriorKey::shrink: return {0.5, 1};
    case PriorKey::run_through_told: return {0, 0.99};
    case PriorKey::stop_sd:
    case PriorKey::feel_sd:
    case PriorKey::feel_practised_sd:
    case PriorKey::drained_sd:
    case PriorKey::wilt_sd:
    case PriorKey::rocked_roots: return {0.01, 1};
    case PriorKey::weigh_scale_kg: return {0.001, 100};
    case PriorKey::weeds_demand:
    case PriorKey::drift_leaf_area_week: return {0, 10};
    default: return {0, p.unit == "1" ? 1.0 : 1000.0};
    }
}

std::string complaint_of_shape(PriorKey k, const PriorRow& p) {
    switch (p.spread) {
    case Spread::fixed: {
        const auto [low, high] = limits_of(k, p);
        return p.median >= low && p.median <= high ? std::string() : "median must lie between " + shortest(low) + " and " + shortest(high);
    }
    case Spread::lognormal:
        if (p.median <= 0) return "median must be above 0 for a lognormal row";
        if (p.sd_ln < 0 || p.sd_ln > 3) return "sd_ln must lie between 0 and 3";
        return {};
    case Spread::triangular:
        if (p.low > p.mode || p.mode > p.high) return "low, mode and high must rise in this order";
        return {};
    }
    return {};
}

}  // namespace

std::string_view name_of(PriorKey k) { return names[std::size_t(k)]; }

std::optional<PriorKey> prior_key(std::string_view name) { return key_named<PriorKey>(names, name); }

std::string complaint(PriorKey k, const PriorRow& p) {
    if (!finite(p)) return "every number must be finite";
    if (p.source.empty()) return "source is missing: a citation key, or 'own assumption'";
    if (p.unit.empty()) return "unit is missing: 1 for a factor or a share";
    return complaint_of_shape(k, p);
}

std::optional<PriorKey> missing(const Priors& priors) { return first_unset<PriorKey>(priors.rows); }

}  // namespace tubgrove
