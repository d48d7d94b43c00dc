// Weather files in time: running totals over gaps and midnights, and the nights when clocks change.
#include "weather_files.hpp"

#include <algorithm>

using namespace tubgrove;
using namespace tubgrove::files;

TEST_CASE("the first reading of a running total is named, since it tells no increase") {
    auto m = station();
    m.columns = {{"Rain", Channel::precipitation_amount_sum, "mm", true}};
    auto taken = mapped(m, "Time;Rain\n01.07.2026 10:00;12\n01.07.2026 10:10;12.5\n");
    REQUIRE(taken.told.first_counts.size() == 1);
    CHECK(taken.told.first_counts[0].column == "Rain");
    CHECK(at(taken.told.first_counts[0].ends) == "2026-07-01T08:00:00Z");
    CHECK_FALSE(taken.rows[0].has(rain));
    CHECK(taken.rows[1][rain] == Approx(0.5));
}

TEST_CASE("a total of the day begins again at midnight, also when it soon stands where it stood; trembling and slips of a long total are refused") {
    auto m = station();
    m.columns = {{"Rain", rain, "mm", true}};
    auto taken = mapped(m, "Time;Rain\n13.07.2026 23:50;0.4\n14.07.2026 00:00;0.6\n14.07.2026 00:10;0.4\n14.07.2026 00:20;0.6\n");
    CHECK(taken.messages == Texts{});
    REQUIRE(taken.rows.size() == 4);
    CHECK(taken.rows[1][rain] == Approx(0.2));
    CHECK(taken.rows[2][rain] == Approx(0.4));
    CHECK(taken.rows[3][rain] == Approx(0.2));
    // Intervals told by their start: 00:00 is of the new day.
    m.time_is = "start";
    CHECK(mapped(m, "Time;Rain\n13.07.2026 23:50;0.6\n14.07.2026 00:00;0.4\n").rows.at(1)[rain] == Approx(0.4));
    m.time_is = "end";
    for (const char* slip : {"13.07.2026 23:50;300\n14.07.2026 00:10;299.8\n", "13.07.2026 23:50;300\n14.07.2026 00:10;160\n",
                             "13.07.2026 23:50;10\n14.07.2026 00:10;9.8\n", "14.07.2026 12:00;0.6\n14.07.2026 12:10;0.4\n"})
        CHECK(mapped(m, std::string("Time;Rain\n") + slip).told.refused == 1);
}

TEST_CASE("a running total tells the rain of a gap: none where it stood still, evenly what it rose by, nothing over a month") {
    auto m = station();
    m.span = std::chrono::hours(1);
    m.columns = {{"Temp", T, "degC", false}, {"Rain", rain, "mm", true}};
    const std::string before = "Time;Temp;Rain\n14.07.2026 10:00;20;300\n14.07.2026 11:00;20;300\n14.07.2026 12:00;20;301\n";
    const auto still = mapped(m, before + "14.07.2026 20:00;20;301\n14.07.2026 21:00;20;301\n");
    CHECK(still.told.refused == 0);
    REQUIRE(still.rows.size() == 12);
    CHECK(still.told.taken == 12);
    for (std::size_t i = 3; i < 12; ++i) {
        CHECK(still.rows[i][rain] == 0);
        CHECK(still.rows[i].starts == still.rows[i - 1].ends);
        CHECK(still.rows[i].has(T) == (i >= 10));
    }
    REQUIRE(still.told.holes.size() == 1);
    CHECK(at(still.told.holes[0].since) == "2026-07-14T10:00:00Z");
    CHECK(at(still.told.holes[0].ends) == "2026-07-14T18:00:00Z");
    CHECK(still.told.holes[0].rise == 0.0);
    // A row in the gap that lacks the total gets its part, and no row beside it.
    const auto rose = mapped(m, before + "14.07.2026 15:00;22;\n14.07.2026 20:00;20;309\n");
    REQUIRE(rose.rows.size() == 11);
    for (std::size_t i = 3; i < 11; ++i) CHECK(rose.rows[i][rain] == Approx(1));
    CHECK(std::ranges::count_if(rose.rows, [](const Observation& o) { return at(o.ends) == "2026-07-14T13:00:00Z" && o.has(T) && o.has(rain); }) == 1);
    CHECK(std::ranges::count_if(rose.rows, [](const Observation& o) { return at(o.ends) == "2026-07-14T13:00:00Z"; }) == 1);
    CHECK(rose.told.holes.at(0).rise == Approx(8));
    // A reset in the gap says nothing of the time before it, nor do totals of 0 on two days.
    CHECK(mapped(m, before + "14.07.2026 20:00;20;2\n").told.holes.empty());
    const std::string empty = "16.07.2026 20:00;20;0\n16.07.2026 22:00;20;0\n";
    CHECK(mapped(m, "Time;Temp;Rain\n" + empty).told.holes.size() == 1);
    CHECK(mapped(m, "Time;Temp;Rain\n" + empty + "17.07.2026 22:00;20;0\n").told.holes.size() == 1);
    const auto long_ago = mapped(m, before + "20.08.2026 12:00;20;380\n20.08.2026 13:00;20;381\n");
    REQUIRE(long_ago.rows.size() == 5);
    CHECK_FALSE(long_ago.rows[3].has(rain));
    CHECK(long_ago.rows[4][rain] == Approx(1));
    CHECK_FALSE(long_ago.told.holes.at(0).rise.has_value());
}

