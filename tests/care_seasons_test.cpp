// When rules fall due over a year: where no winter comes, for what was grafted late, looks that follow a day of rain, and where a pot
// stood.
#include "catch.h"
#include "care_world.hpp"

#include <algorithm>
#include <set>

using namespace tubgrove;
using namespace care_world;
using std::chrono::days;

namespace {

// An island at 28 degrees: no month under 16 °C, no frost, no day under eleven hours that is cold.
Climate winterless() { return {.place = {28, -16, 100, std::chrono::hours(0)}, .mean_degC = 21, .swing_K = 3, .day_K = 4, .rain_every_d = 9, .gale_every_d = 100000}; }

std::vector<Job> jobs_at(Pots& pots, const CareSite& site, std::chrono::weekday care_day) {
    static const std::map<std::string, std::vector<LocalDay>> nothing_shown;
    pots.forget_years();
    const auto all = pots.at(site);
    return jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = nothing_shown, .care_day = care_day});
}
// Every job of a pot that a year knows.
std::vector<Job> year_of(Pots& pots, const Climate& c, LocalDay today, const std::string& id = "1") {
    static const std::map<std::string, std::vector<LocalDay>> nothing_shown;
    const auto site = site_at(c, today);
    pots.forget_years();
    auto all = pots.at(site);
    std::erase_if(all, [&](const PotCare& pot) { return pot.id != id; });
    return jobs_in({.tables = tables().care, .site = site, .pots = all, .shown = nothing_shown}, all.front(), {today - days(364), today});
}
const Job* find(const std::vector<Job>& jobs, const std::string& rule) {
    const auto found = std::ranges::find(jobs, rule, &Job::rule);
    return found == jobs.end() ? nullptr : &*found;
}
bool open_on(const std::vector<Job>& jobs, const std::string& rule) {
    return std::ranges::any_of(jobs, [&](const Job& job) { return job.rule == rule && job.state <= JobState::waiting; });
}
Pots one_tree(const std::string& species = "apple", const std::string& stock = "M.9") {
    Pots pots;
    pots.add("1", {.species = species, .stock = stock, .planted = date(2019, 11, 1)}, date(2022, 3, 1)).ground = "grass";
    return pots;
}

}  // namespace

TEST_CASE("where no cold brings the leaves down, neither their fall nor the next bloom is told as the weather's") {
    auto pots = one_tree();
    // Neither the fall that no cold brought nor a bloom that no winter prepared is told as the weather's.
    int unsure = 0;
    for (const auto& job : year_of(pots, winterless(), date(2025, 12, 31)))
        for (const auto& why : job.because) {
            INFO(job.id << ": " << why.text);
            CHECK(why.text.find("by the weather so far") == std::string::npos);
            unsure += why.text.find("full bloom about") == 0 && why.text.find("unsure: the winter was short of chill") != std::string::npos;
        }
    CHECK(unsure > 0);
}

TEST_CASE("a mild winter without a leaf fall is winter enough for buds where it has its chill") {
    // Nights of 4 and days of 12 °C about midwinter: no ten days under 8 °C, and the best that portions know (a need of 50: [PORTIONS]).
    const Climate mild{.place = {44, -8, 20, std::chrono::hours(0)}, .mean_degC = 12, .swing_K = 4, .day_K = 4, .rain_every_d = 9, .gale_every_d = 100000};
    const auto stages = [](const Climate& c) {
        auto records = days_of(c, date(2025, 1, 1), date(2026, 6, 10));
        for (auto& r : records) {
            r.air_temp_min_degC.value = std::max(r.air_temp_min_degC.value, 4.1);
            r.air_temp_max_degC.value = std::max(r.air_temp_max_degC.value, 12.1);
            r.mean_temp_degC = (r.air_temp_min_degC.value + r.air_temp_max_degC.value) / 2;
        }
        return tree_years(CareSite(c.place, records, date(2026, 6, 1)), *tables().one_species("apple"), 0, {});
    };
    const auto west = stages(mild), island = stages(winterless());
    CHECK(west.last(Mark::leaf_fall, date(2026, 2, 1))->from == MarkFrom::assumed);
    CHECK(west.last(Mark::full_bloom, date(2026, 6, 1))->from == MarkFrom::heat_sum);
    CHECK(island.last(Mark::leaf_fall, date(2026, 2, 1))->from == MarkFrom::assumed);
    CHECK(island.last(Mark::full_bloom, date(2026, 6, 1))->from == MarkFrom::assumed);
}

