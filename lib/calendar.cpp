#include "calendar.hpp"

#include "zone_names.hpp"

#include <array>
#include <charconv>
#include <cstdio>

#include <date/date.h>
#include <date/tz.h>

namespace tubgrove {
namespace {

const date::time_zone& rules_of(const void* rules) { return *static_cast<const date::time_zone*>(rules); }

date::sys_seconds to_date(Instant t) { return date::sys_seconds(t.time_since_epoch()); }

bool all_digits(std::string_view text, std::initializer_list<int> places) {
    for (int place : places)
        if (text[place] < '0' || text[place] > '9') return false;
    return true;
}

int number_at(std::string_view text, int first, int count) {
    int value = 0;
    std::from_chars(text.data() + first, text.data() + first + count, value);
    return value;
}

}  // namespace

std::vector<std::string> zone_names() {
    std::vector<std::string> names;
    for (const auto& zone : date::get_tzdb().zones) names.push_back(zone.name());
    return names;
}

std::optional<Zone> Zone::find(std::string_view iana_name) {
    try {
        return Zone(std::string(iana_name), date::locate_zone(std::string(iana_name)));
    } catch (const std::exception&) {
        return std::nullopt;
    }
}

Zone Zone::utc() { return Zone("UTC", date::locate_zone("Etc/UTC")); }

std::chrono::seconds Zone::offset(Instant t) const { return rules_of(rules_).get_info(to_date(t)).offset; }

std::chrono::seconds Zone::standard_offset(Instant t) const {
    auto info = rules_of(rules_).get_info(to_date(t));
    return info.offset - info.save;
}

LocalTime Zone::local(Instant t) const { return LocalTime(t.time_since_epoch() + offset(t)); }

LocalDay Zone::day_of(Instant t) const { return std::chrono::floor<std::chrono::days>(local(t)); }

Instant Zone::start_of(LocalDay day) const { return at(LocalTime(day)); }

Zone::OnTheClock Zone::on_the_clock(LocalTime wall) const {
    const auto info = rules_of(rules_).get_info(date::local_seconds(wall.time_since_epoch()));
    if (info.result == date::local_info::nonexistent) {
        const Instant change(info.second.begin.time_since_epoch());
        return {change, {}, wall.time_since_epoch() - info.first.offset != change.time_since_epoch(), info.first.offset};
    }
    const Instant first(wall.time_since_epoch() - info.first.offset);
    const bool repeated = info.result == date::local_info::ambiguous;
    return {first, repeated ? info.first.offset - info.second.offset : std::chrono::seconds(0), false, info.first.offset};
}

std::optional<LocalDay> parse_day(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-' || !all_digits(text, {0, 1, 2, 3, 5, 6, 8, 9}))
        return std::nullopt;
    std::chrono::year_month_day day{std::chrono::year(number_at(text, 0, 4)),
                                    std::chrono::month(unsigned(number_at(text, 5, 2))),
                                    std::chrono::day(unsigned(number_at(text, 8, 2)))};
    if (!day.ok()) return std::nullopt;
    return LocalDay(day);
}

std::optional<Instant> parse_rfc3339(std::string_view text) {
    using namespace std::chrono;
    if (text.size() < 20 || (text[10] != 'T' && text[10] != 't' && text[10] != ' ')) return std::nullopt;
    auto day = parse_day(text.substr(0, 10));
    if (!day || text[13] != ':' || text[16] != ':' || !all_digits(text, {11, 12, 14, 15, 17, 18})) return std::nullopt;
    int hour = number_at(text, 11, 2), minute = number_at(text, 14, 2), second = number_at(text, 17, 2);
    if (hour > 23 || minute > 59 || second > 60) return std::nullopt;
    std::size_t place = 19;
    if (text[place] == '.') {
        do ++place;
        while (place < text.size() && text[place] >= '0' && text[place] <= '9');
        if (place == 20 || place == text.size()) return std::nullopt;
    }
    auto rest = text.substr(place);
    minutes east{0};
    if (rest != "Z" && rest != "z") {
        if (rest.size() != 6 || (rest[0] != '+' && rest[0] != '-') || rest[3] != ':' || !all_digits(rest, {1, 2, 4, 5}))
            return std::nullopt;
        int hours_east = number_at(rest, 1, 2), minutes_east = number_at(rest, 4, 2);
        if (hours_east > 23 || minutes_east > 59) return std::nullopt;
        east = minutes(hours_east * 60 + minutes_east) * (rest[0] == '-' ? -1 : 1);
    }
    return Instant(day->time_since_epoch() + hours(hour) + minutes(minute) + seconds(second) - east);
}

std::string format_day(LocalDay day) {
    std::chrono::year_month_day ymd{day};
    char text[24];
    std::snprintf(text, sizeof text, "%04d-%02u-%02u", int(ymd.year()), unsigned(ymd.month()), unsigned(ymd.day()));
    return text;
}

std::string format_clock(LocalTime wall) {
    std::chrono::hh_mm_ss time{wall - std::chrono::floor<std::chrono::days>(wall)};
    char text[24];
    std::snprintf(text, sizeof text, "%02d:%02d", int(time.hours().count()), int(time.minutes().count()));
    return text;
}

std::string format_rfc3339(Instant t, const Zone& zone) {
    auto wall = zone.local(t);
    std::chrono::hh_mm_ss time{wall - std::chrono::floor<std::chrono::days>(wall)};
    auto text = format_day(std::chrono::floor<std::chrono::days>(wall)) + "T" + format_clock(wall);
    char tail[24];
    std::snprintf(tail, sizeof tail, ":%02d", int(time.seconds().count()));
    text += tail;
    auto east = zone.offset(t);
    if (east.count() == 0) return text + "Z";
    long minutes_east = std::chrono::abs(east).count() / 60;
    std::snprintf(tail, sizeof tail, "%c%02ld:%02ld", east.count() < 0 ? '-' : '+', minutes_east / 60, minutes_east % 60);
    return text + tail;
}

std::optional<std::chrono::minutes> parse_clock(std::string_view text) {
    if (text.size() != 5 || text[2] != ':' || !all_digits(text, {0, 1, 3, 4})) return std::nullopt;
    int hour = number_at(text, 0, 2), minute = number_at(text, 3, 2);
    if (hour > 23 || minute > 59) return std::nullopt;
    return std::chrono::minutes(hour * 60 + minute);
}

int day_of_year(LocalDay day) {
    std::chrono::year_month_day ymd{day};
    LocalDay first{ymd.year() / 1 / 1};
    return int((day - first).count()) + 1;
}

std::string_view weekday_name(LocalDay day) {
    constexpr std::array<std::string_view, 7> names{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"};
    return names[std::chrono::weekday(day).c_encoding()];
}

std::string_view month_name(LocalDay day) {
    constexpr std::array<std::string_view, 12> names{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"};
    return names[unsigned(std::chrono::year_month_day(day).month()) - 1];
}

std::string day_text(LocalDay day) {
    return std::string(weekday_name(day)) + " " + std::to_string(unsigned(std::chrono::year_month_day(day).day())) + " " + std::string(month_name(day));
}

}  // namespace tubgrove
