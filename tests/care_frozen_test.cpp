// Frozen medium: no list asks for water onto it without the words for it, no job either, and a thaw wakes the look. And tender kinds: who
// stands indoors is not asked in.
#include "catch.h"
#include "care_world.hpp"
#include "garden/care_now.hpp"

#include <algorithm>
#include <set>

using namespace tubgrove;
using namespace care_world;
using std::chrono::days;

namespace {

// Cold as told from a first to a last day, and mild around it; dry throughout.
std::vector<DayRecord> spell(LocalDay today, LocalDay first, LocalDay last, double low, double high) {
    Climate still{.rain_every_d = 100000, .rain_mm = 0, .gale_every_d = 100000};
    auto all = days_of(still, today - days(400), today + days(10));
    for (auto& r : all) {
        const bool cold = r.day >= first && r.day <= last;
        r.air_temp_min_degC.value = cold ? low : std::max(4.0, r.air_temp_min_degC.value);
        r.air_temp_max_degC.value = cold ? high : std::max(12.0, r.air_temp_max_degC.value);
        r.mean_temp_degC = (r.air_temp_min_degC.value + r.air_temp_max_degC.value) / 2;
    }
    return all;
}

Pots two_pots(LocalDay today) {
    Pots pots;
    pots.add("1", {.planted = today - days(1500)}, today - days(1000), 20);
    pots.add("lemon", {.species = "citrus", .stock = {}, .planted = today - days(1500)}, today - days(1000), 20).place = "indoors";
    return pots;
}

Round asked_for(LocalDay day) {
    Round round;
    round.day = day;
    round.walk = "morning";
    for (const char* id : {"1", "lemon"}) {
        PourLine line;
        line.pot = id;
        line.pour_l = 2;
        round.pours.push_back(line);
    }
    return round;
}

Round told(LocalDay today, LocalDay first, LocalDay last, double low, double high) {
    auto pots = two_pots(today);
    CareNow care{.site = CareSite(Climate{}.place, spell(today, first, last, low, high), today), .years = {}, .pots = {}, .shown = {}, .care_day = std::chrono::Saturday};
    care.pots = pots.at(care.site);
    auto round = asked_for(today);
    tell_frozen(round, care);
    return round;
}

std::vector<Job> jobs_on(LocalDay today, Pots& pots, const std::vector<DayRecord>& records) {
    const CareSite site(Climate{}.place, records, today);
    pots.forget_years();
    const auto all = pots.at(site);
    return jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = {}, .care_day = std::chrono::weekday(today)});
}
bool asked(const std::vector<Job>& jobs, const std::string& rule, const std::string& pot) {
    return std::ranges::any_of(jobs, [&](const Job& job) { return job.rule == rule && job.pot == pot && job.state == JobState::due; });
}

const LocalDay winter = date(2026, 1, 17);   // a Saturday

}  // namespace

TEST_CASE("a list that asks for water says where the medium is taken to be frozen, and until when") {
    const auto deep = told(winter, winter - days(6), winter + days(2), -9, -3);
    REQUIRE(deep.pours[0].because.size() == 1);
    CHECK(deep.pours[0].because[0].code == "frozen");
    CHECK(deep.pours[0].because[0].text == "taken to be frozen all day: nothing before it has thawed, expected on Tuesday 20 January.");
    CHECK(deep.pours[0].because[0].values.at("thaws") == "2026-01-20");
    CHECK(deep.pours[1].because.empty());   // indoors
    REQUIRE(deep.notices.size() == 1);
    CHECK(deep.notices[0].code == "frozen-medium");
    CHECK(deep.notices[0].values.at("pots") == "1");
    CHECK(deep.notices[0].text.find("No water onto frozen medium") != std::string::npos);

    const auto nights = told(winter, winter - days(6), winter + days(2), -9, 6);
    REQUIRE(nights.pours[0].because.size() == 1);
    CHECK(nights.pours[0].because[0].code == "frozen-morning");

    const auto endless = told(winter, winter - days(6), winter + days(20), -9, -3);
    CHECK(endless.pours[0].because[0].text == "taken to be frozen all day: nothing before it has thawed, which is not in sight yet.");

    const auto mild = told(winter, winter - days(40), winter - days(30), -9, -3);
    CHECK(mild.pours[0].because.empty());
    CHECK(mild.notices.empty());
}