TEST_CASE("no harvest is told after the leaves have fallen; where the season is too short for the usual days it is unsure") {
    const auto year = [](double latitude_deg, LocalDay today) {
        const CareSite site({latitude_deg, 25, 20, std::chrono::hours(2)}, {}, today);
        return tree_years(site, *tables().one_species("apple"), 140, {});
    };
    for (const double latitude_deg : {60.17, 65.0}) {
        const auto north = year(latitude_deg, date(2026, 3, 1));
        const auto* harvest = north.next(Mark::harvest, date(2026, 5, 1));
        const auto* fall = north.next(Mark::leaf_fall, date(2026, 7, 1));
        const auto* bloom = north.next(Mark::full_bloom, date(2026, 3, 1));
        REQUIRE((harvest && fall && bloom));
        INFO(latitude_deg << ": " << format_day(bloom->day) << " " << format_day(harvest->day) << " " << format_day(fall->day));
        CHECK(harvest->day < bloom->day + days(140));
        CHECK(harvest->day == fall->day - days(10));
        CHECK(harvest->from == MarkFrom::usual);
    }
    const auto middle = year(47, date(2026, 3, 1));
    CHECK(middle.next(Mark::harvest, date(2026, 5, 1))->day == middle.next(Mark::full_bloom, date(2026, 3, 1))->day + days(140));
    // Also where heat told the bloom, a harvest that the leaves bound is unsure.
    Climate short_summer{.place = {60.17, 25, 20, std::chrono::hours(2)}, .mean_degC = 2, .swing_K = 14, .day_K = 4, .rain_every_d = 9, .gale_every_d = 100000};
    const auto known = tree_years(site_at(short_summer, date(2026, 10, 30)), *tables().one_species("apple"), 140, {});
    CHECK(known.last(Mark::full_bloom, date(2026, 10, 1))->from == MarkFrom::heat_sum);
    CHECK(known.next(Mark::harvest, date(2026, 7, 1))->from == MarkFrom::usual);
}

TEST_CASE("where no winter lies between, pome fruit is pruned as it grows least, no roof goes up over a peach in flower, and a lemon is fed on") {
    auto apples = one_tree();
    CHECK(open_on(jobs_at(apples, site_at(winterless(), date(2026, 1, 3)), std::chrono::Saturday), "prune-mild"));
    CHECK_FALSE(open_on(jobs_at(apples, site_at(winterless(), date(2026, 3, 3)), std::chrono::Saturday), "prune-mild"));
    const auto year = year_of(apples, winterless(), date(2025, 12, 31));
    CHECK(find(year, "prune-mild"));
    CHECK_FALSE(find(year, "prune-winter"));
    const auto temperate_year = year_of(apples, temperate(), date(2025, 12, 31));
    CHECK_FALSE(find(temperate_year, "prune-mild"));
    CHECK(find(temperate_year, "prune-winter"));
    auto peaches = one_tree("peach", "");
    CHECK_FALSE(find(year_of(peaches, winterless(), date(2025, 12, 31)), "curl-cover"));
    CHECK(find(year_of(peaches, temperate(), date(2025, 12, 31)), "curl-cover"));
    auto lemons = one_tree("citrus", "");
    for (LocalDay day = date(2024, 2, 1); day < date(2026, 1, 1); day += days(100)) lemons.note("1", day, "fed");
    CHECK_FALSE(find(year_of(lemons, winterless(), date(2025, 12, 31)), "feed-stop"));
    CHECK(find(year_of(lemons, winterless(), date(2025, 12, 31)), "feed"));
    CHECK(find(year_of(lemons, temperate(), date(2025, 12, 31)), "feed-stop"));
}

