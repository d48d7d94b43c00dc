// What a grower who knows his trees would shake his head at: jobs before their time, after it, twice, or with the wrong words. No source
// gives numbers for these; each case names the sentence of the trade that it holds the table to.
#include "care_scene.hpp"

#include "care/words.hpp"

using namespace tubgrove;
using namespace care_world;

namespace {

std::optional<Job> told(const Scene& s, const std::string& key) {
    for (const auto& job : jobs(s))
        if (job.rule == key && open_job(job)) return job;
    return std::nullopt;
}
bool cautions(const Job& job, const char* words) {
    return std::ranges::any_of(job.caution, [&](const std::string& c) { return c.find(words) != c.npos; });
}
// On how many of the days it stands.
int days_of_standing(Scene s, const std::string& key, LocalDay from, LocalDay to) {
    int n = 0;
    for (s.today = from; s.today <= to; s.today += days(5)) n += stands(s, key);
    return n;
}
TreeWords planted_before_bloom(double years) { return {.planted = bloom_26 - days(long(years * 365.25))}; }

}  // namespace

TEST_CASE("flowers are taken off while they are open, of a graft and of a newly planted tree, and of no failed one") {
    const LocalDay opens = mark_day(Mark::first_bloom, bloom_26);
    const auto due = [&](const TreeWords& tree) {
        const auto job = told({.today = opens, .tree = tree}, "graft-deblossom");
        return job ? std::optional(job->due) : std::nullopt;
    };
    CHECK(due(planted_before_bloom(0.45)) == std::optional(opens));
    CHECK(due({.planted = bloom_26 - days(1000), .grafted = bloom_26 - days(380)}) == std::optional(opens));
    CHECK_FALSE(due({.planted = bloom_26 - days(380), .grafted = bloom_26 - days(380), .taken = false}));
    CHECK_FALSE(due(planted_before_bloom(3)));
}

TEST_CASE("whether a tree bears is settled by its bloom: thinned in June and tasted in autumn, or neither") {
    for (double years : {0.45, 0.8, 1.1, 1.45, 2.1}) {
        INFO(years << " years planted at bloom");
        const Scene s{.tree = planted_before_bloom(years)};
        const int thinned = days_of_standing(s, "thin", bloom_26 + days(20), bloom_26 + days(50));
        CHECK((thinned > 0) == (days_of_standing(s, "harvest-check", bloom_26 + days(120), bloom_26 + days(150)) > 0));
        CHECK((thinned > 0) == (days_of_standing(s, "prop", bloom_26 + days(60), bloom_26 + days(120)) > 0));
        CHECK((thinned > 0) != (days_of_standing(s, "graft-deblossom", bloom_26 - days(5), bloom_26 + days(10)) > 0));
        CHECK((thinned > 0) == (years > 1));
    }
}

TEST_CASE("no job of late winter asks for cuts on a stone fruit's top") {
    for (const char* species : {"plum", "cherry", "sour_cherry", "peach", "apricot"}) {
        const LocalDay tip = mark_day(Mark::green_tip, date(2026, 3, 20), species);
        const auto job = told({.today = tip - days(2), .tree = kind(species), .added = date(2021, 3, 1)}, "root-prune");
        REQUIRE(job);
        CHECK(job->what.find("the top waits for dry days after the harvest") != std::string::npos);
    }
}

TEST_CASE("a heavy pot warns of its weight, a high crown of the ladder, spines of spines; a flush speaks of no butt") {
    Scene wet = saucer(12);
    std::optional<Job> heavy;
    for (int i = 0; i < 10 && !heavy; ++i, wet.today -= days(1)) heavy = told(wet, "saucer-empty");
    REQUIRE(heavy);
    CHECK(cautions(*heavy, "kg when wet"));
    CHECK(rule("weevil").what.find("clear the path") != std::string::npos);
    const LocalDay cold = date(2026, 3, 20);
    const auto lemon = told({.today = cold, .tree = kind("citrus"), .weather = from_on(cold, steady(3, 5))}, "move-in");
    REQUIRE(lemon);
    CHECK(cautions(*lemon, "Sleeves and gloves"));
    const auto peach = [](double height_cm) {
        return told({.today = date(2026, 2, 10), .tree = kind("peach"), .pot = [=](PotCare& pot) { pot.trees.front().tree.crown = Crown{.height = Centimetres(height_cm)}; }}, "curl-cover");
    };
    REQUIRE((peach(150) && peach(220)));
    CHECK_FALSE(cautions(*peach(150), "three points held"));
    CHECK(cautions(*peach(220), "three points held"));
    CHECK(std::ranges::find(rule("ladder").with, "roof-off") != rule("ladder").with.end());
    const auto flush = [](bool with_saucer) {
        return told({.today = date(2026, 6, 20), .added = date(2025, 10, 1), .pot = [=](PotCare& pot) {
                         if (with_saucer) pot.setup.container.saucer = Litres(2);
                     }}, "leach");
    };
    REQUIRE((flush(false) && flush(true)));
    CHECK_FALSE(cautions(*flush(false), "Lid on"));
    CHECK(cautions(*flush(true), "Lid on"));
}

