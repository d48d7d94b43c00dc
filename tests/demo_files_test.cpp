// The files of the demo garden, read as a grower's own would be: nothing to complain of, nothing refused, weather
// that could have been. Living through them is the program's test from outside.
#include "catch.h"
#include "climate/complete.hpp"
#include "intake/did.hpp"
#include "intake/garden_file.hpp"
#include "intake/read_configuration.hpp"
#include "intake/tables.hpp"
#include "intake/weather_reader.hpp"
#include "plan/beliefs.hpp"

#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

using namespace tubgrove;

namespace {

const std::string folder = PROJECT_ROOT "/config/demo/";

std::string whole(const std::string& name) {
    std::ifstream in(folder + name, std::ios::binary);
    REQUIRE(in);
    return {std::istreambuf_iterator<char>(in), {}};
}

void check_none(const Complaints& complaints) {
    for (const auto& complaint : complaints) FAIL_CHECK(format(complaint));
}

const Configuration& configuration() {
    static const auto read = read_configuration("tubgrove.yaml", whole("tubgrove.yaml"));
    return read.value;
}

Names names() {
    static const auto tables = read_tables();
    std::vector<std::string> bays;
    for (const auto& bay : configuration().bays) bays.push_back(bay.id);
    return names_of(tables.value, bays);
}

std::vector<Observation> observations(const std::string& text) {
    std::vector<Observation> found;
    std::istringstream in(text);
    const auto zone = Zone::find(configuration().site.timezone).value();
    const auto taken = read_weather_csv(in, "invented", zone, [&](std::span<const Observation> some) {
        found.insert(found.end(), some.begin(), some.end());
    });
    check_none(taken.complaints);
    CHECK(taken.refused == 0);
    CHECK(taken.usable);
    return found;
}

// Forecast rows by their moment of issue, as weather files: the first column is when the forecast was made.
std::map<std::string, std::string> issues() {
    std::istringstream in(whole("invented-forecast.csv"));
    std::map<std::string, std::string> by_issue;
    std::string line, header;
    std::getline(in, header);
    REQUIRE(header.starts_with("issued,day,"));
    header.erase(0, header.find(',') + 1);
    while (std::getline(in, line)) {
        const auto comma = line.find(',');
        auto& text = by_issue.try_emplace(line.substr(0, comma), header + "\n").first->second;
        text += line.substr(comma + 1) + "\n";
    }
    return by_issue;
}

}  // namespace

TEST_CASE("the demo's configuration and garden are understood") {
    check_none(read_configuration("tubgrove.yaml", whole("tubgrove.yaml")).complaints);
    const auto tables = read_tables();
    check_none(tables.complaints);
    const auto garden = read_garden("garden.yaml", whole("garden.yaml"), names());
    check_none(garden.complaints);
    CHECK(garden.value.size() == 11);
    for (const auto& pot : garden.value) {
        INFO("pot " << pot.id);
        REQUIRE(pot.since);
        const auto setup = setup_of(pot.id, merge({}, pot.facts), *pot.since);
        check_none(setup.complaints);
        CHECK(std::holds_alternative<Belief>(belief_of(setup.value, tables.value, *pot.since)));
    }
}

TEST_CASE("a wrong word in the demo's garden would be told, with the nearest right one") {
    auto yaml = whole("garden.yaml");
    yaml.replace(yaml.find("bay: steps"), 10, "bay: stepps");
    const auto garden = read_garden("garden.yaml", yaml, names());
    REQUIRE(garden.complaints.size() == 1);
    CHECK(garden.complaints[0].what.find("stepps") != std::string::npos);
    CHECK(garden.complaints[0].right.find("steps") != std::string::npos);
}

TEST_CASE("what the demo's gardener did is in words that the daybook knows, in order of time") {
    std::istringstream in(whole("daybook.txt"));
    std::string line;
    Instant before{};
    int said = 0;
    auto known = names();
    for (const auto& pot : read_garden("garden.yaml", whole("garden.yaml"), names()).value)
        known.pots.push_back(pot.id);
    while (std::getline(in, line)) {
        if (line.empty() || line[0] == '#') continue;
        INFO(line);
        std::istringstream words(line.substr(0, line.find(" --")));
        std::string time, command, word;
        words >> time >> command;
        const auto when = parse_rfc3339(time);
        REQUIRE(when);
        CHECK(*when >= before);
        before = *when;
        if (command != "did") continue;
        std::vector<std::string> rest;
        while (words >> word) rest.push_back(word);
        const auto did = parse_did(rest, known);
        INFO((good(did) ? "" : fault(did).what));
        CHECK(good(did));
        ++said;
    }
    CHECK(said > 100);
}

TEST_CASE("the demo's weather could have been: no reading looks broken, no sun beyond a clear sky") {
    const auto found = observations(whole("invented-weather.csv"));
    const auto zone = Zone::find(configuration().site.timezone).value();
    SeriesReadings own{{}, found};
    own.series.source = "invented";
    SiteClimate site;
    site.latitude = configuration().site.latitude;
    site.longitude = configuration().site.longitude;
    site.elevation = configuration().site.elevation;
    site.zone = zone;
    const DaySpan season{*parse_day("2026-03-01"), *parse_day("2026-09-30")};
    const auto days = complete_days(site, std::span(&own, 1), season, zone.end_of(season.last));
    REQUIRE(days.size() == 214);
    double dry_spell_mm = 0, wet_week_mm = 0, heat_degC = 0;
    for (const auto& day : days) {
        INFO(format_day(day.day));
        for (const auto& note : day.notes) FAIL_CHECK(note);
        CHECK(day.hourly);
        CHECK(day.complete);
        CHECK(day.radiation_MJ_m2.value < day.clear_sky_MJ_m2);
        CHECK(day.guess_share == 0);
        if (day.day >= *parse_day("2026-05-16") && day.day <= *parse_day("2026-06-12"))
            dry_spell_mm += day.rain_mm.value;
        if (day.day >= *parse_day("2026-06-13") && day.day <= *parse_day("2026-06-19"))
            wet_week_mm += day.rain_mm.value;
        heat_degC = std::max(heat_degC, day.air_temp_max_degC.value);
    }
    CHECK(dry_spell_mm < 1);
    CHECK(wet_week_mm > 60);
    CHECK(heat_degC > 35);
}

TEST_CASE("each of the demo's forecasts is a weather file of up to three days") {
    const auto by_issue = issues();
    CHECK(by_issue.size() == 214);
    for (const auto& [issued, text] : by_issue) {
        INFO(issued);
        CHECK(parse_rfc3339(issued));
        const auto days = observations(text).size();
        CHECK(days >= 1);
        CHECK(days <= 3);
    }
}
