// From the daybook and the issued rounds to a pot's history: what was answered, what met silence, what was struck.
#include "garden/history.hpp"
#include "garden/json_writer.hpp"
#include "garden/past.hpp"

#include "catch.h"

#include <cmath>

using namespace tubgrove;

namespace {

const Zone zone = Zone::find("Europe/Budapest").value();
Instant at(const char* text) { return parse_rfc3339(text).value(); }
LocalDay on(const char* text) { return parse_day(text).value(); }

Configuration garden() {
    Configuration configuration;
    configuration.bays.push_back({.id = "steps"});
    configuration.site.timezone = "Europe/Budapest";
    return configuration;
}

Entry entry(std::int64_t id, const char* pot, const char* action, const char* when, std::map<std::string, std::string> values = {}) {
    Entry entry;
    entry.id = id;
    entry.pot = pot;
    entry.action = action;
    entry.when = entry.learned = at(when);
    entry.values = std::move(values);
    return entry;
}

Entry added() {
    return entry(1, "7", "added", "2026-05-01T00:00:00+02:00",
                 {{"bay", "steps"}, {"container.size", "40 L"}, {"tree.a.species", "apple"}});
}

IssuedWalk issued(const char* day, double pour_l) {
    auto walk = morning_walk(Walks{}, zone, on(day));
    Round round;
    round.id = format_round_name({.day = on(day), .walk = "morning"});
    round.day = on(day);
    round.walk = "morning";
    round.issued = walk.issues;
    if (pour_l > 0) {
        PourLine line;
        line.pot = "7";
        line.pour_l = pour_l;
        round.pours.push_back(line);
    }
    return {.walk = walk, .round = round, .answered = {}};
}

GardenPast past_of(std::vector<Entry> entries, std::vector<IssuedWalk> walks) {
    return {.lives = pot_lives(entries, zone), .issued = std::move(walks), .answers = {},
            .bays = {{Instant::min(), garden().bays}}};
}

PotHistory history(const GardenPast& past, const char* until) {
    return history_of(past.lives.front(), past, garden(), zone,
                      {.starts = at("2026-05-10T00:00:00+02:00"), .until = at(until)});
}

template <class What>
std::vector<What> only(const PotHistory& history) {
    std::vector<What> found;
    for (const auto& event : history.events)
        if (const auto* what = std::get_if<What>(&event.what)) found.push_back(*what);
    return found;
}

}  // namespace

TEST_CASE("a repotted tree brings what it stood in along as its root ball") {
    const auto fact = [](std::vector<Entry> entries, const char* key) {
        const auto lives = pot_lives(entries, zone);
        const auto& facts = lives.front().facts.back().facts;
        const auto found = facts.find(key);
        return found == facts.end() ? std::string("none") : found->second;
    };
    const auto repotted = [](std::map<std::string, std::string> values) {
        return entry(2, "7", "repotted", "2026-06-01T10:00:00+02:00", std::move(values));
    };
    CHECK(fact({added()}, "tree.a.ball") == "none");
    CHECK(fact({added(), repotted({{"container.size", "60 L"}})}, "tree.a.ball") == "36 L");   // nine tenths of 40 L
    CHECK(fact({added(), repotted({{"container.size", "60 L"}})}, "tree.a.planting") == "ball");
    CHECK(fact({added(), repotted({{"container.size", "60 L"}, {"tree.a.ball", "20 L"}})}, "tree.a.ball") == "20 L");
    CHECK(fact({added(), repotted({{"container.size", "20 L"}})}, "tree.a.ball") == "18 L");   // no more than there is room for
    auto two = added();
    two.values["tree.b.species"] = "pear";
    CHECK(fact({two, repotted({{"container.size", "60 L"}})}, "tree.b.ball") == "18 L");
    CHECK(fact({two, repotted({{"container.size", "60 L"}, {"tree.b", "gone"}})}, "tree.b.ball") == "none");
}