TEST_CASE("a tree grafted after the day on which a job was due is judged as it is today") {
    const auto swelling = [](LocalDay near) {
        const auto site = site_at(temperate(), near);
        return tree_years(site, *tables().one_species("apple"), 0, {}).next(Mark::swelling, near - days(60))->day;
    }(date(2026, 4, 1));
    Pots pots;
    pots.add("1", {.planted = date(2019, 11, 1)}, date(2022, 3, 1));
    pots.add("2", {.planted = swelling, .grafted = swelling}, swelling);
    const auto jobs = jobs_at(pots, site_at(temperate(), swelling + days(1)), std::chrono::weekday(swelling + days(1)));
    const auto pruned = [&](const std::string& pot) {
        return std::ranges::any_of(jobs, [&](const Job& job) { return job.pot == pot && job.rule == "prune-winter" && job.state <= JobState::waiting; });
    };
    CHECK(pruned("1"));
    CHECK_FALSE(pruned("2"));
}

namespace {

constexpr Climate still{.rain_every_d = 100000, .rain_mm = 0, .gale_every_d = 100000};

CareSite wet_on(LocalDay wet, LocalDay today, double mean_degC = 12, double rain_mm = 12) {
    auto records = days_of(still, today - days(400), today + days(10));
    for (auto& r : records)
        if (r.day == wet) {
            r.air_temp_max_degC.value = mean_degC + 5;
            r.air_temp_min_degC.value = mean_degC - 5;
            r.mean_temp_degC = mean_degC;
            r.rain_mm.value = rain_mm;
        }
    return CareSite(still.place, records, today);
}
LocalDay mark_of(Mark m, LocalDay near) { return tree_years(site_at(still, near), *tables().one_species("apple"), 140, {}).next(m, near - days(60))->day; }

}  // namespace

TEST_CASE("spots are looked for on leaves") {
    const LocalDay leaf = mark_of(Mark::first_leaf, date(2026, 5, 1)), wet = leaf + days(6);
    auto pots = one_tree();
    // No leaf, no look; and none on a graft that has none.
    const LocalDay bare = leaf - days(4);
    for (int d = 0; d < 30; d += 3) CHECK_FALSE(open_on(jobs_at(pots, wet_on(bare, bare + days(d)), std::chrono::Saturday), "scab-wet"));
    Pots grafts;
    grafts.add("1", {.planted = leaf - days(10), .grafted = leaf - days(10)}, leaf - days(10));
    for (int d = 0; d < 26; d += 3) CHECK_FALSE(open_on(jobs_at(grafts, wet_on(wet, wet + days(d)), std::chrono::Saturday), "scab-wet"));
}

TEST_CASE("a season bounds the day of a threat to flowers or leaves, not the look that follows it") {
    const LocalDay last = mark_of(Mark::full_bloom, date(2026, 5, 1)) + days(45);
    auto pots = one_tree();
    const auto stands_after = [&](LocalDay wet, int d) { return open_on(jobs_at(pots, wet_on(wet, wet + days(d), 15), std::chrono::Saturday), "scab-wet"); };
    CHECK(stands_after(last - days(1), 14));
    CHECK(stands_after(last - days(1), 24));
    CHECK_FALSE(stands_after(last + days(2), 14));
}

TEST_CASE("a graft is looked at from its third week on, whatever the pot is called") {
    for (const char* id : {"1", "north", "newgraft", "a7"}) {
        const LocalDay grafted = date(2026, 4, 6);
        Pots pots;
        pots.add(id, {.planted = grafted, .grafted = grafted}, grafted);
        INFO(id);
        const auto year = year_of(pots, still, grafted + days(60), id);
        const auto* look = find(year, "graft-check");
        REQUIRE(look);
        CHECK(look->opens - grafted <= days(22));
    }
}

TEST_CASE("a year judges each day by the place in which the pot stood on it") {
    const LocalDay moved = date(2025, 5, 19);
    const auto asked = [&](bool stood_inside) {
        Pots pots;
        auto& pot = pots.add("1", {.species = "citrus", .stock = {}, .planted = date(2019, 11, 1)}, date(2022, 3, 1));
        if (stood_inside) pot.stood.push_back({moved, {.wind = 0, .light = 0.5, .rain = 0, .place = "indoors", .ground = ""}});
        std::set<std::string> before, after;
        for (const auto& job : year_of(pots, temperate(), date(2025, 12, 30)))
            for (const char* rule : {"root-frost", "move-in", "gale-before", "stake-gale", "weed"})
                if (job.rule == rule) (job.opens <= moved ? before : after).insert(rule);
        return std::pair(before, after);
    };
    CHECK(asked(false).first.contains("move-in"));
    CHECK(asked(true).first.empty());
    CHECK(asked(true).second.contains("weed"));
    CHECK(asked(true).second == asked(false).second);
}

