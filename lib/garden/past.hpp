#pragma once
// What the garden knows of its past at a moment: read from the store, seen through a view.
#include "garden/answers.hpp"
#include "garden/history.hpp"
#include "store/store.hpp"

namespace tubgrove {

// What a view may see was learned until then; empty: all of it.
std::optional<Instant> learned_until(const View& view);

// Entries that a view may see: learned until its moment, or with hindsight those that happened until then.
std::vector<Entry> entries_seen(const Store& store, const View& view);

// Pots, issued walks with their answers, and the bays in effect through time. `current` describes the bays from the
// first moment that no stored configuration speaks of.
GardenPast past_seen(const Store& store, const View& view, const Configuration& current, const Zone& zone);

// When somebody last said that the machine's clock is right.
std::optional<Instant> newest_confirmation(const Store& store);

}  // namespace tubgrove