TEST_CASE("no job asks for water while the medium is frozen, and a thaw wakes the look") {
    auto pots = two_pots(winter);
    const auto frozen = spell(winter, winter - days(9), winter + days(3), -9, -1);
    for (const char* rule : {"winter-water", "winter-water-frost", "thaw-look"}) {
        INFO(rule);
        CHECK_FALSE(asked(jobs_on(winter, pots, frozen), rule, "1"));
    }
    const auto thaws = spell(winter, winter - days(10), winter - days(1), -9, -3);
    // Ten cold days; on the first of them the medium still had the warmth of the day before.
    const auto now = jobs_on(winter, pots, thaws);
    CHECK(asked(now, "thaw-look", "1"));
    CHECK_FALSE(asked(now, "thaw-look", "lemon"));
    const auto why = std::ranges::find_if(now, [](const Job& job) { return job.rule == "thaw-look"; })->because.at(0).text;
    CHECK(why == "the medium is taken to have been frozen for 9 days and to thaw now");
    // A short frost wakes nothing; a look that was noted does.
    CHECK_FALSE(asked(jobs_on(winter, pots, spell(winter, winter - days(4), winter - days(1), -9, -3)), "thaw-look", "1"));
    pots.note("1", winter - days(1), "felt", "moist");
    CHECK_FALSE(asked(jobs_on(winter, pots, thaws), "thaw-look", "1"));
}

TEST_CASE("who stands indoors is not asked in; a roof or a fleece keeps off a little, not a hard night") {
    const auto jobs = [&](const std::function<void(PotCare&)>& stands, double low, bool covered = false) {
        Pots pots;
        auto& pot = pots.add("lemon", {.species = "citrus", .stock = {}, .planted = winter - days(1500)}, winter - days(1000), 25);
        stands(pot);
        if (covered) pots.note("lemon", winter - days(2), "covered");
        return jobs_on(winter, pots, spell(winter, winter, winter + days(5), low, low + 8));
    };
    const auto inside = [](PotCare& pot) { pot.place = "indoors"; };
    const auto porch = [](PotCare& pot) { pot.rain = 0; };
    const auto open = [](PotCare&) {};
    for (double low : {-15.0, -6.0, 0.0})
        for (const char* rule : {"move-in", "root-frost", "winter-wrap", "frost-cover"}) {
            INFO(rule << " at " << low);
            CHECK_FALSE(asked(jobs(inside, low), rule, "lemon"));
        }
    CHECK(asked(jobs(open, 0.5), "move-in", "lemon"));
    CHECK_FALSE(asked(jobs(porch, 0.5), "move-in", "lemon"));
    CHECK(asked(jobs(porch, -1), "move-in", "lemon"));
    CHECK_FALSE(asked(jobs(open, -0.5, true), "move-in", "lemon"));
    CHECK(asked(jobs(open, -2, true), "move-in", "lemon"));
    // One event, one call: what is to come in needs no wrap besides.
    CHECK_FALSE(asked(jobs(open, -8), "root-frost", "lemon"));
}

TEST_CASE("tender kinds are repotted before their growth, and a stake is looked at only where one was told") {
    for (const char* species : {"citrus", "olive", "fig"}) {
        INFO(species);
        Pots pots;
        pots.add("1", {.species = species, .stock = {}, .vigour = "dwarfing", .planted = date(2019, 5, 1)}, date(2021, 5, 1), 40);
        std::set<std::string> rules;
        std::string reason;
        for (LocalDay day = date(2025, 1, 4); day < date(2026, 1, 1); day += days(7)) {
            const CareSite site(Climate{}.place, days_of(Climate{}, day - days(400), day + days(10)), day);
            pots.forget_years();
            const auto all = pots.at(site);
            for (const auto& job : jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = {}})) {
                if (job.state > JobState::waiting) continue;
                rules.insert(job.rule);
                if (job.rule == "repot-tender") reason = job.because.back().text;
            }
        }
        CHECK(rules.contains("repot-tender"));
        CHECK(reason.find("growth expected") == 0);
        for (const char* other : {"repot", "root-prune", "top-dress"}) CHECK_FALSE(rules.contains(other));
        if (std::string(species) != "fig")
            for (const char* stake : {"stake-routine", "tie-loosen"}) CHECK_FALSE(rules.contains(stake));
    }
}

TEST_CASE("flowers are covered in a frost of spring; a frost of autumn finds none, and nothing says afterwards that it did") {
    const auto days_told = [](LocalDay from, LocalDay to) {
        int told = 0;
        for (LocalDay day = from; day < to; day += days(3)) {
            auto pots = two_pots(day);
            for (const Job& job : jobs_on(day, pots, spell(day, day, day + days(1), -4, 8))) told += job.rule == "frost-cover";
        }
        return told;
    };
    CHECK(days_told(date(2026, 3, 1), date(2026, 5, 20)) > 2);
    CHECK(days_told(date(2025, 9, 10), date(2025, 12, 10)) == 0);
}
