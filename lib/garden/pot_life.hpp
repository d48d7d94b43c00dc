#pragma once
// What the daybook says of each pot: the facts that held from each moment on, and the entries that are not struck.
#include "daybook.hpp"
#include "ensemble/setup.hpp"
#include "intake/facts.hpp"

#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// Which entry gave a fact, and from when it holds.
struct FactOrigin {
    std::int64_t entry = 0;
    LocalDay since{};
};

struct FactsFrom {
    Instant since{};
    Facts facts;
    std::map<std::string, FactOrigin> origins;   // by fact key
    LocalDay in_this_pot_since{};                // planting or last repotting
    std::map<std::string, double> leaf_share;    // by tree, after this season's pruning
};

struct PotLife {
    std::string id;
    std::vector<FactsFrom> facts;                // oldest first, at least one
    std::vector<Entry> entries;                  // about this pot, not struck, by `when`
    std::optional<Instant> retired;

    bool lives_at(Instant t) const { return facts.front().since <= t && (!retired || t < *retired); }
    const FactsFrom& facts_at(Instant t) const;  // the first where t is earlier
};

// Whether a tree stands in the pot; one whose tree died or was taken out needs no water.
bool has_tree(const Facts& facts);

// Ids of entries that a later entry strikes. Striking a striking entry brings the first one back.
std::set<std::int64_t> struck_ids(std::span<const Entry> entries);

// Every pot that an entry added, in the order of their adding. Entries come in any order.
std::vector<PotLife> pot_lives(std::span<const Entry> entries, const Zone& zone);

// The pot as the model needs it, with pruning applied; complaints are sentences for the pot's owner.
Read<PotSetup> setup_at(const PotLife& life, const FactsFrom& facts);

// The facts that an entry other than `added` and `changed` states: moved, repotted, mulched, crown, stage, graft-taken, died.
std::vector<Fact> facts_stated_by(const Entry& entry, const Facts& before, const Zone& zone);

}  // namespace tubgrove
