#pragma once
// Care jobs and a pot's year on a page.
#include "garden/answers.hpp"
#include "terminal.hpp"

#include <string>

namespace tubgrove {

std::string draw_jobs(const JobsAnswer& answer, Page page);
std::string draw_season(const SeasonAnswer& answer, LocalDay today, Page page);
// The jobs of a round, below its walk; nothing where there are none.
void draw_round_jobs(Drawing& drawing, const Round& round);

}  // namespace tubgrove
