#pragma once
// What heat means for one pot, and what would help it, worked out for that pot. Private to this room.
#include "garden/each_pot.hpp"

namespace tubgrove {

// `filled`: the evening before the hottest day. Two walks: the pot is filled again twelve hours later.
struct HottestDay {
    LocalDay day{};
    Instant filled{}, walk{}, evening{}, next_walk{};
};
HeatPot heat_of(const Garden::Inside&, const PotNow&, const HottestDay&, Instant until);

// The setup after each of the changes that could help, those that change nothing left out.
struct Change {
    std::string what, bay, words;
    PotSetup setup;
};
std::vector<Change> changes_that_help(const PotSetup&, const Garden::Inside&);

}  // namespace tubgrove
