#pragma once
// When a day's walks are, when their rounds are issued, and how a round is named.
#include "calendar.hpp"
#include "intake/configuration.hpp"

#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

struct Walk {
    LocalDay day{};
    std::string name;      // morning | evening
    Instant issues{};      // from here on its round may be issued by the timer
    Instant starts{};      // when the grower walks
};

// Says whether a day is hot enough for an evening walk.
using IsHot = std::function<bool(LocalDay)>;

Walk morning_walk(const Walks&, const Zone&, LocalDay day);
// Empty where the configuration has no evening walk.
std::optional<Walk> evening_walk(const Walks&, const Zone&, LocalDay day);

// The walk that `now` belongs to: the day's morning from midnight on, the evening from its hour of issue on a hot day.
Walk current_walk(const Walks&, const Zone&, Instant now, const IsHot&);
// The next walk after this one: the same day's evening if it is hot, else the next morning.
Walk walk_after(const Walks&, const Zone&, const Walk&, const IsHot&);

// 2026-07-14-morning, a revision 2026-07-14-morning.2
struct RoundName {
    LocalDay day{};
    std::string walk;
    int revision = 1;
};
std::string format_round_name(const RoundName&);
std::optional<RoundName> parse_round_name(std::string_view id);

}  // namespace tubgrove
