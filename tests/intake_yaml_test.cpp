// Configuration and garden files: what is understood, and whole messages of what is not.
#include "catch.h"
#include "intake/garden_file.hpp"
#include "intake/read_configuration.hpp"
#include "intake/tables.hpp"
#include "intake/yaml_pack.hpp"
#include "intake/yaml_tree.hpp"

#include <fstream>
#include <sstream>
#include <string>
#include <vector>

using namespace tubgrove;

namespace {

std::vector<std::string> messages(const Complaints& complaints) {
    std::vector<std::string> texts;
    for (const auto& c : complaints) texts.push_back(format(c));
    return texts;
}
using Texts = std::vector<std::string>;

const std::string site = "site: {latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Budapest}\n";
const std::string bays = "bays: [{id: wall}]\n";

Texts complaints_of(const std::string& yaml) { return messages(read_configuration("t.yaml", yaml).complaints); }

std::string file(const std::string& name) {
    std::ifstream in(std::string(PROJECT_ROOT) + "/config/" + name, std::ios::binary);
    std::stringstream text;
    text << in.rdbuf();
    return text.str();
}

Names names_with(std::vector<std::string> bay_ids) { return names_of(read_tables().value, std::move(bay_ids)); }

}  // namespace

TEST_CASE("the example configuration has nothing wrong") {
    auto read = read_configuration("tubgrove.yaml", file("tubgrove.yaml"));
    CHECK(messages(read.complaints) == Texts{});
    const auto& c = read.value;
    CHECK(degrees(c.site.latitude) == -41.2);
    CHECK(c.site.coastal);
    REQUIRE(c.bays.size() == 2);
    CHECK(c.bays[1].light == "80 %");
    CHECK(c.walks.issue_before == std::chrono::minutes(60));
    REQUIRE(c.mappings.size() == 5);
    CHECK(c.mappings[0].separator == ';');
    CHECK(c.mappings[0].span == std::chrono::minutes(10));
    CHECK(c.mappings[0].columns[0].counter);
    CHECK(c.mappings[1].rung == Rung::published);
    CHECK(c.mappings[1].columns[1].channel == Channel::surface_downwelling_shortwave_flux_in_air_mean);
}

TEST_CASE("the least that is needed leaves the defaults") {
    auto read = read_configuration("t.yaml", site + bays);
    CHECK(read.ok());
    CHECK(litres(read.value.carry.can) == 5);
    CHECK(read.value.walks.evening == std::chrono::minutes(19 * 60));
    CHECK(read.value.caution == Caution::usual);
}

TEST_CASE("care has its day of the week") {
    CHECK(read_configuration("t.yaml", site + bays).value.walks.care == std::chrono::Saturday);
    CHECK(read_configuration("t.yaml", site + bays + "walks: {care: wednesday}\n").value.walks.care == std::chrono::Wednesday);
    const auto wrong = read_configuration("t.yaml", site + bays + "walks: {care: wendsday}\n");
    REQUIRE(wrong.complaints.size() == 1);
    CHECK(wrong.complaints[0].what == "walks: care: 'wendsday' is no day of the week");
    CHECK(wrong.complaints[0].right == "did you mean wednesday?");
    CHECK(read_configuration("t.yaml", site + bays + "walks: {care: 6}\n").complaints.at(0).right == "write it like saturday");
}

TEST_CASE("evening may be no") {
    CHECK_FALSE(read_configuration("t.yaml", site + bays + "walks: {evening: no}\n").value.walks.evening);
}

TEST_CASE("what was understood, in words") {
    auto read = read_configuration("t.yaml", site + bays + "walks: {evening: no, issue_before: 30 min}\ncarry: {can: 2 imperial_gallon, cans: 1, taps: [{id: yard, near: [wall]}]}\n");
    CHECK(describe(read.value) == Texts{"site: 47.9° N, 20.3° E, 340 m above the sea, zone Europe/Budapest, wind measured at 2 m",
                                        "bay wall: light full, shelter from wind usual, rain open; on the ground, on paving",
                                        "walks: morning 07:00, no evening; the list is issued 30 min before; care that can wait stands on it each saturday",
                                        "carry: 1 can of 9.09218 L at once, marks of 0.5 L, at most 2 passes a pot", "tap yard: near wall", "caution: usual", "doors: the service listens at 127.0.0.1:8824; this machine needs no token"});
}

