#pragma once
// A list in plain text, for where nothing is drawn: a mail, a calendar. Short: what to do, and what must be known for it.
#include "garden/answers.hpp"

#include <string>
#include <vector>

namespace tubgrove {

// "Morning: 5 pots, 12.5 L, 1 job"; "Morning: no water today".
std::string round_title(const Round& round);
// The whole list as lines of text. `link`: where the page is; empty: none is named.
std::string round_told(const Round& round, std::string_view link);
// Whether a list asks for anything: water, a job, or a warning.
bool asks_for_something(const Round& round);

// Windows of one job that stand together; never none.
using Windows = std::vector<const CalendarWindow*>;
// "Check stake and ties: pots 3, 7".
std::string windows_title(const Windows& windows);
std::string windows_told(const Windows& windows);
// "Morning walk", until its list is there.
std::string walk_title(const CalendarWalk& walk);
std::string walk_told(const CalendarWalk& walk, std::string_view link);

}  // namespace tubgrove