TEST_CASE("a row that is passed over swallows no rise of a running total: the next row tells it, over both steps") {
    auto m = station();
    m.span = std::chrono::hours(1);
    m.columns = {{"Temp", T, "degC", false, false, true}, {"Rain", rain, "mm", true}};
    const auto rose = mapped(m, "Time;Temp;Rain\n14.07.2026 10:00;20;10\n14.07.2026 11:00;20;10\n14.07.2026 12:00;;18\n14.07.2026 13:00;20;18\n14.07.2026 14:00;20;18\n");
    CHECK(rose.told.refused == 0);
    REQUIRE(rose.rows.size() == 5);
    CHECK(at(rose.rows[2].ends) == "2026-07-14T10:00:00Z");
    CHECK_FALSE(rose.rows[2].has(T));
    CHECK(rose.rows[2][rain] == Approx(4));
    CHECK(rose.rows[3][rain] == Approx(4));
    CHECK(rose.rows[4][rain] == 0);
    CHECK(rose.told.holes.at(0).rise == Approx(8));
    // In the first row of all a total begins, passed over or not.
    const auto first = mapped(m, "Time;Temp;Rain\n14.07.2026 10:00;;10\n14.07.2026 11:00;20;12\n");
    REQUIRE(first.rows.size() == 1);
    CHECK(first.rows[0][rain] == Approx(2));
    CHECK(first.told.first_counts.size() == 1);
    // Begun again in such a row, it tells what fell since.
    const auto again = mapped(m, "Time;Temp;Rain\n14.07.2026 10:00;20;300\n14.07.2026 11:00;;1\n14.07.2026 12:00;20;3\n");
    REQUIRE(again.rows.size() == 2);
    CHECK(again.rows[1][rain] == Approx(3));
}

TEST_CASE("a gap of whole days ends where the day that closes it begins") {
    auto m = station();
    m.time_format = "%d.%m.%Y";
    m.span = {};
    m.columns = {{"Rain", rain, "mm", true}};
    const auto taken = mapped(m, "Time;Rain\n05.10.2026;100\n06.10.2026;101\n10.10.2026;109\n");
    REQUIRE(taken.told.holes.size() == 1);
    CHECK(at(taken.told.holes[0].since) == "2026-10-06T22:00:00Z");
    CHECK(at(taken.told.holes[0].ends) == "2026-10-09T22:00:00Z");
    REQUIRE(taken.rows.size() == 6);
    for (std::size_t i = 2; i < 6; ++i) CHECK(taken.rows[i][rain] == Approx(2));
}

TEST_CASE("a long gap of a logger that writes each second is shared out in steps of ten minutes, a short one by the second") {
    auto m = station();
    m.time_format = "%d.%m.%Y %H:%M:%S";
    m.span = std::chrono::seconds(1);
    m.columns = {{"Rain", rain, "mm", true}};
    const std::string before = "Time;Rain\n01.07.2026 10:00:00;100\n01.07.2026 10:00:01;100\n";
    const auto sum = [](const Taken& taken) {
        double all = 0;
        for (const auto& row : taken.rows)
            if (row.has(rain)) all += row[rain];
        return all;
    };
    const auto longer = mapped(m, before + "01.07.2026 10:30:01;\n31.07.2026 10:00:02;130\n");
    CHECK(longer.rows.size() == 30 * 24 * 6 + 4);
    CHECK(sum(longer) == Approx(30));
    REQUIRE(longer.told.holes.size() == 1);
    CHECK(longer.told.holes[0].rise == Approx(30));
    // The row in the gap is no ten minutes long, and its part lies beside it.
    for (const auto& row : longer.rows)
        if (row.ends - row.starts == std::chrono::seconds(1)) CHECK((!row.has(rain) || row[rain] < 0.001));
    const auto shorter = mapped(m, before + "01.07.2026 10:01:01;106\n");
    CHECK(shorter.rows.size() == 62);
    CHECK(sum(shorter) == Approx(6));
}

