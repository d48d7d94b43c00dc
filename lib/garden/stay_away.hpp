#pragma once
// What a plan for an absence and somebody's visit during one share. Private to this room.
#include "garden/inside.hpp"
#include "garden/walks.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

// Rain that nobody forecast is not counted on.
void without_usual_rain(WeatherSeen&);

std::optional<Refusal> too_long_away(LocalDay today, LocalDay from, LocalDay to);
Refusal no_pot_yet();

// Whether the configuration has walks in the evening.
bool has_evenings(const Walks&);
// A filling so near a walk stands for it. Own assumption
inline constexpr std::chrono::hours near_a_walk{3};

// Moments at which pots may be filled or looked at, in time order: by a walk's name, "" for the leaving and what is no walk.
struct WalkMoments {
    std::vector<Instant> at;
    std::vector<LocalDay> day;
    std::vector<std::string> walk;

    void add(Instant t, LocalDay d, std::string name) {
        at.push_back(t);
        day.push_back(d);
        walk.push_back(std::move(name));
    }
    std::size_t last() const { return at.size() - 1; }
    // The next morning's walk after a moment, or the last moment.
    Instant morning_after(std::size_t m) const {
        do ++m;
        while (m < last() && walk[m] != "morning");
        return at[m];
    }
};

// The moment so many hours on; the end of time where it is not within the outlook.
Instant moment_after(Instant, double hours);

Outcome<AbsenceAnswer> be_away(const Garden::Inside&, const View&, LocalDay from, LocalDay to);

// On the morning's list of the day that the configuration names: what the days after it would mean without a walk.
std::optional<Notice> days_off_notice(const Garden::Inside&, const View&, const Walk&);

}  // namespace tubgrove
