// Jobs from one day to the next: what a night to come asks anew, what ends when its weather has passed, and whose day a figure is of.
#include "catch.h"
#include "care_world.hpp"

#include <algorithm>

using namespace tubgrove;
using namespace care_world;
using std::chrono::days;

namespace {

using Change = std::function<void(DayRecord&)>;

std::vector<DayRecord> days_with(const Climate& c, LocalDay today, const Change& change) {
    auto all = days_of(c, today - days(400), today + days(10));
    for (auto& r : all) change(r);
    return all;
}
constexpr Climate still{.rain_every_d = 100000, .rain_mm = 0, .gale_every_d = 100000};

void set_night(DayRecord& r, double min_degC, double range_K = 10) {
    r.air_temp_min_degC.value = min_degC;
    r.air_temp_max_degC.value = min_degC + range_K;
    r.mean_temp_degC = min_degC + range_K / 2;
}

// The jobs of a garden on a day of which the weather is known ten days ahead.
std::vector<Job> jobs_on(Pots& pots, LocalDay today, const Change& change, const Climate& climate = still) {
    const CareSite site(climate.place, days_with(climate, today, change), today);
    pots.forget_years();
    const auto all = pots.at(site);
    return jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = {}, .care_day = std::chrono::weekday(today)});
}
std::optional<Job> open_job(const std::vector<Job>& jobs, const std::string& rule, const std::string& pot = "1") {
    for (const auto& job : jobs)
        if (job.rule == rule && job.pot == pot && job.state <= JobState::waiting) return job;
    return std::nullopt;
}
std::string reasons(const std::optional<Job>& job) {
    std::string all;
    for (const auto& why : job ? job->because : std::vector<Remark>()) all += why.text + "; ";
    return all;
}
LocalDay mark_of(Mark m, LocalDay near, const std::string& species = "apple") {
    const CareSite site(still.place, days_with(still, near, [](DayRecord&) {}), near);
    return tree_years(site, *tables().one_species(species), 0, {}).next(m, near - days(60))->day;
}
Pots one_tree(const std::string& species = "apple") {
    Pots pots;
    pots.add("1", {.species = species, .stock = {}, .planted = date(2019, 11, 1)}, date(2022, 3, 1));
    return pots;
}

}  // namespace

TEST_CASE("each frost night asks for its cover, though the flowers were covered the night before") {
    const LocalDay bloom = mark_of(Mark::full_bloom, date(2026, 5, 1));
    // Two nights under the mark of open flowers; source of -2.2 °C for a tenth: [FROSTMSU].
    const Change frosts = [=](DayRecord& r) {
        if (r.day > bloom && r.day < bloom + days(6)) set_night(r, r.day < bloom + days(3) ? -3.7 : 5);
    };
    auto pots = one_tree();
    REQUIRE(open_job(jobs_on(pots, bloom, frosts), "frost-cover"));
    pots.note("1", bloom, "covered");
    const LocalDay morning = bloom + days(1);
    auto jobs = jobs_on(pots, morning, frosts);
    CHECK(open_job(jobs, "frost-uncover"));
    REQUIRE(open_job(jobs, "frost-cover-again"));
    CHECK(reasons(open_job(jobs, "frost-cover-again")).starts_with("down to -3.7 °C expected in the night to " + day_text(bloom + days(2))));
    CHECK_FALSE(open_job(jobs, "frost-cover"));   // one of the two, never both
    // One line tells both; what may be lost tonight leads it.
    const auto lines = morning_lines(jobs, 20);
    const auto line = std::ranges::find_if(lines, [](const JobLine& l) { return l.jobs.front().rule == "frost-cover-again"; });
    REQUIRE(line != lines.end());
    CHECK(line_of(*line).title == "cover the flowers again tonight; take the covers off");
    // Off in the morning, still asked; on again at night, done; and the morning after asks to take it off once more.
    pots.note("1", morning, "uncovered");
    jobs = jobs_on(pots, morning, frosts);
    CHECK(open_job(jobs, "frost-cover-again"));
    CHECK_FALSE(open_job(jobs, "frost-uncover"));
    pots.note("1", morning, "covered");
    jobs = jobs_on(pots, morning, frosts);
    CHECK_FALSE(open_job(jobs, "frost-cover-again"));
    jobs = jobs_on(pots, bloom + days(2), frosts);
    CHECK(open_job(jobs, "frost-uncover"));
    CHECK_FALSE(open_job(jobs, "frost-cover-again"));   // no frost in the night to come
    CHECK_FALSE(open_job(jobs, "frost-cover"));
}

TEST_CASE("of two notes of one day the later one holds") {
    const LocalDay day = date(2026, 5, 1);
    auto pots = one_tree();
    const auto covered = [&] {
        const auto site = site_at(still, day);
        const auto all = pots.at(site);
        return Situation(site, all.front(), all.front().trees.front()).value(CareValue::covered, {}, day) > 0.5;
    };
    CHECK_FALSE(covered());
    pots.note("1", day, "covered");
    CHECK(covered());
    pots.note("1", day, "uncovered");
    CHECK_FALSE(covered());
    pots.note("1", day, "covered");
    CHECK(covered());
}

