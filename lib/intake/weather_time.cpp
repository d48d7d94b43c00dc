#include "intake/weather_time.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace tubgrove {
namespace {

using namespace std::chrono;

struct Fields {
    int year = 1970, month = 1, day = 1, hour = 0, minute = 0, second = 0;
    bool afternoon = false, twelve_hours = false;
    std::optional<minutes> east;
};

bool digits(std::string_view& text, std::size_t most, int& into) {
    std::size_t used = 0;
    while (used < text.size() && used < most && text[used] >= '0' && text[used] <= '9') ++used;
    if (used == 0) return false;
    std::from_chars(text.data(), text.data() + used, into);
    text.remove_prefix(used);
    return true;
}

bool month_name(std::string_view& text, int& month) {
    constexpr std::string_view names = "janfebmaraprmayjunjulaugsepoctnovdec";
    if (text.size() < 3) return false;
    std::array<char, 3> small{};
    std::ranges::transform(text.substr(0, 3), small.begin(), [](char c) { return char(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c); });
    auto place = names.find(std::string_view(small.data(), 3));
    if (place == std::string_view::npos || place % 3 != 0) return false;
    month = int(place / 3) + 1;
    text.remove_prefix(3);
    return true;
}

bool half_of_day(std::string_view& text, Fields& f) {
    if (text.size() < 2 || (text[1] != 'M' && text[1] != 'm')) return false;
    bool pm = text[0] == 'P' || text[0] == 'p';
    if (!pm && text[0] != 'A' && text[0] != 'a') return false;
    f.afternoon = pm;
    text.remove_prefix(2);
    return true;
}

bool offset_east(std::string_view& text, Fields& f) {
    if (!text.empty() && (text[0] == 'Z' || text[0] == 'z')) {
        f.east = minutes(0);
        text.remove_prefix(1);
        return true;
    }
    if (text.size() < 5 || (text[0] != '+' && text[0] != '-')) return false;
    int sign = text[0] == '-' ? -1 : 1, hours_east = 0, minutes_east = 0;
    text.remove_prefix(1);
    if (!digits(text, 2, hours_east)) return false;
    if (!text.empty() && text[0] == ':') text.remove_prefix(1);
    if (!digits(text, 2, minutes_east) || hours_east > 14 || minutes_east > 59) return false;
    f.east = minutes(sign * (hours_east * 60 + minutes_east));
    return true;
}

bool match(std::string_view& text, std::string_view pattern, Fields& f);

bool field(std::string_view& text, char letter, Fields& f) {
    switch (letter) {
        case 'Y': return digits(text, 4, f.year);
        case 'y':
            if (!digits(text, 2, f.year)) return false;
            f.year += f.year < 69 ? 2000 : 1900;
            return true;
        case 'm': return digits(text, 2, f.month);
        case 'd':
        case 'e':
            while (letter == 'e' && text.starts_with(' ')) text.remove_prefix(1);
            return digits(text, 2, f.day);
        case 'b': return month_name(text, f.month);
        case 'H': return digits(text, 2, f.hour);
        case 'I': f.twelve_hours = true; return digits(text, 2, f.hour) && f.hour >= 1 && f.hour <= 12;
        case 'p': return half_of_day(text, f);
        case 'M': return digits(text, 2, f.minute);
        case 'S': return digits(text, 2, f.second);
        case 'z': return offset_east(text, f);
        case 'F': return match(text, "%Y-%m-%d", f);
        case 'T': return match(text, "%H:%M:%S", f);
        case 'R': return match(text, "%H:%M", f);
        case '%':
            if (!text.starts_with('%')) return false;
            text.remove_prefix(1);
            return true;
        default: return false;
    }
}

bool match(std::string_view& text, std::string_view pattern, Fields& f) {
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        if (pattern[i] == '%' && i + 1 < pattern.size()) {
            if (!field(text, pattern[++i], f)) return false;
        } else if (text.empty() || text[0] != pattern[i]) {
            return false;
        } else {
            text.remove_prefix(1);
        }
    }
    return true;
}

