#pragma once
// Times as weather files write them.
#include "calendar.hpp"

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

struct Interval {
    Instant starts, ends;
    std::chrono::seconds again{0};   // a time without offset that the zone's clocks show twice comes again so much later
    // A time without offset that the zone's clocks skip: their offset before. Such a time stands for the first one after the gap.
    std::optional<std::chrono::seconds> skipped{};
    // The moment of the change by its name before: the offset before. The name after is the same moment.
    std::optional<std::chrono::seconds> at_change{};
};

// How a file tells its times. `format`: rfc3339, epoch (seconds, or milliseconds above 1e11), day, or a pattern of %Y %y %m %d
// %e %b %H %I %p %M %S %z %F %T %R %% and literal text. A pattern without an hour names local days. Times without an offset
// are of `zone`. `span` is the length of an interval; empty: not known yet, both ends are then the time itself.
struct TimeRule {
    std::string format = "rfc3339";
    Zone zone = Zone::utc();
    bool at_start = false;
    std::optional<std::chrono::seconds> span;
    std::optional<Instant> latest{};   // what begins later has not been yet: a forecast, or a wrong clock

    bool days() const;
};

std::optional<Interval> parse_interval(std::string_view text, const TimeRule& rule);

// Times that follow each other in a file tell which of two is meant where clocks show a time twice: the one that goes on in the
// file's direction with the shorter step.
class TimesInOrder {
public:
    Interval in_order(const Interval& first);

private:
    std::optional<Instant> before_;
    bool falls_ = false;
};

// An example of what would be right: "2026-07-14T07:00:00+02:00".
std::string time_example(const TimeRule& rule);

}  // namespace tubgrove
