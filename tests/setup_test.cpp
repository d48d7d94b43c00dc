// The interview: answers, corrections, refusals, and the two files that it makes.
#include "catch.h"

#include "intake/garden_file.hpp"
#include "intake/read_configuration.hpp"
#include "setup.hpp"

#include <sstream>

using namespace tubgrove;

namespace {

const SetupGiven given{.machine_zone = "Europe/Budapest",
                       .today = *parse_day("2026-04-10"),
                       .names = {.bays = {},
                                 .media = {},
                                 .species = {"apple", "pear", "lemon"},
                                 .rootstocks = {"M.27", "M.9"},
                                 .vigours = {"very-dwarfing", "dwarfing"},
                                 .stages = {},
                                 .pots = {}}};

struct Held {
    FirstGarden garden;
    std::string shown;
    bool ended = false;
};

Held interviewed(const std::string& answers) {
    std::istringstream in(answers);
    std::ostringstream out;
    Interview interview(in, out, {60, false});
    Held held;
    try {
        held.garden = interview.run<FirstGarden>([](Interview& asking) { return ask_for_garden(asking, given); });
    } catch (const InterviewEnded&) {
        held.ended = true;
    }
    held.shown = out.str();
    return held;
}

const std::string site = "Lark Terrace\n47.9\n20.3\n340\n\n";
const std::string bay = "south wall\n\n\n\n\nno\n";
const std::string cans = "9\n2\n";

}  // namespace

TEST_CASE("a whole interview, mostly by pressing Enter") {
    const auto held =
        interviewed(site + bay + cans + "yes\n7\n40\napple\nM.27\n2023-11-12\n2024-03\n\n\n\n\n\n\n\nno\n");
    REQUIRE_FALSE(held.ended);
    const auto& c = held.garden.configuration;
    CHECK(c.site.name == "Lark Terrace");
    CHECK(degrees(c.site.latitude) == Approx(47.9));
    CHECK(metres(c.site.elevation) == Approx(340));
    CHECK(c.site.timezone == "Europe/Budapest");
    REQUIRE(c.bays.size() == 1);
    CHECK(c.bays[0].id == "south-wall");
    CHECK(litres(c.carry.can) == Approx(9));
    REQUIRE(held.garden.pots.size() == 2);
    CHECK(held.garden.pots[0].stock == "M.27");
    CHECK(held.garden.pots[0].since == "2024-03-01");
    // The second pot was answered with Enter throughout.
    CHECK(held.garden.pots[1].id == "8");
    CHECK(held.garden.pots[1].size == held.garden.pots[0].size);
    CHECK(held.garden.pots[1].planted == "2023-11-12");
}

TEST_CASE("both files read back to what was answered") {
    auto held = interviewed("Say \"kert\" \\ # : x\n33.4 S\n70.6 W\n520 m\nAmerica/Santiago\n" + bay + cans +
                            "yes\ntrough\n60 L\npear\nunknown\n2024\n\nno\n");
    REQUIRE_FALSE(held.ended);
    const auto configuration = read_configuration("tubgrove.yaml", configuration_text(held.garden.configuration));
    for (const auto& complaint : configuration.complaints) UNSCOPED_INFO(format(complaint));
    REQUIRE(configuration.ok());
    CHECK(configuration.value.site.name == "Say \"kert\" \\ # : x");
    CHECK(degrees(configuration.value.site.latitude) == Approx(-33.4));
    CHECK(degrees(configuration.value.site.longitude) == Approx(-70.6));
    CHECK(configuration.value.bays.size() == 1);
    CHECK(configuration.value.walks.morning == held.garden.configuration.walks.morning);
    Names names = given.names;
    names.bays = {"south-wall"};
    const auto garden = read_garden("garden.yaml", garden_text(held.garden, names), names);
    for (const auto& complaint : garden.complaints) UNSCOPED_INFO(format(complaint));
    REQUIRE(garden.ok());
    REQUIRE(garden.value.size() == 1);
    CHECK(garden.value[0].id == "trough");
    CHECK(garden.value[0].since == parse_day("2024-09-01"));
}

TEST_CASE("back forgets one answer, also across sections") {
    const auto held = interviewed("Garden\n47.9\nback\n46.2\n20.3\nback\nback\n45\n20.3\n340\n\n" + bay +
                                  "back\nno\n" + cans + "no\n");
    REQUIRE_FALSE(held.ended);
    CHECK(degrees(held.garden.configuration.site.latitude) == Approx(45));
    CHECK(held.garden.configuration.bays.size() == 1);
}

TEST_CASE("what was taken back is proposed again, once") {
    const auto held = interviewed("Garden\n47.9\nback\n\n20.3\nback\n21.5\n340\n\n" + bay + "no\n" + cans + "no\n");
    CHECK(held.garden.configuration.site.latitude == Degrees(47.9));
    CHECK(held.garden.configuration.site.longitude == Degrees(21.5));
    CHECK_THAT(held.shown, ContainsSubstring("[47.9]"));
    CHECK_THAT(held.shown, ContainsSubstring("[20.3]"));
}

TEST_CASE("back at the first question is told") {
    CHECK_THAT(interviewed("back\n").shown, ContainsSubstring("first question"));
}

