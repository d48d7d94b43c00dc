#pragma once
// The morning's list as text: the question first, then what could hurt, then the walk.
#include "garden/answers.hpp"
#include "terminal.hpp"

#include <string>

namespace tubgrove {

std::string draw_round(const RoundAnswer& answer, const Zone& zone, Page page);
// For paper: A4 at ten characters an inch, 60 lines a page, a form feed between pages, boxes to tick.
std::string draw_sheet(const Round& round, const Zone& zone);

// Cans and walks, a line a trip.
void draw_cans(Drawing& drawing, const std::vector<Trip>& trips);

}  // namespace tubgrove