TEST_CASE("pots are opened until the buds part, not in bloom") {
    for (const char* species : {"apple", "pear", "plum", "cherry", "peach", "apricot", "quince"}) {
        INFO(species);
        const LocalDay tip = mark_day(Mark::green_tip, date(2026, 4, 1), species), cluster = mark_day(Mark::cluster, tip, species);
        const auto job = told({.today = tip, .tree = kind(species), .added = date(2021, 3, 1)}, "repot");
        REQUIRE(job);
        CHECK(job->closes == cluster);
        for (const char* other : {"root-prune", "top-dress", "repot-bound"}) CHECK(text_of(*rule(other).closes) == "cluster");
    }
}

TEST_CASE("what is to be done before a tender tree grows is not asked after it") {
    for (const char* species : {"fig", "citrus", "olive"}) {
        INFO(species);
        const LocalDay growth = mark_day(Mark::green_tip, date(2026, 5, 1), species);
        const auto on = [&](LocalDay day) { return Scene{.today = day, .tree = kind(species), .added = date(2021, 3, 1), .weather = from_on(day, steady(11, 5))}; };
        CHECK(stands(on(growth - days(6)), "repot-tender"));
        for (const char* key : {"repot-tender", "shape-tender"}) CHECK_FALSE(stands(on(growth + days(4)), key));
    }
    // Roots seen at the wall of a tree that keeps its leaves: asked before its growth, although it is in leaf.
    const LocalDay growth = mark_day(Mark::green_tip, date(2026, 5, 1), "citrus");
    CHECK(asked({.today = growth - days(10), .tree = kind("citrus"), .added = date(2025, 3, 1), .notes = [&](Pots& pots) { pots.note("1", growth - days(200), "saw", "roots-at-wall"); }},
                "repot-bound-tender"));
}

TEST_CASE("leaves are looked at once there are leaves, of a fig as the water has them") {
    for (const char* species : {"apple", "fig", "peach"}) {
        INFO(species);
        const LocalDay leaf = mark_day(Mark::first_leaf, date(2026, 5, 1), species);
        Scene s{.tree = kind(species)};
        for (s.today = leaf - days(40); s.today < mark_day(Mark::first_leaf, s.today, species); s.today += days(1)) CHECK_FALSE(stands(s, "aphids"));
        CHECK(days_of_standing(s, "aphids", leaf, leaf + days(30)) > 0);
    }
    const CareSite site(still.place, calm_days(date(2026, 7, 1), {}), date(2026, 7, 1));
    const auto& fig = *tables().one_species("fig");
    double heat = 0;
    LocalDay day = date(2026, 1, 1);
    while ((heat += std::max(0.0, (site.on(day).max_degC + site.on(day).min_degC) / 2 - fig.base_degC)) < *fig.first_leaf_dd) day += days(1);
    CHECK(tree_years(site, fig, 0, {}).last(Mark::first_leaf, date(2026, 7, 1))->day == day);
}

TEST_CASE("stems thicken between the first leaves and the end of summer") {
    const Scene s{.tree = apple()};
    CHECK(days_of_standing(s, "tie-loosen", date(2026, 5, 20), date(2026, 8, 20)) > 0);
    CHECK(days_of_standing(s, "tie-loosen", date(2026, 10, 5), date(2026, 12, 20)) == 0);
    CHECK(days_of_standing(s, "tie-loosen", date(2026, 2, 1), mark_day(Mark::first_leaf, date(2026, 5, 1)) - days(7)) == 0);
}