TEST_CASE("a threat of a night or a wind is over the morning after") {
    const LocalDay bloom = mark_of(Mark::full_bloom, date(2026, 5, 1)), winter = date(2026, 1, 20), windy = date(2026, 6, 10);
    auto pots = one_tree();
    pots.one("1").wind = 1;
    const Change frost = [=](DayRecord& r) {
        if (r.day > bloom && r.day < bloom + days(4)) set_night(r, r.day == bloom + days(1) ? -3 : 6);
    };
    CHECK(open_job(jobs_on(pots, bloom, frost), "frost-cover"));
    CHECK_FALSE(open_job(jobs_on(pots, bloom + days(1), frost), "frost-cover"));
    const Change cold = [=](DayRecord& r) { r.day >= winter - days(1) && r.day <= winter + days(1) ? set_night(r, -14, 4) : set_night(r, 5, 4); };
    CHECK(open_job(jobs_on(pots, winter - days(2), cold), "root-frost"));
    CHECK(open_job(jobs_on(pots, winter, cold), "root-frost"));
    CHECK_FALSE(open_job(jobs_on(pots, winter + days(4), cold), "root-frost"));
    const Change gale = [=](DayRecord& r) { r.gust_m_s = Marked{r.day == windy ? 20.0 : 4.0, Origin::measured, "daily"}; };
    CHECK(reasons(open_job(jobs_on(pots, windy - days(1), gale), "gale-before")).starts_with("gusts up to 20.0 m/s expected in this bay on " + day_text(windy)));
    CHECK(open_job(jobs_on(pots, windy, gale), "gale-before"));
    CHECK_FALSE(open_job(jobs_on(pots, windy + days(1), gale), "gale-before"));
    auto figs = one_tree("fig");
    const LocalDay night = date(2026, 12, 20);
    const Change hard = [=](DayRecord& r) { set_night(r, r.day == night + days(1) ? -9 : 3); };
    CHECK(reasons(open_job(jobs_on(figs, night, hard), "move-in")) == "down to -9 °C expected within two nights; ");
    CHECK_FALSE(open_job(jobs_on(figs, night + days(1), hard), "move-in"));
}

TEST_CASE("a heat that the forecast takes back asks for no shade any more") {
    const LocalDay first = date(2026, 7, 10);
    auto pots = one_tree();
    pots.one("1").setup.container.colour = Colour::dark;
    const auto hot_until = [=](LocalDay last) {
        return [=](DayRecord& r) { set_night(r, r.day >= first && r.day <= last ? 20 : 12, 14); };
    };
    // It comes two days before the heat, and stays while it is ahead.
    CHECK(open_job(jobs_on(pots, first - days(2), hot_until(first + days(6))), "root-shade"));
    CHECK(open_job(jobs_on(pots, first, hot_until(first + days(6))), "root-shade"));
    CHECK_FALSE(open_job(jobs_on(pots, first + days(1), hot_until(first)), "root-shade"));
    CHECK(reasons(open_job(jobs_on(pots, first, hot_until(first + days(6))), "root-shade")).starts_with("up to 34 °C expected within two days; "));
}

TEST_CASE("the reason of a frost job carries it: what is expected, what may be missing, and the stage that decides") {
    // Whatever the day of spring, the stage that is told is one at which the forecast less the margin reaches the mark that is told.
    int asked = 0, told_of_tomorrow = 0;
    for (LocalDay today = mark_of(Mark::swelling, date(2026, 4, 1)); today < date(2026, 6, 10); today += days(1))
        for (double min : {-9.0, -6.0, -4.0, -2.0, -0.4, 0.7}) {
            const Change night = [=](DayRecord& r) { if (r.day == today + days(1)) set_night(r, min, 16); };   // 3 K where a day ranges over more than 15
            auto pots = one_tree();
            const auto text = reasons(open_job(jobs_on(pots, today, night), "frost-cover"));
            if (text.empty()) continue;
            INFO(format_day(today) << ": " << text);
            ++asked;
            const auto mark = text.rfind("may die at ");
            REQUIRE(mark != text.npos);
            CHECK(min - 3 <= std::stod(text.substr(mark + 11)) + 0.051);
            CHECK(text.find("on a clear night perhaps 3 K colder") != text.npos);
            told_of_tomorrow += text.find("the stage that comes by then") != text.npos;
        }
    CHECK(asked > 60);
    CHECK(told_of_tomorrow > 3);
}

TEST_CASE("figures of a window that opened before are today's, or carry their day") {
    const LocalDay today = date(2026, 4, 18);
    Pots pots;
    for (const char* id : {"1", "2"}) pots.add(id, {.planted = date(2019, 11, 1)}, date(2022, 3, 1));
    pots.note("1", today - days(31), "weeded");
    pots.note("2", today - days(23), "weeded");
    const Change warming = [=](DayRecord& r) {
        const double mean = std::clamp(12 + 0.5 * double((r.day - today).count()), 4.0, 14.0);
        set_night(r, mean - 5);
    };
    const auto jobs = jobs_on(pots, today, warming);
    REQUIRE((open_job(jobs, "weed", "1") && open_job(jobs, "weed", "2")));
    CHECK(open_job(jobs, "weed", "1")->opens != open_job(jobs, "weed", "2")->opens);
    for (const char* pot : {"1", "2"})
        CHECK(open_job(jobs, "weed", pot)->because.front().text == open_job(jobs, "weed", "1")->because.front().text);
    // Cold again: the day that opened it tells its figure with its date.
    const LocalDay opened = open_job(jobs, "weed", "1")->opens;
    const Change cold = [=](DayRecord& r) { r.day > opened ? set_night(r, -2) : warming(r); };
    CHECK(reasons(open_job(jobs_on(pots, today, cold), "weed")).find(" °C over seven days, as of " + day_text(opened)) != std::string::npos);
}
