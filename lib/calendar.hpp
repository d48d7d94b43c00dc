#pragma once
// Civil time: instants, local days and zones. The only file pair that touches the time-zone library.
// Nothing here asks what time it is; "now" is always an argument.
#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

using Instant = std::chrono::sys_seconds;          // UTC, whole seconds
using LocalDay = std::chrono::local_days;          // a civil date in the site's zone
using LocalTime = std::chrono::local_seconds;      // civil date and time in the site's zone

// An IANA zone known to the machine's zone database.
class Zone {
public:
    // Empty when the name is unknown or the machine has no zone database.
    static std::optional<Zone> find(std::string_view iana_name);
    static Zone utc();

    const std::string& name() const { return name_; }
    LocalTime local(Instant t) const;
    LocalDay day_of(Instant t) const;
    // First instant of the local day. Where the zone skips midnight, the first instant that exists.
    Instant start_of(LocalDay day) const;
    Instant end_of(LocalDay day) const { return start_of(day + std::chrono::days(1)); }
    // A wall-clock time as an instant: a time that the zone skips gives the first instant after the gap,
    // one that it repeats gives the first of the two.
    Instant at(LocalTime wall) const { return on_the_clock(wall).first; }
    // The same with what is odd about it on the nights when clocks change: one that the zone repeats comes again so much later,
    // one that it skips was never shown, unless it is the very moment of the change.
    struct OnTheClock {
        Instant first;
        std::chrono::seconds again{0};
        bool skipped = false;
        std::chrono::seconds offset{0};            // east of UTC, at that time; of a skipped one, before the gap
    };
    OnTheClock on_the_clock(LocalTime wall) const;
    std::chrono::seconds offset(Instant t) const;  // east of UTC, summer time included
    // Offset without summer time; the clock of FAO-56 eq. 31.
    std::chrono::seconds standard_offset(Instant t) const;

private:
    explicit Zone(std::string name, const void* rules) : name_(std::move(name)), rules_(rules) {}
    std::string name_;
    const void* rules_;                            // owned by the zone library for the program's life
};

// RFC 3339 date-time with offset or Z; fractions of a second are dropped. Empty when it is not one.
std::optional<Instant> parse_rfc3339(std::string_view text);
std::string format_rfc3339(Instant t, const Zone& zone);   // 2026-07-14T07:00:00+02:00; Z for UTC

// YYYY-MM-DD; empty when it is not a date of the calendar.
std::optional<LocalDay> parse_day(std::string_view text);
std::string format_day(LocalDay day);
// HH:MM as minutes after midnight, 0..1439.
std::optional<std::chrono::minutes> parse_clock(std::string_view text);
std::string format_clock(LocalTime wall);                  // HH:MM

int day_of_year(LocalDay day);                             // 1..366
std::string_view weekday_name(LocalDay day);               // Saturday
std::string_view month_name(LocalDay day);                 // May
std::string day_text(LocalDay day);                        // Saturday 23 May

}  // namespace tubgrove
