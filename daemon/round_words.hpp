#pragma once
// What screen and paper say of a pot on the list, and what both say once below it.
#include "plan/round.hpp"

#include <string>
#include <vector>

namespace tubgrove {

// "Needs 0.2 to 5.5 L; without water dry today 12:36."
std::string need_said(const PourLine& line, LocalDay day, const Zone& zone);
// What is special about this pot on this day, and no notice of its list tells, as one sentence; empty when nothing is.
std::string special_said(const PourLine& line, const Round& round);

// Several pots and what is true of all of them.
struct Gathered {
    std::vector<std::string> pots;
    std::string text;
};
std::string said(const Gathered& gathered, const Round& round);

// Advice that concerns several pots alike, once each.
std::vector<Gathered> advice_of(const Round& round);
// Why the ranges are wide: what is not known, and of which pots. What a notice says already is left out.
std::vector<Gathered> unknowns_of(const Round& round);

}  // namespace tubgrove
