// Weather files: our CSV, foreign CSV and JSON, good and bad lines; and the tables that are part of the program.
#include "catch.h"
#include "intake/tables.hpp"
#include "weather_files.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>

using namespace tubgrove;
using namespace tubgrove::files;

namespace {

Mapping service(std::string rows) {
    Mapping m;
    m.name = "service";
    m.format = "json";
    m.time = "/at";
    m.time_format = "epoch";
    m.rows = std::move(rows);
    m.columns = {{"/air/t", Channel::air_temperature_mean, "degC", false}, {"/sun", Channel::surface_downwelling_shortwave_flux_in_air_mean, "kJ m-2", false}};
    return m;
}

}  // namespace

TEST_CASE("hours of our own CSV") {
    auto taken = csv("time,air_temperature [degF],relative_humidity [1],precipitation_amount:sum [kg m-2]\r\n"
                     "2026-07-14T01:00:00+02:00,50,0.5,0\r\n"
                     "\r\n"
                     "2026-07-14T02:00:00+02:00,,0.6,1.5\r\n"
                     "2026-07-14T05:00:00+02:00,\"68\",0.7,0\r\n");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 3);
    CHECK(at(taken.rows[0].starts) == "2026-07-13T22:00:00Z");
    CHECK(at(taken.rows[0].ends) == "2026-07-13T23:00:00Z");
    CHECK(at(taken.rows[2].starts) == "2026-07-14T02:00:00Z");   // the gap before it is no part of it
    CHECK(taken.rows[0][T] == Approx(10));
    CHECK_FALSE(taken.rows[1].has(T));
    CHECK(taken.rows[1][Channel::relative_humidity_mean] == Approx(60));
    CHECK(taken.rows[1][rain] == Approx(1.5));
    CHECK(taken.rows[2][T] == Approx(20));
    CHECK(taken.told.rows == 3);
    CHECK(taken.told.taken == 3);
}

TEST_CASE("days of our own CSV are the zone's days, 23 and 25 hours long at the changes") {
    auto taken = csv("\xEF\xBB\xBF" "day,air_temperature:max [degC],air_temperature:min [degC],surface_downwelling_shortwave_flux_in_air [MJ m-2]\n"
                     "2026-03-29,12,1,8.28\n2026-10-25,15,4,9\n");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 2);
    CHECK(taken.rows[0].ends - taken.rows[0].starts == std::chrono::hours(23));
    CHECK(taken.rows[1].ends - taken.rows[1].starts == std::chrono::hours(25));
    CHECK(taken.rows[0][Channel::surface_downwelling_shortwave_flux_in_air_mean] == Approx(100));
    CHECK(taken.rows[1][Channel::surface_downwelling_shortwave_flux_in_air_mean] == Approx(100));
}

TEST_CASE("bad lines are refused one by one, good ones kept") {
    auto taken = csv("time,air_temperature [degC],relative_humidity [%]\n"
                     "2026-07-14T01:00:00Z,20,50\n"
                     "2026-07-14 25:00,20,50\n"
                     "2026-07-14T02:00:00,20,50\n"
                     "2026-07-14T03:00:00Z,20\n"
                     "2026-07-14T04:00:00Z,warm,50\n"
                     "2026-07-14T05:00:00Z,68,50\n"
                     "2026-07-14T06:00:00Z,20,870\n"
                     "2026-07-14T07:00:00Z,nan,50\n"
                     "2026-07-14T08:00:00Z,\"20\"x,50\n"
                     "2026-07-14T09:00:00Z,1e999,50\n"
                     "2026-07-14T10:00:00Z,21,50\n");
    CHECK(taken.messages ==
          Texts{"w.csv:3:1: the time '2026-07-14 25:00' is not one; write RFC 3339 with the offset, like 2026-07-14T07:00:00+02:00",
                "w.csv:4:1: the time '2026-07-14T02:00:00' is not one; write RFC 3339 with the offset, like 2026-07-14T07:00:00+02:00",
                "w.csv:5: the line has 2 cells; give 3, as the first line does",
                "w.csv:6:22: air_temperature: 'warm' is not a number; write a number with a decimal point, or leave the cell empty",
                "w.csv:7:22: air_temperature: '68' is out of range; -60 degC to 60 degC is possible; check the unit",
                "w.csv:8:25: relative_humidity: '870' is out of range; 0 % to 105 % is possible; check the unit",
                "w.csv:9:22: air_temperature: 'nan' is not a number; write a number with a decimal point, or leave the cell empty",
                "w.csv:10: a quote is not closed, or text follows one; repair or remove the line",
                "w.csv:11:22: air_temperature: '1e999' is not a number; write a number with a decimal point, or leave the cell empty"});
    CHECK(taken.rows.size() == 2);
    CHECK(taken.told.rows == 11);
    CHECK(taken.told.refused == 9);
}

