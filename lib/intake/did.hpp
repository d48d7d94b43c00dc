#pragma once
// The words after `did`, and the daybook as CSV.
#include "daybook.hpp"
#include "intake/facts.hpp"

#include <iosfwd>

namespace tubgrove {

// `7 8 watered 2.5L`: pots, then an action of actions(), then what it takes. `7.b died` speaks of tree b in pot 7: values
// then hold "tree". `round [ID] all|some|none`: action is "round", values hold "poured", and `round` the id if one was named.
struct Did {
    std::vector<std::string> pots;
    std::string action;
    std::map<std::string, std::string> values;   // as in Entry::values
    std::string round;
};

// A decimal comma is taken in amounts here, and only here: 2,5L is how a hand writes it.
Parsed<Did> parse_did(std::span<const std::string> words, const Names& names);

}  // namespace tubgrove
