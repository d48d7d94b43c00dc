#pragma once
// What the garden's use cases share. Private to this room.
#include "garden/garden.hpp"
#include "garden/past.hpp"
#include "garden/water_now.hpp"
#include "intake/did.hpp"
#include "intake/facts.hpp"
#include "intake/tables.hpp"
#include "store/store.hpp"

namespace tubgrove {

// The pour that an event of a pot's history tells of; empty: it tells of none, or of one that was left out.
std::optional<WaterPour> pour_of(const Happened&);

struct Garden::Inside {
    Configuration configuration;
    std::string configuration_text;
    const Tables& tables;
    Store& store;
    Zone zone;
    std::string tables_text;                      // all tables as one document, kept with each issued round
    std::map<std::string, std::string> kept_here; // pots' states of this process, by key
    ForEach for_each;
    mutable ForecastKnowledge forecasts{tables.figures};  // errors of forecasts, learned once a day

    // The names that facts and words may refer to, the pots of the view included.
    Names names(const std::vector<PotLife>& lives) const;
    // The facts of living pots whose names nobody knows any more.
    Complaints unknown_names(const std::vector<PotLife>& lives, Instant now) const;
    std::vector<PotLife> lives(const View& view) const { return pot_lives(entries_seen(store, view), zone); }

    // An entry as the view writes it: learned now, its time no later than now.
    Entry entry(const View& view, std::string pot, std::string action) const;
    // Appends all or nothing and returns them with their ids; a replay that would rewrite the past is refused.
    Outcome<std::vector<Entry>> write(const View& view, std::vector<Entry> entries);

    // Whether anything was learned since the stored round that it could not have used.
    bool newer_input(const IssuedRound& stored, const View& view) const;
    // Whether a list of the view's day has been issued.
    bool latest_stored(const View& view) const;
    // A moment still to come, in a garden that has lived by the machine's clock until now, or one that is too far ahead for any.
    bool looks_ahead(const View& view) const;
    // The refusal of a write under --at so far ahead of all that was learned that it is a slip: whatever is learned there would lock the
    // garden against every moment before it. Empty: it may be written.
    std::optional<Refusal> too_far_ahead(const View& view) const;
    Outcome<RoundAnswer> stored_round(const View& view, LocalDay day, std::string_view walk) const;
    // Puts the care jobs on a list that is otherwise whole; `before` is the walk's list shown before, if any.
    void add_jobs(Round& round, const GardenNow& garden, const Round* before) const;
    // Works the walk's list out; issues it when it differs from the one before, or is the first.
    Outcome<RoundAnswer> issue(const View& view, const GardenNow& garden, const Walk& walk, const IsHot& hot);
};

// The refusal of a write under --at that would rewrite the past.
Refusal learned_behind(const View& view, const Zone& zone, const LearnedBehind& behind);
// The refusal for a pot that is not there, with the nearest id; empty when it lives at `t`.
std::optional<Refusal> not_here(const std::vector<PotLife>& lives, std::string_view pot, Instant t);
// The pots with a tree at `t`, as they are walked past: by bay, then by label.
std::vector<const PotLife*> in_walking_order(const std::vector<PotLife>& lives, const Configuration& configuration, Instant t);
// A pot in one line, as it was described at `t`.
PotLine pot_line(const PotLife& life, Instant t, const Zone& zone, const Tables&);
const PotLife* find_life(const std::vector<PotLife>& lives, std::string_view pot);

// The list's warning about names that nobody knows any more; empty when there are none.
std::optional<Notice> names_notice(const Complaints& unknown);
// Several complaints as one refusal: a line each.
Refusal refusal_of(const Complaints& complaints);
inline Refusal refusal_of(const Fault& fault) { return {fault.what, fault.right}; }

}  // namespace tubgrove
