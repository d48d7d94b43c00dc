#pragma once
// One pot's life as the ensemble needs it: what the pot was, and what was done to it and seen of it, in time order.
// The garden builds it from the daybook and the issued rounds; nothing here is a guess.
#include "calendar.hpp"
#include "ensemble/setup.hpp"
#include "plan/round.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

namespace tubgrove {

// Water that somebody says was given ("watered 2.5L"), all passes together.
struct Poured {
    double pour_l = 0;
    int passes = 1;
    double sd_share = 0.15;             // how well the litres are known, as a share of them: 0.15 stated, 0.3 only inferred
    std::optional<bool> ran_through;    // told that water came out below (true) or that none did (false)
    bool stopped = true;                // ran through: the gardener stopped there; false: it showed somewhere on the way
    bool tells = true;                  // the gardener told on that walk of pots that ran through, so that saying nothing says something
};

// The line that an issued round had for this pot, with what became of it.
struct Listed {
    std::string round;                  // id
    double pour_l = 0;                  // of all passes; a ceiling with Until::run_through
    int passes = 1;
    Until until = Until::amount;
    std::optional<double> share;        // answered: 1 all, 0 none, between for "some"; empty: silence
    double followed = 0.8;              // how often silence hides a done round in this garden (followed_share below)
    std::optional<bool> ran_through;    // "ran-through" without litres: the listed pour, less surely
    bool tells = true;                  // whoever answered told of pots that ran through, so that saying nothing says something
};

// A walk for which no list was issued: somebody may have watered, as likely as not.
struct Unlisted {
    std::string walk;                   // id that the round would have had; it seeds which members got it
};

enum class Moisture : unsigned char { dry, barely_moist, moist, wet };   // NRCS classes, 0-25 … 75-100 % of available water

struct Felt {
    Moisture moisture = Moisture::moist;
    bool practised = false;
};
struct Weighed {
    double mass_kg = 0;
    bool drained = false;               // watered full and left to drain for half an hour: the reference weight
};
struct Drained {                        // what ran out below after the last pour
    double drained_l = 0;
};
struct Wilted {};                       // at noon, and it recovered
struct NotWilted {};                    // looked at on a hot day and found firm: the opposite observation
struct Emptied {};                      // the saucer, or what stood in a pot
struct Fed {};                          // kept for completeness; no effect on water

struct Happened {
    Instant at{};
    std::int64_t entry = 0;             // the daybook's entry; 0 for a round that nobody answered
    std::variant<Poured, Listed, Unlisted, Felt, Weighed, Drained, Wilted, NotWilted, Emptied> what;
};

struct DatedSetup {
    Instant since{};
    PotSetup setup;
};

struct PotHistory {
    std::string pot;                    // the id; it seeds the members, so the same pot always gets the same ones
    Instant starts{};                   // when the estimate begins: the first weather, or when the pot was filled
    std::vector<DatedSetup> setups;     // oldest first; the first not later than `starts`
    std::vector<Happened> events;       // oldest first; equal times in the order of arrival
};

// How one issued round was answered, over the whole garden.
struct RoundAnswered {
    std::string round;
    Instant at{};                       // of the walk
    std::optional<double> share;        // of the listed pots that were poured; empty: silence, which teaches nothing
};

// Counts of followed and not followed rounds: a beta distribution that starts at (8, 2) and never weighs more than 50.
struct Followed {
    double done = 8, undone = 2;
    double mean() const { return done / (done + undone); }
};
// Adds one answer, or the poured share of the members once an observation has weighted them.
Followed add(Followed, double share);
// The counts that hold for a round at `before`: every answer to an earlier round, in time order.
Followed followed(std::span<const RoundAnswered> rounds, Instant before);

}  // namespace tubgrove