TEST_CASE("a planting told later or corrected tells since when roots have grown in the pot, where nothing else did") {
    const auto since = [](std::vector<Entry> entries) { return format_day(pot_lives(entries, zone).front().facts.back().in_this_pot_since); };
    const auto changed = [](const char* key, const char* value) { return entry(2, "7", "changed", "2026-06-01T10:00:00+02:00", {{key, value}}); };
    CHECK(since({added()}) == "2026-05-01");
    CHECK(since({added(), changed("tree.a.planted", "2023-11-12")}) == "2023-11-12");
    CHECK(since({added(), changed("tree.a.leaves", "dense")}) == "2026-05-01");
    auto told = added();
    told.values["tree.a.planted"] = "2026-05-01";
    CHECK(since({told, changed("tree.a.planted", "2025-05-01")}) == "2025-05-01");
    CHECK(since({told, changed("tree.b.planted", "2026-05-30")}) == "2026-05-01");   // a second tree beside a rooted one
    told.values["tree.a.planted"] = "2020-03-01";                                    // an older tree, potted this May
    CHECK(since({told, changed("tree.a.planted", "2019-03-01")}) == "2026-05-01");
    auto earlier = added();
    earlier.learned = at("2026-05-20T08:00:00+02:00");                               // the day was stated
    CHECK(since({earlier, changed("tree.a.planted", "2019-03-01")}) == "2026-05-01");
}

TEST_CASE("a listed pot without a word is a silent line once its walk is over, and nothing before") {
    auto past = past_of({added()}, {issued("2026-05-10", 2)});
    CHECK(only<Listed>(history(past, "2026-05-10T12:00:00+02:00")).empty());
    auto lines = only<Listed>(history(past, "2026-05-11T06:00:00+02:00"));
    REQUIRE(lines.size() == 1);
    CHECK_FALSE(lines[0].share.has_value());
    CHECK(lines[0].pour_l == 2);
}

TEST_CASE("a watering between a walk and the next answers that pot's line") {
    auto past = past_of({added(), entry(2, "7", "watered", "2026-05-10T20:00:00+02:00", {{"amount_l", "1.5"}})},
                        {issued("2026-05-10", 2)});
    auto whole = history(past, "2026-05-11T12:00:00+02:00");
    CHECK(only<Listed>(whole).empty());
    REQUIRE(only<Poured>(whole).size() == 1);
    CHECK(only<Poured>(whole)[0].pour_l == 1.5);
}

TEST_CASE("an entry that names a round answers that one, whenever it was written") {
    auto late = entry(2, "7", "skipped", "2026-05-12T09:00:00+02:00");
    late.round = "2026-05-10-morning";
    auto past = past_of({added(), late}, {issued("2026-05-10", 2), issued("2026-05-11", 2)});
    auto lines = only<Listed>(history(past, "2026-05-12T06:00:00+02:00"));
    REQUIRE(lines.size() == 2);
    CHECK(lines[0].share == 0.0);
    CHECK_FALSE(lines[1].share.has_value());
}

TEST_CASE("a walk that nobody issued is an unlisted pour, unless the pot has an entry of its own") {
    auto past = past_of({added(), entry(2, "7", "watered", "2026-05-11T08:00:00+02:00", {{"amount_l", "1"}})}, {});
    auto whole = history(past, "2026-05-13T06:00:00+02:00");
    CHECK(only<Unlisted>(whole).size() == 2);   // the tenth and the twelfth
    CHECK(only<Poured>(whole).size() == 1);
}

TEST_CASE("a pot that an issued list lets rest gets no pour") {
    auto past = past_of({added()}, {issued("2026-05-10", 0)});
    CHECK(history(past, "2026-05-11T06:00:00+02:00").events.empty());
}

TEST_CASE("ran-through without litres is the listed pour, told to have run through") {
    auto past = past_of({added(), entry(2, "7", "ran-through", "2026-05-10T07:30:00+02:00")}, {issued("2026-05-10", 2)});
    auto lines = only<Listed>(history(past, "2026-05-10T09:00:00+02:00"));
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].share == 1.0);
    CHECK(lines[0].ran_through == true);
}

