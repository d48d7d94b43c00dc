#pragma once
// The year of a tree: heat sums, stages, and the share of its leaves that it bears on each day.
#include "calendar.hpp"
#include "tree/species.hpp"

#include <array>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// Words of the stages, in the order of the year; a species skips what it lacks. First leaf: leaf area begins to grow.
inline constexpr std::array<std::string_view, 15> stage_names{
    "dormant", "swelling", "green-tip", "first-leaf", "cluster", "colour", "first-bloom", "full-bloom", "petal-fall",
    "fruit-set", "natural-drop", "fruit-growth", "ripening", "harvest-over", "leaf-fall"};

struct GrowingSite {
    double latitude_deg = 0;             // north positive; south of the equator the year begins on 1 July
    double elevation_m = 0;
};

struct SeasonDay {
    LocalDay day{};
    double max_degC = 0, min_degC = 0, mean_degC = 0;
    double daylight_h = 12;
};

// Share of the full leaf area at `dd4`, degree days above 4 degC since first leaf: spur leaves are out after 350, shoot leaves
// after 850. Source: built from [EISENSMITH] (sour cherry) and [FORSHEY] (apple); own assumption
double leaf_share_at(double dd4);

// A sum that learns: (2 prior + sum of seen)/(2 + n). Own assumption
double learned_sum_dd(double prior_dd, std::span<const double> seen_dd);

// Day of the season (0 at midwinter) of an apple's full bloom where no heat sum is known: 110 + 4 (|lat| - 45) + 4 z/122 m, sd 20 d.
// Source: [HOPKINS], from memory; day 110 is an own assumption
double usual_bloom_day(const GrowingSite&);

// A day in a tree's year.
struct TreeDay {
    double leaf_share = 0;                   // of the full leaf area, 0..1
    std::optional<LocalDay> full_bloom;      // of this season, computed or seen; empty before it and without a heat sum for it
};

// Each of consecutive days. Leaf shares: Evergreens: 1. Deciduous kinds: none from midwinter to first leaf, then by
// leaf_share_at, and from leaf fall to zero over 21 days. `observed`: this and earlier seasons' stages by name; an observed
// stage wins over the computed one and moves what follows; an observed leaf fall (half the leaves down) is the middle of its
// 21 days, a computed one their beginning: the first day when daylight is under 11 h and the mean of ten days under 8 degC, or
// five days after the first night of -3 degC. Where the days begin later than midwinter the heat so far is estimated from
// usual_bloom_day at 6 K d a day. Source of the leaf fall rule: own assumption, sd 12 d
std::vector<TreeDay> tree_days(const Species&, const GrowingSite&, std::span<const SeasonDay> days,
                               const std::map<std::string, LocalDay>& observed);
// Of these the leaf shares alone.
std::vector<double> leaf_shares(const Species&, const GrowingSite&, std::span<const SeasonDay> days,
                                const std::map<std::string, LocalDay>& observed);

}  // namespace tubgrove
