// Civil time against the IANA zone database; dates of the clock changes as published there.
#include "calendar.hpp"

#include "catch.h"

using namespace tubgrove;
using namespace std::chrono;

namespace {
Zone zone(const char* name) { return Zone::find(name).value(); }
LocalDay on(const char* text) { return parse_day(text).value(); }
double hours_of(const Zone& z, const char* text) {
    return duration<double, std::ratio<3600>>(z.end_of(on(text)) - z.start_of(on(text))).count();
}
}  // namespace

TEST_CASE("a local day has 23, 24 or 25 hours at the changes of the clock") {
    CHECK(hours_of(zone("Europe/Madrid"), "2026-03-29") == 23);
    CHECK(hours_of(zone("Europe/Madrid"), "2026-03-30") == 24);
    CHECK(hours_of(zone("Europe/Madrid"), "2026-10-25") == 25);
    CHECK(hours_of(zone("Australia/Lord_Howe"), "2026-04-05") == 24.5);
    CHECK(hours_of(zone("America/Santiago"), "2026-09-06") == 23);  // midnight itself is skipped
}

TEST_CASE("a skipped wall time gives the first instant after the gap, a repeated one the first of the two") {
    auto z = zone("Europe/Madrid");
    CHECK(format_rfc3339(z.at(LocalTime(on("2026-03-29")) + 2h + 30min), z) == "2026-03-29T03:00:00+02:00");
    CHECK(format_rfc3339(z.at(LocalTime(on("2026-10-25")) + 2h + 30min), z) == "2026-10-25T02:30:00+02:00");
    auto s = zone("America/Santiago");
    CHECK(format_rfc3339(s.start_of(on("2026-09-06")), s) == "2026-09-06T01:00:00-03:00");
}

TEST_CASE("RFC 3339 is read and written") {
    CHECK(parse_rfc3339("2026-07-14T07:00:00+02:00") == parse_rfc3339("2026-07-14T05:00:00Z"));
    CHECK(parse_rfc3339("2026-07-14T05:00:00.75Z") == parse_rfc3339("2026-07-14T05:00:00Z"));
    CHECK(format_rfc3339(*parse_rfc3339("2026-07-14T05:00:00Z"), Zone::utc()) == "2026-07-14T05:00:00Z");
    for (const char* bad : {"", "2026-07-14", "2026-07-14T07:00:00", "2026-07-14T07:00+02:00", "2026-02-30T07:00:00Z",
                            "2026-07-14T24:00:00Z", "2026-07-14T07:60:00Z", "2026-07-14T07:00:00+2:00",
                            "2026-07-14T07:00:00.Z", "2026-07-14T07:00:00Zulu", "2026-07-14T07:00:00+02:00 "})
        CHECK_FALSE(parse_rfc3339(bad).has_value());
}

TEST_CASE("days and clock times refuse what the calendar does not have") {
    CHECK(day_of_year(on("2026-12-31")) == 365);
    CHECK(day_of_year(on("2028-12-31")) == 366);
    for (const char* bad : {"2026-13-01", "2026-02-29", "26-02-01", "2026/02/01", "2026-2-1", ""})
        CHECK_FALSE(parse_day(bad).has_value());
    CHECK(parse_clock("07:05") == minutes(425));
    for (const char* bad : {"7:05", "24:00", "07:60", "0705", ""}) CHECK_FALSE(parse_clock(bad).has_value());
}

TEST_CASE("an unknown zone is not found") { CHECK_FALSE(Zone::find("Europe/Nowhere").has_value()); }