bool has_hour(std::string_view pattern) {
    for (auto letter : {"%H", "%I", "%T", "%R"})
        if (pattern.find(letter) != std::string_view::npos) return true;
    return false;
}

// A whole day, or the instant; where a wall-clock time is shown twice or never, how.
std::optional<Interval> by_pattern(std::string_view text, const TimeRule& rule, std::optional<Instant>& instant, Interval& odd) {
    Fields f;
    if (!match(text, rule.format, f) || !text.empty()) return std::nullopt;
    year_month_day ymd{year(f.year), month(unsigned(f.month)), day(unsigned(f.day))};
    // 24:00 is how some stations write the end of a day.
    bool clock_ok = f.hour <= 24 && f.minute < 60 && f.second < 61 && (f.hour < 24 || (f.minute == 0 && f.second == 0));
    if (!ymd.ok() || !clock_ok) return std::nullopt;
    if (f.twelve_hours) f.hour = f.hour % 12 + (f.afternoon ? 12 : 0);
    if (!has_hour(rule.format)) return Interval{rule.zone.start_of(LocalDay(ymd)), rule.zone.end_of(LocalDay(ymd))};
    LocalTime wall = LocalDay(ymd) + hours(f.hour) + minutes(f.minute) + seconds(f.second);
    if (f.east) {
        instant = Instant(wall.time_since_epoch() - *f.east);
        return std::nullopt;
    }
    const auto shown = rule.zone.on_the_clock(wall);
    instant = shown.first;
    odd.again = shown.again;
    if (shown.skipped) odd.skipped = shown.offset;
    else if (rule.zone.local(shown.first) != wall) odd.at_change = shown.offset;
    return std::nullopt;
}

std::optional<Instant> by_epoch(std::string_view text) {
    double number = 0;
    auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(number)) return std::nullopt;
    if (std::abs(number) > 1e11) number /= 1000;
    // Year 1850 to 2200; anything else is not a time of a garden's weather.
    if (number < -3.8e9 || number > 7.3e9) return std::nullopt;
    return Instant(seconds(std::int64_t(std::floor(number))));
}

}  // namespace

bool TimeRule::days() const { return format == "day" || (format.find('%') != std::string::npos && !has_hour(format)); }

std::optional<Interval> parse_interval(std::string_view text, const TimeRule& rule) {
    std::optional<Instant> instant;
    Interval odd{};
    if (rule.format == "rfc3339") {
        instant = parse_rfc3339(text);
    } else if (rule.format == "epoch") {
        instant = by_epoch(text);
    } else if (rule.format == "day") {
        auto found = parse_day(text);
        if (!found) return std::nullopt;
        return Interval{rule.zone.start_of(*found), rule.zone.end_of(*found)};
    } else if (auto whole_day = by_pattern(text, rule, instant, odd)) {
        return whole_day;
    }
    if (!instant) return std::nullopt;
    const auto span = rule.span.value_or(seconds(0));
    odd.starts = rule.at_start ? *instant : *instant - span;
    odd.ends = odd.starts + span;
    return odd;
}

Interval TimesInOrder::in_order(const Interval& first) {
    Interval chosen = first;
    if (before_ && first.again.count() > 0) {
        const auto step = first.ends - *before_, later = step + first.again;
        const auto length = abs(step), longer = abs(later);
        const bool second = step.count() == 0 || (later.count() != 0 && (longer < length || (longer == length && !falls_)));
        if (second) chosen.starts += first.again, chosen.ends += first.again;
    }
    if (before_ && chosen.ends != *before_) falls_ = chosen.ends < *before_;
    before_ = chosen.ends;
    return chosen;
}

std::string time_example(const TimeRule& rule) {
    if (rule.format == "rfc3339") return "RFC 3339 with the offset, like 2026-07-14T07:00:00+02:00";
    if (rule.format == "epoch") return "seconds since 1970, like 1784005200";
    if (rule.format == "day") return "a day, like 2026-07-14";
    return "a time in the form " + rule.format;
}

}  // namespace tubgrove
