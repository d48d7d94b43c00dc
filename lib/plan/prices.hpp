#pragma once
// What the decision trades off, as rows of config/prices.yaml: everything is counted in litres of water.
#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

enum class PriceKey : unsigned char {
    dry_hour_l,            // an hour dry before the next walk, L
    dry_later_share,       // the weight of an hour dry in the day after that walk, 0..1
    drained_l,             // a litre lost at the bottom, L
    pour_l,                // walking to a pot with one pass, L
    second_pass_l,         // the second pass of the same walk, L
    ceiling_slack_l,       // expected loss that a longer ceiling of a run-through pour may cost: what it then tells is worth it
    caution_low, caution_high,   // factors on dry_hour_l; usual is 1
    stage_dormant,         // factors on dry_hour_l by what the tree is doing
    stage_first_year,
    stage_bloom_to_set,
    stage_fruit,
    stage_other,
    hot_evening_et0_mm,    // a day whose ET0 is above this gets an evening round
    count_
};
inline constexpr std::size_t price_count = std::size_t(PriceKey::count_);

struct Price {
    double value = 0;
    std::string unit;
    std::string source;
    bool set = false;
};

struct Prices {
    std::array<Price, price_count> rows;
    double operator[](PriceKey k) const { return rows[std::size_t(k)].value; }
    Price& row(PriceKey k) { return rows[std::size_t(k)]; }
};

std::string_view name_of(PriceKey);
std::optional<PriceKey> price_key(std::string_view name);
// What is wrong with a row, in words, or empty.
std::string complaint(PriceKey, const Price&);
std::optional<PriceKey> missing(const Prices&);

}  // namespace tubgrove
