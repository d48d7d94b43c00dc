// How weather reaches the service, as the configuration says it; and the recipes, each on an answer of the documented shape
// with invented numbers.
#include "catch.h"
#include "intake/read_configuration.hpp"
#include "intake/read_source.hpp"
#include "intake/weather_json.hpp"
#include "intake/weather_reader.hpp"

#include <fstream>
#include <sstream>

using namespace tubgrove;

namespace {

const std::string head = "site: {latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Budapest}\nbays: [{id: wall}]\n";
const std::string station = "weather:\n  - name: roof\n    format: json\n    time: /at\n    columns: [{from: /t, quantity: air_temperature, unit: degC}]\n";
const Zone zone = *Zone::find("Europe/Budapest");

Read<Configuration> read(const std::string& more) { return read_configuration("c.yaml", head + more); }

Mapping mapping_of(const std::string& more) {
    const auto c = read(more);
    for (const auto& complaint : c.complaints) FAIL_CHECK(format(complaint));
    REQUIRE(c.value.mappings.size() == 1);
    return c.value.mappings[0];
}

std::vector<std::string> wrong(const std::string& more) {
    std::vector<std::string> lines;
    for (const auto& complaint : read(more).complaints) lines.push_back(format(complaint));
    return lines;
}

std::string file(const std::string& name) {
    std::ifstream in(std::string(TEST_DATA) + "/weather/" + name);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<Observation> taken(const Mapping& mapping, const std::string& text) {
    std::vector<Observation> rows;
    std::istringstream in(text);
    const auto told = read_weather(in, "w", mapping, zone, [&](auto batch) { rows.insert(rows.end(), batch.begin(), batch.end()); });
    for (const auto& complaint : told.complaints) FAIL_CHECK(format(complaint));
    CHECK(told.usable);
    return rows;
}

std::string at(Instant t) { return format_rfc3339(t, Zone::utc()); }

}  // namespace

TEST_CASE("a fetch is read whole, with defaults for what is left out") {
    const auto m = mapping_of(station + "    fetch: {url: \"https://station.lan/now?lat={latitude}&day={day-1}\", every: 10 min, headers: [\"X-Key: a b\"], "
                                        "user: tub, secret_file: /etc/s, ca_file: /etc/ca.pem, proxy: \"http://p:3128\", most_bytes: 20000}\n");
    REQUIRE(m.fetch);
    CHECK(m.fetch->every == std::chrono::minutes(10));
    CHECK(m.fetch->headers == std::vector<std::string>{"X-Key: a b"});
    CHECK(m.fetch->secret_file == "/etc/s");
    CHECK(m.fetch->proxy == "http://p:3128");
    CHECK(m.fetch->most_bytes == 20000);
    CHECK(m.issued.empty());
    CHECK(mapping_of(station + "    fetch: {url: \"http://station.lan/now\"}\n").fetch->every == std::chrono::hours(1));
}

TEST_CASE("a broker is read whole; its port follows from TLS") {
    const auto m = mapping_of(station + "    broker: {host: broker.lan, topic: garden/+/now, user: tub, secret_file: /etc/s, tls: yes, ca_file: /etc/ca.pem}\n");
    REQUIRE(m.broker);
    CHECK(m.broker->topic == "garden/+/now");
    CHECK(broker_port(*m.broker) == 8883);
    CHECK(broker_port(*mapping_of(station + "    broker: {host: b, topic: \"#\"}\n").broker) == 1883);
    CHECK(read("drop_folder: /var/lib/drop\n").value.drop_folder == "/var/lib/drop");
}

TEST_CASE("what does not fit is refused where it stands") {
    const auto refused = [&](const std::string& line, const std::string& words) {
        const auto lines = wrong(station + line);
        INFO(line);
        REQUIRE(lines.size() == 1);
        CHECK(lines[0] == "c.yaml:" + words);
    };
    refused("    fetch: {url: ftp://station.lan}\n", "8:18: fetch: url: 'ftp://station.lan' is no address to fetch from; write it like https://station.lan/now.json");
    refused("    fetch: {url: \"http://s/{town}\"}\n", "8:18: fetch: url: '{town}' is nothing that can be filled in; known are {latitude}, {longitude}, {elevation}, {day}, {day+1}, {day-1} and so on");
    refused("    fetch: {every: 1 h}\n", "8:12: fetch has no url; add `url: https://station.lan/now.json`");
    refused("    fetch: {url: http://s, headers: [\"no header\"]}\n", "8:38: fetch: headers: 'no header' is no header; write it like \"Accept: application/json\"");
    refused("    fetch: {url: http://s, user: tub}\n", "8:12: fetch: user and secret_file belong together; give both, or neither");
    refused("    fetch: {url: http://s, secretfile: /s}\n", "8:28: fetch has no key 'secretfile'; did you mean secret_file?");
    refused("    fetch: {url: http://s, ca_file: ca.pem}\n", "8:37: fetch: ca_file: 'ca.pem' is no whole path; write it from the root on, like /srv/tubgrove/station");
    refused("    broker: {host: b, topic: a#}\n", "8:30: broker: topic: 'a#' is no topic; write it like garden/station, garden/+ or garden/#");
    refused("    broker: {host: b, topic: a, ca_file: /c}\n", "8:13: broker: ca_file is for TLS only; add tls: yes");
    refused("    issued: soon\n", "8:13: weather: issued: 'soon' does not say when a forecast was issued; write arrival, header (Last-Modified), or a JSON pointer such as /meta/updated");
    refused("    issued: header\n", "4:5: weather: issued: header needs a fetch, whose answer has headers; write issued: arrival");
    refused("    fetch: {url: http://s}\n    broker: {host: b, topic: a}\n", "4:5: weather: a source is fetched or comes as messages, not both; make two sources of it");
    CHECK(wrong("drop_folder: drop\n") == std::vector<std::string>{"c.yaml:3:14: the configuration: drop_folder: 'drop' is no whole path; write it from the root on, like /srv/tubgrove/station"});
}

TEST_CASE("a recipe is one line, and what is given beside it wins") {
    const auto m = mapping_of("weather: [{name: ahead, recipe: open-meteo, fetch: {every: 6 h}}]\n");
    CHECK(m.name == "ahead");
    CHECK(m.fetch->every == std::chrono::hours(6));
    CHECK(m.fetch->url.starts_with("https://"));
    CHECK(m.columns.size() == 9);
    CHECK(metres(m.wind_height) == 10);
    CHECK(m.rung == Rung::published);
}

TEST_CASE("a recipe that is not there, or that must know more, is told") {
    CHECK(wrong("weather: [{name: a, recipe: open-metoe}]\n") ==
          std::vector<std::string>{"c.yaml:3:29: weather: recipe: there is no recipe 'open-metoe'; did you mean open-meteo?"});
    CHECK(wrong("weather: [{name: a, recipe: met-norway}]\n") ==
          std::vector<std::string>{"c.yaml:3:11: weather a: this service wants to know whom it can write to; add `fetch: {contact: name@example.org}`"});
}

TEST_CASE("every recipe is in order, and says whose data it is and that it was not tried") {
    REQUIRE(shipped_recipes().size() >= 3);
    for (const auto& text : shipped_recipes()) {
        INFO(text.name);
        const auto recipe = find_recipe(text.name);
        REQUIRE(good(recipe));
        CHECK(good(recipe)->licence.find("CC BY") != std::string::npos);
        CHECK(good(recipe)->documentation.starts_with("https://"));
        CHECK(text.yaml.find("not tried against the live service") != std::string::npos);
        const auto m = mapping_of("weather: [{name: a, recipe: " + text.name + ", fetch: {contact: a@example.org}}]\n");
        CHECK(m.fetch.has_value());
        CHECK_FALSE(m.issued.empty());
    }
}

TEST_CASE("MET Norway: rain of the hour after the moment stands beside the moment that ends it") {
    const auto m = mapping_of("weather: [{name: a, recipe: met-norway, fetch: {contact: a@example.org}}]\n");
    const auto text = file("met-norway.json");
    const auto rows = taken(m, text);
    REQUIRE(rows.size() == 4);
    CHECK(at(rows[0].ends) == "2026-07-14T04:00:00Z");
    CHECK(rows[0][Channel::air_temperature_mean] == Approx(15.4));
    CHECK_FALSE(rows[0].has(Channel::precipitation_amount_sum));
    CHECK(at(rows[1].starts) == "2026-07-14T04:00:00Z");
    CHECK(at(rows[1].ends) == "2026-07-14T05:00:00Z");
    CHECK(rows[1][Channel::air_temperature_mean] == Approx(17.0));
    CHECK(rows[1][Channel::precipitation_amount_sum] == Approx(0.3));
    CHECK(rows[2][Channel::precipitation_amount_sum] == Approx(1.2));
    CHECK(rows[2][Channel::wind_speed_mean] == Approx(2.6));
    // The row six hours later is passed over; what the last one said of the hour after it is kept by itself.
    CHECK(at(rows[3].ends) == "2026-07-14T07:00:00Z");
    CHECK(rows[3][Channel::precipitation_amount_sum] == Approx(0.0));
    CHECK_FALSE(rows[3].has(Channel::air_temperature_mean));
    const auto issued = issued_in(text, m.issued, zone);
    REQUIRE(good(issued));
    CHECK(at(*good(issued)) == "2026-07-14T03:31:07Z");
}

TEST_CASE("Open-Meteo: columns of arrays, seconds since 1970, km/h and hPa come out right, nulls are gaps") {
    const auto rows = taken(mapping_of("weather: [{name: a, recipe: open-meteo}]\n"), file("open-meteo.json"));
    REQUIRE(rows.size() == 3);
    CHECK(at(rows[0].starts) == "2026-07-14T11:00:00Z");
    CHECK(at(rows[0].ends) == "2026-07-14T12:00:00Z");
    CHECK(rows[0][Channel::wind_speed_mean] == Approx(2.0));
    CHECK(rows[0][Channel::wind_speed_of_gust_max] == Approx(5.0));
    CHECK(rows[0][Channel::air_pressure_mean] == Approx(97.53));
    CHECK(rows[0][Channel::duration_of_sunshine_sum] == Approx(1.0));
    CHECK(rows[1][Channel::surface_downwelling_shortwave_flux_in_air_mean] == Approx(755.0));
    CHECK_FALSE(rows[2].has(Channel::air_temperature_mean));
    CHECK(rows[2][Channel::precipitation_amount_sum] == Approx(4.2));
}

TEST_CASE("Bright Sky: kWh m-2 of an hour become W m-2, minutes of sun hours, nulls are gaps") {
    const auto rows = taken(mapping_of("weather: [{name: a, recipe: bright-sky}]\n"), file("bright-sky.json"));
    REQUIRE(rows.size() == 2);
    CHECK(at(rows[0].starts) == "2026-07-14T11:00:00Z");
    CHECK(rows[0][Channel::surface_downwelling_shortwave_flux_in_air_mean] == Approx(720.0));
    CHECK(rows[0][Channel::duration_of_sunshine_sum] == Approx(0.75));
    CHECK(rows[0][Channel::wind_speed_mean] == Approx(3.0));
    CHECK(rows[1][Channel::wind_speed_of_gust_max] == Approx(10.0));
    CHECK_FALSE(rows[1].has(Channel::relative_humidity_mean));
    CHECK_FALSE(rows[1].has(Channel::duration_of_sunshine_sum));
    CHECK(rows[1][Channel::precipitation_amount_sum] == Approx(2.4));
}

TEST_CASE("a time of issue that is not there, or is none, is told") {
    CHECK(fault(issued_in("{}", "/meta/at", zone)).what == "the forecast does not say at '/meta/at' when it was issued");
    CHECK(fault(issued_in(R"({"at": "soon"})", "/at", zone)).what == "'soon' at '/at' is not a time");
    CHECK(fault(issued_in("nonsense", "/at", zone)).what.starts_with("this is not JSON"));
    CHECK(at(*good(issued_in(R"({"at": 1784030400})", "/at", zone))) == "2026-07-14T12:00:00Z");
}

TEST_CASE("following needs times that end an interval") {
    const std::string columns = "    columns: [{from: /r, quantity: precipitation_amount, unit: mm, following: yes}]\n";
    const std::string begin = "weather:\n  - name: roof\n    format: json\n    time: /at\n";
    CHECK(wrong(begin + "    time_is: start\n" + columns).size() == 1);
    CHECK(wrong(begin + columns).empty());
}
