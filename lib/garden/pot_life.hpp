#pragma once
// What the daybook says of each pot: the facts that held from each moment on, and the entries that are not struck.
#include "daybook.hpp"
#include "ensemble/priors.hpp"
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

// What a pruning took of a tree's leaves.
struct Pruned {
    LocalDay day{};
    double share = 0;
};

// A cloth over a tree, and the share of the light that it takes, if that was told.
struct Shade {
    LocalDay day{};
    std::optional<double> share;
};

struct FactsFrom {
    Instant since{};
    Facts facts;
    std::map<std::string, FactOrigin> origins;   // by fact key
    LocalDay in_this_pot_since{};                // planting or last repotting
    bool since_untold = false;                   // nobody said since when: taken as the day when it was added
    LocalDay mulch_laid{};                       // of the mulch's depth
    LocalDay roots_cut{};                        // last pruning of the roots
    bool roofed = false, wrapped = false;        // a rain roof over the tree; the wall wrapped for winter
    bool on_feet = false;                        // raised out of its saucer's water
    std::optional<GrownIn> grown_in;             // what its trees stood in before the last repotting
    std::optional<Shade> shade;                  // put up and not taken down
    std::optional<LocalDay> weeds, blocked, rocked;   // seen last, and nothing noted since that ends it
    std::map<std::string, std::vector<Pruned>> pruned;   // by tree, since its leaves were last told or its crown measured
};

struct PotLife {
    std::string id;
    std::vector<FactsFrom> facts;                // oldest first, at least one
    std::vector<Entry> entries;                  // about this pot, not struck, by `when`
    std::optional<Instant> retired;

    bool lives_at(Instant t) const { return facts.front().since <= t && (!retired || t < *retired); }
    const FactsFrom& facts_at(Instant t) const;  // the first where t is earlier
};

// When the youngest tree with a stated day was planted.
std::optional<LocalDay> last_planting(const Facts& facts);
// Litres of the medium, and those that fill the empty pot to its brim, as far as the facts tell.
std::optional<double> medium_l(const Facts&);
std::optional<double> brim_l(const Facts&);
// Whether a tree stands in the pot; one whose tree died or was taken out needs no water.
bool has_tree(const Facts& facts);

// Ids of entries that a later entry strikes. Striking a striking entry brings the first one back.
std::set<std::int64_t> struck_ids(std::span<const Entry> entries);

// Every pot that an entry added, in the order of their adding. Entries come in any order.
std::vector<PotLife> pot_lives(std::span<const Entry> entries, const Zone& zone);

// The pot as the facts state it; complaints are sentences for the pot's owner.
Read<PotSetup> setup_at(const PotLife& life, const FactsFrom& facts);

// How long what was noted is taken to last when nothing is noted of its end, in days.
struct Lasting {
    int shade_d = 0, rocked_d = 0;
};
Lasting lasting_of(const Priors&);
// What care and time have made of it on a day: the mulch worn, the leaves that prunings took and that are not back yet, no rain
// under a roof, no water through a wrapped wall or back from a saucer under feet, shade, weeds, blocked holes, a loose ball. Its
// exposure must be set before.
void settle(PotSetup&, const FactsFrom&, const Lasting&, LocalDay day);
// Days between two facts on which `settle` makes a difference worth a step of the model: a mulch every 30 days, as long as a
// centimetre of it is left, the days when pruned leaves are back, when a shade is taken to be gone and torn roots to be back. In
// no order.
std::vector<LocalDay> settling_days(const FactsFrom&, const Lasting&);
// The mulch's depth as it was laid, and when; empty without mulch.
struct LaidMulch {
    double depth_cm = 0;
    LocalDay day{};
};
std::optional<LaidMulch> laid_mulch(const FactsFrom&);
// Leaves are back on the first longest or shortest day that comes 90 days or more after the cut: a cut at rest by
// midsummer, a cut in leaf with the next spring's leaves. Own assumption
LocalDay regrown(LocalDay pruned);
inline bool felt(const Pruned& cut, LocalDay day) { return cut.day <= day && day < regrown(cut.day); }

// The facts that an entry other than `added` and `changed` states: moved, repotted, mulched, crown, stage, graft-taken,
// roots-pruned, died.
std::vector<Fact> facts_stated_by(const Entry& entry, const Facts& before, const Zone& zone);

}  // namespace tubgrove