TEST_CASE("an answer speaks of the revision that was read, not of a later one that lets the pot rest") {
    auto walk = issued("2026-05-10", 0);
    walk.round.issued = at("2026-05-10T09:00:00+02:00");
    walk.earlier.push_back(issued("2026-05-10", 2).round);
    walk.answered = 1.0;
    walk.answered_at = at("2026-05-10T08:00:00+02:00");
    auto whole = history(past_of({added()}, {walk}), "2026-05-10T10:00:00+02:00");
    auto lines = only<Listed>(whole);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].pour_l == 2);
    CHECK(lines[0].share == 1.0);
    CHECK(whole.events[0].at == at("2026-05-10T07:00:00+02:00"));   // at the walk, not at the later revision
}

TEST_CASE("a pot of a list answered with all rests on the same walk, and is decided anew hours later or once it is felt dry") {
    const auto had = [](std::vector<Entry> more, const IssuedWalk& walk, const char* now) {
        std::vector<Entry> entries{added()};
        for (auto& e : more) entries.push_back(std::move(e));
        return had_its_pour(pot_lives(entries, zone).front(), walk, morning_walk(Walks{}, zone, on("2026-05-11")), at(now));
    };
    const auto felt = [](const char* what) { return entry(3, "7", "felt", "2026-05-10T07:25:00+02:00", {{"class", what}}); };
    const auto watered = entry(2, "7", "watered", "2026-05-10T07:22:00+02:00", {{"amount_l", "1"}});
    const char* soon = "2026-05-10T07:30:00+02:00";
    auto walk = issued("2026-05-10", 4);
    CHECK_FALSE(had({}, walk, soon));
    CHECK_FALSE(had({watered}, walk, soon));                     // pot by pot, the rest of it may still be wanted
    walk.tell({.share = 1.0, .by = 4, .at = at("2026-05-10T07:20:00+02:00")});
    CHECK(had({}, walk, soon));
    CHECK(had({watered}, walk, soon));                           // all, and this one got something else
    CHECK_FALSE(had({felt("dry")}, walk, soon));
    CHECK(had({felt("wet")}, walk, soon));
    CHECK_FALSE(had({}, walk, "2026-05-10T11:00:00+02:00"));     // who asks at eleven sets out anew
    walk.tell({.share = 0.5, .by = 5, .at = at("2026-05-10T07:21:00+02:00")});
    CHECK_FALSE(had({}, walk, soon));
    auto not_on_it = issued("2026-05-10", 0);
    not_on_it.tell({.share = 1.0, .by = 4, .at = at("2026-05-10T07:20:00+02:00")});
    CHECK_FALSE(had({}, not_on_it, soon));
}

TEST_CASE("a list answered with all tells of what ran through only where some pot's entry on that walk does") {
    auto walk = issued("2026-05-10", 4);
    walk.tell({.share = 1.0, .by = 2, .at = at("2026-05-10T07:20:00+02:00")});
    CHECK_FALSE(only<Listed>(history(past_of({added()}, {walk}), "2026-05-11T06:00:00+02:00"))[0].tells);
    walk.tells = true;
    CHECK(only<Listed>(history(past_of({added()}, {walk}), "2026-05-11T06:00:00+02:00"))[0].tells);
}

TEST_CASE("litres alone tell of what ran through only on a walk of which some pot's entry does") {
    const auto watered = [](std::int64_t id, const char* when) { return entry(id, "7", "watered", when, {{"amount_l", "1"}}); };
    const std::vector<Entry> entries{added(), watered(2, "2026-05-10T07:22:00+02:00"), watered(3, "2026-05-11T07:22:00+02:00")};
    auto first = issued("2026-05-10", 4), second = issued("2026-05-11", 4);
    const auto told = [&] {
        std::vector<bool> all;
        for (const auto& poured : only<Poured>(history(past_of(entries, {first, second}), "2026-05-12T06:00:00+02:00"))) all.push_back(poured.tells);
        return all;
    };
    CHECK(told() == std::vector<bool>{false, false});
    first.tells = true;
    CHECK(told() == std::vector<bool>{true, false});
}

