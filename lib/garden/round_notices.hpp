#pragma once
// What stands above the list: the question about silent rounds, and the notices.
#include "garden/water_now.hpp"
#include "plan/decision.hpp"
#include "plan/round.hpp"

#include <optional>
#include <span>
#include <vector>

namespace tubgrove {

// What the notices need of each pot.
struct PotSummary {
    std::string id, label;
    double spread = 0;          // width of the 80 % range of what is missing, as a share of what the pot can give
    bool water_told = true;     // false: neither a pour nor what was felt or weighed is known yet
    bool doubt = false;         // an observation that no member explains
    bool drains = true;         // false: water was seen standing, and nobody has told since that it runs through
};
PotSummary summary_of(const PotNow& pot, const Decision& decision);

// Whether weighings have tested the pot's estimate often enough to stop calling it uncalibrated: three, besides the
// reference weights. Own assumption
bool tested_by_weighing(const PotNow& pot);

// Whether anything is known of the water in a pot besides the weather: a pour, what was felt or weighed, or that it was just
// planted and watered in.
bool water_told(const PotNow& pot);

// How many rounds in a row, newest first, met silence.
int silent_rounds(const GardenPast& past);

// About the newest round that is over and that nobody answered; empty when there is none.
std::optional<Question> question_of(const GardenPast& past, const Walk& walk, Instant now, const Zone& zone,
                                    std::span<const PotSummary> pots);

// What tells whether the machine's clock can be right.
struct ClockSigns {
    std::optional<Instant> newest_learned;
    std::optional<Instant> confirmed;    // when a person last said that it is
};

std::vector<Notice> notices_of(const Round& round, const GardenNow& garden, const View& view, const Zone& zone,
                               std::span<const PotSummary> pots, const ClockSigns& clock);

// Only where the weather seen says that the newest forecast is too old: of when it was, and of what heat it spoke.
std::string forecast_too_old_text(const GardenNow& garden, const Zone& zone);

// Of a list that is asked for before its day has come.
Notice look_ahead_notice();
// Of a list that was not issued at its time, and cannot be any more.
Notice look_back_notice();
// For a list that is shown although the disk had no room to issue it.
Notice unkept_notice();

// Clock rules: a clock before the newest thing learned, or before the program was released, cannot be right.
bool implausible_clock(Instant now, std::optional<Instant> newest_learned);

// The days that the list's reasons name guessed inputs of: the seven before its own, whose later hours nobody can have measured.
std::span<const DayRecord> days_before(std::span<const DayRecord> days, LocalDay day);

}  // namespace tubgrove
