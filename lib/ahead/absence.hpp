#pragma once
// Being away: how long each pot lasts from a filling, and on which days somebody must come so that none is harmed.
#include "ahead/pot_ahead.hpp"

#include <optional>
#include <span>
#include <vector>

namespace tubgrove {

// How long a pot lasts from one filling on.
struct Lasts {
    Range80 checked_after_h;                 // growth checked: it runs dry; infinity: not within the outlook
    Range80 harmed_after_h;                  // leaves harmed
    double safe_h = 0;                       // until then at most `safe_chance` of the members have come to harm
    Range80 pour_l;                          // of the filling
    Until until = Until::run_through;
};

// Hours for which at most `safe_chance` of the members come to harm as they stand; infinity: not within the outlook.
double safe_hours(const Outlook&, Outlook::Run, double harmed_share, double safe_chance);

// Runs to `filled`, fills, and lets it stand. `outlook` reaches as far as it is asked for.
Lasts lasts_from(const Outlook&, const Pouring&, const Outlook::Run& before, double harmed_share, double safe_chance);

// The same from each of several moments, in order; each filling follows days without any, so that what was given on the
// way before makes it last longer, never shorter.
std::vector<Lasts> lasts_from_each(const Outlook&, const Pouring&, std::span<const Instant> moments, double harmed_share, double safe_chance);

// The fewest visits. Moment 0 is the filling on leaving, the last one the return; those between are when somebody could
// come. `safe_until[p][m]`: until when pot p is safe when filled at moment m. Empty: not even with a visit at each moment. Of
// several plans with as few visits the one whose visits are latest.
std::optional<std::vector<std::size_t>> least_visits(std::span<const Instant> moments, std::span<const std::vector<Instant>> safe_until);

}  // namespace tubgrove
