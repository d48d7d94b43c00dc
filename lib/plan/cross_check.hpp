#pragma once
// The rules of thumb beside the decision: when the median pot would be watered, and by how much. The decision is by
// expected loss (plan/decision.hpp); a list that differs much from these is worth a look.
#include "ensemble/weights.hpp"
#include "units.hpp"

#include <span>

namespace tubgrove {

// Whether to water in this walk: more than `quantile` (0.2) of the members run dry before the next one.
// `dry_after_h`: hours from this walk, infinity for never; `next_h`: hours to the next walk.
// Source: pot-water model 9.3, own assumption
bool due_by_quantile(std::span<const double> dry_after_h, const Weights& weights, double next_h, double quantile);

// A pot at the walk. All rooted: missing_unrooted and available_unrooted 0, top_share 1.
struct Missing {
    double rooted_l = 0, unrooted_l = 0;      // D_r, D_u
    double available_unrooted_l = 0;          // A_u
    double top_share = 1;                     // lambda2, the ball's share of the top
    double bypass_scale = 0.5;                // s
};
struct Refill {
    int passes = 1;                           // at least 30 minutes apart
    double dose_l = 0;                        // of all passes
    double refill_l = 0;                      // of the ball; of the whole pot once half of its unrooted water is gone
    double short_l = 0;                       // what stays missing there
    double leaching = 0;                      // drained over poured
};
// Largest refill over 1..most_passes passes whose leaching stays within the limit, fewest passes within 2 % of the largest.
// What misses the ball of a new planting may drain on top of the limit.
// Source: [lam] for the absorption; the rule is an own assumption
Refill refill_dose(const Missing&, double leaching_limit, int most_passes);

}  // namespace tubgrove