namespace {

CareSite wet_days(const std::set<LocalDay>& wet, LocalDay today) {
    auto records = days_of(still, today - days(400), today + days(10));
    for (auto& r : records)
        if (wet.contains(r.day)) r.mean_temp_degC = 15, r.air_temp_max_degC.value = 20, r.air_temp_min_degC.value = 10, r.rain_mm.value = 12;
    return CareSite(still.place, records, today);
}
// The mornings of a span on which a rule's job was due, each of them shown and not answered.
std::vector<LocalDay> mornings_of(Pots& pots, const std::function<CareSite(LocalDay)>& site_on, LocalDay from, LocalDay to, const std::string& rule) {
    std::map<std::string, std::vector<LocalDay>> shown;
    std::vector<LocalDay> mornings;
    for (LocalDay day = from; day <= to; day += days(1)) {
        const auto site = site_on(day);
        pots.forget_years();
        const auto all = pots.at(site);
        for (const auto& line : morning_lines(jobs_of({.tables = tables().care, .site = site, .pots = all, .shown = shown}), 20))
            for (const auto& job : line.jobs) {
                if (job.rule == rule) mornings.push_back(day);
                shown[job.id].push_back(day);
            }
    }
    return mornings;
}
std::string told(const Job& job) {
    std::string all;
    for (const auto& why : job.because) all += why.text + "; ";
    return all;
}

}  // namespace

TEST_CASE("what shows later is asked for from the day on which it shows, and a look before that answers nothing") {
    const LocalDay wet = mark_of(Mark::first_leaf, date(2026, 5, 1)) + days(6);
    const auto job_at = [&](const std::set<LocalDay>& spells, const std::vector<int>& looks, int d) {
        auto pots = one_tree();
        for (int look : looks) pots.note("1", wet + days(look), "looked", "scab");
        const auto jobs = jobs_at(pots, wet_days(spells, wet + days(d)), std::chrono::weekday(wet + days(d)));
        const auto* job = find(jobs, "scab-wet");
        return job ? std::optional(*job) : std::nullopt;
    };
    const auto asked = [&](const std::set<LocalDay>& spells, const std::vector<int>& looks, int d) {
        const auto job = job_at(spells, looks, d);
        return job && job->state <= JobState::waiting;
    };
    for (int d = 0; d < 12; ++d) CHECK_FALSE(asked({wet}, {}, d));
    for (int d : {12, 18, 24}) CHECK(asked({wet}, {}, d));
    CHECK_FALSE(asked({wet}, {}, 25));
    // It tells the day of the spell, not that of the look.
    CHECK(told(*job_at({wet}, {}, 14)).find("on " + day_text(wet)) != std::string::npos);
    // Looked on the day of the rain, or before anything shows: asked all the same, three weeks after that look.
    for (int early : {0, 5}) {
        CHECK_FALSE(asked({wet}, {early}, early + 20));
        CHECK(asked({wet}, {early}, early + 21));
    }
    CHECK(job_at({wet}, {13}, 14)->state == JobState::done);
    CHECK_FALSE(asked({wet}, {13}, 30));
    // A second spell before the look could not show by then; one long before it could.
    CHECK(asked({wet, wet + days(10)}, {13}, 34));
    CHECK_FALSE(asked({wet, wet + days(2)}, {15}, 36));
}

TEST_CASE("where leaves never fall, what goes on while it grows goes on all year") {
    const LocalDay last = date(2025, 12, 30);
    for (const char* species : {"fig", "citrus"}) {
        Pots pots;
        pots.add("1", {.species = species, .stock = {}, .vigour = "own-roots", .planted = date(2019, 11, 1)}, date(2022, 3, 1)).ground = "grass";
        std::set<unsigned> months;
        int unsure = 0;
        for (const auto& job : year_of(pots, winterless(), last)) {
            if (job.rule == "grass-ring") months.insert(unsigned(std::chrono::year_month_day(job.opens).month()));
            unsure += job.rule == "shape-tender" && told(job).find("assumed: no cold stops its growth here") != std::string::npos;
        }
        INFO(species);
        CHECK(months.size() >= 4);
        CHECK(months.upper_bound(6) != months.end());
        CHECK(unsure > 0);
    }
    // Where leaves fall it ends with them.
    Pots pots;
    pots.add("1", {.species = "fig", .stock = {}, .vigour = "own-roots", .planted = date(2019, 11, 1)}, date(2022, 3, 1)).ground = "grass";
    for (const auto& job : year_of(pots, temperate(), last))
        if (job.rule == "grass-ring") CHECK((job.opens > date(2025, 3, 1) && job.opens < date(2025, 12, 1)));
}

