#pragma once
// From the daybook and the issued rounds to one pot's history: which lines were answered, and which were met by silence.
#include "ensemble/history.hpp"
#include "garden/pot_life.hpp"
#include "garden/walks.hpp"
#include "plan/round.hpp"

#include <map>
#include <optional>
#include <span>
#include <vector>

namespace tubgrove {

// What was told of a whole round: `did round`.
struct RoundTold {
    double share = 0;                    // 1 all, 0 none, 0.5 some
    std::int64_t by = 0;                 // the entry
    Instant at{};                        // when it was written
};

// The latest revision of a walk's round, as far as the view may see it.
struct IssuedWalk {
    Walk walk;
    Round round;
    std::optional<double> answered;      // `did round`: 1 all, 0 none, 0.5 some; empty: not asked or not answered
    std::int64_t answered_by = 0;        // the entry
    Instant answered_at{};               // when it was written
    std::vector<Round> earlier = {};     // revisions before `round`, oldest first
    // The pours of all of them are in order of the pots' ids.
    std::vector<RoundTold> told_before = {};  // answers to revisions of which the latest answer does not speak
    bool tells = false;                  // of some pot it was told on this walk that it ran through

    // The revision that somebody who answered at `t` had before them.
    const Round& read_at(Instant t) const;
    // The same among the revisions that list this pot; null when none does.
    const Round* read_at(Instant t, const std::string& pot) const;
    // All that was told of the round, oldest first: an answer to one revision takes the place of an earlier one to it.
    std::vector<RoundTold> told() const;
    void tell(RoundTold);
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

// The walk of which an entry speaks, as an index: the one that it names, else the last one issued before it. Empty: none.
std::optional<std::size_t> walk_of(std::span<const IssuedWalk>, const Entry&);

// Which share of a walk's listed pots was poured: told for the round, else by the pots' own entries when all of them
// have one. Empty: silence.
std::optional<double> poured_share(const IssuedWalk&, const Walk& next, std::span<const PotLife> lives);

// Whether a pot has had what a walk brings it, the list having been answered with all. A list that is asked for again on that
// walk lets it rest. Hours later, or once it was felt dry or seen wilting since, the list decides anew.
bool had_its_pour(const PotLife&, const IssuedWalk&, const Walk& next, Instant now);

struct HistoryBounds {
    Instant starts{};                    // of the estimate
    Instant until{};                     // walks from here on are not part of the past, nor entries after it
    Lasting lasting{};                   // of what was noted and holds for a while
};

// A setup is dated anew where its facts changed and where the configuration in effect described its bay otherwise.
PotHistory history_of(const PotLife& life, const GardenPast& past, const Configuration& configuration, const Zone& zone,
                      const HistoryBounds& bounds);

// The words of a bay at a moment; a bay that the configuration no longer names keeps the usual words.
Exposure exposure_at(const GardenPast& past, const std::string& bay, Instant t);

}  // namespace tubgrove