TEST_CASE("a wrong answer is told with what would be right, and asked again") {
    const auto held = interviewed(
        "Garden\nnorth\n97\n47,9\n20.3\n9 km\n340 m\nEurope/Nowhere\n\nsouth wall\nhalf\nshelterd\nsheltered\n"
        "120 %\n60 %\n\nno\n\n3\n1\nno\n");
    REQUIRE_FALSE(held.ended);
    CHECK_THAT(held.shown, ContainsSubstring("'north' is no such position"));
    CHECK_THAT(held.shown, ContainsSubstring("perhaps sheltered"));
    CHECK_THAT(held.shown, ContainsSubstring("no zone that this machine"));
    CHECK(degrees(held.garden.configuration.site.latitude) == Approx(47.9));
    CHECK(held.garden.configuration.bays[0].light == "half");
    CHECK(held.garden.configuration.bays[0].rain == "60 %");
    CHECK(held.garden.configuration.carry.cans == 1);
}

TEST_CASE("what newcomers write is understood, or answered in their words") {
    const auto held = interviewed("Garden\n47\u00b054'N\n20\u00b0 18' 36\" E\n340 E\n340\nBudapest\nEurope/Budapest\nSouth Wall!\nwall\n\n\n\n\nno\n" + cans + "no\n");
    REQUIRE_FALSE(held.ended);
    CHECK(degrees(held.garden.configuration.site.latitude) == Approx(47.9));
    CHECK(degrees(held.garden.configuration.site.longitude) == Approx(20.31));
    std::string shown;   // however its lines were broken
    std::istringstream words(held.shown);
    for (std::string word; words >> word;) shown += word + " ";
    CHECK_THAT(shown, ContainsSubstring("perhaps Europe/Budapest"));
    CHECK_THAT(shown, ContainsSubstring("a number such as 340 m"));
    CHECK(shown.find("UDUNITS") == std::string::npos);
    CHECK_THAT(held.shown, ContainsSubstring("name of a bay"));
    for (const char* wrong : {"47'", "47\u00b0x", "47\u00b061'", "95\u00b0"}) {
        CAPTURE(wrong);
        CHECK_THAT(interviewed("Garden\n" + std::string(wrong) + "\n").shown, ContainsSubstring("is no such position"));
    }
}

TEST_CASE("a stock is proposed again for the same species only, and UTC is no garden's zone") {
    const auto held = interviewed(site + bay + cans + "yes\n7\n40\napple\nM.27\n2024\n\nyes\n8\n40\npear\n\n2024\n\nyes\n9\n40\npear\ndwarfing\n2024\n\nyes\n10\n\n\n\n\n\nno\n");
    REQUIRE_FALSE(held.ended);
    REQUIRE(held.garden.pots.size() == 4);
    CHECK(held.garden.pots[1].stock == "unknown");
    CHECK(held.garden.pots[3].stock == "dwarfing");
    std::istringstream in("Garden\n47.9\n20.3\n340\n\nUTC\n");
    std::ostringstream out;
    Interview interview(in, out, {60, false});
    SetupGiven server = given;
    server.machine_zone = "Etc/UTC";
    CHECK_THROWS_AS(interview.run<FirstGarden>([&](Interview& asking) { return ask_for_garden(asking, server); }), InterviewEnded);
    CHECK_THAT(out.str(), ContainsSubstring("Its time zone? "));
    CHECK_THAT(out.str(), ContainsSubstring("needs an answer"));
}

TEST_CASE("a pot's id is asked again when it is taken, an action's word or no id") {
    const auto held =
        interviewed(site + bay + cans + "yes\nwatered\n7\n40\napple\nM.9\n2024\n\nyes\n7\n8\n\n\n\n\n\nno\n");
    REQUIRE_FALSE(held.ended);
    REQUIRE(held.garden.pots.size() == 2);
    CHECK_THAT(held.shown, ContainsSubstring("is there already"));
}

TEST_CASE("dates ahead, unknown stocks and species are refused with a hint") {
    const auto held =
        interviewed(site + bay + cans + "yes\n7\n40\naple\napple\nM27\nM.27\n2027-01-01\n2031\n2026-02-30\ntoday\n\nno\n");
    REQUIRE_FALSE(held.ended);
    CHECK_THAT(held.shown, ContainsSubstring("perhaps M.27"));
    CHECK_THAT(held.shown, ContainsSubstring("'2027-01-01' lies ahead"));
    CHECK_THAT(held.shown, ContainsSubstring("'2031' lies ahead"));
    CHECK_THAT(held.shown, ContainsSubstring("is no date"));
    CHECK(held.garden.pots[0].planted == "2026-04-10");
}

TEST_CASE("the input's end, and quit, end the interview") {
    CHECK(interviewed("").ended);
    CHECK(interviewed(site).ended);
    CHECK(interviewed(site + "quit\n").ended);
}

TEST_CASE("a question mark explains") {
    CHECK_THAT(interviewed("Garden\n?\n").shown, ContainsSubstring("sun's height"));
}

TEST_CASE("a year alone is the end of its winter, which in the south comes in September") {
    const std::string south = "Patio\n33.4 S\n70.6 W\n520\nAmerica/Santiago\n";
    const auto planted = [&](const std::string& where, const char* year) {
        const auto held = interviewed(where + bay + cans + "yes\n7\n40\napple\nM.27\n" + year + "\n\nno\n");
        REQUIRE(held.garden.pots.size() == 1);
        return held.garden.pots[0].planted;
    };
    CHECK(planted(south, "2024") == "2024-09-01");
    CHECK(planted(site, "2024") == "2024-03-01");
    CHECK(planted(south, "2026") == "2026-04-10");   // of this year, and not past today
    CHECK(planted(south, "2024-05") == "2024-05-01");
}
