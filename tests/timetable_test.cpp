// When the next round is due, by scenario: summer time, leap days, clocks that jump, boards that wake late or in 1970.
#include "catch.h"
#include "serve/timetable.hpp"

#include <set>
#include <string>
#include <vector>

using namespace tubgrove;

namespace {

using Ids = std::set<std::string>;

struct Scenario {
    const char* says;
    const char* zone;
    const char* morning;
    const char* evening;  // "" for none
    int before_min;
    const char* now;
    Ids issued;
    Ids not_hot;          // evenings that are no walk
    const char* walk;     // expected
    const char* at;       // expected, RFC 3339
};

const std::vector<Scenario> scenarios{
    {"an ordinary night waits for the morning", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T02:00:00+02:00", {"2026-07-13-morning", "2026-07-13-evening"}, {}, "2026-07-14-morning", "2026-07-14T06:00:00+02:00"},
    {"the very second is due", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T06:00:00+02:00", {}, {}, "2026-07-14-morning", "2026-07-14T06:00:00+02:00"},
    {"a second before is not", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T05:59:59+02:00", {}, {}, "2026-07-14-morning", "2026-07-14T06:00:00+02:00"},
    {"issued once, the evening is next", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T06:00:00+02:00", {"2026-07-14-morning"}, {}, "2026-07-14-evening", "2026-07-14T18:00:00+02:00"},
    {"without an evening, tomorrow is next", "Europe/Madrid", "07:00", "", 60, "2026-07-14T06:00:01+02:00", {"2026-07-14-morning"}, {}, "2026-07-15-morning", "2026-07-15T06:00:00+02:00"},
    {"a late boot issues at once", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T11:20:00+02:00", {}, {}, "2026-07-14-morning", "2026-07-14T06:00:00+02:00"},
    {"a boot in the evening issues the evening, not the missed morning", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T20:00:00+02:00", {}, {}, "2026-07-14-evening", "2026-07-14T18:00:00+02:00"},
    {"a boot in a cool evening still issues the morning", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T20:00:00+02:00", {}, {"2026-07-14-evening"}, "2026-07-14-morning", "2026-07-14T06:00:00+02:00"},
    {"after the evening's, the missed morning is over", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T20:00:00+02:00", {"2026-07-14-evening"}, {}, "2026-07-15-morning", "2026-07-15T06:00:00+02:00"},
    {"a cool evening passes", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T20:00:00+02:00", {"2026-07-14-morning"}, {"2026-07-14-evening"}, "2026-07-15-morning", "2026-07-15T06:00:00+02:00"},
    {"a boot after midnight drops yesterday", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-15T00:10:00+02:00", {}, {}, "2026-07-15-morning", "2026-07-15T06:00:00+02:00"},
    {"a restart after the issue doubles nothing", "Europe/Madrid", "07:00", "19:00", 60, "2026-07-14T06:00:05+02:00", {"2026-07-14-morning"}, {"2026-07-14-evening"}, "2026-07-14-evening", "2026-07-14T18:00:00+02:00"},
    {"spring: the night is an hour shorter", "Europe/Madrid", "07:00", "", 60, "2026-03-28T22:00:00+01:00", {"2026-03-28-morning"}, {}, "2026-03-29-morning", "2026-03-29T06:00:00+02:00"},
    {"spring: a walk at an hour that is left out", "Europe/Madrid", "02:30", "", 0, "2026-03-29T00:30:00+01:00", {}, {}, "2026-03-29-morning", "2026-03-29T03:00:00+02:00"},
    {"spring: issued so, it is not issued again", "Europe/Madrid", "02:30", "", 0, "2026-03-29T03:00:00+02:00", {"2026-03-29-morning"}, {}, "2026-03-30-morning", "2026-03-30T02:30:00+02:00"},
    {"spring: the hour before the walk spans the change", "Europe/Madrid", "03:15", "", 60, "2026-03-29T00:30:00+01:00", {}, {}, "2026-03-29-morning", "2026-03-29T01:15:00+01:00"},
    {"autumn: the hour that comes twice, first time", "Europe/Madrid", "02:30", "", 0, "2026-10-25T01:00:00+02:00", {}, {}, "2026-10-25-morning", "2026-10-25T02:30:00+02:00"},
    {"autumn: the second time it is not issued again", "Europe/Madrid", "02:30", "", 0, "2026-10-25T02:30:00+01:00", {"2026-10-25-morning"}, {}, "2026-10-26-morning", "2026-10-26T02:30:00+01:00"},
    {"autumn: the night is an hour longer", "Europe/Madrid", "07:00", "", 60, "2026-10-24T22:00:00+02:00", {"2026-10-24-morning"}, {}, "2026-10-25-morning", "2026-10-25T06:00:00+01:00"},
    {"a leap day has its round", "Pacific/Auckland", "07:00", "", 60, "2028-02-28T23:00:00+13:00", {"2028-02-28-morning"}, {}, "2028-02-29-morning", "2028-02-29T06:00:00+13:00"},
    {"and so has the day after", "Pacific/Auckland", "07:00", "", 60, "2028-02-29T06:00:00+13:00", {"2028-02-29-morning"}, {}, "2028-03-01-morning", "2028-03-01T06:00:00+13:00"},
    {"the last day of the year", "Pacific/Auckland", "07:00", "", 60, "2026-12-31T12:00:00+13:00", {"2026-12-31-morning"}, {}, "2027-01-01-morning", "2027-01-01T06:00:00+13:00"},
    {"the clock jumps a day back: nothing twice", "Europe/Madrid", "07:00", "", 60, "2026-07-13T08:00:00+02:00", {"2026-07-13-morning", "2026-07-14-morning"}, {}, "2026-07-15-morning", "2026-07-15T06:00:00+02:00"},
    {"the clock jumps an hour back over the issue", "Europe/Madrid", "07:00", "", 60, "2026-07-14T05:05:00+02:00", {"2026-07-14-morning"}, {}, "2026-07-15-morning", "2026-07-15T06:00:00+02:00"},
    {"the clock jumps three days forward: today's at once", "Europe/Madrid", "07:00", "", 60, "2026-07-17T09:00:00+02:00", {"2026-07-14-morning"}, {}, "2026-07-17-morning", "2026-07-17T06:00:00+02:00"},
    {"a walk soon after midnight is not issued the day before", "Europe/Madrid", "00:30", "", 60, "2026-07-14T23:45:00+02:00", {"2026-07-14-morning"}, {}, "2026-07-15-morning", "2026-07-15T00:00:00+02:00"},
    {"a zone that leaves midnight out", "America/Asuncion", "00:10", "", 60, "2022-10-01T12:00:00-04:00", {"2022-10-01-morning"}, {}, "2022-10-02-morning", "2022-10-02T01:00:00-03:00"},
    {"a day that was skipped altogether", "Pacific/Apia", "07:00", "", 60, "2011-12-29T12:00:00-10:00", {"2011-12-29-morning"}, {}, "2011-12-31-morning", "2011-12-31T06:00:00+14:00"},
    {"a half-hour zone", "Australia/Lord_Howe", "07:00", "19:00", 60, "2026-10-04T01:00:00+10:30", {}, {}, "2026-10-04-morning", "2026-10-04T06:00:00+11:00"},
    {"a board that wakes in 1970 counts its own days", "Europe/Madrid", "07:00", "", 60, "1970-01-01T00:00:10Z", {"2026-07-14-morning"}, {}, "1970-01-01-morning", "1970-01-01T06:00:00+01:00"},
};

NextIssue asked(const Scenario& s) {
    Walks walks{.morning = *parse_clock(s.morning), .evening = {}, .issue_before = std::chrono::minutes(s.before_min)};
    if (*s.evening) walks.evening = *parse_clock(s.evening);
    const auto stand = [&](const Walk& walk) {
        const auto id = format_round_name({.day = walk.day, .walk = walk.name});
        return s.issued.contains(id) ? Stand::issued : s.not_hot.contains(id) ? Stand::none : Stand::open;
    };
    return next_issue(*parse_rfc3339(s.now), walks, *Zone::find(s.zone), stand);
}

}  // namespace

TEST_CASE("the next round, by scenario") {
    CHECK(scenarios.size() >= 20);
    for (const auto& s : scenarios) {
        INFO(s.says);
        const auto next = asked(s);
        CHECK(format_round_name({.day = next.walk.day, .walk = next.walk.name}) == s.walk);
        CHECK(format_rfc3339(next.at, *Zone::find(s.zone)) == format_rfc3339(*parse_rfc3339(s.at), *Zone::find(s.zone)));
    }
}

TEST_CASE("a year of mornings, whatever the clock does, is issued once a day") {
    const auto zone = *Zone::find("Europe/Madrid");
    const Walks walks{.morning = std::chrono::minutes(7 * 60), .evening = {}, .issue_before = std::chrono::minutes(60)};
    std::set<LocalDay> issued;
    const auto stand = [&](const Walk& walk) { return issued.contains(walk.day) ? Stand::issued : Stand::open; };
    const auto start = *parse_rfc3339("2027-12-31T12:00:00Z");
    auto now = start;
    unsigned draw = 20260714;
    long asked_for = 0;
    while (now < start + std::chrono::days(366)) {
        const auto next = next_issue(now, walks, zone, stand);
        if (next.at <= now) {
            CHECK(issued.insert(next.walk.day).second);
        } else {
            // It wakes when it is due, or sooner because the clock was set: up to three hours back or forth.
            draw = draw * 1664525u + 1013904223u;
            now = draw % 4 == 0 ? now + std::chrono::seconds(long(draw >> 8) % 21600 - 10800) : next.at;
        }
        ++asked_for;
    }
    CHECK(issued.size() == 367);
    CHECK(asked_for < 5000);
}

TEST_CASE("a clock that is not to be believed") {
    const auto at = [](const char* text) { return *parse_rfc3339(text); };
    struct Row {
        const char* says;
        const char* now;
        ClockSigns signs;
        bool plausible;
    };
    const auto built = at("2026-05-01T00:00:00Z");
    const std::vector<Row> rows{
        {"a new garden", "2026-07-14T06:00:00Z", {built, {}, {}}, true},
        {"1970", "1970-01-01T00:00:10Z", {built, {}, {}}, false},
        {"before it was built", "2026-04-30T23:59:59Z", {built, {}, {}}, false},
        {"the second it was built", "2026-05-01T00:00:00Z", {built, {}, {}}, true},
        {"later than all that was learned", "2026-07-14T06:00:00Z", {built, at("2026-07-14T05:59:00Z"), {}}, true},
        {"two programs a minute apart", "2026-07-14T06:00:00Z", {built, at("2026-07-14T06:01:00Z"), {}}, true},
        {"five minutes are the limit", "2026-07-14T06:00:00Z", {built, at("2026-07-14T06:05:01Z"), {}}, false},
        {"a day before what was learned", "2026-07-13T06:00:00Z", {built, at("2026-07-14T06:00:00Z"), {}}, false},
        {"something was learned in a year to come, and a person says now is now", "2026-07-14T06:00:00Z",
         {built, at("2031-01-01T00:00:00Z"), at("2026-07-14T05:50:00Z")}, true},
        {"the clock fell behind what the person confirmed", "2026-07-13T06:00:00Z",
         {built, at("2031-01-01T00:00:00Z"), at("2026-07-14T05:50:00Z")}, false},
        {"nobody can confirm 1970", "1970-01-01T01:00:00Z", {built, {}, at("1970-01-01T00:30:00Z")}, false},
    };
    for (const auto& row : rows) {
        INFO(row.says);
        CHECK(is_plausible(at(row.now), row.signs) == row.plausible);
    }
}
