#pragma once
// What a plan for an absence and somebody's visit during one share. Private to this room.
#include "garden/inside.hpp"
#include "garden/walks.hpp"

#include <optional>

namespace tubgrove {

// Rain that nobody forecast is not counted on.
void without_usual_rain(WeatherSeen&);

std::optional<Refusal> too_long_away(LocalDay today, LocalDay from, LocalDay to);
Refusal no_pot_yet();

// Whether the configuration has walks in the evening.
bool has_evenings(const Walks&);
// A filling so near a walk stands for it. Own assumption
inline constexpr std::chrono::hours near_a_walk{3};

// The moment so many hours on; the end of time where it is not within the outlook.
Instant moment_after(Instant, double hours);

Outcome<AbsenceAnswer> be_away(const Garden::Inside&, const View&, LocalDay from, LocalDay to);

// On the morning's list of the day that the configuration names: what the days after it would mean without a walk.
std::optional<Notice> days_off_notice(const Garden::Inside&, const View&, const Walk&);

}  // namespace tubgrove
