#pragma once
// From what the grower stated and the tables to what is believed of a pot: the one place where setups meet tables.
#include "ensemble/ensemble.hpp"
#include "plan/decision.hpp"
#include "plan/tables.hpp"
#include "pot/geometry.hpp"
#include "tree/phenology.hpp"

#include <span>
#include <string_view>
#include <variant>
#include <vector>

namespace tubgrove {

// The belief of a setup that holds from `since` on. Keys of medium, species, stock and words are those of the tables or
// empty; an unknown one falls back to the default row and is named in `because`.
std::variant<Belief, ImpossibleContainer> belief_of(const PotSetup&, const Tables&, LocalDay since);

// The canopy of each of consecutive days (days of the past and of the forecast in one span, from midwinter on if they are
// known), by the setup in force on it.
std::vector<DayCourse> course_of(const PotHistory&, const Tables&, const GrowingSite&, const Zone&, std::span<const DayRecord> days);

// What the tree that matters most is doing, for the price of dryness: by the stages that were seen, else by the canopy's
// computed full bloom. A crop counts where its bloom or set was seen, for 150 days from that bloom (own assumption).
Stage stage_of(const PotSetup&, const Canopy&, LocalDay day);

// "60 %" or "0.6" as a share 0..1.5; empty for a word.
std::optional<double> stated_share(std::string_view text);

}  // namespace tubgrove
