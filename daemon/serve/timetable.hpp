#pragma once
// When the next round is due: a plain function of the clock, the walks and what was issued. It is asked anew after every
// round, when the clock was set and when the configuration changed, so nothing of it has to be remembered: a board that was
// off, a clock that jumped and summer time neither drop a round nor issue one twice.
#include "garden/walks.hpp"

#include <functional>
#include <optional>

namespace tubgrove {

// How it stands with the round of a walk.
enum class Stand : unsigned char {
    open,    // not issued
    issued,
    none,    // there is no such walk after all: an evening that is not hot
};
using StandOf = std::function<Stand(const Walk&)>;

struct NextIssue {
    Walk walk;
    Instant at{};  // not after now: it is due
};

// Due is the newest walk of today whose hour of issue has come, if it is open, however late; a round comes too late when a later
// walk's was issued or the day is over. Else the first one to come. The hour of issue never lies before the walk's own
// day, to which a round belongs from midnight on.
NextIssue next_issue(Instant now, const Walks& walks, const Zone& zone, const StandOf& stand_of);

// What speaks for and against the clock of the machine.
struct ClockSigns {
    Instant built{};                          // the program cannot run before it was built
    std::optional<Instant> newest_learned{};  // nothing was learned later than now
    std::optional<Instant> confirmed{};       // a person said at this time of the clock that it is right
};

// A small board wakes with the clock of long ago. Before the newest that was learned, less five minutes for clocks that are
// being set right, or before the program was built, a clock is not to be believed, unless a person confirmed it since.
bool is_plausible(Instant now, const ClockSigns& signs);

// When this program was built; 0 where the build does not say.
Instant built_at();

}  // namespace tubgrove
