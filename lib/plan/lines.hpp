#pragma once
// A decision as a line of the list, with its reasons in plain words.
#include "climate/day_record.hpp"
#include "plan/decision.hpp"
#include "plan/round.hpp"

#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// What a line says beside the decision's numbers.
struct LineFacts {
    std::string pot, label, bay;
    int order = 0;
    double rain_mm = 0;                  // since the last round
    bool rain_guessed = false;           // some of it is the month's usual rain
    double rain_caught_l = 0;            // of it, median
    std::vector<std::string> unknown;    // codes of what was never measured (Belief::because), weather included
    int silent_rounds = 0;               // in a row, unanswered
    bool calibrated = false;             // blind weighings have tested this pot
};

// Among a line's unknown: nothing was told yet of the water in the pot, so that a list must not claim that it is dry.
inline constexpr std::string_view water_unknown_code = "water-unknown";

PourLine pour_line(const Decision&, const Chances&, const LineFacts&, const Zone&);
RestLine rest_line(const Decision&, const Chances&, const LineFacts&, const Zone&);
bool pours(const Decision&);

// Codes for what of the weather was guessed in these days: "no-rain-gauge" where all their rain was, "rain-some-days" where some
// of it was told, "wind-guessed", …
std::vector<std::string> weather_unknowns(std::span<const DayRecord> days);

// The sentence of a code of something never measured, with what would help; the code itself for one that is not known.
std::string unknown_text(const std::string& code);

// "Sunday 14:00" of a moment, in the site's zone; "now" when it is not after `now`.
std::string day_and_clock(Instant t, Instant now, const Zone&);

}  // namespace tubgrove