TEST_CASE("a position with a letter is not answered with its digits alone, which lie on the other half of the earth") {
    CHECK(complaints_of("site: {latitude: 33.4 S, longitude: 70°40'W, elevation: 520 m, timezone: America/Santiago}\n" + bays) ==
          Texts{"t.yaml:1:18: site: latitude: '33.4 S' is not a plain number; write degrees north with decimals, in the south below zero, like -33.45",
                "t.yaml:1:37: site: longitude: '70°40'W' is not a plain number; write degrees east with decimals, in the west below zero, like -70.67"});
}

TEST_CASE("all complaints of a configuration come at once, in the file's order") {
    CHECK(complaints_of("site:\n"
                        "  latitud: 47.9\n"
                        "  longitude: 200\n"
                        "  elevation: 340\n"
                        "  timezone: Europe/Budapst\n"
                        "bays:\n"
                        "  - {id: wall, light: ful, rain: 120 %}\n"
                        "  - {id: wall}\n"
                        "walks: {morning: 25:00, evening: late}\n"
                        "carry: {can: 2 gal, cans: 2.5, passes: 9}\n"
                        "cauton: high\n") ==
          Texts{"t.yaml:2:3: site has no latitude; add `latitude: 47.9`",
                "t.yaml:2:3: site has no key 'latitud'; did you mean latitude?",
                "t.yaml:3:14: site: longitude: '200' is out of range; -180 to 180 is allowed",
                "t.yaml:4:14: site: elevation: '340' has no unit; write it with its unit, like 340 m",
                "t.yaml:5:13: site: timezone: 'Europe/Budapst' is not a time zone of this machine; write an IANA name such as Europe/Madrid",
                "t.yaml:7:23: bay wall: light: 'ful' is not a word for it; did you mean full?",
                "t.yaml:7:34: bay wall: rain: '120 %' is out of range; 0 % to 100 % is allowed",
                "t.yaml:8:5: the bay 'wall' is given twice, first in line 7; give each its own name",
                "t.yaml:9:18: walks: morning: '25:00' is not a time of day; write it like 07:00",
                "t.yaml:9:34: walks: evening: 'late' is not a time of day; write it like 19:00, or no",
                "t.yaml:10:14: carry: can: the unit 'gal' may be a US or an imperial measure; write US_liquid_gallon (3.785 L) or imperial_gallon (4.546 L)",
                "t.yaml:10:27: carry: cans: '2.5' is not a whole number; write a whole number from 1 to 10",
                "t.yaml:10:40: carry: passes: '9' is out of range; 1 to 4 is allowed",
                "t.yaml:11:1: the configuration has no key 'cauton'; did you mean caution?"});
}

TEST_CASE("wrong kinds, empty values and files") {
    CHECK(complaints_of("") == Texts{"t.yaml: the file is empty; begin with `site:`; the example tubgrove.yaml shows every key"});
    CHECK(complaints_of("# nothing yet\n") == Texts{"t.yaml: the file is empty; begin with `site:`; the example tubgrove.yaml shows every key"});
    CHECK(complaints_of("- a\n") == Texts{"t.yaml:1:1: the configuration is a list, not a mapping; write `key: value` lines below it"});
    CHECK(complaints_of("just words\n") == Texts{"t.yaml:1:1: the configuration is a value, not a mapping; write `key: value` lines below it"});
    CHECK(complaints_of(site + "bays: []\n") == Texts{"t.yaml:2:7: bays is empty; add one, such as `- {id: south-wall}`"});
    CHECK(complaints_of(site + "bays: wall\n") == Texts{"t.yaml:2:7: the configuration: bays: this is a value, not a list; write `- item` lines or [item, item]"});
    CHECK(complaints_of(site + bays + "caution:\n") == Texts{"t.yaml:3:1: the configuration: caution: there is no value; give one or remove the key"});
    CHECK(complaints_of(site + bays + "carry: {can: [5 L]}\n") == Texts{"t.yaml:3:14: carry: can: this is a list, not one value; write one value"});
    CHECK(complaints_of(site + bays + "caution: .nan\n") == Texts{"t.yaml:3:10: the configuration: caution: '.nan' is not a word for it; write low, usual or high"});
    CHECK(complaints_of(site + bays + "tellings: {mail: me}\n") ==
          Texts{"t.yaml:3:1: the configuration has no key 'tellings'; the keys here are bays, carry, caution, doors, drop_folder, notices, site, tables, walks or weather"});
}

