#pragma once
// A day's rain onto its hours. Used by complete.cpp.
#include "climate/ladder.hpp"

namespace tubgrove {

struct RainOfDay {
    Marked mm;
    Rung rung = Rung::own_readings;   // the lowest of those that gave rain; where none fell, of those that say so
    bool guessed = false;             // normals had to speak
};
// Gives each hour its rain and answers the day's. Hours that no series recorded get the day's total in one block at
// 15 h local time.
RainOfDay complete_rain(const Weather&, int day, std::vector<HourWeather>& hours);

}  // namespace tubgrove
