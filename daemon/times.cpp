#include "times.hpp"

namespace tubgrove {
namespace {

std::string wall_text(LocalTime wall) { return format_day(std::chrono::floor<std::chrono::days>(wall)) + "T" + format_clock(wall); }

// A time that no clock of the garden showed is not moved to another one in silence: it is not known which was meant.
Parsed<Instant> at_the_garden(LocalTime wall, const std::string& text, const Zone& zone) {
    const Instant t = zone.at(wall);
    if (zone.local(t) == wall) return t;
    const LocalTime from = zone.local(t - std::chrono::seconds(1)) + std::chrono::seconds(1), to = zone.local(t);   // t is the first instant after the gap
    return Fault{tubgrove::quoted(text) + " did not come in " + zone.name() + ": clocks are put forward there from " + wall_text(from) + " to " + format_clock(to),
                 wall_text(wall + (to - from)) + " if the clock was not put forward yet, or a time before " + format_clock(from)};
}

}  // namespace

Parsed<LocalDay> read_day(const std::string& text, const Seen& seen) {
    const LocalDay today = seen.zone.day_of(seen.now);
    if (text == "today") return today;
    if (text == "yesterday") return today - std::chrono::days(1);
    if (text == "tomorrow") return today + std::chrono::days(1);
    if (const auto day = parse_day(text)) return *day;
    return Fault{tubgrove::quoted(text) + " is no day", "2026-07-14, today or yesterday"};
}

Parsed<Instant> read_time(const std::string& text, const Seen& seen) {
    if (const auto instant = parse_rfc3339(text)) return *instant;
    LocalDay day = seen.zone.day_of(seen.now);
    std::string clock = text;
    if (const auto cut = text.find_first_of(" T", 1); cut != std::string::npos && text.substr(0, cut) != "") {
        const auto read = read_day(text.substr(0, cut), seen);
        if (const LocalDay* said = good(read)) {
            day = *said;
            clock = text.substr(cut + 1);
        }
    }
    if (const auto minutes = parse_clock(clock)) return at_the_garden(LocalTime{day} + *minutes, text, seen.zone);
    return Fault{tubgrove::quoted(text) + " is no time",
                 "07:30 for today, 2026-07-14T07:30 on the garden's clock, or 2026-07-14T07:30:00+02:00"};
}

}  // namespace tubgrove
