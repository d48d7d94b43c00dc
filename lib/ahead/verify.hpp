#pragma once
// What was foreseen beside what came: how good a source was, told by days of lead.
#include "ahead/forecast_errors.hpp"

namespace tubgrove {

struct Verified {
    Foreseen quantity = Foreseen::warmest;
    int lead = 0;
    int days = 0;                    // compared
    double bias = 0;                 // mean of forecast less reading; of wind and radiation a ratio less 1
    double miss = 0;                 // mean absolute error, in the quantity's unit
    double same_miss = NAN;          // the same of "same as yesterday": the day before the issue stands for all that follow
    double skill = NAN;              // 1 - miss/same_miss: 1 never wrong, 0 no better, below 0 worse; NaN: nothing to compare with
    double held_share = 0;           // of the 80 % ranges that could be given on the day of issue from what was known then
};

// By quantity, then lead; only what was compared. `read`: what was read of each day. Rain's range is counted by the share of
// the outcome's own probability inside it, since many days are dry.
std::vector<Verified> verify(std::span<const Compared>, const std::map<LocalDay, DayValues>& read, const Figures&);

// One day as the whole garden foresaw it, with its range, and what it came to; `same`: the day before that look.
struct ForeseenDay {
    int lead = 0;
    double low = 0, middle = 0, high = 0;
    double came = 0, same = NAN;
};
// By lead; the quantity's name is the caller's. Errors are foreseen less come.
std::vector<Verified> tally(std::span<const ForeseenDay>);

// A chance that was foreseen for a day, and whether it came; `same`: whether it was so on the day before that look.
struct ForeseenChance {
    int lead = 0;
    double chance = 0;
    bool came = false, same = false;
};
struct VerifiedChance {
    int lead = 0;
    int days = 0;
    double foreseen_share = 0, came_share = 0;   // means: alike where chances are what they say
    double brier = 0, same_brier = 0;            // mean of (chance - came)^2: 0 never wrong
    double skill = NAN;                          // 1 - brier/same_brier; NaN: "same as yesterday" was never wrong
};
// By lead.
// Source: [BRIER]
std::vector<VerifiedChance> tally(std::span<const ForeseenChance>);

}  // namespace tubgrove
