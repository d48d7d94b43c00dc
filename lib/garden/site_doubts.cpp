#include "garden/site_doubts.hpp"

#include "plan/plain_text.hpp"

#include <cctype>
#include <cmath>

namespace tubgrove {
namespace {

std::string degrees_words(Degrees d, const char* positive, const char* negative) {
    return plain(std::abs(degrees(d)), 1) + "° " + (degrees(d) < 0 ? negative : positive);
}

}  // namespace

double hours_off_the_sun(Degrees longitude, const Zone& zone, Instant t) {
    const double clock_h = double(zone.standard_offset(t).count()) / 3600;
    return std::remainder(clock_h - degrees(longitude) / 15, 24.0);
}

std::optional<bool> summer_in_the_north(const Zone& zone, Instant t) {
    const auto year = std::chrono::year_month_day(zone.day_of(t)).year();
    const auto offset = [&](unsigned month) {
        return zone.offset(zone.at(LocalTime(LocalDay(year / std::chrono::month(month) / 10))));
    };
    const auto january = offset(1), july = offset(7);
    return january == july ? std::nullopt : std::optional(july > january);
}

Complaints site_doubts(const Site& site, const Zone& zone, Instant now, double most_h) {
    Complaints doubts;
    const double off_h = hours_off_the_sun(site.longitude, zone, now);
    const bool turned_fits = std::abs(hours_off_the_sun(Degrees(-degrees(site.longitude)), zone, now)) <= most_h;
    if (std::abs(off_h) > most_h)
        doubts.push_back({.file = {}, .line = 0, .column = 0,
                          .what = "site: longitude " + degrees_words(site.longitude, "east", "west") + " and the zone " + zone.name() + " do not belong together: its clock is "
                                  + plain(std::abs(off_h), 1) + " h " + (off_h > 0 ? "ahead of" : "behind") + " the sun there",
                          .right = turned_fits ? std::string(degrees(site.longitude) > 0 ? "a longitude in the west is negative, as -70.6" : "a longitude in the east is positive, as 20.3")
                                                     + "; else name the zone whose time is kept there"
                                               : "the zone whose time is kept there"});
    const auto north = summer_in_the_north(zone, now);
    if (north && degrees(site.latitude) != 0 && *north != (degrees(site.latitude) > 0))
        doubts.push_back({.file = {}, .line = 0, .column = 0,
                          .what = "site: latitude " + degrees_words(site.latitude, "north", "south") + " and the zone " + zone.name() + " do not belong together: its summer time is that of the "
                                  + (*north ? "north" : "south"),
                          .right = std::string(degrees(site.latitude) > 0 ? "a latitude in the south is negative, as -33.4" : "a latitude in the north is positive, as 47.9")
                                   + "; else name the zone whose time is kept there"});
    return doubts;
}

std::optional<Notice> site_notice(const Complaints& doubts) {
    if (doubts.empty()) return std::nullopt;
    std::string text = doubts.front().what + "; sun, heat and stages would be those of another place. tubgrove check says what would be right.";
    text.front() = char(std::toupper(static_cast<unsigned char>(text.front())));
    return Notice{.code = "site-doubted", .severity = Severity::warning, .values = {}, .text = std::move(text)};
}

}  // namespace tubgrove