TEST_CASE("each revision that was answered counts, and an answer to the same one takes the earlier answer's place") {
    auto walk = issued("2026-05-10", 4);
    walk.earlier.push_back(walk.round);
    walk.round.id = "2026-05-10-morning.2";
    walk.round.issued = at("2026-05-10T11:00:00+02:00");
    walk.round.pours.front().pour_l = 2;
    walk.tell({.share = 0.5, .by = 2, .at = at("2026-05-10T07:20:00+02:00")});
    walk.tell({.share = 1.0, .by = 3, .at = at("2026-05-10T07:30:00+02:00")});
    auto lines = only<Listed>(history(past_of({added()}, {walk}), "2026-05-11T06:00:00+02:00"));
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].share == 1.0);
    CHECK(lines[0].pour_l == 4);
    walk.tell({.share = 1.0, .by = 4, .at = at("2026-05-10T11:20:00+02:00")});
    lines = only<Listed>(history(past_of({added()}, {walk}), "2026-05-11T06:00:00+02:00"));
    REQUIRE(lines.size() == 2);
    CHECK(lines[0].pour_l + lines[1].pour_l == 6);

    walk.round.pours.clear();                          // it had its pour: the second list lets it rest, and is answered with all
    lines = only<Listed>(history(past_of({added()}, {walk}), "2026-05-11T06:00:00+02:00"));
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].pour_l == 4);
    const auto instead = entry(5, "7", "watered", "2026-05-10T11:30:00+02:00", {{"amount_l", "1"}});
    const auto own_word = history(past_of({added(), instead}, {walk}), "2026-05-11T06:00:00+02:00");
    CHECK(only<Listed>(own_word).empty());
    CHECK(only<Poured>(own_word).size() == 1);
}

TEST_CASE("a walk whose pots all had their pour is answered, although its last revision lists none") {
    auto walk = issued("2026-05-10", 2);
    walk.earlier.push_back(walk.round);
    walk.round.pours.clear();
    walk.round.issued = at("2026-05-10T07:30:00+02:00");
    const auto next = morning_walk(Walks{}, zone, on("2026-05-11"));
    const std::vector told{added(), entry(2, "7", "watered", "2026-05-10T07:20:00+02:00", {{"amount_l", "2"}})};
    CHECK(poured_share(walk, next, pot_lives(told, zone)) == 1.0);
    CHECK_FALSE(poured_share(walk, next, pot_lives(std::vector{added()}, zone)).has_value());
}

TEST_CASE("facts hold from their day, the latest that is not struck wins") {
    std::vector<Entry> entries{added(), entry(2, "7", "changed", "2026-06-01T00:00:00+02:00", {{"medium", "loam"}}),
                               entry(3, "7", "changed", "2026-05-20T00:00:00+02:00", {{"medium", "bark"}})};
    auto lives = pot_lives(entries, zone);
    CHECK(lives[0].facts_at(at("2026-05-10T00:00:00Z")).facts.count("medium") == 0);
    CHECK(lives[0].facts_at(at("2026-05-25T00:00:00Z")).facts.at("medium") == "bark");
    CHECK(lives[0].facts_at(at("2026-07-01T00:00:00Z")).facts.at("medium") == "loam");
    auto strike = entry(4, "7", "struck", "2026-06-02T00:00:00+02:00");
    strike.strikes = 2;
    entries.push_back(strike);
    CHECK(pot_lives(entries, zone)[0].facts_at(at("2026-07-01T00:00:00Z")).facts.at("medium") == "bark");
    auto undo = entry(5, "7", "struck", "2026-06-03T00:00:00+02:00");
    undo.strikes = 4;
    entries.push_back(undo);
    CHECK(pot_lives(entries, zone)[0].facts_at(at("2026-07-01T00:00:00Z")).facts.at("medium") == "loam");
}