TEST_CASE("the build packed each shipped table as it reads today") {
    REQUIRE(shipped_trees().size() == shipped_tables().size());
    for (std::size_t i = 0; i < shipped_tables().size(); ++i) {
        const auto& text = shipped_tables()[i];
        INFO(text.file);
        CHECK(shipped_trees()[i].file == text.file);
        const auto read = parse_yaml(text.file, text.yaml);
        REQUIRE(read.ok());
        CHECK(unpack_tree(shipped_trees()[i].tree) == read.value);
    }
}

TEST_CASE("a packed tree comes back with every place and quote") {
    const std::string wide(300, 'x');
    for (const auto& text : {std::string(), std::string("word"), std::string("'12'"), std::string("a: {b: [1, \"2\", ~, {}], c: }\n\n  \nd: []\n"),
                             "k: \"\\0\\x01 \u00e9 ?\"\n" + wide + ": {" + wide + ": " + wide + "}\n"}) {
        const auto tree = parse_yaml("t.yaml", text).value;
        CHECK(unpack_tree(pack_tree(tree)) == tree);
    }
    auto plain = parse_yaml("t.yaml", "a: 12").value, quoted = parse_yaml("t.yaml", "a: '12'").value;
    CHECK_FALSE(unpack_tree(pack_tree(plain)) == quoted);
}

TEST_CASE("a quote that is never closed is told, also where the file ends with a line end") {
    for (const char* end : {"", "\n", "\r\n\n"}) {
        const auto told = complaints_of(site + bays + "caution: \"high" + end);
        REQUIRE(told.size() == 1);
        CHECK(told[0] == "t.yaml:3:15: the file ends here, and a quote is still open; check indentation, colons, quotes and brackets");
    }
}

TEST_CASE("NaN and infinity are not numbers of a garden") {
    CHECK(complaints_of("site: {latitude: .nan, longitude: -.inf, elevation: nan m, timezone: UTC}\n" + bays) ==
          Texts{"t.yaml:1:18: site: latitude: '.nan' is not a finite number; write it like 1",
                "t.yaml:1:35: site: longitude: '-.inf' is not a finite number; write it like 1",
                "t.yaml:1:53: site: elevation: 'nan m' is not a finite number; write it like 410 m"});
}

TEST_CASE("things that must fit together") {
    CHECK(complaints_of(site + bays + "walks: {morning: 07:00, evening: 06:00}\n") ==
          Texts{"t.yaml:3:8: walks: the evening walk is not after the morning walk; give a later evening, or evening: no"});
    CHECK(complaints_of(site + bays + "carry: {can: 1 L, mark: 2 L, taps: [{id: yard, near: [wal]}]}\n") ==
          Texts{"t.yaml:3:8: carry: the mark is larger than the can; give the smallest mark on the can",
                "t.yaml:3:8: carry: the tap yard is near 'wal', which is no bay; did you mean wall?"});
}