TEST_CASE("the first look after the wind is the look: the same stake is not asked for twice in a morning") {
    const LocalDay today = date(2026, 1, 24);
    const auto on = [&](double gust_m_s) {
        return jobs({.today = today, .tree = apple(), .pot = [](PotCare& pot) { pot.wind = 1; }, .notes = [=](Pots& pots) { pots.note("1", today - days(230), "stake-checked"); },
                     .weather = gust_on(today - days(1), gust_m_s)});
    };
    const auto looks = [](const std::vector<Job>& all) {
        std::vector<std::string> keys;
        for (const auto& line : morning_lines(all, 20))
            for (const auto& job : line.jobs)
                if (job.rule.starts_with("stake-")) keys.push_back(job.rule);
        return keys;
    };
    CHECK(looks(on(6)) == std::vector<std::string>{"stake-routine"});
    CHECK(looks(on(24)) == std::vector<std::string>{"stake-gale"});
}

TEST_CASE("indoors nobody waters for want of rain, and pests of the summer's heat are looked for by the room") {
    const LocalDay today = date(2026, 1, 20);
    const auto inside = [&](const char* species) {
        return Scene{.today = today, .tree = kind(species), .pot = [](PotCare& pot) { pot.place = "indoors"; }, .weather = from_on(today - days(20), steady(7, 2))};
    };
    CHECK_FALSE(stood(inside("fig"), "winter-water"));
    CHECK_FALSE(stood(inside("olive"), "mites"));
    Scene lemon = inside("citrus");
    CHECK(days_of_standing(lemon, "mites-indoors", date(2025, 12, 1), date(2026, 2, 20)) > 0);
    lemon.pot = {};
    CHECK(days_of_standing(lemon, "mites-indoors", date(2025, 12, 1), date(2026, 2, 20)) == 0);
}

TEST_CASE("what was carried in for the winter is brought out when nights are mild, to where it stood; what lives indoors is not") {
    const auto on = [](LocalDay today, int moved_ago_d, double night_degC) {
        return Scene{.today = today, .tree = kind("citrus"), .pot = [](PotCare& pot) { pot.place = "indoors", pot.out_bay = "wall"; },
                     .notes = [=](Pots& pots) {
                         if (moved_ago_d > 0) pots.note("1", today - days(moved_ago_d), "moved");
                     },
                     .weather = from_on(today, steady(night_degC + 5, 5))};
    };
    const LocalDay may = mark_day(Mark::green_tip, date(2026, 5, 1), "citrus") + days(10);
    const auto job = told(on(may, 210, 10), "move-out");
    REQUIRE(job);
    CHECK(job->answer == "did 1 moved wall");
    CHECK(cautions(*job, "Sleeves and gloves"));
    CHECK(asked(on(may, 210, 10), "move-out"));
    CHECK_FALSE(asked(on(may, 210, 4), "move-out"));
    CHECK_FALSE(stands(on(may, 0, 10), "move-out"));
    CHECK_FALSE(stands(on(date(2025, 10, 10), 3, 10), "move-out"));   // in autumn
    Scene out = on(may, 210, 10);
    out.pot = {};
    CHECK_FALSE(stands(out, "move-out"));
}

TEST_CASE("a bud set in summer sleeps until spring: looked at, judged and led from then on; its tape is slit all the same") {
    const LocalDay budded = date(2025, 8, 5), tip = mark_day(Mark::green_tip, date(2026, 4, 1));
    Scene s{.tree = {.planted = budded - days(500), .grafted = budded}, .added = budded};
    for (const char* key : {"graft-check", "graft-verdict", "graft-shoot", "graft-support", "stock-shoots"}) {
        INFO(key);
        CHECK(days_of_standing(s, key, budded + days(1), tip - days(5)) == 0);
        CHECK((days_of_standing(s, key, tip + days(15), tip + days(110)) > 0) == (std::string(key) != "stock-shoots"));
    }
    CHECK(days_of_standing(s, "graft-release", budded + days(40), budded + days(84)) > 0);
    s.today = tip + days(45);
    const auto verdict = told(s, "graft-verdict");
    REQUIRE(verdict);
    CHECK(verdict->opens == mark_day(Mark::green_tip, s.today) + days(42));
    CHECK(verdict->because.front().text.starts_with("green tip about "));
    Scene warm{.today = date(2025, 8, 10), .tree = s.tree, .added = budded, .weather = steady(24)};
    CHECK_FALSE(stands(warm, "graft-shade"));
    warm.tree.grafted = warm.added = date(2025, 5, 10), warm.today = date(2025, 5, 15);
    CHECK(stands(warm, "graft-shade"));
    // A graft of spring as before.
    CHECK(told(grafted(7), "graft-verdict")->because.front().text.starts_with("grafted on "));
}