TEST_CASE("what was looked at lately goes along with no line, however short its interval") {
    const LocalDay today = date(2026, 6, 20);
    const auto along = [&](int checked_d) {
        Pots pots;
        pots.add("1", {.planted = date(2019, 11, 1)}, date(2022, 3, 1));
        pots.add("2", {.planted = today - days(100)}, today - days(100));   // half the interval in its first year: 91 days
        pots.note("1", today - days(210), "stake-checked");
        pots.note("2", today - days(checked_d), "stake-checked");
        const auto jobs = jobs_at(pots, site_at(still, today), std::chrono::weekday(today));
        REQUIRE(std::ranges::any_of(jobs, [](const Job& job) { return job.pot == "1" && job.rule == "stake-routine" && job.state == JobState::due; }));
        return std::ranges::any_of(jobs, [](const Job& job) { return job.pot == "2" && job.rule == "stake-routine"; });
    };
    CHECK_FALSE(along(3));
    CHECK_FALSE(along(40));
    CHECK(along(60));
}

TEST_CASE("a heat that goes on is one reason: three mornings, then once a week") {
    const LocalDay first = date(2026, 7, 1);
    const auto hot_site = [&](LocalDay today) {
        auto records = days_of(still, today - days(400), today + days(10));
        for (auto& r : records)
            if (r.day >= first && r.day < first + days(40)) r.air_temp_max_degC.value = 35, r.air_temp_min_degC.value = 19, r.mean_temp_degC = 27;
        return CareSite(still.place, records, today);
    };
    auto pots = one_tree();
    pots.one("1").setup.container.colour = Colour::dark;
    const auto stood = mornings_of(pots, hot_site, first - days(3), first + days(36), "root-shade");
    REQUIRE(stood.size() > 5);
    CHECK(stood[2] - stood[0] == days(2));
    for (std::size_t i = 3; i < stood.size(); ++i) CHECK(stood[i] - stood[i - 1] >= days(7));
    // Nor are two weeks and a half of it a place where every day is hot: routine waits for a cooler one.
    for (LocalDay day : mornings_of(pots, hot_site, first + days(1), first + days(18), "weed")) CHECK(day < first);
    // Answered it is quiet for two weeks, and asked again if the heat is still there.
    auto answered = one_tree();
    answered.one("1").setup.container.colour = Colour::dark;
    answered.note("1", first, "shaded", "wall");
    for (LocalDay day : mornings_of(answered, hot_site, first + days(1), first + days(30), "root-shade")) CHECK(day - first >= days(14));
}

TEST_CASE("under a full mulch weeds are few: half as often, unless they were seen") {
    const LocalDay today = date(2026, 7, 18);
    const auto asked = [&](double mulch_cm, bool seen) {
        auto pots = one_tree();
        pots.note("1", today - days(23), "weeded");
        if (seen) pots.note("1", today - days(30), "saw", "weeds");
        if (mulch_cm > 0) pots.one("1").setup.mulch = Mulch{Centimetres(mulch_cm), 1}, pots.one("1").mulched = today - days(30);
        return open_on(jobs_at(pots, site_at(still, today), std::chrono::weekday(today)), "weed");
    };
    CHECK(asked(0, false));
    CHECK(asked(2, false));
    CHECK_FALSE(asked(5, false));
    CHECK(asked(5, true));
}

TEST_CASE("what hardly grows in the cool is looked at less often: citrus and olive, and no other kind") {
    const LocalDay today = date(2026, 7, 18);
    const auto asked = [&](const char* species, double max_degC) {
        auto records = days_of(still, today - days(400), today + days(10));
        for (auto& r : records) r.air_temp_max_degC.value = max_degC, r.air_temp_min_degC.value = max_degC - 6, r.mean_temp_degC = max_degC - 3;
        auto pots = one_tree(species);
        pots.note("1", today - days(205), "holes-checked");
        const auto jobs = jobs_at(pots, CareSite(still.place, records, today), std::chrono::weekday(today));
        const auto* look = find(jobs, "drain-check");   // near its time it may go along with another line, and is not due
        return look && look->state == JobState::due;
    };
    CHECK(asked("olive", 20));
    CHECK_FALSE(asked("olive", 13));
    CHECK(asked("apple", 13));
}