TEST_CASE("the hour that clocks show twice is read twice, in files that rise and in files that fall") {
    auto m = station();
    m.span = std::chrono::minutes(30);
    m.columns = {{"Temp", T, "degC", false}};
    std::vector<std::string> lines, ends;
    for (const char* line : {"25.10.2026 01:30", "25.10.2026 02:00", "25.10.2026 02:30", "25.10.2026 02:00", "25.10.2026 02:30", "25.10.2026 03:00"})
        lines.push_back(std::string(line) + ";10\n");
    const Texts once_each{"2026-10-24T23:30:00Z", "2026-10-25T00:00:00Z", "2026-10-25T00:30:00Z", "2026-10-25T01:00:00Z",
                          "2026-10-25T01:30:00Z", "2026-10-25T02:00:00Z"};
    for (const bool falls : {false, true}) {
        std::string text = "Time;Temp\n";
        // The first line tells the direction: two ordinary ones before the odd hour.
        const std::string before = falls ? "25.10.2026 04:00;10\n25.10.2026 03:30;10\n" : "25.10.2026 00:30;10\n25.10.2026 01:00;10\n";
        for (std::size_t i = 0; i < lines.size(); ++i) text += (i ? "" : before) + lines[falls ? lines.size() - 1 - i : i];
        const auto taken = mapped(m, text);
        CHECK(taken.messages == Texts{});
        Texts told;
        for (std::size_t i = 2; i < taken.rows.size(); ++i) told.push_back(at(taken.rows[i].ends));
        if (falls) std::ranges::reverse(told);
        CHECK(told == once_each);
    }
    // By the hour, as most services write.
    const auto hourly = mapped(m, "Time;Temp\n25.10.2026 01:00;1\n25.10.2026 02:00;2\n25.10.2026 02:00;3\n25.10.2026 03:00;4\n");
    REQUIRE(hourly.rows.size() == 4);
    CHECK(at(hourly.rows[1].ends) == "2026-10-25T00:00:00Z");
    CHECK(at(hourly.rows[2].ends) == "2026-10-25T01:00:00Z");
    CHECK(at(hourly.rows[3].ends) == "2026-10-25T02:00:00Z");
    // Alone in its file it is the first of the two.
    CHECK(at(mapped(m, "Time;Temp\n25.10.2026 02:00;2\n").rows.at(0).ends) == "2026-10-25T00:00:00Z");
}

TEST_CASE("a time that no clock showed is refused with what it says of the station; the moment of the change is one") {
    auto m = station();
    m.columns = {{"Temp", T, "degC", false}};
    const auto taken = mapped(m, "Time;Temp\n29.03.2026 02:00;1\n29.03.2026 02:10;2\n29.03.2026 03:10;3\n");
    CHECK(taken.messages == Texts{"w:3:1: the time '29.03.2026 02:10' was never on a clock in Europe/Budapest: clocks went forward over it; "
                                  "if the station keeps one time all year, the mapping says so with a timezone, such as Etc/GMT-1"});
    REQUIRE(taken.rows.size() == 2);
    CHECK(at(taken.rows[0].ends) == "2026-03-29T01:00:00Z");
    CHECK(at(taken.rows[1].ends) == "2026-03-29T01:10:00Z");
}

TEST_CASE("an hourly station that keeps one time all year gives the spring change two names; the second row is refused, and says so") {
    auto m = station();
    m.span = std::chrono::hours(1);
    m.columns = {{"Temp", T, "degC", false}};
    const std::vector<std::string> lines{"29.03.2026 01:00;1\n", "29.03.2026 02:00;2\n", "29.03.2026 03:00;3\n", "29.03.2026 04:00;4\n"};
    const std::string hint = " is the same moment in Europe/Budapest as that of the row before: clocks went forward between them; "
                             "if the station keeps one time all year, the mapping says so with a timezone, such as Etc/GMT-1";
    const auto rising = mapped(m, "Time;Temp\n" + lines[0] + lines[1] + lines[2] + lines[3]);
    CHECK(rising.messages == Texts{"w:4:1: the time '29.03.2026 03:00'" + hint});
    CHECK(rising.rows.size() == 3);
    const auto falling = mapped(m, "Time;Temp\n" + lines[3] + lines[2] + lines[1] + lines[0]);
    CHECK(falling.messages == Texts{"w:4:1: the time '29.03.2026 02:00'" + hint});
    // One of the two names alone is a clock's, and the same name twice is a row that comes again.
    CHECK(mapped(m, "Time;Temp\n" + lines[0] + lines[1] + lines[3]).told.refused == 0);
    CHECK(mapped(m, "Time;Temp\n" + lines[0] + lines[2] + lines[3]).told.refused == 0);
    CHECK(mapped(m, "Time;Temp\n" + lines[1] + lines[1] + lines[3]).told.refused == 0);
}