TEST_CASE("mappings for foreign weather") {
    CHECK(complaints_of(site + bays +
                        "weather:\n"
                        "  - name: station\n"
                        "    time_format: iso\n"
                        "    separator: slash\n"
                        "    columns:\n"
                        "      - {from: t, quantity: air_temprature, unit: degC}\n"
                        "      - {from: t, quantity: air_temperature:mode, unit: degC}\n"
                        "      - {from: t, quantity: air_temperature, unit: C}\n"
                        "      - {from: t, quantity: air_temperature, unit: degC, counter: yes}\n") ==
          Texts{"t.yaml:4:5: weather has no time; add `time: datetime`",
                "t.yaml:4:5: weather: time_format: 'iso' is not a format; write rfc3339, epoch, day, or a pattern such as %d.%m.%Y %H:%M",
                "t.yaml:6:16: weather: separator: 'slash' can not separate columns; write comma, semicolon, tab, space or \"|\"",
                "t.yaml:8:29: a column: quantity: 'air_temprature' is not a weather quantity; did you mean air_temperature?",
                "t.yaml:9:29: a column: quantity: air_temperature has no statistic 'mode'; write mean, max or min",
                "t.yaml:10:52: a column: unit: the unit 'C' is the coulomb, not a temperature; write degC",
                "t.yaml:11:9: a column: only a sum can be a counter, air_temperature is not; remove counter: yes"});
}

TEST_CASE("YAML that tries to hurt is answered") {
    CHECK(complaints_of(site + bays + "tables: &x t\ncaution: *x\n") ==
          Texts{"t.yaml:3:9: an anchor (&name) is not taken; write the value out wherever it is needed",
                "t.yaml:4:10: an alias (*name) is not taken; write the value out again"});
    CHECK(complaints_of(site + bays + "tables: !!binary t\n") == Texts{"t.yaml:3:9: a tag (tag:yaml.org,2002:binary) is not taken; leave it out"});
    auto deep = complaints_of(std::string(1000, '['));
    REQUIRE(deep.size() == 1);
    CHECK_THAT(deep[0], ContainsSubstring("this is nested more than 24 deep; check the brackets and the indentation"));
    CHECK(complaints_of("caution: low\ncaution: high\n" + site + bays) == Texts{"t.yaml:2:1: the key 'caution' is given twice, first in line 1; keep one of them"});
    CHECK(complaints_of("{a: 1}: 2\n" + site + bays) == Texts{"t.yaml:1:1: a key must be a word; write `key: value`"});
    CHECK(complaints_of(site + bays + "---\nmore: 1\n") == Texts{"t.yaml:4:1: a second document begins here; keep one document in a file"});
    CHECK(complaints_of("site:\n\tlatitude: 1\n") == Texts{"t.yaml:2:1: a tab indents this line; indent with spaces"});
    CHECK(complaints_of(std::string("site: \x01\n")) == Texts{"t.yaml:1:7: the control byte \\x01 is here; remove it"});
    CHECK(complaints_of(std::string("site: \0\n", 8)) == Texts{"t.yaml:1:7: the control byte \\x00 is here; remove it"});
    CHECK(complaints_of("name: caf\xE9\n") == Texts{"t.yaml:1:10: the byte \\xE9 is not UTF-8; save the file as UTF-8"});
    CHECK(complaints_of("\xFF\xFEs\0") == Texts{"t.yaml:1:1: the file is UTF-16; save it as UTF-8"});
    CHECK(complaints_of("a: [1, 2\nb: 3\n").size() == 1);
    CHECK(complaints_of("a: b: c\n") == Texts{"t.yaml:1:5: there is a ':' where no value can stand; check indentation, colons, quotes and brackets"});
    CHECK(complaints_of("\"unended\n").size() == 1);
    CHECK(complaints_of(std::string(2 << 20, '#')) == Texts{"t.yaml: the file has 2097152 bytes; at most 1048576 bytes are read"});
}

TEST_CASE("a byte order mark and CRLF are taken") {
    std::string yaml = "\xEF\xBB\xBF" + site + bays;
    std::string crlf;
    for (char c : yaml) crlf += c == '\n' ? std::string("\r\n") : std::string(1, c);
    CHECK(complaints_of(yaml) == Texts{});
    CHECK(complaints_of(crlf) == Texts{});
}

