#pragma once
// When a job of one rule falls due for one tree in its pot: its windows, past, open and ahead, and what answered each.
#include "care/values.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

struct JobWindow {
    LocalDay opens{}, due{}, closes{};   // closes: the last day of it
    std::string key;                     // of the window within rule and pot: 2026, or the day of its event
    std::optional<MarkDay> mark;         // the mark that it opens by
    std::optional<LocalDay> last_done;   // before it opened
    const CareEntry* answer = nullptr;   // the entry that did it
    bool along = false;                  // not its time yet: it only goes along where a line stands for others
    std::optional<LocalDay> since = {};  // of a look that comes later: the day of what it looks for
    LocalDay began() const { return since.value_or(opens); }
    bool open_on(LocalDay day) const { return opens <= day && day <= closes; }
};

struct WindowSpan {
    LocalDay from{}, to{};               // intervals run on from `from`; events and intervals end with the site's today
    LocalDay told_from{};                // only windows that close on or after it are wanted
};

// Whether the rule is for this tree at all: switched on, its species, not a rider or a change.
bool concerns(const CareRule&, const TreeCare&);

// Whether what an event did shows only after its `due_d`: a look before that finds nothing.
bool shows_later(const CareRule&);

// Oldest first, none twice. `changes`: rows of kind change; those that hold shorten or lengthen an interval.
std::vector<JobWindow> windows_of(const CareRule&, const CareTables&, const Situation&, const WindowSpan&);

// Days, 0 to 29, by which a pot without any record begins later, so that a new garden is not asked for everything at once.
// Intervals under thirty days begin with the pot where they are no routine.
int spread_d(std::string_view pot, std::string_view rule);

}  // namespace tubgrove