TEST_CASE("care that changes the water model is a fact from its hour on") {
    std::vector<Entry> entries{added(), entry(2, "7", "mulched", "2026-05-20T10:00:00+02:00", {{"depth_cm", "5"}}),
                               entry(3, "7", "crown", "2026-05-21T10:00:00+02:00", {{"across_1_cm", "90"}, {"across_2_cm", "80"}}),
                               entry(4, "7", "pruned", "2026-05-22T10:00:00+02:00", {{"share_pct", "20"}})};
    auto lives = pot_lives(entries, zone);
    auto setup = setup_at(lives[0], lives[0].facts.back());
    REQUIRE(setup.ok());
    REQUIRE(setup.value.mulch.has_value());
    CHECK(cm(setup.value.mulch->depth) == 5);
    REQUIRE(setup.value.trees[0].crown.has_value());
    CHECK(cm(setup.value.trees[0].crown->across_2) == 80);
    CHECK(setup.value.trees[0].leaf_share == 1);
    settle(setup.value, lives[0].facts.back(), {}, on("2026-05-22"));
    CHECK(setup.value.trees[0].leaf_share == Approx(0.8));
}

namespace {

const PotSetup& setup_on(const PotHistory& history, const char* day) {
    const PotSetup* found = nullptr;
    for (const auto& dated : history.setups)
        if (dated.since <= at((std::string(day) + "T12:00:00+02:00").c_str())) found = &dated.setup;
    REQUIRE(found);
    return *found;
}
double mulch_cm(const PotHistory& history, const char* day) { return cm(setup_on(history, day).mulch.value().depth); }
double leaves(const PotHistory& history, const char* day) { return setup_on(history, day).trees.at(0).leaf_share; }

}  // namespace

TEST_CASE("mulch wears in steps of thirty days, 4 cm to 3 cm in 120, and is laid anew by an entry") {
    std::vector<Entry> entries{added(), entry(2, "7", "mulched", "2026-05-20T10:00:00+02:00", {{"depth_cm", "4"}}),
                               entry(3, "7", "mulched", "2027-05-20T10:00:00+02:00", {{"depth_cm", "6"}})};
    const auto worn = history(past_of(entries, {}), "2027-08-01T00:00:00+02:00");
    CHECK_FALSE(setup_on(worn, "2026-05-19").mulch.has_value());
    CHECK(mulch_cm(worn, "2026-05-20") == 4);
    CHECK(mulch_cm(worn, "2026-06-18") == 4);
    CHECK(mulch_cm(worn, "2026-06-19") == Approx(4 * std::pow(0.75, 0.25)));
    CHECK(mulch_cm(worn, "2026-09-17") == Approx(3));
    CHECK(mulch_cm(worn, "2027-05-19") == Approx(4 * std::pow(0.75, 3)));
    CHECK(mulch_cm(worn, "2027-05-20") == 6);
    auto strike = entry(4, "7", "struck", "2027-05-21T00:00:00+02:00");
    strike.strikes = 3;
    entries.push_back(strike);
    CHECK(mulch_cm(history(past_of(entries, {}), "2027-08-01T00:00:00+02:00"), "2027-05-20") == Approx(4 * std::pow(0.75, 3)));
    // A step that falls behind the next change belongs to a mulch that is gone.
    for (std::size_t i = 1; i < worn.setups.size(); ++i) CHECK(worn.setups[i - 1].since < worn.setups[i].since);
    // No steps for ever: once a centimetre is left, nothing changes any more.
    CHECK(settling_days(past_of({entries[0], entries[1]}, {}).lives[0].facts.back(), {}).size() == 19);
}