TEST_CASE("the example garden file has nothing wrong, and reads back from what is written") {
    auto names = names_with({"north-wall", "lawn"});
    auto read = read_garden("garden.yaml", file("garden.yaml"), names);
    CHECK(messages(read.complaints) == Texts{});
    REQUIRE(read.value.size() == 3);
    CHECK(read.value[0].since == parse_day("2025-08-20"));
    for (const auto& pot : read.value) CHECK(messages(setup_of(pot.id, merge({}, pot.facts), *pot.since).complaints) == Texts{});

    auto written = write_garden(read.value);
    auto again = read_garden("again.yaml", written, names);
    CHECK(messages(again.complaints) == Texts{});
    REQUIRE(again.value.size() == read.value.size());
    for (std::size_t i = 0; i < read.value.size(); ++i) {
        CHECK(again.value[i].id == read.value[i].id);
        CHECK(again.value[i].since == read.value[i].since);
        CHECK(merge({}, again.value[i].facts) == merge({}, read.value[i].facts));
    }
    CHECK(write_garden(again.value) == written);
}

TEST_CASE("facts of a garden file are canonical") {
    auto read = read_garden("g.yaml", "pots:\n  - {id: 7, bay: wall, container: {top: 18 in, saucer: no}, mulch: no, label: 'a \"b\": c',\n"
                                      "     drip: {each: 300 mL, at: [20:00, 6:00]}, trees: [{species: apple, crown: {across: [90 cm, 0.8 m]}, stages: {full-bloom: 2026-04-20}}]}\n",
                            names_with({"wall"}));
    CHECK(messages(read.complaints) == Texts{});
    REQUIRE(read.value.size() == 1);
    auto facts = std::vector<Fact>{{"bay", "wall"}, {"container.top", "45.72 cm"}, {"container.saucer", "no"}, {"mulch", "no"}, {"label", "a \"b\": c"},
                                   {"drip.each", "0.3 L"}, {"drip.at", "06:00,20:00"}, {"tree.a.species", "apple"}, {"tree.a.crown.across", "90 cm by 80 cm"},
                                   {"tree.a.stage.full-bloom", "2026-04-20"}};
    CHECK(read.value[0].facts == facts);
    auto again = read_garden("again.yaml", write_garden(read.value), names_with({"wall"}));
    CHECK(messages(again.complaints) == Texts{});
    CHECK(merge({}, again.value.at(0).facts) == merge({}, facts));
}

TEST_CASE("all complaints of a garden file come at once") {
    auto read = read_garden("g.yaml",
                            "pots:\n"
                            "  - id: watered\n"
                            "    bay: wal\n"
                            "  - id: 7\n"
                            "    since: 2026-02-30\n"
                            "    container: {siez: 40 L, wall: plastik, height: 400 cm}\n"
                            "    medium: loma\n"
                            "    trees:\n"
                            "      - {id: a, species: aple, rootstock: M27, stake: temporery, planted: 2023}\n"
                            "      - {id: a}\n"
                            "      - {id: A b, species: apple}\n"
                            "  - id: 7\n"
                            "  - bay: wall\n"
                            "  - nothing\n",
                            names_with({"wall"}));
    CHECK(messages(read.complaints) ==
          Texts{"g.yaml:2:9: 'watered' can not be a pot's id, since it is a word of the commands; call it pot-watered, or as its label says",
                "g.yaml:3:10: bay: 'wal' is not a bay of the configuration; did you mean wall?",
                "g.yaml:5:12: pot 7: since: '2026-02-30' is not a day of the calendar; write year, month and day, like 2026-03-02",
                "g.yaml:6:17: pot 7: there is no key 'siez' here; did you mean size?",
                "g.yaml:6:35: pot 7: container.wall: 'plastik' is not a word for it; did you mean plastic?",
                "g.yaml:6:52: pot 7: container.height: '400 cm' is out of range; 5 cm to 200 cm is allowed",
                "g.yaml:7:13: pot 7: medium: 'loma' is not a known medium; did you mean loam?",
                "g.yaml:9:26: pot 7: tree.a.species: 'aple' is not a known species; did you mean apple?",
                "g.yaml:9:43: pot 7: tree.a.rootstock: 'M27' is not a known rootstock; did you mean M.27?",
                "g.yaml:9:55: pot 7: tree.a.stake: 'temporery' is not a word for it; did you mean temporary?",
                "g.yaml:9:75: pot 7: tree.a.planted: '2023' is not a day of the calendar; write year, month and day, like 2026-03-02",
                "g.yaml:10:9: pot 7: the tree 'a' is given twice; give each tree of a pot its own id",
                "g.yaml:11:14: pot 7: 'A b' can not be a tree's id; write one to eight small letters or digits, such as a",
                "g.yaml:12:9: the pot '7' is given twice, first in line 4; give each pot its own id",
                "g.yaml:13:5: this pot has no id; add `id: 7`, as on its label",
                "g.yaml:14:5: a pot is a value, not a mapping; write `- id: 7` and its facts below"});
}

