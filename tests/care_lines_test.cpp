// Lines of a morning's list: which job stands when, what goes along with it, and how a line reads.
#include "catch.h"
#include "care_world.hpp"

#include <algorithm>

using namespace tubgrove;
using namespace care_world;
using std::chrono::days;

TEST_CASE("on a joint line a caution is said once, with the heaviest pot's figure") {
    JobLine line;
    for (const char* kg : {"31", "62", "47"}) {
        Job job;
        job.rule = job.title = "repot";
        job.id = std::string(kg) + ".repot.2025";
        job.caution = {"Up to about " + std::string(kg) + " kg when wet. Slide it.", "Wash hands."};
        line.jobs.push_back(job);
    }
    CHECK(line_of(line).caution == std::vector<std::string>{"Up to about 62 kg when wet. Slide it.", "Wash hands."});
}

TEST_CASE("a job names the gust's hour where a reading tells it, and the last look") {
    const auto zone = Zone::find("Europe/Budapest").value();
    const LocalDay tuesday = date(2026, 7, 14);
    Climate c = temperate();
    c.place.zone = &zone;
    c.gale_every_d = 100000;
    const auto reason = [&](std::optional<GustSpan> when, bool measured = true) {
        Pots pots;
        pots.add("1", {.planted = tuesday - days(1500)}, tuesday - days(1000)).wind = 1;
        pots.note("1", tuesday - days(41), "stake-checked");
        auto records = days_of(c, tuesday - days(400), tuesday + days(10));
        for (auto& r : records) {
            if (r.day != tuesday) continue;
            r.gust_m_s = Marked{18.4, Origin::measured, "hourly"};
            r.gust_when = when;
            if (!measured) r.gust_m_s.reset(), r.wind_2m_m_s.value = 6.5;
        }
        const CareSite site(c.place, records, tuesday);
        const auto all = pots.at(site);
        for (const auto& job : jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = {}}))
            if (job.rule == "stake-gale") return job.because.at(0).text + "; " + job.because.at(1).text;
        return std::string("no job");
    };
    const auto at = [&](int hour, int minute) { return zone.at(LocalTime(tuesday) + std::chrono::hours(hour) + std::chrono::minutes(minute)); };
    CHECK(reason(GustSpan{at(3, 0), at(3, 10)}) == "gust 18.4 m/s in this bay on Tuesday 14 July at 03:10; last done 41 days ago");
    CHECK(reason(GustSpan{at(3, 0), at(4, 0)}) == "gust 18.4 m/s in this bay on Tuesday 14 July between 03:00 and 04:00; last done 41 days ago");
    CHECK(reason(GustSpan{at(23, 50), at(24, 0)}) == "gust 18.4 m/s in this bay on Wednesday 15 July at 00:00; last done 41 days ago");
    CHECK(reason(GustSpan{at(23, 0), at(24, 0)}) == "gust 18.4 m/s in this bay on Tuesday 14 July between 23:00 and 00:00; last done 41 days ago");
    CHECK(reason({}) == "gust 18.4 m/s in this bay on Tuesday 14 July; last done 41 days ago");
    CHECK(reason({}, false) == "gust 19.1 m/s in this bay on Tuesday 14 July, estimated from the mean wind; last done 41 days ago");
}

TEST_CASE("what can wait stands on the care day, or on a day that the grower named; what cannot stands at once") {
    const Climate c = temperate();
    Pots pots;
    const LocalDay first = date(2025, 6, 1);
    pots.add("1", {.planted = first - days(1500)}, first - days(1000)).wind = 1;
    const auto state_on = [&](LocalDay day, const std::string& rule, const std::map<std::string, std::vector<LocalDay>>& shown, const std::string& window = {}) {
        const auto site = site_at(c, day);
        pots.forget_years();
        const auto all = pots.at(site);
        for (const auto& job : jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = shown, .care_day = std::chrono::Wednesday}))
            if (job.rule == rule && (window.empty() || job.id.ends_with(window))) return std::pair(job.id, job.state);
        return std::pair(std::string(), JobState::passed);
    };
    // Thinning is due for three weeks: on Wednesdays, three times, unless it is answered.
    std::map<std::string, std::vector<LocalDay>> shown;
    std::vector<LocalDay> stood;
    for (LocalDay day = date(2025, 4, 20); day < date(2025, 7, 1); day += days(1)) {
        const auto [id, state] = state_on(day, "thin", shown);
        if (state != JobState::due) continue;
        stood.push_back(day);
        shown[id].push_back(day);
    }
    REQUIRE(stood.size() >= 3);
    CHECK(stood.size() <= 4);
    for (LocalDay day : stood) CHECK(std::chrono::weekday(day) == std::chrono::Wednesday);
    for (std::size_t i = 1; i < stood.size(); ++i) CHECK(stood[i] - stood[i - 1] >= days(7));
    // A Friday that the grower named.
    const LocalDay friday = stood[0] + days(2);
    REQUIRE(state_on(friday, "thin", {}).second != JobState::due);
    pots.note("1", stood[0], "job-waits", {}, {{"job", state_on(stood[0], "thin", {}).first}, {"until", format_day(friday)}});
    CHECK(state_on(friday, "thin", {}).second == JobState::due);
    // A gale is none that waits: it stands on each of three mornings, whichever they are.
    LocalDay gale = date(2025, 5, 1);
    while (state_on(gale, "stake-gale", {}).second != JobState::this_week) gale += days(1);
    const auto id = state_on(gale, "stake-gale", {}).first;
    std::map<std::string, std::vector<LocalDay>> mornings;
    for (LocalDay day = gale + days(1); day <= gale + days(5); day += days(1)) {
        CHECK((state_on(day, "stake-gale", mornings).second == JobState::due) == (day <= gale + days(3)));
        if (day <= gale + days(3)) mornings[id].push_back(day);
    }
}