TEST_CASE("who takes a cover off is told the night to come") {
    auto pots = one_tree();
    const LocalDay today = date(2026, 6, 2);
    pots.note("1", today - days(1), "covered");
    const auto jobs = jobs_at(pots, site_at(still, today), std::chrono::Saturday);
    const auto* off = find(jobs, "frost-uncover");
    REQUIRE(off);
    CHECK(told(*off).find(" °C expected in the night to " + day_text(today + days(1))) != std::string::npos);
}

TEST_CASE("of a tree indoors no stage is told as the weather's, and no gust or frost asks for anything") {
    Pots pots;
    pots.add("1", {.species = "citrus", .stock = {}, .planted = date(2019, 11, 1)}, date(2022, 3, 1)).place = "indoors";
    int unsure = 0;
    for (const auto& job : year_of(pots, temperate(), date(2025, 12, 30))) {
        INFO(job.id << ": " << told(job));
        CHECK(told(job).find("by the weather so far") == std::string::npos);
        unsure += told(job).find("it stands indoors, so unsure") != std::string::npos;
    }
    CHECK(unsure > 0);
    const std::set<CareValue> outside{CareValue::gust_m_s, CareValue::gust_2d_m_s, CareValue::topple_share, CareValue::wind_2d_m_s, CareValue::frost_margin_K,
                                      CareValue::root_margin_K, CareValue::move_in_margin_K, CareValue::medium_min_5d_degC, CareValue::min_2d_degC};
    int rules = 0;
    for (const auto& rule : tables().care.rules) {
        if (rule.trigger != Trigger::event || rule.key == "saucer-empty" ||
            std::ranges::none_of(rule.when, [&](const Condition& c) { return outside.contains(c.quantity) && !(c.quantity == CareValue::min_2d_degC && c.compare == '>'); }))
            continue;
        INFO(rule.key);
        CHECK(std::ranges::any_of(rule.unless, [](const Condition& c) { return c.quantity == CareValue::indoors; }));
        ++rules;
    }
    CHECK(rules > 10);
}

TEST_CASE("salts are washed out with the feeding, not after it") {
    const LocalDay leaf = mark_of(Mark::first_leaf, date(2026, 5, 1)), today = leaf + days(3);
    auto pots = one_tree();
    pots.one("1").rain = 0;   // nothing has washed it
    pots.note("1", today - days(200), "fed");
    const auto lines = morning_lines(jobs_at(pots, site_at(still, today), std::chrono::weekday(today)), 20);
    const auto has = [](const JobLine& line, const char* rule) { return std::ranges::count(line.jobs, rule, &Job::rule) == 1; };
    const auto feed = std::ranges::find_if(lines, [&](const JobLine& line) { return has(line, "feed"); });
    REQUIRE(feed != lines.end());
    CHECK(has(*feed, "leach"));
}

TEST_CASE("a heat that turns clearly hotter than it was told is a new reason, once") {
    const LocalDay first = date(2026, 7, 1), worse = first + days(5);
    const auto hot_site = [&](LocalDay today) {
        auto records = days_of(still, today - days(400), today + days(10));
        for (auto& r : records)
            if (r.day >= first && r.day < first + days(12)) r.air_temp_max_degC.value = r.day < worse ? 34 : 37, r.air_temp_min_degC.value = 19, r.mean_temp_degC = 27;
        return CareSite(still.place, records, today);
    };
    auto pots = one_tree();
    pots.one("1").setup.container.colour = Colour::dark;
    const auto stood = mornings_of(pots, hot_site, first - days(3), first + days(11), "root-shade");
    REQUIRE(stood.size() >= 4);
    CHECK(stood[2] < worse - days(2));
    CHECK(stood[3] == worse - days(2));   // as soon as it stands in the forecast of two days
    for (std::size_t i = 4; i < stood.size(); ++i) CHECK(stood[i] - stood[i - 1] >= days(7));
}