TEST_CASE("a row whose highest lies below its lowest is refused whole; equal ones and single ones are none") {
    auto taken = csv("day,air_temperature:min [degC],air_temperature:max [degF],relative_humidity:max [%],relative_humidity:min [%],precipitation_amount:sum [mm]\n"
                     "2026-07-14,30,68,80,40,3\n"
                     "2026-07-15,17,88,40,80,3\n"
                     "2026-07-16,20,68,80,80,3\n"
                     "2026-07-17,20,,,80,3\n");
    CHECK(taken.messages ==
          Texts{"w.csv:2:15: air_temperature:max: 20 degC is below air_temperature:min with 30 degC; a highest is not below the lowest; check whether the two were exchanged",
                "w.csv:3:18: relative_humidity:max: 40 % is below relative_humidity:min with 80 %; a highest is not below the lowest; check whether the two were exchanged"});
    CHECK(taken.rows.size() == 2);
    CHECK(taken.told.refused == 2);
}

TEST_CASE("a header that is not understood stops the file, with all that is wrong in it") {
    auto taken = csv("date,air_temprature [degC],relative_humidity,wind_speed [mph],air_temperature:sum [degC],air_temperature [K],air_temperature:mean [degC]\n1\n");
    CHECK_FALSE(taken.told.usable);
    CHECK(taken.messages == Texts{"w.csv:1:1: the first column is 'date'; begin the first line with time (RFC 3339) or day (YYYY-MM-DD)",
                                  "w.csv:1:6: 'air_temprature' is not a weather quantity; did you mean air_temperature?",
                                  "w.csv:1:28: the column 'relative_humidity' has no unit; write relative_humidity [%]",
                                  "w.csv:1:46: the unit 'mph' is not a known one; write mile h-1",
                                  "w.csv:1:63: air_temperature has no statistic 'sum'; write mean, max or min",
                                  "w.csv:1:110: the columns air_temperature and air_temperature:mean mean the same; keep one of them, or name another statistic"});
    CHECK(csv("").messages == Texts{"w.csv: the file is empty; begin with a line such as time,air_temperature [degC]"});
    CHECK(csv("time\n").messages == Texts{"w.csv:1:1: there is no column with weather; add one, such as air_temperature [degC]"});
}

TEST_CASE("splitting a file changes nothing, whatever the length of its steps") {
    std::string head = "time,air_temperature [degC]\n", first, second;
    for (int i = 0; i < 3000; ++i) {
        auto row = format_rfc3339(*parse_rfc3339("2026-01-01T00:00:00Z") + std::chrono::minutes(10) * i, Zone::utc()) + "," + std::to_string(i % 30) + "\n";
        (i < 1234 ? first : second) += row;
    }
    auto whole = csv(head + first + second), a = csv(head + first), b = csv(head + second);
    a.rows.insert(a.rows.end(), b.rows.begin(), b.rows.end());
    REQUIRE(a.rows.size() == whole.rows.size());
    for (std::size_t i = 0; i < a.rows.size(); ++i) REQUIRE((a.rows[i].starts == whole.rows[i].starts && a.rows[i].ends == whole.rows[i].ends && a.rows[i][T] == whole.rows[i][T]));
    CHECK(whole.rows[0].ends - whole.rows[0].starts == std::chrono::minutes(10));
}