TEST_CASE("salts are washed out before a feeding, of no fresh medium, and the litres are told") {
    const LocalDay today = date(2026, 7, 10);
    const auto after_d = [&](const char* action, int ago_d) {
        return Scene{.today = today, .added = date(2025, 8, 1), .notes = [=](Pots& pots) {
                         if (action) pots.note("1", today - days(ago_d), action);
                     }};
    };
    const auto job = told(after_d(nullptr, 0), "leach");
    REQUIRE(job);
    CHECK(job->because.back().text == "twice its volume is about 80 L");
    CHECK(job->because.back().values.at("flush_l") == "80");
    CHECK(asked(after_d("fed", 40), "leach"));
    CHECK_FALSE(asked(after_d("fed", 12), "leach"));
    CHECK_FALSE(stands(after_d("repotted", 120), "leach"));
    // What ran through in a wet winter counts whole: an open pot under 1400 mm a year has been washed.
    Scene rain = after_d(nullptr, 0);
    rain.weather = [](DayRecord& r) { r.rain_mm.value = r.day < date(2026, 4, 10) ? 5.0 : 0.4; };
    CHECK_FALSE(stands(rain, "leach"));
    CHECK(rule("feed").what.find("up to the longest day") != std::string::npos);
    // What came out below counts, too.
    Scene measured = after_d(nullptr, 0);
    measured.notes = [&](Pots& pots) { pots.note("1", today - days(30), "drained", {}, {{"amount_l", "85"}}); };
    CHECK_FALSE(asked(measured, "leach"));
}

TEST_CASE("a cloth on the crown does not shade the wall, and a wall of no stated colour is asked about once") {
    const auto hot = [](Colour colour, const char* shaded, double max_degC = 34) {
        Scene s = heat(false, colour, max_degC);
        s.notes = [=, today = s.today](Pots& pots) {
            if (shaded) pots.note("1", today - days(2), "shaded", shaded);
        };
        return s;
    };
    CHECK(asked(hot(Colour::dark, "cloth"), "root-shade"));
    CHECK_FALSE(stands(hot(Colour::dark, "wall"), "root-shade"));
    CHECK_FALSE(stands(hot(Colour::dark, ""), "root-shade"));   // the bare word, which was once the answer
    CHECK(asked(hot(Colour::unknown, nullptr, 38), "root-shade-untold"));
    CHECK_FALSE(stands(hot(Colour::unknown, nullptr, 33), "root-shade-untold"));
    for (auto colour : {Colour::light, Colour::dark}) CHECK_FALSE(stands(hot(colour, nullptr, 38), "root-shade-untold"));
    Scene again = hot(Colour::unknown, nullptr, 38);
    again.notes = [today = again.today](Pots& pots) { pots.note("1", today - days(60), "shaded", "wall"); };
    CHECK_FALSE(stands(again, "root-shade-untold"));
}

TEST_CASE("where frost comes what keeps its leaves is fed no later than the others") {
    const LocalDay today = date(2027, 1, 20), longest = date(2026, 6, 21);
    const auto stop = [&](const Climate& c, const char* species) {
        const CareSite site(c.place, days_of(c, today - days(400), today + days(10)), today);
        return tree_years(site, *tables().one_species(species), 0, {}).last(Mark::feed_stop, today)->day;
    };
    for (const char* species : {"olive", "citrus"}) CHECK(stop(temperate(), species) <= longest + days(45));
    Climate mild = temperate();
    mild.mean_degC = 15, mild.swing_K = 7, mild.day_K = 3;
    mild.place.latitude_deg = 36;
    CHECK(stop(mild, "olive") > longest + days(80));
    CHECK(stop(mild, "apple") == longest + days(45));
}

