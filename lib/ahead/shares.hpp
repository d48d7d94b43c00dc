#pragma once
// Several forecasts of the same days: how much each source counts, and the middle of a source that has members of its own.
#include "ahead/forecast_errors.hpp"

#include <span>
#include <vector>

namespace tubgrove {

// Mean over the leads 0..furthest of the square of a source's miss of the day's highest, as a multiple of the prior's:
//   r = mean (sd^2/sd0^2 + n0 (u^2 - 1)/(n + n0)),  u: forecast_unproven_miss
// of n days compared and n0 days that the prior counts. So a source without a record has u^2, and its own record takes over from
// that as it does from the prior. `bias_stays`: what it errs on the mean is not taken off its members, and counts as well.
// Own construction
double relative_miss(const ForecastErrors&, int furthest, bool bias_stays, const Figures&);

// So many members (even) shared out in pairs by 1/r, the largest remainders first; among equal ones the first.
std::vector<int> share_out(int members, std::span<const double> relative_misses);

// The middle of several members, by interval: the median of each quantity that was told. Rain keeps the hours of the members' mean
// and comes to the median of their local days.
std::vector<Observation> middle_of(std::span<const std::vector<Observation>> members, const Zone&);

}  // namespace tubgrove
