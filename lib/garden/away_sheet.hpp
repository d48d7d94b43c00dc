#pragma once
// The sheet of an absence, in words. Private to this room.
#include "garden/answers_ahead.hpp"

#include <span>

namespace tubgrove {

// "pot 7", "pot apple by the door"
std::string called(const AwayPot&);

// "Saturday 27 June in the morning and in the evening, Sunday 28 June in the morning"
std::string walks_said(std::span<const WalkOn>);

// "no visit", "1 visit: Saturday 27 June in the evening"; `one`, `more`: visit and visits, or walk and walks.
std::string visits_said(std::span<const WalkOn>, const std::string& one, const std::string& more);

// A precaution as it is said to whoever takes it: "fill twice, half an hour apart".
std::string words_of(const std::string& precaution, const std::string& bay);

// Visits of the same walk on days in a row that pour nearly the same get the same ceilings, the largest, and each visit its sum. A helper
// keeps one number a pot in mind; the hand stops where it runs through.
void same_each_time(std::vector<AwayVisit>&);

void write_sheet(AbsenceAnswer&);

}  // namespace tubgrove
