#pragma once
// Who walks where with how much: the pours of a round as cans, tap by tap, and what they weigh.
#include "intake/configuration.hpp"
#include "plan/round.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// Where a pot stands in the walk: bays by their order, then by id; pots of a bay by id, numbers by value ("7" before "10").
bool walks_before(const Bay& bay_a, std::string_view pot_a, const Bay& bay_b, std::string_view pot_b);
// "pot 7" before "pot 10": runs of digits compare as numbers.
bool label_before(std::string_view a, std::string_view b);

// Which of the taps serves a bay: the first that is near it, else the first of all.
std::size_t tap_of(const std::string& bay, const Carry& carry);

// Cans for pours that stand in walking order: for each tap the first passes, then (half an hour later) the second ones.
// A can is filled with what its pours need, up to its size; a pour that does not fit is shared by two cans. A bay that no
// tap is near is served from the first tap. Ceilings of a run-through pour are carried whole, half a pass.
// Preconditions: carry.can above 0, carry.cans at least 1.
std::vector<Trip> trips_of(std::span<const PourLine> pours, const Carry& carry);

// The notice about weight when the heaviest trip calls for one: about 1 kg a litre and the can itself.
// Own assumption: the line at 10 kg together
std::optional<Notice> weight_notice(std::span<const Trip> trips);

}  // namespace tubgrove
