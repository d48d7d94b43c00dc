#include "plan/prices.hpp"

#include "keyed.hpp"

#include <cmath>

namespace tubgrove {
namespace {

constexpr std::array<std::string_view, price_count> names{
    "dry_hour_l",
    "dry_later_share",
    "drained_l",
    "pour_l",
    "second_pass_l",
    "ceiling_slack_l",
    "caution_low",
    "caution_high",
    "stage_dormant",
    "stage_first_year",
    "stage_bloom_to_set",
    "stage_fruit",
    "stage_other",
    "hot_evening_et0_mm",
};

}  // namespace

std::string_view name_of(PriceKey k) { return names[std::size_t(k)]; }

std::optional<PriceKey> price_key(std::string_view name) { return key_named<PriceKey>(names, name); }

std::string complaint(PriceKey, const Price& p) {
    if (!std::isfinite(p.value) || p.value < 0) return "value must be a number of 0 or more";
    if (p.source.empty()) return "source is missing: a citation key, or 'own assumption'";
    if (p.unit.empty()) return "unit is missing: 1 for a factor or a share";
    return {};
}

std::optional<PriceKey> missing(const Prices& prices) { return first_unset<PriceKey>(prices.rows); }

}  // namespace tubgrove
