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
    std::vector<std::string> remarks = {};       // on what was taken, though it may not be what was meant
};

// A decimal comma is taken in amounts here, and only here: 2,5L is how a hand writes it.
Parsed<Did> parse_did(std::span<const std::string> words, const Names& names);

// What an entry that was written elsewhere holds that `did`, or the command that writes its action, would not have taken: an
// unknown action, a value that is missing or beyond its limits. Names of bays, stages and tables are not judged, since they
// may have been others then. Empty when it could have been written here.
struct WrongEntry {
    bool in_values = false;   // else in the action or in what the action needs beside its values
    Fault fault;
};
std::optional<WrongEntry> wrong_entry(const Entry& entry);

}  // namespace tubgrove