TEST_CASE("a depth stated with a pot is what lay there when it was written, whenever the pot was filled") {
    auto old = added();
    old.values["mulch.depth"] = "4 cm";
    old.when = at("2023-11-01T00:00:00+01:00");
    old.learned = at("2026-05-20T10:00:00+02:00");
    const auto stated = history(past_of({old}, {}), "2026-08-01T00:00:00+02:00");
    CHECK(mulch_cm(stated, "2026-05-10") == 4);
    CHECK(mulch_cm(stated, "2026-06-18") == 4);
    CHECK(mulch_cm(stated, "2026-06-19") == Approx(4 * std::pow(0.75, 0.25)));
}

TEST_CASE("pruned leaves are back by the turn of the year, a crown measured since then speaks for itself, and cuts add up") {
    CHECK(regrown(on("2026-07-25")) == on("2026-12-21"));   // in leaf
    CHECK(regrown(on("2026-02-10")) == on("2026-06-21"));   // at rest, on either half of the earth
    CHECK(regrown(on("2026-11-20")) == on("2027-06-21"));
    CHECK(regrown(on("2026-03-23")) == on("2026-06-21"));   // ninety days
    CHECK(regrown(on("2026-03-24")) == on("2026-12-21"));
    std::vector<Entry> entries{added(), entry(2, "7", "pruned", "2026-07-25T10:00:00+02:00", {{"share_pct", "20"}}),
                               entry(3, "7", "pruned", "2026-08-10T10:00:00+02:00", {{"share_pct", "10"}})};
    const auto cut = history(past_of(entries, {}), "2027-03-01T00:00:00+02:00");
    CHECK(leaves(cut, "2026-07-24") == 1);
    CHECK(leaves(cut, "2026-07-25") == Approx(0.8));
    CHECK(leaves(cut, "2026-08-10") == Approx(0.72));
    CHECK(leaves(cut, "2026-12-20") == Approx(0.72));
    CHECK(leaves(cut, "2026-12-21") == 1);
    entries.push_back(entry(4, "7", "crown", "2026-09-01T10:00:00+02:00", {{"across_1_cm", "70"}}));
    const auto measured = history(past_of(entries, {}), "2027-03-01T00:00:00+02:00");
    CHECK(leaves(measured, "2026-08-31") == Approx(0.72));
    CHECK(leaves(measured, "2026-09-01") == 1);
}

TEST_CASE("no rain falls under a roof and no water leaves through a wrapped wall, until they are taken off") {
    auto clay = added();
    clay.values["container.wall"] = "clay";
    const auto covered = history(past_of({clay, entry(2, "7", "roofed", "2026-06-01T10:00:00+02:00"), entry(3, "7", "wrapped", "2026-06-02T10:00:00+02:00"),
                                          entry(4, "7", "unroofed", "2026-06-03T10:00:00+02:00"), entry(5, "7", "unwrapped", "2026-06-04T10:00:00+02:00")}, {}),
                                 "2026-07-01T00:00:00+02:00");
    const auto words = [&](const char* day) { return setup_on(covered, day).exposure.rain; };
    const auto wall = [&](const char* day) { return setup_on(covered, day).container.wall; };
    CHECK(words("2026-05-31") != "roof");
    CHECK(words("2026-06-02") == "roof");
    CHECK(words("2026-06-03") == words("2026-05-31"));
    CHECK(wall("2026-06-01") == Wall::clay);
    CHECK(wall("2026-06-03") == Wall::plastic);
    CHECK(wall("2026-06-04") == Wall::clay);
}

TEST_CASE("a flush with its litres is a pour that ran through, and answers the line") {
    const auto flushed = history(past_of({added(), entry(2, "7", "flushed", "2026-05-10T09:00:00+02:00", {{"amount_l", "60"}})}, {issued("2026-05-10", 2)}),
                                 "2026-05-11T00:00:00+02:00");
    CHECK(only<Listed>(flushed).empty());
    REQUIRE(only<Poured>(flushed).size() == 1);
    CHECK(only<Poured>(flushed)[0].pour_l == 60);
    CHECK(only<Poured>(flushed)[0].ran_through == true);
    CHECK_FALSE(only<Poured>(flushed)[0].stopped);
}

