#pragma once
// The largest sensible pour by rule: a cross-check of the decision, which goes by expected loss.

namespace tubgrove {

struct DoseCase {
    double depletion_rooted_l = 0, depletion_unrooted_l = 0;
    double available_unrooted_l = 0;
    double top_share = 1;              // the ball's part of the top; 1: all rooted
    double bypass_scale = 0.5;
    int passes_most = 3;
    double leaching_most = 0.15;       // of the pour
};

struct Dose {
    int passes = 1;
    double pour_l = 0;                 // all passes together
    double refill_l = 0;               // of what was to be refilled: the ball, or the whole pot
    double short_l = 0;                // what stays missing of it
    double leaching = 0;               // share of the pour that drains
};

// Largest refill over one to `passes_most` passes whose drained share keeps the limit; of those within 2 % of the largest the
// one with the fewest passes. A new planting: refill means the ball, and what misses it may drain on top of the limit, or a
// dry ball in a full pot would get nothing; once half of the unrooted water is gone the whole pot is refilled.
// Source: absorption after [LAM]; limit [LF]; the rule is an own assumption
Dose dose_by_rule(const DoseCase&);

}  // namespace tubgrove
