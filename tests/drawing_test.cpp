// The list and the other answers as text: what stands where, on wide and on narrow pages.
#include "catch.h"

#include "draw_ahead.hpp"
#include "draw_answers.hpp"
#include "draw_round.hpp"
#include "garden/json.hpp"
#include "garden/reasons.hpp"
#include "phrases.hpp"
#include "progress.hpp"
#include "round_words.hpp"
#include "terminal.hpp"

#include <algorithm>
#include <limits>
#include <sstream>

using namespace tubgrove;

namespace {

const Zone budapest = Zone::find("Europe/Budapest").value_or(Zone::utc());
const LocalDay july_14 = *parse_day("2026-07-14");
Instant at(const char* text) { return *parse_rfc3339(text); }

PourLine pour_line(std::string pot, std::string bay, double litres, Until until) {
    PourLine line;
    line.pot = line.label = std::move(pot);
    line.bay = std::move(bay);
    line.pour_l = litres;
    line.low_l = litres * 0.7;
    line.high_l = litres * 1.2;
    line.until = until;
    line.dry_at = at("2026-07-15T14:00:00+02:00");
    line.because = {{"no-rain-gauge", {}, "no rain gauge"}};
    return line;
}

Round a_round() {
    Round round;
    round.id = "2026-07-14-morning";
    round.day = july_14;
    round.walk = "morning";
    round.site = "Lark Terrace";
    round.issued = at("2026-07-14T06:00:00+02:00");
    round.et0_mm = 6.23;
    round.rain_mm = 0;
    round.weather_from = "own readings (station)";
    round.question = Question{"2026-07-13-morning", "Yesterday: all, some or none poured?", 2, {"7", "trough"}};
    round.pours = {pour_line("7", "south-wall", 2.5, Until::run_through),
                   pour_line("8", "south-wall", 3, Until::amount),
                   pour_line("trough", "steps", 6, Until::run_through)};
    round.pours[1].passes = 2;
    round.pours[1].because.push_back({"crown-never-measured", {}, "crown never measured"});
    round.pours[1].because.push_back(
        {"rain-caught", {{"rain_mm", "8"}}, "8 mm fell, pot 8 caught 1.1 L, still pour 3 L"});
    round.pours[1].because.push_back({"missing", {{"need_l", "3"}}, "needs about 3 L (2 to 4 L)"});
    round.pours[0].label = "the apple by the door";
    round.no_water = {{"3", "3", "porch", july_14 + std::chrono::days(2), 0.4, 3},
                      {"4", "4", "porch", july_14 + std::chrono::days(2), 0.4, 3},
                      {"10", "10", "edge", std::nullopt, 0.1, 20}};
    round.trips = {{"yard", {{5.5, {{"7", 2.5, 1}, {"8", 1.5, 1}}}, {6, {{"trough", 6, 1}}}}}};
    round.total_l = 11.5;
    round.notices = {{"lift", Severity::note, {}, "A full can weighs six kilograms."},
                     {"heat", Severity::danger, {}, "Over 35 degrees on Thursday."}};
    return round;
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

int widest(const std::string& text) {
    int width = 0;
    for (const auto& line : lines_of(text)) width = std::max(width, columns(line));
    return width;
}

std::size_t place(const std::string& text, const std::string& part) {
    INFO(text);
    const auto found = text.find(part);
    REQUIRE(found != std::string::npos);
    return found;
}

}  // namespace

TEST_CASE("the list at 80 columns, word for word") {
    const std::string text = draw_round({a_round(), true, {}}, budapest, {80, false});
    CHECK(text == R"(Tuesday 14 July 2026, morning
Lark Terrace: pour 11.5 L into 3 pots in 1 trip. 3 pots rest.

Yesterday: all, some or none poured?
  Answer: tubgrove did round 2026-07-13-morning all (or some, or none)

Danger: Over 35 degrees on Thursday.
Note: A full can weighs six kilograms.

At south-wall
     7   2.5 L  the apple by the door: or until it runs through
        Needs 1.8 to 3 L; without water dry tomorrow 14:00.
     8     3 L  twice 1.5 L, half an hour apart
        Needs 2.1 to 3.6 L; without water dry tomorrow 14:00. 8 mm fell, pot 8
        caught 1.1 L, still pour 3 L.

At steps
trough     6 L  or until it runs through
        Needs 4.2 to 7.2 L; without water dry tomorrow 14:00.

Cans
  From yard
  1. 5.5 L for 7 (2.5), 8 (1.5); 6 L for trough (6)

No water now
  Again on Thursday: 3, 4
  Good for more than ten days: 10

Why the ranges are wide
  All: no rain gauge.
  8: crown never measured.

Evaporation expected today (ET0) 6.2 mm; no rain since the last round. Weather
from own readings (station).
Round 2026-07-14-morning, issued today 06:00.
Done? tubgrove did round all. Anything else: tubgrove did 7 watered 2.5L. Why
  so: tubgrove why 7
)");
}

TEST_CASE("no line is wider than the page, down to a phone's") {
    for (const int width : {20, 32, 40, 60, 80, 100}) {
        CAPTURE(width);
        CHECK(widest(draw_round({a_round(), true, {"8: 3 L instead of 2 L, because the forecast rose"}}, budapest,
                                {width, false})) <= width);
    }
}

TEST_CASE("colour repeats words and never replaces them") {
    const RoundAnswer answer{a_round(), true, {}};
    const std::string plain = draw_round(answer, budapest, {80, false});
    std::string painted = draw_round(answer, budapest, {80, true});
    CHECK(plain.find('\x1b') == std::string::npos);
    CHECK(painted.find('\x1b') != std::string::npos);
    for (std::size_t at; (at = painted.find('\x1b')) != std::string::npos;)
        painted.erase(at, painted.find('m', at) - at + 1);
    CHECK(painted == plain);
}

TEST_CASE("the question comes first, then danger, then the walk") {
    const std::string text = draw_round({a_round(), true, {}}, budapest, {40, false});
    CHECK(place(text, "Yesterday: all") < place(text, "Danger:"));
    CHECK(place(text, "Danger:") < place(text, "Note:"));
    CHECK(place(text, "Note:") < place(text, "At south-wall"));
}

TEST_CASE("a list with nothing to pour says so") {
    Round round = a_round();
    round.pours.clear();
    round.trips.clear();
    round.total_l = 0;
    round.question.reset();
    const std::string text = draw_round({round, true, {}}, budapest, {80, false});
    CHECK_THAT(text, ContainsSubstring("nothing to pour"));
    CHECK(text.find("Cans") == std::string::npos);
}

TEST_CASE("the days ahead keep their columns and the page's width, whatever the day is called; without a pour the sheet says so") {
    AheadAnswer answer;
    answer.from = *parse_day("2026-09-29"), answer.to = *parse_day("2026-09-30");
    answer.days.resize(2);
    answer.days[0] = {.day = answer.from, .max_degC = {7, 9, 11}, .et0_mm = {0.4, 0.8, 1.2}, .rain_mm = {0, 0, 0}, .from = "forecast"};
    answer.days[1] = {.day = answer.to, .max_degC = {-12, -11, -10}, .et0_mm = {10.1, 12.2, 14.3}, .rain_mm = {100, 120, 140}, .from = "usual"};
    const std::string wide = draw_ahead(answer, budapest, {80, false});
    CHECK_THAT(wide, ContainsSubstring("Tue 29 September  9 (7 to 11)       0.8 (0.4 to 1.2)    0.0 (0.0 to 0.0)\n"
                                       "Wed 30 September  -11 (-12 to -10)  12.2 (10.1 to 14.3) 120.0 (100.0 to 140.0) ?\n"));
    CHECK_THAT(wide, ContainsSubstring("? usual values: no forecast speaks of that day."));
    for (const int width : {60, 80}) {
        std::istringstream lines(draw_ahead(answer, budapest, {width, false}));
        for (std::string line; std::getline(lines, line);) CHECK(columns(line) <= width);
    }
    Round round = a_round();
    round.pours.clear(), round.trips.clear(), round.total_l = 0;
    CHECK_THAT(draw_sheet(round, budapest), ContainsSubstring(": nothing to pour. Round "));
}

TEST_CASE("what a later visit pours does not stand under a day without one") {
    VisitAnswer visit;
    visit.at = budapest.at(LocalTime(*parse_day("2026-07-14")) + std::chrono::hours(8));
    visit.day = *parse_day("2026-07-15"), visit.walk = "morning", visit.total_l = 2;
    visit.pours.resize(1);
    visit.pours[0].pot = "7", visit.pours[0].bay = "steps", visit.pours[0].pour_l = 2;
    const auto shown = [&] { return draw_visit(visit, budapest, {80, false}); };
    CHECK_THAT(shown(), ContainsSubstring("No visit is needed today."));
    CHECK(place(shown(), "Not now, but on Wed 15 July in the morning, as it looks today:") < place(shown(), "At steps"));
    visit.day = *parse_day("2026-07-14"), visit.walk = "evening";
    CHECK_THAT(shown(), ContainsSubstring("Not now, but this evening, as it looks today:"));
    visit.due = true;
    CHECK(shown().find("Not now") == std::string::npos);
}

TEST_CASE("a pot's course and the days of weather keep to the page's width") {
    WaterAnswer water;
    water.pot = "7", water.from = *parse_day("2026-07-01"), water.to = *parse_day("2026-07-02");
    const Instant night = budapest.start_of(water.from);
    for (int h = 0; h < 48; h += 24) water.points.push_back({.at = night + std::chrono::hours(h), .depletion_l = 106.1, .depletion_low_l = 102.5, .depletion_high_l = 110.8, .available_l = 111.8});
    WeatherAnswer weather;
    weather.days.resize(1);
    weather.days[0].day = water.from, weather.days[0].rung = Rung::normals, weather.days[0].complete = false;
    for (Marked* mark : {&weather.days[0].air_temp_max_degC, &weather.days[0].air_temp_min_degC, &weather.days[0].radiation_MJ_m2, &weather.days[0].wind_2m_m_s})
        mark->value = -12.3, mark->origin = Origin::estimated;
    for (const int width : {60, 80})
        for (const std::string& text : {draw_water(water, budapest, {width, false}), draw_weather(weather, budapest, {width, false})}) {
            std::istringstream lines(text);
            for (std::string line; std::getline(lines, line);) CHECK(columns(line) <= width);
        }
    CHECK_THAT(draw_water(water, budapest, {60, false}), ContainsSubstring("  106.1 of 111.8 L (102.5 to 110.8)\n"));
}

TEST_CASE("the numbers beside a pot that no pour carries show what is said of it, or are left out") {
    const auto said = [](const char* free_l, const char* filled_l) {
        Round round = a_round();
        round.pours[0].because.push_back({"holds-less-than-a-day",
                                          {{"free_l", free_l}, {"filled_l", filled_l}, {"day_use_l", "3.4"}, {"dry_h", "2.1"}, {"before_walk_h", "2.1"}}, ""});
        std::string text = draw_round({round, true, {}}, budapest, {200, false});
        return text;
    };
    CHECK_THAT(said("3.2", "2.4"), ContainsSubstring("before the next walk (when full it gives 3.2 L freely, uses 3.4 L)."));
    CHECK_THAT(said("6.4", "2.4"), ContainsSubstring("before the next walk (after the best pour it gives 2.4 L freely, uses 3.4 L)."));
    CHECK_THAT(said("6.4", "3.6"), ContainsSubstring("before the next walk.\n"));
}

TEST_CASE("what several pots share is told once, and of one pot nothing is named twice") {
    Round round = a_round();
    const Remark small{"holds-less-than-a-day",
                       {{"free_l", "6.3"}, {"day_use_l", "6.52"}, {"dry_h", "2.1"}, {"before_walk_h", "2.1"}},
                       "holds less than this day's use: 6.3 L taken up freely, 6.5 L used; however well poured, it is likely dry about 2 hours "
                       "before the next walk. A second walk, shade or a larger pot would help"};
    for (std::size_t i : {0, 2}) {
        round.pours[i].because.push_back(small);
        round.pours[i].because.push_back({"unanswered", {{"rounds", "3"}}, "the last 3 rounds were not answered: the range is wide"});
        round.pours[i].because.push_back({"leaves-not-answered", {}, "leaves never looked at"});
    }
    round.pours[1].dry_at.reset();
    const std::string text = draw_round({round, true, {}}, budapest, {80, false});
    CHECK_THAT(text, ContainsSubstring("        Needs 1.8 to 3 L; without water dry tomorrow 14:00. However well poured,\n"
                                       "        it is likely dry about 2 hours before the next walk (when full it gives\n"
                                       "        6.3 L freely, uses 6.5 L).\n"));
    CHECK_THAT(text, ContainsSubstring("More than a pour can do\n"
                                       "  7, trough: likely dry before the next walk, however well poured. A second\n"
                                       "    walk, shade or a larger pot would help.\n"));
    CHECK(text.find("larger pot", place(text, "larger pot") + 1) == std::string::npos);
    CHECK_THAT(text, ContainsSubstring("Needs 2.1 to 3.6 L; lasts more than ten days without water."));
    CHECK_THAT(text, ContainsSubstring("  All: no rain gauge.\n"
                                       "  7, trough: the last 3 rounds were not answered: the range is wide; leaves\n"
                                       "    never looked at.\n"
                                       "  8: crown never measured.\n"));
    const std::string sheet = draw_sheet(round, budapest);
    CHECK(place(sheet, "shade or a larger pot") > place(sheet, "[ ] trough"));
    CHECK_THAT(sheet, ContainsSubstring("\nMore than a pour can do\n7, trough: likely dry before the next walk"));
    CHECK(sheet.find("larger pot", place(sheet, "larger pot") + 1) == std::string::npos);

    round.pours.resize(1);
    round.pours[0].because.push_back(round.pours[0].because.front());
    CHECK_THAT(draw_round({round, true, {}}, budapest, {80, false}),
               ContainsSubstring("Why the ranges are wide\n"
                                 "  No rain gauge; the last 3 rounds were not answered: the range is wide; leaves\n"
                                 "    never looked at.\n"));
}

TEST_CASE("a reason has its place by its code, and what a notice tells is not said again beside a pot") {
    const std::pair<const char*, const char*> rows[] = {
        {"missing", "line"},      {"dry-at", "line"},        {"until-run-through", "line"},      {"two-passes", "line"},
        {"rain-caught", "today"}, {"new-planting", "advice"}, {"holds-less-than-a-day", "advice"}, {"drain-blocked", "advice"},
        {"frozen", "advice"},     {"frozen-morning", "advice"}, {"unanswered", "range"},         {"ball-unknown", "range"}};
    for (const auto& [code, kind] : rows) {
        INFO(code);
        CHECK(kind_word(kind_of({code, {}, "x"})) == kind);
    }
    CHECK(kind_word(kind_of({"unanswered", {{"rounds", "3"}}, "x"})) == "range");
    CHECK(kind_word(kind_of({"new-code", {{"x_l", "2"}}, "x"})) == "today");
    Round round = a_round();
    round.pours[0].because = {{"drain-blocked", {}, "water was seen standing: clear its holes first"}, {"new-code", {{"x_l", "2"}}, "new today"}};
    const std::string told = "Water was seen standing: clear its holes first; new today.";
    CHECK(special_said(round.pours[0], round) == told);
    round.notices.push_back({"drain-blocked", Severity::warning, {}, "Water stands in 7."});
    CHECK(special_said(round.pours[0], round) == "New today.");
    for (const auto& gathered : unknowns_of(round)) CHECK(gathered.text.find("standing") == std::string::npos);
}

TEST_CASE("what a pot is said to be stands once under the day since which it holds") {
    PotAnswer answer;
    answer.pot.id = "7";
    answer.pot.bay = "steps";
    answer.facts = {{"bay", "steps", "stated", parse_day("2026-05-16"), 69, ""},
                    {"container.size", "25 L", "stated", parse_day("2024-05-04"), 11, ""},
                    {"medium", "loam", "stated", parse_day("2024-05-04"), 11, ""},
                    {"ball-unknown", "size of the root ball unknown", "default", {}, {}, "config/priors.yaml"}};
    CHECK(draw_pot(answer, budapest, july_14, {80, false}) == R"(Pot 7
  In bay steps

Stated, since 2024-05-04 (entry 11)
  container.size: 25 L
  medium: loam

Stated, since 2026-05-16 (entry 69)
  bay: steps

Assumed, until you say better
  Size of the root ball unknown [config/priors.yaml]
)");
}

TEST_CASE("what changed is told before the walk") {
    const std::string text =
        draw_round({a_round(), true, {"pot 8: 3 L instead of 2 L, since the forecast rose"}}, budapest, {80, false});
    CHECK(place(text, "pot 8: 3 L instead") < place(text, "At south-wall"));
}

TEST_CASE("a label cannot steer the terminal") {
    Round round = a_round();
    round.pours[0].label = "apple\x1b[2J\x1b]0;x\x07 \xff\xfe";
    for (const auto& text : {draw_round({round, true, {}}, budapest, {80, false}), draw_sheet(round, budapest)}) {
        CHECK(text.find('\x1b') == std::string::npos);
        CHECK(text.find('\x07') == std::string::npos);
        CHECK(text.find('\xff') == std::string::npos);
    }
}

TEST_CASE("the sheet fits A4, has boxes, and tears no pot apart") {
    Round round = a_round();
    const PourLine one = round.pours[1];
    for (int i = 20; i < 90; ++i) {
        round.pours.push_back(one);
        round.pours.back().pot = std::to_string(i);
    }
    const std::string text = draw_sheet(round, budapest);
    CHECK(widest(text) <= 78);
    std::istringstream pages(text);
    int count = 0;
    for (std::string page; std::getline(pages, page, '\f'); ++count) {
        CHECK(std::count(page.begin(), page.end(), '\n') <= 60);
        const auto lines = lines_of(page);
        for (std::size_t i = 0; i < lines.size(); ++i)
            if (lines[i].starts_with("[ ] 2")) CHECK_THAT(lines.at(i + 2), ContainsSubstring("caught 1.1 L"));
    }
    CHECK(count > 1);
    CHECK_THAT(text, ContainsSubstring("[ ] 8       2 x 1.5 L"));
    CHECK_THAT(text, ContainsSubstring("gave _____ L"));
    CHECK_THAT(text, ContainsSubstring("[ ] all  [ ] some  [ ] none"));
}

TEST_CASE("columns: combining marks take none, wide characters two, broken bytes one") {
    CHECK(columns("kert") == 4);
    CHECK(columns("körte") == 5);
    CHECK(columns("e\u0301") == 1);
    CHECK(columns("\u6797\u6a8e") == 4);
    CHECK(columns("\xff\xfe") == 2);
    CHECK(columns("\xe2\x82") == 2);
}

TEST_CASE("paragraphs wrap at words, keep numbers with units, and cut what is longer than a line") {
    Drawing drawing({20, false});
    drawing.paragraph({0, 2}, "pour it slowly and 12\u00a0L more");
    drawing.paragraph({0, 2}, "abcdefghijklmnopqrstuvwxyz0123456789");
    CHECK(drawing.text() == "pour it slowly and\n  12 L more\nabcdefghijklmnopqrst\n  uvwxyz0123456789\n");
}

TEST_CASE("days and moments as people say them") {
    CHECK(long_day(july_14) == "Tuesday 14 July 2026");
    CHECK(day_from(july_14, july_14) == "today");
    CHECK(day_from(july_14 + std::chrono::days(1), july_14) == "tomorrow");
    CHECK(day_from(july_14 - std::chrono::days(1), july_14) == "yesterday");
    CHECK(day_from(july_14 + std::chrono::days(6), july_14) == "Monday");
    CHECK(day_from(july_14 + std::chrono::days(7), july_14) == "Tue 21 July");
    CHECK(moment_from(at("2026-07-14T22:30:00Z"), july_14, budapest) ==
          "tomorrow\u00a0"
          "00:30");
    CHECK(plain(2.50, 2) == "2.5");
    CHECK(plain(-0.001, 1) == "0");
    CHECK(plain(10, 2) == "10");
    CHECK(ordinal(1) == "1st");
    CHECK(ordinal(12) == "12th");
    CHECK(ordinal(23) == "23rd");
}

TEST_CASE("entries in words") {
    Entry entry;
    entry.pot = "7";
    entry.action = "watered";
    entry.values = {{"amount_l", "2.5"}};
    CHECK(entry_said(entry) == "pot 7 watered 2.5\u00a0L");
    entry.action = "felt";
    entry.values = {{"class", "barely-moist"}};
    CHECK(entry_said(entry) == "pot 7 felt barely-moist");
    entry.action = "crown";
    entry.values = {{"across_1_cm", "90"}, {"across_2_cm", "80"}, {"height_cm", "140"}};
    CHECK(entry_said(entry) ==
          "pot 7 crown 90\u00a0"
          "cm by 80\u00a0"
          "cm high 140\u00a0"
          "cm");
    entry.action = "repotted";
    entry.values = {{"container.size", "50 L"}, {"medium", "loam"}};
    CHECK(entry_said(entry) == "pot 7 repotted container.size 50 L, medium loam");
    // What was told in another unit is read to three decimals; the entry keeps all of them.
    entry.values = {{"container.size", "18.9270589 L"}, {"medium", "mix 1.23456x"}};
    CHECK(entry_said(entry) == "pot 7 repotted container.size 18.927 L, medium mix 1.23456x");
    entry.action = "weighed";
    entry.values = {{"mass_kg", "31.7514659"}};
    CHECK(entry_said(entry) == "pot 7 weighed 31.751\u00a0kg");
    entry.values = {{"mass_kg", "30.9999999"}};
    CHECK(entry_said(entry) == "pot 7 weighed 31\u00a0kg");
    entry.action = "noted";
    entry.values = {{"text", "3.14159"}};
    CHECK(entry_said(entry) == "pot 7 noted 3.14159");
}

TEST_CASE("a struck entry says that it is struck") {
    DaybookAnswer answer;
    Entry entry;
    entry.id = 12;
    entry.pot = "7";
    entry.action = "watered";
    entry.values = {{"amount_l", "2.5"}};
    entry.when = at("2026-07-14T07:12:00+02:00");
    entry.by = "Ana";
    answer.entries = {entry};
    CHECK(draw_daybook(answer, budapest, {80, false}) == "  12  2026-07-14 07:12 pot 7 watered 2.5 L (by Ana)\n");
    answer.struck = {12};
    CHECK(draw_daybook(answer, budapest, {80, false}) ==
          "  12  STRUCK: 2026-07-14 07:12 pot 7 watered 2.5 L (by Ana)\n");
}

TEST_CASE("weather marks what was not measured, on wide and narrow pages") {
    DayRecord day;
    day.day = july_14;
    day.air_temp_max_degC = {33.5, Origin::measured, ""};
    day.air_temp_min_degC = {18.0, Origin::measured, ""};
    day.rain_mm = {0, Origin::estimated, "normals"};
    day.wind_2m_m_s = {2, Origin::estimated, "normals"};
    day.radiation_MJ_m2 = {26.1, Origin::derived, "sunshine"};
    day.et0_mm = 6.2;
    const std::string wide = draw_weather({.days = {day}, .by = {{july_14, {"Ana", "Ben"}}}}, budapest, {80, false});
    CHECK_THAT(wide, ContainsSubstring("2026-07-14"));
    CHECK_THAT(wide, ContainsSubstring("26.1~"));
    CHECK_THAT(wide, ContainsSubstring("2.0?"));
    CHECK_THAT(wide, ContainsSubstring("6.2?"));
    CHECK_THAT(wide, ContainsSubstring("Sent by Ana: 2026-07-14."));
    CHECK_THAT(wide, ContainsSubstring("Sent by Ben: 2026-07-14."));
    const std::string narrow = draw_weather({.days = {day}, .by = {}}, budapest, {40, false});
    CHECK(widest(narrow) <= 40);
    CHECK_THAT(narrow, ContainsSubstring("26.1~"));
    CHECK(narrow.find("Sent by") == std::string::npos);
}

TEST_CASE("a progress line fills its bar and fits its width") {
    CHECK(progress_line("roof.csv", 0.5, 1200, 60) == "roof.csv  [===============               ]  50 %, 1200 rows");
    CHECK(progress_line("roof.csv", 7, 1200, 30) == "roof.csv 100 %, 1200 rows");
    CHECK(progress_line("-", -1, 12, 60) == "-  12 rows");
}

TEST_CASE("an absence over a change of the clocks tells each moment with the offset of that moment") {
    // In Budapest clocks go back on 25 October 2026 at 3:00 (EU directive 2000/84/EC: the last Sunday of October, 1:00 UTC).
    AbsenceAnswer away;
    away.leaves = *parse_rfc3339("2026-10-24T19:00:00+02:00");
    away.returns = *parse_rfc3339("2026-10-31T07:00:00+01:00");
    Precaution as_is;
    as_is.what = "as-is";
    as_is.checked_h = {.low = 6, .median = 24, .high = std::numeric_limits<double>::infinity()};
    as_is.harmed_h = {.low = 8, .median = 9, .high = 36};
    AwayPot pot;
    pot.pot = "7";
    pot.tried = {as_is};
    away.pots = {pot};
    const auto json = to_json(away, *Zone::find("Europe/Budapest"));
    for (const char* line : {"\"checked_low_at\": \"2026-10-25T01:00:00+02:00\"", "\"checked_at\": \"2026-10-25T18:00:00+01:00\"", "\"checked_high_at\": null",
                             "\"harmed_low_at\": \"2026-10-25T02:00:00+01:00\"", "\"harmed_high_at\": \"2026-10-26T06:00:00+01:00\""}) {
        INFO(line);
        CHECK(json.find(line) != std::string::npos);
    }
}
