#pragma once
// Heat: what counts as it, by the site's own record or by a published definition, and when it is coming.
#include "calendar.hpp"
#include "ensemble/setup.hpp"
#include "plan/figures.hpp"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// Which days of a row stand in a run of at least `least` days that are all above.
std::vector<bool> in_a_run(const std::vector<bool>& above, int least);
// Quantile 0..1 of values in any order, straight lines between them; at least one value.
double sample_quantile(std::vector<double> values, double p);

// What a day's highest must pass, and for how many days in a row.
struct HeatRule {
    double above_degC = 0;
    int days = 3;
    std::string by;                          // "record": percentile of other years' days; "usual": above the usual highest
};
// `record`: highest temperatures of past days, degC. From the days of other years within half a window of the day's date, where at
// least `heat_least_years` years have most of theirs: the percentile [PERKINS13]. Else, where the usual highest of the
// day is known: so many kelvins above it [FRICH02]. Empty: neither is known.
std::optional<HeatRule> heat_rule(LocalDay day, const std::map<LocalDay, double>& record, std::optional<double> usual_max_degC, const Figures&);

struct HeatEpisode {
    LocalDay first{}, last{};
    double chance = 0;                       // the share of the members that have a run on any of its days
    double peak_degC = 0;                    // the highest of its days' medians over all members
    double above_degC = 0;                   // the rule's, on the first day
    std::string by;
    int days_in_a_row = 3;
};
// `maxima`: a row a forecast member over the same days, degC; `rules`: one a day, empty where nothing is known (never heat).
// A day counts in a member that has it in a run; days on which at least `heat_chance` of the members do make an episode. Where
// members have their runs on different days that may be fewer days than the rule asks for: then the neighbours with the larger chance
// join it, as far as there are days.
std::vector<HeatEpisode> heat_episodes(LocalDay first, std::span<const std::vector<double>> maxima,
                                       std::span<const std::optional<HeatRule>> rules, const Figures&);

// How much sun and heat reach the roots, without a figure: by the pot's colour and wall, the sun on it and what it stands on.
// Classes: low, raised, high. Source: [POTCOLOUR] for colour; the combination is an own assumption
enum class RootHeatRisk : unsigned char { low, raised, high };
struct RootPlace {
    Wall wall = Wall::plastic;
    Colour colour = Colour::unknown;
    double light_share = 1;                  // of the open sun
    bool hot_ground = false;                 // paving, decking, gravel
};
RootHeatRisk root_heat_risk(const RootPlace&);
// Whether roots would be worse off there: in a higher class; or in the same one, where that is not low, without less sun or on ground that
// is hot while this is not. Own assumption
bool worse_for_roots(const RootPlace& here, const RootPlace& there);
std::string_view name_of(RootHeatRisk);

}  // namespace tubgrove