TEST_CASE("a pot is said to fall in wind that lays pots down, not in a breeze, and not again for a little more") {
    const LocalDay today = date(2026, 8, 20);
    const auto on = [&](double gust_m_s, double before_m_s, double volume_l) {
        return Scene{.today = today, .tree = kind("citrus"), .pot = [](PotCare& pot) { pot.wind = 1; }, .weather = [=](DayRecord& r) {
                         r.gust_m_s = Marked{r.day == today + days(1) ? gust_m_s : r.day == today - days(12) ? before_m_s : 3.0, Origin::measured, "daily"};
                     }, .volume_l = volume_l};
    };
    for (double volume_l : {25.0, 40.0}) {
        INFO(volume_l << " L");
        CHECK_FALSE(stands(on(8, 3, volume_l), "topple-before"));    // a fresh breeze: small trees sway [BEAUFORT]
        CHECK(asked(on(17.5, 3, volume_l), "topple-before"));        // twigs break from 17.2 m/s [BEAUFORT]
        CHECK_FALSE(stands(on(17.5, 16, volume_l), "topple-before"));
    }
}

TEST_CASE("a line tells each reason once, and spreads what is more than a morning's work") {
    JobLine line;
    for (const char* key : {"repot", "root-prune"})
        for (const char* pot : {"1", "2"}) {
            Job job;
            job.rule = job.title = key, job.pot = pot, job.id = std::string(pot) + "." + key + ".2026", job.minutes = 45, job.rank = Rank::crop;
            job.because = {{"in_pot_y", {}, "3.1 years in this pot"}, {"season", {}, "swelling about Monday 2 March"}};
            if (job.rule == "repot" && job.pot == "2") job.because.push_back({"weight", {}, "about 60 kg wet"});
            line.jobs.push_back(job);
        }
    const auto out = line_of(line);
    std::vector<std::string> reasons;
    for (const auto& why : out.because) reasons.push_back(why.text);
    CHECK(reasons == std::vector<std::string>{"repot: 3.1 years in this pot", "swelling about Monday 2 March", "repot (pot 2): about 60 kg wet"});
    CHECK(out.minutes == 180);
    CHECK(out.what.ends_with("part of it can follow on other days."));
    line.jobs.resize(1);
    CHECK(line_of(line).what.find("other days") == std::string::npos);
}

TEST_CASE("a move is no earlier securing, a moth's days say what they count from, and what was done long ago is not lately") {
    const LocalDay today = date(2026, 6, 1);
    const auto last = [&](const char* action) {
        const auto job = told({.today = today, .pot = [](PotCare& pot) { pot.wind = 1; }, .notes = [=](Pots& pots) { pots.note("1", today - days(20), action); }, .weather = gust_on(today, 24)}, "gale-before");
        if (!job) return std::string("no job");
        const auto found = std::ranges::find(job->because, "last-done", &Remark::code);
        return found == job->because.end() ? std::string("none") : found->text;
    };
    CHECK(last("moved") == "none");
    CHECK(last("secured") == "last done 20 days ago");
    const auto moth = [&](int caught_ago_d) {
        Scene s{.today = date(2026, 7, 5), .tree = apple(), .notes = [=](Pots& pots) {
                    if (caught_ago_d > 0) pots.note("1", date(2026, 7, 5) - days(caught_ago_d), "saw", "moth");
                }, .weather = from_on(date(2026, 6, 20), steady(20))};
        for (int i = 0; i < 21; ++i, s.today -= days(1))
            if (const auto job = told(s, "moth")) return job->because.front().text;
        return std::string("no job");
    };
    CHECK(moth(0).ends_with("since full bloom, as no moth is noted since"));
    CHECK(moth(int((date(2026, 7, 5) - bloom_26).count()) - 10).find("since the moth noted on " + day_text(bloom_26 + days(10))) != std::string::npos);
    const auto thinned = [&](int ago_d) {
        const LocalDay on = bloom_26 + days(45);
        const auto all = jobs({.today = on, .tree = apple(), .notes = [=](Pots& pots) { pots.note("1", on - days(ago_d), "thinned"); }});
        return std::ranges::any_of(all, [](const Job& job) { return job.rule == "thin" && job.state == JobState::done; });
    };
    CHECK(thinned(10));
    CHECK_FALSE(thinned(18));
}
