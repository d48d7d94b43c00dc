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
};

// A filling: litres at most, and what it likely takes.
struct Filling {
    Manner manner;
    Range80 likely_l;
};
Filling fill(const Outlook&, const Pouring&, Outlook::Run&);

// Hours for which at most `safe_chance` of the members come to harm as they stand; infinity: not within the outlook.
double safe_hours(const Outlook&, Outlook::Run, double harmed_share, double safe_chance);

// Fills the run's pots, and lets them stand. `outlook` reaches as far as it is asked for.
Lasts lasts_from(const Outlook&, const Pouring&, const Outlook::Run& before, double harmed_share, double safe_chance);

// The fillings at the moments after one that is done at the run's moment, in order, up to the first moment behind `safe_until`, that one
// included where it is the next. Each as if it were the first after that one.
std::vector<Filling> fillings_after(const Outlook&, const Pouring&, Outlook::Run filled, std::span<const Instant> moments, Instant safe_until);

// Water at hand for the visits, and what each takes of it, litres: needed_l[from][to] at `to` where the visit before it was at `from`.
struct Stock {
    double holds_l = 0;
    std::vector<std::vector<double>> needed_l;
};

// The fewest visits. Moment 0 is the filling on leaving, the last one the return; those between are when somebody could
// come. `safe_until[p][m]`: until when pot p is safe when filled at moment m. Empty: not even with a visit at each moment, or not
// with the water of the stocks. Of several plans with as few visits the one whose visits are latest, or that leaves more water.
std::optional<std::vector<std::size_t>> least_visits(std::span<const Instant> moments, std::span<const std::vector<Instant>> safe_until,
                                                     std::span<const Stock> stocks = {});

}  // namespace tubgrove