TEST_CASE("what is open goes along where its line stands, and stays there when its companion is answered") {
    const auto job = [](const std::string& id, const std::string& group, JobState state, bool joins) {
        Job j;
        j.id = id + ".r.2025", j.rule = j.title = "r" + id, j.pot = id, j.group = group, j.state = state, j.joins = joins;
        return j;
    };
    const std::vector<Job> jobs{job("1", "surface", JobState::due, true), job("2", "surface", JobState::this_week, true),
                                job("3", "surface", JobState::this_week, false), job("4", "stake", JobState::in_season, true)};
    const auto lines = morning_lines(jobs);
    REQUIRE(lines.size() == 1);
    REQUIRE(lines[0].jobs.size() == 2);
    CHECK(lines[0].jobs[1].pot == "2");
    auto answered = jobs;
    answered[0].state = JobState::done, answered[0].joins = false;
    const auto left = revised_lines(answered, std::vector<std::vector<std::string>>{{jobs[0].id, jobs[1].id}});
    REQUIRE(left.size() == 1);
    CHECK(left[0].jobs.size() == 1);
    CHECK(left[0].jobs[0].pot == "2");
}

TEST_CASE("what is near its time goes along where its line stands, is told nowhere else, and is done with it") {
    const LocalDay today = date(2025, 7, 5);   // a Saturday, the care day
    const auto at = [&](int first_d, int second_d, const std::map<std::string, std::vector<LocalDay>>& shown = {}, int done_d = -1) {
        Pots pots;
        for (const char* id : {"1", "2"}) pots.add(id, {.planted = today - days(1500)}, today - days(1000)).ground = "paving";
        pots.note("1", today - days(first_d), "holes-checked");
        pots.note("2", today - days(second_d), "holes-checked");
        if (done_d >= 0) pots.note("2", today - days(done_d), "holes-checked");
        const auto site = site_at(temperate(), today);
        const auto all = pots.at(site);
        return jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = shown});
    };
    const auto told = [](const std::vector<Job>& jobs, const std::string& pot) {
        const auto found = std::ranges::find_if(jobs, [&](const Job& job) { return job.rule == "drain-check" && job.pot == pot; });
        return found == jobs.end() ? std::optional<Job>() : std::optional(*found);
    };
    const auto both = at(210, 120);
    REQUIRE((told(both, "1") && told(both, "2")));
    CHECK(told(both, "1")->state == JobState::due);
    CHECK((told(both, "2")->along && told(both, "2")->state == JobState::in_season));
    const auto lines = morning_lines(both, 20);
    const auto line = std::ranges::find_if(lines, [](const JobLine& l) { return std::ranges::count(l.jobs, "drain-check", &Job::rule) > 0; });
    REQUIRE(line != lines.end());
    CHECK(std::ranges::count(line->jobs, "drain-check", &Job::rule) == 2);
    CHECK_FALSE(told(at(100, 100), "2"));      // no line stands for another
    CHECK_FALSE(told(at(210, 60), "2"));       // not near its time
    // It stood this morning and its companion is answered: it stays, and its own answer does it.
    const auto id = told(both, "2")->id;
    CHECK(told(at(0, 120, {{id, {today}}}), "2")->state == JobState::in_season);
    CHECK(told(at(0, 120, {{id, {today}}}, 0), "2")->state == JobState::done);
    const auto left = revised_lines(at(0, 120, {{id, {today}}}), std::vector<std::vector<std::string>>{{"1.drain-check.x", id}});
    CHECK(std::ranges::any_of(left, [&](const JobLine& l) { return std::ranges::count(l.jobs, id, &Job::id) == 1; }));
}

TEST_CASE("a line of many pots takes along all that is open") {
    std::vector<Job> jobs;
    for (int i = 0; i < 40; ++i) {
        Job job;
        job.pot = std::to_string(i), job.rule = job.title = "weed", job.id = job.pot + ".weed.2025", job.group = "a name too long for a short string";
        job.state = i == 0 ? JobState::due : JobState::in_season;
        job.joins = true;
        jobs.push_back(job);
    }
    REQUIRE(morning_lines(jobs).size() == 1);
    CHECK(morning_lines(jobs).front().jobs.size() == 40);
}