TEST_CASE("a file whose steps change says so row by row; a hole is no step") {
    const auto minutes = [](const std::vector<int>& ends) {
        std::string text = "time,air_temperature [degC]\n";
        for (int m : ends) text += format_rfc3339(*parse_rfc3339("2026-07-01T00:00:00Z") + std::chrono::minutes(m), Zone::utc()) + ",20\n";
        std::vector<long> lengths;
        for (const auto& row : csv(text).rows) lengths.push_back(long((row.ends - row.starts).count()) / 60);
        return lengths;
    };
    CHECK(minutes({60, 120, 180, 360, 540, 720}) == std::vector<long>{60, 60, 60, 180, 180, 180});
    CHECK(minutes({60, 120, 180, 360, 420, 480}) == std::vector<long>{60, 60, 60, 60, 60, 60});
    CHECK(minutes({60, 120, 180, 4000, 4060}) == std::vector<long>{60, 60, 60, 60, 60});
    // A later, closer part than the first rows showed, across a batch.
    std::vector<int> ends;
    for (int i = 1; i <= 20'000; ++i) ends.push_back(180 * i);
    for (int i = 1; i <= 10; ++i) ends.push_back(180 * 20'000 + 60 * i);
    const auto lengths = minutes(ends);
    REQUIRE(lengths.size() == ends.size());
    CHECK(std::ranges::all_of(lengths.begin(), lengths.begin() + 20'000, [](long m) { return m == 180; }));
    CHECK(std::ranges::all_of(lengths.begin() + 20'000, lengths.end(), [](long m) { return m == 60; }));
}

TEST_CASE("a factor may stand before the unit, as services write whole numbers of tenths") {
    auto m = station();
    m.columns = {{"Temp", T, "0.1 degC", false}, {"Rain", rain, "0.1 mm", false}};
    const auto taken = mapped(m, "Time;Temp;Rain\n14.07.2026 00:10;-215;48\n");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 1);
    CHECK(taken.rows[0][T] == Approx(-21.5));
    CHECK(taken.rows[0][rain] == Approx(4.8));
    for (const char* bad : {"0 mm", "-1 mm", "nan mm", "0.1 stone", "0.1"}) {
        m.columns = {{"Rain", rain, bad, false}};
        CHECK_FALSE(mapped(m, "Time;Rain\n14.07.2026 00:10;48\n").told.usable);
    }
}

TEST_CASE("no more than a hundred complaints are kept, all are counted; a very long line is one of them") {
    std::string text = "time,air_temperature [degC]\n" + std::string(300'000, 'x') + "\n";
    for (int i = 0; i < 150; ++i) text += "bad,1\n";
    auto taken = csv(text + "2026-07-14T01:00:00Z,20\n");
    CHECK(taken.messages.size() == 100);
    CHECK(taken.messages[0] == "w.csv:2: the line is longer than 64 KiB; split or remove it");
    CHECK(taken.messages[1] == "w.csv:3:1: the time 'bad' is not one; write RFC 3339 with the offset, like 2026-07-14T07:00:00+02:00");
    CHECK(taken.told.refused == 151);
    CHECK(taken.rows.size() == 1);
}

TEST_CASE("an open quote does not swallow the file") {
    std::string text = "time,air_temperature [degC]\n2026-07-14T01:00:00Z,\"20\n";
    for (int i = 0; i < 5000; ++i) text += "2026-07-14T02:00:00Z,20\n";
    auto taken = csv(text);
    REQUIRE(taken.messages.size() == 1);
    CHECK(taken.messages[0] == "w.csv:2: a quote is not closed, or text follows one; repair or remove the line");
    CHECK(taken.rows.size() == 5000);
}

TEST_CASE("two stray quotes far apart cost their own lines, not those between") {
    const std::string good = "2026-07-14T02:00:00Z,20\n", open = "\"2026-07-14T01:00:00Z,20\n", close = "2026-07-14T01:00:00Z,20\"\n";
    auto taken = csv("time,air_temperature [degC]\n" + open + good + good + good + close + good);
    CHECK(taken.rows.size() == 4);
    REQUIRE(taken.messages.size() == 2);
    CHECK(taken.messages[0] == "w.csv:2: the line has 1 cell; give 2, as the first line does");
    CHECK(taken.messages[1] == "w.csv:6: a quote is not closed, or text follows one; repair or remove the line");
    CHECK(taken.told.rows == 6);
}

TEST_CASE("a quoted cell may still go over several lines") {
    auto m = station();
    m.separator = ',';
    auto taken = mapped(m, "Time,Note,Temp,Rain\n14.07.2026 00:10,\"fog\nin the morning\",50,1\n14.07.2026 00:20,,50,1\n");
    CHECK(taken.messages == Texts{});
    CHECK(taken.rows.size() == 2);
}

TEST_CASE("a file in UTF-16 is named as such, with or without its mark") {
    const auto wide = [](const std::string& text) {
        std::string out;
        for (char c : text) out += {c, '\0'};
        return out;
    };
    const std::string message = ": the file is written in UTF-16, two bytes a letter; save it as UTF-8";
    CHECK(csv("\xFF\xFE" + wide("time,air_temperature [degC]\n")).messages == Texts{"w.csv:1" + message});
    CHECK(csv(wide("time,air_temperature [degC]\n")).messages == Texts{"w.csv:1" + message});
    CHECK(mapped(station(), "\xFF\xFE" + wide("Time;Temp;Rain\n")).messages == Texts{"w:1" + message});
    CHECK(mapped(station(), "").messages == Texts{"w: the file is empty; a file with a line of column names"});
}

TEST_CASE("a station's own CSV by a mapping: names, decimal commas, missing marks, a running total with resets") {
    auto taken = mapped([] { auto m = station(); m.skip_lines = 1; return m; }(),
                        "made by a station\nTime;Hum;Temp;Rain\n"
                        "14.07.2026 00:10;50;50,0;312,0\n"
                        "14.07.2026 00:20;50;--;312,4\n"
                        "14.07.2026 00:30;50;-9999.0;0,2\n"
                        "14.07.2026 00:40;50;68,0;0,2\n"
                        "14.07.2026 00:50;50;68,0;0,15\n"
                        "14.07.2026 01:00;50;68,0;0,7\n"
                        "32.07.2026 01:10;50;68,0;0,7\n");
    CHECK(taken.messages == Texts{"w:7:26: Rain: the running total fell from 0.2 to 0.15; a reset begins again near 0",
                                  "w:9:1: the time '32.07.2026 01:10' is not one; write a time in the form %d.%m.%Y %H:%M"});
    REQUIRE(taken.rows.size() == 6);
    CHECK(at(taken.rows[0].starts) == "2026-07-13T22:00:00Z");
    CHECK(taken.rows[0].ends - taken.rows[0].starts == std::chrono::minutes(10));
    CHECK(taken.rows[0][T] == Approx(10));
    CHECK_FALSE(taken.rows[0].has(rain));   // the first reading of a total tells no increase
    CHECK(taken.rows[1][rain] == Approx(0.4));
    CHECK_FALSE(taken.rows[1].has(T));
    CHECK(taken.rows[2][rain] == Approx(0.2));
    CHECK_FALSE(taken.rows[2].has(T));
    CHECK(taken.rows[3][rain] == 0);
    // What the total rose by since the row before the refused one is of both steps.
    CHECK(at(taken.rows[4].ends) == "2026-07-13T22:50:00Z");
    CHECK(taken.rows[4][rain] == Approx(0.25));
    CHECK_FALSE(taken.rows[4].has(T));
    CHECK(taken.rows[5][rain] == Approx(0.25));
}

TEST_CASE("columns by number, intervals told by their start, and what a mapping can not find") {
    auto m = station();
    m.time = "1";
    m.columns = {{"2", T, "degC", false}};
    m.time_is = "start";
    auto taken = mapped(m, "14.07.2026 00:10;21,5\n");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 1);
    CHECK(at(taken.rows[0].starts) == "2026-07-13T22:10:00Z");
    auto wrong = mapped(station(), "Tme;Temp;Rain\n");
    CHECK_FALSE(wrong.told.usable);
    CHECK(wrong.messages == Texts{"w:1:1: there is no column 'Time', which the mapping station names; did you mean Tme?"});
    CHECK(mapped(m, "14.07.2026 00:10\n").messages == Texts{"w:1: the line has 1 cell; give at least 2"});
}

TEST_CASE("times as files write them") {
    auto end_of = [](const char* text, const char* format) {
        auto found = parse_interval(text, {format, zone, false, std::chrono::seconds(3600)});
        return found ? at(found->ends) : std::string("none");
    };
    CHECK(end_of("1784005200", "epoch") == "2026-07-14T05:00:00Z");
    CHECK(end_of("1784005200000", "epoch") == "2026-07-14T05:00:00Z");
    CHECK(end_of("07/14/26 7:05 PM", "%m/%d/%y %I:%M %p") == "2026-07-14T17:05:00Z");
    CHECK(end_of("14-Jul-2026 24:00", "%d-%b-%Y %H:%M") == "2026-07-14T22:00:00Z");
    CHECK(end_of("2026-07-14T05:00:00+0000", "%FT%T%z") == "2026-07-14T05:00:00Z");
    CHECK(end_of("20260714", "%Y%m%d") == "2026-07-14T22:00:00Z");
    CHECK(end_of("2026-10-25 02:30", "%F %R") == "2026-10-25T00:30:00Z");   // told twice that night: the first
    CHECK(end_of("2026-03-29 02:30", "%F %R") == "2026-03-29T01:00:00Z");   // left out that night: the first that exists
    CHECK(end_of("2026-02-29 00:00", "%F %R") == "none");
    CHECK(end_of("2026-07-14 24:30", "%F %R") == "none");
    CHECK(end_of("2026-07-14 07:05 left over", "%F %R") == "none");
    CHECK(end_of("13:00 PM 2026-07-14", "%I:%M %p %F") == "none");
    CHECK(end_of("1e300", "epoch") == "none");
    CHECK(end_of("nan", "epoch") == "none");
    CHECK(end_of("", "epoch") == "none");
    CHECK(end_of("14. 7. 2026", "day") == "none");
    CHECK(end_of("x", "%Q") == "none");
}

TEST_CASE("rows of JSON stream through a mapping") {
    auto taken = mapped(service("/data/hours"), "{\"note\": [1, 2], \"data\": {\"hours\": [\n"
                                                 "{\"at\": 1784005200, \"air\": {\"t\": 21.5}, \"sun\": 1800},\n"
                                                 "{\"sun\": null, \"air\": {\"t\": \"22\"}, \"at\": \"1784008800\"},\n"
                                                 "{\"at\": 1784012400, \"air\": {\"t\": 220}},\n"
                                                 "{\"at\": \"noon\", \"air\": {\"t\": 22}},\n"
                                                 "7,\n"
                                                 "{\"at\": 1784016000, \"air\": {\"t\": true}},\n"
                                                 "{\"at\": 1784019600, \"air\": {\"t\": 23}}]}}\n");
    CHECK(taken.messages == Texts{"w:4: row 3: /air/t: '220' is out of range; -60 degC to 60 degC is possible; check the unit",
                                  "w:5: row 4: the time 'noon' is not one; write seconds since 1970, like 1784005200",
                                  "w:6: row 5: '7' is not a row; rows are objects or arrays",
                                  "w:7: row 6: /air/t: 'true' is not a number; write a number with a decimal point, or leave the cell empty"});
    REQUIRE(taken.rows.size() == 3);
    CHECK(taken.rows[0][T] == 21.5);
    CHECK(taken.rows[0][Channel::surface_downwelling_shortwave_flux_in_air_mean] == Approx(500));
    CHECK(at(taken.rows[0].starts) == "2026-07-14T04:00:00Z");
    CHECK(taken.rows[1][T] == 22);
    CHECK_FALSE(taken.rows[1].has(Channel::surface_downwelling_shortwave_flux_in_air_mean));
    CHECK(taken.rows[2][T] == 23);
}

TEST_CASE("a JSON document that is the array of rows, and rows that are arrays") {
    auto m = service("");
    m.time = "/0";
    m.columns = {{"/1", T, "degC", false}};
    auto taken = mapped(m, "[[1784005200, 21], [1784008800, 22]]");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 2);
    CHECK(taken.rows[1][T] == 22);
}

TEST_CASE("a JSON document of columns") {
    auto m = service("");
    m.time = "/hourly/time";
    m.columns = {{"/hourly/t~1air", T, "degC", false}};
    auto taken = mapped(m, "{\"hourly\": {\"time\": [1784005200, 1784008800], \"t/air\": [21, null]}}");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 2);
    CHECK(taken.rows[0][T] == 21);
    CHECK_FALSE(taken.rows[1].has(T));
    CHECK(mapped(m, "{\"hourly\": {\"time\": [1784005200], \"t/air\": [21, 22]}}").messages ==
          Texts{"w: /hourly/time has 1 values, /hourly/t~1air has 2; columns need equal lengths"});
    CHECK(mapped(m, "{\"hourly\": {\"time\": [1784005200]}}").messages == Texts{"w: there is no value and no array '/hourly/t~1air'; correct the mapping's pointers"});
}

TEST_CASE("a JSON document that is one row, as a sensor's message is") {
    auto m = service("");
    m.time = "/at";
    m.columns = {{"/air/t", T, "degC", false}, {"/rain", Channel::precipitation_amount_sum, "mm", false}};
    auto taken = mapped(m, "{\"at\": 1784005200, \"air\": {\"t\": 21.5, \"h\": 60}, \"rain\": 0.2}");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 1);
    CHECK(taken.rows[0][T] == 21.5);
    CHECK(taken.rows[0][Channel::precipitation_amount_sum] == 0.2);
    // What it leaves out is missing, and no fault.
    taken = mapped(m, "{\"air\": {\"t\": -3}, \"at\": 1784005200}");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 1);
    CHECK(taken.rows[0][T] == -3);
    CHECK_FALSE(taken.rows[0].has(Channel::precipitation_amount_sum));
    CHECK(mapped(m, "{\"air\": {\"t\": 21.5}}").messages == Texts{"w: there is no value and no array '/at'; correct the mapping's pointers"});
    CHECK(mapped(m, "{\"at\": 1784005200, \"air\": {\"t\": [21.5, 22]}}").messages ==
          Texts{"w: /at has 1 values, /air/t has 2; columns need equal lengths"});
    // Nothing but the time: the pointers are wrong, and would look healthy for ever.
    for (const char* other : {"{\"at\": 1784005200}", "{\"at\": 1784005200, \"air\": {\"temp\": 21.5}, \"rain_mm\": 0.2}"}) {
        taken = mapped(m, other);
        CHECK(taken.rows.empty());
        CHECK_FALSE(taken.told.usable);
        CHECK(taken.messages == Texts{"w: there is a time at '/at', but no value at any of /air/t, /rain; correct the mapping's pointers"});
    }
    taken = mapped(m, "{\"at\": 1784005200, \"air\": {\"t\": null}}");  // it was found: a sensor that has nothing to say
    CHECK(taken.messages == Texts{});
    taken = mapped(m, "{\"at\": \"noon\", \"air\": {\"t\": 21.5}}");
    CHECK(taken.rows.empty());
    REQUIRE(taken.messages.size() == 1);
    CHECK_THAT(taken.messages[0], ContainsSubstring("noon"));
}

TEST_CASE("broken JSON keeps the rows before the break") {
    auto taken = mapped(service("/d"), "{\"d\": [{\"at\": 1784005200, \"air\": {\"t\": 21}},\n {\"at\": 17840x");
    REQUIRE(taken.messages.size() == 1);
    CHECK_THAT(taken.messages[0], ContainsSubstring("w:2: this is not JSON: "));
    CHECK(taken.rows.size() == 1);
    CHECK(mapped(service("/d"), "{\"d\": [{\"at\": 1784005200, \"air\": {\"t\": 21}}").messages == Texts{"w:1: the JSON ends too early; repair the file; rows before its end were read"});
    CHECK(mapped(service("/e"), "{\"d\": []}").messages == Texts{"w: there is no array of rows at '/e'; correct `rows:` of the mapping"});
    CHECK(mapped(service("/d"), "").messages == Texts{"w:1: the JSON ends too early; repair the file; rows before its end were read"});
    CHECK(mapped(service("/d"), std::string(100'000, '[')).messages.size() == 1);
}

TEST_CASE("the shipped tables are whole") {
    auto read = read_tables();
    for (const auto& c : read.complaints) UNSCOPED_INFO(format(c));
    CHECK(read.ok());
    CHECK(read.value.medium("shop_mix"));
    CHECK(read.value.medium("peat")->retention.n == 2.083);
    CHECK(read.value.one_species("fig")->base_degC == 10);
    CHECK_FALSE(read.value.one_species("fig")->green_tip_dd);
    CHECK(read.value.rootstock("M.27")->keep_clear);
    CHECK(read.value.vigour("dwarfing")->stake == Stake::permanent);
    CHECK(read.value.word("light", "half")->middle == 0.6);
    CHECK(read.value.priors[PriorKey::crown_sd].sd_ln == 0.35);
    CHECK(read.value.prices[PriceKey::caution_high] == 2);
}

TEST_CASE("a grower's rows change and add, each with its own source") {
    TableText own{"mine.yaml", "media:\n"
                               "  - {key: loam, theta_s: 0.55, source: weighed at home}\n"
                               "  - {key: mine, theta_r: 0.1, theta_s: 0.7, alpha_per_cm: 0.1, n: 1.8, source: own assumption}\n"
                               "rootstocks:\n"
                               "  - {key: hedge find, vigour: dwarfing, leaf_factor: 0.9, source: own assumption}\n"};
    auto read = read_tables(std::span(&own, 1));
    for (const auto& c : read.complaints) UNSCOPED_INFO(format(c));
    REQUIRE(read.ok());
    CHECK(read.value.medium("loam")->retention.theta_s == 0.55);
    CHECK(read.value.medium("loam")->retention.n == 1.193);
    CHECK(read.value.medium("loam")->source == "weighed at home");
    CHECK(read.value.medium("mine")->retention.n == 1.8);
    CHECK(read.value.rootstock("hedge find")->crown_max_m2 == 3.5);
    CHECK(read.value.rootstock("hedge find")->leaf_factor == 0.9);
}

TEST_CASE("a prior of one's own keeps its shape and unit, and lies where it can be reckoned with") {
    TableText own{"mine.yaml", "priors:\n"
                               "  - {key: rocked_roots, median: 0, source: me}\n"
                               "  - {key: shrink, median: 5, source: me}\n"
                               "  - {key: shade_d, median: 28, unit: h, source: me}\n"
                               "  - {key: stop_sd, shape: lognormal, median: 1, sd_ln: 0.2, source: me}\n"
                               "  - {key: weeds_demand, median: 0.2, source: me}\n"};
    Texts messages;
    for (const auto& c : read_tables(std::span(&own, 1)).complaints) messages.push_back(format(c));
    REQUIRE(messages.size() == 4);
    CHECK(messages[0].find("rocked_roots: median must lie between 0.01 and 1") != std::string::npos);
    CHECK(messages[1].find("shrink: median must lie between 0.5 and 1") != std::string::npos);
    CHECK(messages[2].find("shade_d: unit must stay d") != std::string::npos);
    CHECK(messages[3].find("stop_sd: shape must stay that of the shipped row") != std::string::npos);
}

TEST_CASE("rows that are refused") {
    TableText own{"mine.yaml", "media:\n"
                               "  - {key: loam, theta_s: 55}\n"
                               "  - {key: mine, thetas: 0.5, source: x}\n"
                               "  - {key: mine, theta_s: 0.5, source: x}\n"
                               "words:\n"
                               "  - {about: light, word: full, low: 0.9, middle: 0.5, high: 1, source: x}\n"
                               "priors:\n"
                               "  - {key: crownsd, median: 1, source: x}\n"
                               "rootstocks:\n"
                               "  - {key: found, vigour: dwarfin, source: x}\n"
                               "cultivars: []\n"};
    Texts messages;
    for (const auto& c : read_tables(std::span(&own, 1)).complaints) messages.push_back(format(c));
    CHECK(messages == Texts{"mine.yaml:2:26: media loam: theta_s: '55' is out of range; 0.05 to 1 is allowed",
                            "mine.yaml:2:5: media loam has no source; add `source: own assumption`",
                            "mine.yaml:3:17: media mine has no key 'thetas'; did you mean theta_s?",
                            "mine.yaml:3:5: media mine: its retention curve is not whole; give theta_r below theta_s, alpha_per_cm and n above 1",
                            "mine.yaml:4:5: media mine is given twice; keep one of them",
                            "mine.yaml:10:5: rootstocks found: 'dwarfin' is not a class of vigour; did you mean dwarfing?",
                            "mine.yaml:8:5: priors crownsd is not a row that the program knows; did you mean crown_sd?",
                            "mine.yaml:6:5: words light full: low, middle and high are not in order; give low <= middle <= high",
                            "mine.yaml:11:1: the table file has no key 'cultivars'; the keys here are care_species, cautions, figures, jobs, media, prices, priors, rootstocks, species, vigours or words"});
}

TEST_CASE("a grower's folder") {
    namespace fs = std::filesystem;
    auto folder = fs::temp_directory_path() / "tubgrove-tables-test";
    fs::remove_all(folder);
    fs::create_directories(folder);
    std::ofstream(folder / "b.yaml") << "media: []\n";
    std::ofstream(folder / "a.yaml") << "species: []\n";
    std::ofstream(folder / "notes.txt") << "not a table\n";
    auto read = read_table_folder(folder.string());
    CHECK(read.ok());
    REQUIRE(read.value.size() == 2);
    CHECK(read.value[0].yaml == "species: []\n");
    fs::remove_all(folder);
    auto gone = read_table_folder(folder.string());
    REQUIRE(gone.complaints.size() == 1);
    CHECK(gone.complaints[0].right == "correct `tables:` or the folder's rights");
}
