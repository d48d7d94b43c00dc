#pragma once
// A day's rain onto its hours. Used by complete.cpp.
#include "climate/ladder.hpp"

namespace tubgrove {

// Gives each hour its rain and answers the day's. Hours that no series recorded get the day's total in one block at
// 15 h local time. Sets `guessed` where normals had to speak.
Marked complete_rain(const Weather&, int day, std::vector<HourWeather>& hours, bool& guessed);

}  // namespace tubgrove