TEST_CASE("cut roots are a smaller ball, before or after the new pot") {
    const auto cut = entry(2, "7", "roots-pruned", "2026-06-01T10:00:00+02:00", {{"share_pct", "25"}});
    const auto potted = [](const char* when) { return entry(3, "7", "repotted", when, {{"medium", "loam"}}); };
    const auto ball = [](std::vector<Entry> entries) { return pot_lives(entries, zone)[0].facts.back().facts.at("tree.a.ball"); };
    CHECK(ball({added(), cut}) == "27 L");                  // of nine tenths of 40 L
    CHECK(ball({added(), cut, potted("2026-06-01T11:00:00+02:00")}) == "27 L");
    CHECK(ball({added(), cut, potted("2026-06-01T09:00:00+02:00")}) == "27 L");
    CHECK(ball({added(), cut, potted("2026-06-02T09:00:00+02:00")}) == "36 L");
    CHECK(pot_lives(std::vector{added(), cut}, zone)[0].facts.back().in_this_pot_since == on("2026-06-01"));
}

TEST_CASE("the share of followed rounds comes from answers, never from silence") {
    auto walk = issued("2026-05-10", 2);
    auto next = morning_walk(Walks{}, zone, on("2026-05-11"));
    CHECK_FALSE(poured_share(walk, next, pot_lives(std::vector{added()}, zone)).has_value());
    auto told = pot_lives(std::vector{added(), entry(2, "7", "skipped", "2026-05-10T08:00:00+02:00")}, zone);
    CHECK(poured_share(walk, next, told) == 0.0);
    walk.answered = 0.5;
    CHECK(poured_share(walk, next, told) == 0.5);
}

TEST_CASE("rounds are named by day, walk and revision") {
    CHECK(format_round_name({.day = on("2026-07-14"), .walk = "morning", .revision = 2}) == "2026-07-14-morning.2");
    CHECK(parse_round_name("2026-07-14-evening")->revision == 1);
    for (const char* bad : {"", "2026-07-14", "2026-07-14-noon", "2026-02-30-morning", "2026-07-14-morning.1",
                            "2026-07-14-morning.x", "2026-07-14_morning"})
        CHECK_FALSE(parse_round_name(bad).has_value());
}

TEST_CASE("the current walk is the morning from midnight, and the evening from its hour of issue on a hot day") {
    auto hot = [](LocalDay) { return true; };
    auto cool = [](LocalDay) { return false; };
    CHECK(current_walk(Walks{}, zone, at("2026-07-14T00:30:00+02:00"), hot).name == "morning");
    CHECK(current_walk(Walks{}, zone, at("2026-07-14T18:00:00+02:00"), hot).name == "evening");
    CHECK(current_walk(Walks{}, zone, at("2026-07-14T17:59:59+02:00"), hot).name == "morning");
    CHECK(current_walk(Walks{}, zone, at("2026-07-14T20:00:00+02:00"), cool).name == "morning");
    auto morning = morning_walk(Walks{}, zone, on("2026-07-14"));
    CHECK(walk_after(Walks{}, zone, morning, hot).name == "evening");
    CHECK(walk_after(Walks{}, zone, morning, cool).day == on("2026-07-15"));
}

TEST_CASE("JSON has fixed decimals by the key's unit, escapes, and no numbers that are none") {
    CHECK(json_decimals("pour_l") == 2);
    CHECK(json_decimals("et0_mm") == 1);
    CHECK(json_decimals("wind_m_s") == 1);
    CHECK(json_decimals("radiation_MJ_m2") == 2);
    CHECK(json_decimals("order") == 0);
    CHECK(fixed_decimals(-0.001, 2) == "0.00");
    JsonWriter json;
    json.begin_object();
    json.text("say", "a \"b\"\n\x01");
    json.number("x_l", std::numeric_limits<double>::quiet_NaN());
    json.end_object();
    CHECK(json.take() == "{\n  \"say\": \"a \\\"b\\\"\\n\\u0001\",\n  \"x_l\": null\n}\n");
}
