// When a source is fetched, what an answer means, how an address is filled in, and whose a dropped file is.
#include "catch.h"
#include "serve/drop_folder.hpp"
#include "serve/fetch_plan.hpp"

#include <cmath>

using namespace tubgrove;
using namespace std::chrono_literals;

namespace {

Brought answered(long status) {
    Brought brought;
    brought.status = status;
    return brought;
}
double seconds_until(const Pace& pace) { return double(next_fetch(pace).count()) / 1000; }

}  // namespace

TEST_CASE("an answer is fresh, the same, or a failure in words") {
    CHECK(judge(answered(200)).come == Come::fresh);
    CHECK(judge(answered(203)).come == Come::fresh);
    CHECK(judge(answered(304)).come == Come::same);
    CHECK(judge(answered(503)).why == "the server answered 503");
    CHECK_FALSE(judge(answered(503)).hopeless);
    CHECK_FALSE(judge(answered(429)).hopeless);
    CHECK(judge(answered(403)).hopeless);
    Brought lost;
    lost.error = "no route";
    CHECK(judge(lost).come == Come::failed);
    CHECK(judge(lost).why == "no route");
}

TEST_CASE("after a success a source is asked again when it is due, and a little later") {
    for (const auto* name : {"a", "b", "c", "station"}) {
        const auto wait = seconds_until({.name = name, .every = 1h});
        CHECK(wait >= 3600);
        CHECK(wait <= 3780);
    }
    CHECK(seconds_until({.name = "a", .every = 1h}) != seconds_until({.name = "b", .every = 1h}));
    CHECK(seconds_until({.name = "a", .every = 1h}) == seconds_until({.name = "a", .every = 1h}));
}

TEST_CASE("after failures the wait doubles from a minute up to six hours, a quarter more or less") {
    for (int failures = 1; failures < 40; ++failures) {
        const double plain = std::min(60.0 * std::pow(2, std::min(failures - 1, 20)), 6 * 3600 / 1.25);
        const auto wait = seconds_until({.name = "a", .every = 24h, .failures = failures});
        INFO(failures);
        CHECK(wait >= plain * 0.75 - 1);
        CHECK(wait <= plain * 1.25 + 1);
        CHECK(wait <= 6 * 3600);
    }
    CHECK(seconds_until({.name = "a", .every = 1h, .failures = 1, .hopeless = true}) >= 3600);
}

TEST_CASE("what the service asks for is honoured, up to a day") {
    CHECK(seconds_until({.name = "a", .every = 10min, .failures = 1, .retry_after = 7200s}) == 7200);
    CHECK(seconds_until({.name = "a", .every = 10min, .failures = 1, .retry_after = 90 * 24h}) == 86400);
    CHECK(seconds_until({.name = "a", .every = 1h, .failures = 0, .retry_after = 5s}) >= 3600);
    CHECK(seconds_until({.name = "a", .every = 1h, .failures = 1, .retry_after = -5s}) > 0);
}

TEST_CASE("an address is filled in with the site and days") {
    Site site;
    site.latitude = Degrees(47.912345);
    site.longitude = Degrees(-20.3);
    site.elevation = Metres(340.4);
    const LocalDay day{std::chrono::year(2026) / 3 / 1};
    CHECK(fill_address("http://s/{latitude},{longitude}@{elevation}?a={day}&b={day-1}&c={day+4}", site, day) ==
          "http://s/47.9123,-20.3@340?a=2026-03-01&b=2026-02-28&c=2026-03-05");
    CHECK(fill_address("http://s/", site, day) == "http://s/");
    site.latitude = Degrees(-0.00001);
    CHECK(fill_address("{latitude}", site, day) == "0");
}

TEST_CASE("the errand carries what is known and nothing empty") {
    WeatherFetch fetch;
    fetch.contact = "a@example.org";
    fetch.headers = {"X-Key: 1"};
    fetch.most_bytes = 5000;
    const auto sent = fetch_errand(fetch, {.etag = "\"x\"", .last_modified = ""}, "https://s/", "1.2");
    CHECK(sent.errand == R"({"kind":"fetch","url":"https://s/","headers":["User-Agent: tubgrove/1.2 a@example.org","X-Key: 1"],)"
                         R"("seconds":60,"bytes_max":5000,"etag":"\"x\""})");
    CHECK(sent.bytes_max == 5000);
}

TEST_CASE("dates of headers") {
    CHECK(format_rfc3339(*http_date("Tue, 14 Jul 2026 05:00:00 GMT"), Zone::utc()) == "2026-07-14T05:00:00Z");
    CHECK_FALSE(http_date("").has_value());
    CHECK_FALSE(http_date("yesterday").has_value());
    CHECK_FALSE(http_date("Tue, 14 Jul 2026 05:00:00 CET").has_value());
}

TEST_CASE("a dropped file is its mapping's, the longest name first") {
    const std::vector<std::string> mappings{"roof", "roof-rain", "gauge"};
    CHECK(mapping_of_file("roof.csv", mappings) == "roof");
    CHECK(mapping_of_file("roof-2026-07-14.csv", mappings) == "roof");
    CHECK(mapping_of_file("roof-rain_1.json", mappings) == "roof-rain");
    CHECK(mapping_of_file("readings-july.csv", mappings) == "");
    CHECK_FALSE(mapping_of_file("roofs.csv", mappings).has_value());
    CHECK_FALSE(mapping_of_file("holiday.csv", mappings).has_value());
}

TEST_CASE("what is not finished is left alone") {
    CHECK(is_unfinished_name(".roof.csv.Xy12"));
    CHECK(is_unfinished_name("roof.csv.part"));
    CHECK(is_unfinished_name("roof.csv~"));
    CHECK_FALSE(is_unfinished_name("roof.csv"));
}
