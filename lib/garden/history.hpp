#pragma once
// From the daybook and the issued rounds to one pot's history: which lines were answered, and which were met by silence.
#include "ensemble/history.hpp"
#include "garden/pot_life.hpp"
#include "garden/walks.hpp"
#include "plan/round.hpp"

#include <map>
#include <span>
#include <vector>

namespace tubgrove {

// The latest revision of a walk's round, as far as the view may see it.
struct IssuedWalk {
    Walk walk;
    Round round;
    std::optional<double> answered;      // `did round`: 1 all, 0 none, 0.5 some; empty: not asked or not answered
    std::int64_t answered_by = 0;        // the entry
    Instant answered_at{};               // when it was written
    std::vector<Round> earlier = {};     // revisions before `round`, oldest first
    // The pours of all of them are in order of the pots' ids.

    // The revision that somebody who answered at `t` had before them.
    const Round& read_at(Instant t) const;
};

// The bays as a configuration described them, from when it was in effect.
struct BaysFrom {
    Instant since{};
    std::vector<Bay> bays;
};

struct GardenPast {
    std::vector<PotLife> lives;
    std::vector<IssuedWalk> issued;      // by start of the walk
    std::vector<RoundAnswered> answers;  // the same walks, as the garden-wide count of followed rounds takes them
    std::vector<BaysFrom> bays;          // oldest first, at least one; the first holds for all time before it
};

// Which share of a walk's listed pots was poured: told for the round, else by the pots' own entries when all of them
// have one. Empty: silence.
std::optional<double> poured_share(const IssuedWalk&, const Walk& next, std::span<const PotLife> lives);

struct HistoryBounds {
    Instant starts{};                    // of the estimate
    Instant until{};                     // entries and walks from here on are not part of the past
};

// A setup is dated anew where its facts changed and where the configuration in effect described its bay otherwise.
PotHistory history_of(const PotLife& life, const GardenPast& past, const Configuration& configuration, const Zone& zone,
                      const HistoryBounds& bounds);

// The words of a bay at a moment; a bay that the configuration no longer names keeps the usual words.
Exposure exposure_at(const GardenPast& past, const std::string& bay, Instant t);

}  // namespace tubgrove
