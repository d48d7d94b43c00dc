#pragma once
// One deterministic forecast as several: its middle one, rid of the source's bias, and others spread by how far that source has
// erred at each lead. The same inputs give the same members; nothing is drawn by chance.
#include "ahead/forecast_errors.hpp"

#include <optional>
#include <span>
#include <vector>

namespace tubgrove {

// Standard normal scores of one quantity: a row a day of lead, a column a member. Within a row they are the evenly spaced
// quantiles in an order of their own; from row to row the order keeps `persistence` of itself. Member 0 has the score 0
// throughout, so the number of members counts it and is odd.
std::vector<std::vector<double>> member_scores(Foreseen, int days, int members, double persistence);

struct SpreadPlace {
    const Zone& zone;
    double latitude_deg = 0, elevation_m = 0;  // a member's sun is never brighter than a clear sky
};

// The observations of one member. `issued`: the lead of a day counts from its day. `beside`: how many members there are beside the
// middle one, an even number; empty: as many as the table says.
std::vector<Observation> member_of_forecast(std::span<const Observation> forecast, Instant issued, const ForecastErrors&,
                                            const Figures&, const SpreadPlace&, int member, std::optional<int> beside = {});

}  // namespace tubgrove