TEST_CASE("garden files of the wrong shape") {
    auto names = names_with({});
    auto wrong = [&](const char* yaml) { return messages(read_garden("g.yaml", yaml, names).complaints); };
    CHECK(wrong("") == Texts{"g.yaml: the file is empty; write `pots:` and a list below it"});
    CHECK(wrong("pot: []\n") == Texts{"g.yaml:1:1: the garden file has no pots; add `pots:`", "g.yaml:1:1: the garden file has no key 'pot'; did you mean pots?"});
    CHECK(wrong("pots: 7\n") == Texts{"g.yaml:1:7: the garden file: pots: this is a value, not a list; write `- item` lines or [item, item]"});
    CHECK(wrong("pots: [{id: 1, container: 40 L}]\n") == Texts{"g.yaml:1:27: pot 1: container is one value, not a mapping; write the facts below it"});
    CHECK(wrong("pots: [{id: 1, medium: {a: b}}]\n") == Texts{"g.yaml:1:24: pot 1: medium is a mapping, not one value; write it like bark_peat_sand"});
    CHECK(wrong("pots: [{id: 1, trees: apple}]\n") == Texts{"g.yaml:1:23: pot 1: trees is a value, not a list; write `- {id: a, species: apple}` below it"});
    CHECK(wrong("pots: [{id: 1, container: {size: }}]\n") == Texts{"g.yaml:1:28: pot 1: container.size has no value; give one or remove the key"});
}

TEST_CASE("doors are addresses with ports, and what is no door is told") {
    const auto read = read_configuration("t.yaml", site + bays + "doors: {listen: ['0.0.0.0:8824', '[::1]:0'], socket: /run/tubgrove/door, names: [garden.lan], link: 'https://garden.lan', this_machine: token}\n");
    REQUIRE(read.ok());
    const auto& doors = read.value.doors;
    CHECK(doors.listen == std::vector<std::string>{"0.0.0.0:8824", "[::1]:0"});
    CHECK(doors.socket == "/run/tubgrove/door");
    CHECK(doors.names == std::vector<std::string>{"garden.lan"});
    CHECK_FALSE(doors.this_machine_open);
    CHECK(describe(read.value).back() == "doors: the service listens at 0.0.0.0:8824, [::1]:0, /run/tubgrove/door; it is called garden.lan; this machine needs a token too");
    CHECK(complaints_of(site + bays + "doors: {listen: ['garden.lan:8824'], socket: door, names: ['Garden.lan:80'], link: garden.lan, this_machine: shut}\n") ==
          Texts{"t.yaml:3:18: doors: listen: 'garden.lan:8824' is no address with a port; write it like 127.0.0.1:8824, [::1]:8824, or 0.0.0.0:8824 for every address of this machine",
                "t.yaml:3:46: doors: socket: 'door' is no place for a socket; write a whole path, like /run/tubgrove/door",
                "t.yaml:3:60: doors: names: 'Garden.lan:80' is no name of a machine; write it in small letters and without a port, like garden.lan",
                "t.yaml:3:84: doors: link: 'garden.lan' is no link to the service; write it without a path, like https://garden.lan",
                "t.yaml:3:110: doors: this_machine: 'shut' is not a word for it; write open or token"});
    for (const char* door : {"127.0.0.1", "127.0.0.1:", "127.0.0.1:70000", ":8824", "[::1:8824", "localhost:8824", "127.0.0.1:-1"})
        CHECK(complaints_of(site + bays + "doors: {listen: ['" + door + "']}\n").size() == 1);
}
