// Members lived through weather, pours and what was seen: what they must always do.
#include "catch.h"
#include "trial_days.hpp"

#include <cmath>
#include <rapidcheck.h>

using namespace tubgrove;
using namespace trial;
using std::chrono::hours;

namespace {

constexpr int june = 158, starts = 154;   // four dry days leave nobody at the end of the water

std::vector<DayRecord> dry_days(int count = 185) { return days(count, [](int) { return Sky{}; }); }

PotLife life(const std::string& id = "7") { return PotLife(apple(id), dry_days(), starts); }

bool same(const Ensemble& a, const Ensemble& b) { return to_bytes(a) == to_bytes(b); }

}  // namespace

TEST_CASE("run twice, the same bytes; and the bytes are the whole value") {
    PotLife pot = life();
    pot.happened(pot.midnight(155) + hours(7), Listed{"a", 3, 2, Until::run_through, {}, 0.8, {}});
    pot.happened(pot.midnight(156) + hours(7), Felt{Moisture::moist});
    const Ensemble e = pot.at(pot.midnight(june));
    CHECK(same(e, pot.at(pot.midnight(june))));
    const auto back = ensemble_from_bytes(to_bytes(e));
    REQUIRE(back);
    CHECK(same(*back, e));
    CHECK(back->settled.size() == e.settled.size());
}

TEST_CASE("bytes that are no such value are refused") {
    const std::string good = to_bytes(life().at(life().midnight(156)));
    CHECK_FALSE(ensemble_from_bytes(""));
    CHECK_FALSE(ensemble_from_bytes(good.substr(0, good.size() - 1)));
    CHECK_FALSE(ensemble_from_bytes(good + "x"));
    std::string other = good;
    other[0] = char(other[0] ^ 1);
    CHECK_FALSE(ensemble_from_bytes(other));
    std::string cut = good.substr(0, good.size() / 2);
    CHECK_FALSE(ensemble_from_bytes(cut));
}

TEST_CASE("a run continued from any midnight ends in the same digits") {
    PotLife pot = life();
    for (int d = 155; d < 170; d += 3) pot.happened(pot.midnight(d) + hours(7) + std::chrono::minutes(20), Poured{2.0, 1, 0.15, true});
    pot.happened(pot.midnight(166) + hours(12), Weighed{20.0});
    pot.happened(pot.midnight(169) + hours(12), Weighed{19.0});
    const Ensemble whole = pot.at(pot.midnight(172));
    for (int stop : {155, 161, 167}) {
        Ensemble e = *ensemble_from_bytes(to_bytes(pot.at(pot.midnight(stop))));
        advance(e, pot.run(), pot.midnight(172));
        CHECK(same(e, whole));
    }
}

TEST_CASE("a pot's members do not depend on what other pots there are") {
    PotLife a = life("a"), b = life("b");
    const Ensemble first = a.at(a.midnight(june));
    b.at(b.midnight(june));
    CHECK(same(first, a.at(a.midnight(june))));
    CHECK_FALSE(same(first, b.at(b.midnight(june))));
}

TEST_CASE("silence is neither done nor undone: the range widens, and a hand in the pot settles it") {
    PotLife quiet = life(), told = life();
    const Instant walk = quiet.midnight(157) + hours(7);
    // Two weights have told what this tree uses. (Of a tree whose use is unknown an answered pour that ran through nowhere tells
    // much, and moves the range as far as silence does.)
    for (PotLife* pot : {&quiet, &told}) {
        pot->happened(pot->midnight(155) + hours(1), Weighed{24.6, true});
        const Instant weighed = pot->midnight(156) + hours(1);
        pot->happened(weighed, Weighed{24.6 - median_missing_l(pot->at(weighed))});
    }
    quiet.happened(walk, Listed{"r", 2, 1, Until::amount, {}, 0.8, {}});
    told.happened(walk, Listed{"r", 2, 1, Until::amount, 1.0, 0.8, {}});
    const Instant later = walk + hours(5);
    const Ensemble unsure = quiet.at(later), sure = told.at(later);
    CHECK(spread_l(unsure) > spread_l(sure) + 0.3);
    CHECK(unsure.open.size() == 1);
    CHECK(unsure.settled.empty());
    CHECK(sure.open.empty());

    quiet.happened(later, Felt{Moisture::dry, true});
    const Ensemble felt = quiet.at(later + hours(1));
    REQUIRE(felt.settled.size() == 1);
    CHECK(felt.settled[0].round == "r");
    CHECK(felt.settled[0].share < 0.8);
    CHECK(felt.open.empty());
    CHECK(median_missing_l(felt) > median_missing_l(unsure));
}

TEST_CASE("a round answered with none leaves the pot as it was, all of it wets it") {
    PotLife none = life(), all = life(), without = life();
    const Instant walk = none.midnight(157) + hours(7);
    none.happened(walk, Listed{"r", 4, 1, Until::amount, 0.0, 0.8, {}});
    all.happened(walk, Listed{"r", 4, 1, Until::amount, 1.0, 0.8, {}});
    CHECK(median_missing_l(none.at(walk + hours(2))) == Approx(median_missing_l(without.at(walk + hours(2)))).epsilon(1e-6));
    CHECK(median_missing_l(all.at(walk + hours(2))) < median_missing_l(none.at(walk + hours(2))) - 1);
}

TEST_CASE("all as listed, day after day, teaches nothing of a pot whose gardener never tells what ran through") {
    PotLife mute = life(), telling = life();
    for (int day = 150; day < 157; ++day) {
        Listed line{"r" + std::to_string(day), 6, 2, Until::run_through, 1.0, 0.8, {}};
        telling.happened(telling.midnight(day) + hours(7), line);
        line.tells = false;
        mute.happened(mute.midnight(day) + hours(7), line);
    }
    const Ensemble kept = mute.at(mute.midnight(157)), moved = telling.at(telling.midnight(157));
    CHECK(effective_size(kept.weights) == Approx(double(kept.size())));
    CHECK(median_missing_l(moved) > median_missing_l(kept) + 0.2);
}

TEST_CASE("litres alone teach what was given, and of what showed below nothing but from who tells of it") {
    PotLife mute = life(), telling = life(), untouched = life();
    for (int day = 150; day < 157; ++day) {
        Poured said{.pour_l = 6, .passes = 2, .sd_share = 0.15, .ran_through = {}};
        telling.happened(telling.midnight(day) + hours(7), said);
        said.tells = false;
        mute.happened(mute.midnight(day) + hours(7), said);
    }
    const auto size = [](const PotLife& pot) {
        const Ensemble e = pot.at(pot.midnight(157));
        return quantile(values_of(e, pot.beliefs[0], Dim::capacity), e.weights, 0.5);
    };
    CHECK(size(mute) == size(untouched));
    CHECK(size(telling) != size(untouched));
}

TEST_CASE("a stop after a silent walk says whether that walk was done, and does not choose among pots by their size") {
    PotLife pot = life();
    pot.happened(pot.midnight(156) + hours(7), Listed{"r", 4, 2, Until::run_through, {}, 0.5, {}});
    const Instant seen = pot.midnight(157) + hours(7);
    const Ensemble before = pot.at(seen);
    pot.happened(seen, Poured{0.4, 1, 0.08, true});
    const Ensemble after = pot.at(seen + hours(1));
    REQUIRE(after.settled.size() == 1);
    CHECK(after.settled[0].share > 0.5);      // so little until it showed: rather poured than not
    const auto size = [&](const Ensemble& e) { return quantile(values_of(e, pot.beliefs[0], Dim::capacity), e.weights, 0.5); };
    CHECK(size(after) == Approx(size(before)).epsilon(0.05));
}

TEST_CASE("water that ran through early says that little was missing") {
    PotLife early = life(), late = life();
    const Instant walk = early.midnight(157) + hours(7);
    early.happened(walk, Poured{0.5, 1, 0.1, true});
    late.happened(walk, Poured{0.5, 1, 0.1, false});
    CHECK(median_missing_l(early.at(walk + hours(1))) < median_missing_l(late.at(walk + hours(1))));
}

TEST_CASE("weighing a drained pot empties the doubt; later weights learn what the tree uses") {
    PotLife pot = life();
    const Instant full = pot.midnight(155) + hours(8);
    pot.happened(full, Weighed{24.6, true});
    CHECK(median_missing_l(pot.at(full + hours(1))) < 0.4);
    // A day and a half later more is missing than the median member thought.
    const Instant seen = full + hours(36);
    const double thought = median_missing_l(pot.at(seen));
    const double before = spread_l(pot.at(seen));
    pot.happened(seen, Weighed{24.6 - 1.3 * thought});
    const Ensemble after = pot.at(seen + hours(1));
    CHECK(median_missing_l(after) == Approx(1.3 * thought).margin(0.35));
    CHECK(spread_l(after) < before);
}

TEST_CASE("a weight that nobody can explain is kept and asked about, not used") {
    PotLife pot = life();
    const Instant full = pot.midnight(155) + hours(8);
    pot.happened(full, Weighed{24.6, true});
    pot.happened(full + hours(24), Weighed{2.4});   // a slipped digit
    const Ensemble e = pot.at(full + hours(25));
    REQUIRE(e.doubts.size() == 1);
    CHECK(e.doubts[0].entry == 2);
    CHECK(e.doubts[0].observed == 2.4);
    PotLife without = life();
    without.happened(full, Weighed{24.6, true});
    CHECK(median_missing_l(e) == Approx(median_missing_l(without.at(full + hours(25)))).epsilon(0.02));
}

TEST_CASE("without leaves and without a surface that dries, nothing goes missing") {
    PotSetup setup = apple("bare");
    PotLife pot(setup, days(40, [](int) { return Sky{2, -3, 0}; }), 10);   // January: no leaves
    const Ensemble start = pot.at(pot.midnight(11)), later = pot.at(pot.midnight(35));
    CHECK(median_missing_l(later) - median_missing_l(start) < 1.0);        // the surface alone
    for (double d : start.state.demand_l_mm) CHECK(d == 0);
}

TEST_CASE("a repotted pot starts anew, a moved one does not") {
    PotLife pot = life();
    const Instant day = pot.midnight(157) + hours(10);
    PotSetup bigger = apple("7", 50);
    bigger.in_this_pot_since = pot.days[157].day;
    pot.beliefs.push_back(std::get<Belief>(belief_of(bigger, *pot.tables, pot.days[157].day)));
    pot.history.setups.push_back({day, bigger});
    pot.course = course_of(pot.history, *pot.tables, {47, 200}, pot.zone, pot.days);
    const Ensemble before = pot.at(day - hours(1)), after = pot.at(day + hours(2));
    CHECK(after.setup == 1);
    CHECK(median_missing_l(after) < median_missing_l(before));
    CHECK(quantile(available_l(after.state), after.weights, 0.5) > quantile(available_l(before.state), before.weights, 0.5));

    PotLife moved = life();
    PotSetup shade = apple("7");
    shade.exposure = {"north", "shade", "sheltered", "open", "ground", "paving"};
    moved.beliefs.push_back(std::get<Belief>(belief_of(shade, *moved.tables, moved.days[157].day)));
    moved.history.setups.push_back({day, shade});
    moved.course = course_of(moved.history, *moved.tables, {47, 200}, moved.zone, moved.days);
    PotLife stayed = life();
    CHECK(median_missing_l(moved.at(day + hours(1))) == Approx(median_missing_l(stayed.at(day + hours(1)))).margin(0.1));
    CHECK(median_missing_l(moved.at(moved.midnight(159))) < median_missing_l(stayed.at(stayed.midnight(159))));
}

TEST_CASE("litres and medium told better are no new filling: roots stay where they are, and the pot as moist as it was") {
    PotSetup young = apple("7", 45);
    young.trees[0].planted = young.in_this_pot_since = *parse_day("2025-11-15");
    young.trees[0].planting = Planting::bare_root;
    PotSetup larger = young, other = young;
    larger.container.size = Litres(47);
    other.medium = "bark_peat_sand";
    for (const PotSetup& told : {larger, other}) {
        PotLife pot(young, dry_days(), starts);
        const Instant at = pot.midnight(157) + hours(10);
        const Ensemble before = pot.at(at);
        pot.beliefs.push_back(std::get<Belief>(belief_of(told, *pot.tables, pot.days[157].day)));
        pot.history.setups.push_back({at, told});
        pot.course = course_of(pot.history, *pot.tables, {47, 200}, pot.zone, pot.days);
        const Ensemble after = pot.at(at);   // at that moment already, not when the next hour begins
        REQUIRE(after.setup == 1);
        const auto share = [](const Ensemble& e, std::size_t i) { return e.state.depletion_rooted_l[i] / e.state.available_rooted_l[i]; };
        int rooted = 0;
        for (std::size_t i = 0; i < before.size(); ++i) {
            CHECK(after.state.warm_days[i] == before.state.warm_days[i]);
            CHECK(after.state.rooted_share[i] == Approx(before.state.rooted_share[i]).epsilon(0.06));   // the same reach in 47 L instead of 45
            CHECK(share(after, i) == Approx(share(before, i)).margin(1e-9));
            rooted += before.state.rooted_share[i] > 0.3;
        }
        CHECK(rooted > 20);   // so that there is something to lose
        CHECK(available_l(after.state) != available_l(before.state));
    }
}

TEST_CASE("a drip line runs by itself") {
    PotSetup setup = apple("drip");
    setup.drip = Drip{Litres(1), {std::chrono::minutes(6 * 60), std::chrono::minutes(20 * 60)}, 1, *parse_day("2026-01-01")};
    PotLife with(setup, dry_days(), starts), without = life("drip");
    CHECK(median_missing_l(with.at(with.midnight(june))) < median_missing_l(without.at(without.midnight(june))) - 1);
}

TEST_CASE("properties: rain never raises what is missing, heat never lowers it") {
    // The daily drift of the spread is left out: where it pushes members against empty or full, it moves their mean.
    static Tables still = shipped();
    still.priors[PriorKey::drift_depletion_day_l].median = 0;
    const auto missing = [](PotLife& pot, int day) {
        pot.tables = &still;
        const Ensemble e = pot.at(pot.midnight(day));
        return mean(depletion_l(e.state), e.weights);
    };
    // Of rain it is the water held that cannot fall: medium that dried out has lost capacity, so a pot that stayed moist can
    // miss more to its larger one.
    const auto held = [](PotLife& pot, int day) {
        pot.tables = &still;
        const Ensemble e = pot.at(pot.midnight(day));
        return mean(available_l(e.state), e.weights) - mean(depletion_l(e.state), e.weights);
    };
    CHECK(rc::check("more rain", [&] {
        const double mm = *rc::gen::inRange(1, 20);
        const int wet = *rc::gen::inRange(int(starts), 157);
        PotLife dry(apple("p"), days(160, [](int) { return Sky{}; }), starts);
        PotLife rainy(apple("p"), days(160, [&](int d) { return Sky{25, 13, d == wet ? mm : 0}; }), starts);
        RC_ASSERT(held(rainy, 158) >= held(dry, 158) - 0.002);
    }));
    CHECK(rc::check("more heat", [&] {
        const double kelvins = *rc::gen::inRange(1, 12);
        PotLife mild(apple("p"), days(160, [](int) { return Sky{}; }), starts);
        PotLife hot(apple("p"), days(160, [&](int d) { return d < starts ? Sky{} : Sky{25 + kelvins, 13 + kelvins, 0}; }), starts);
        RC_ASSERT(missing(hot, 156) >= missing(mild, 156) - 1e-9);
    }));
}

TEST_CASE("rain of a gauge beside the pots leaves less open than rain told from afar, whoever told the temperature") {
    const auto after_rain = [](Rung rain, Rung air) {
        auto weather = days(160, [](int d) { return Sky{25, 13, d == 156 ? 12.0 : 0.0}; });
        for (DayRecord& day : weather) day.rain_rung = rain, day.rung = air;
        const PotLife pot(apple("p"), std::move(weather), starts);
        return spread_l(pot.at(pot.midnight(157)));
    };
    CHECK(after_rain(Rung::own_readings, Rung::published) < after_rain(Rung::by_hand, Rung::published));
    CHECK(after_rain(Rung::by_hand, Rung::published) < after_rain(Rung::published, Rung::published));
}

TEST_CASE("what was stated wrongly is refused in words") {
    PotSetup flat = apple("flat");
    flat.container.top = Centimetres(30);
    flat.container.base = Centimetres(28);
    flat.container.height = Centimetres(2);
    const auto found = belief_of(flat, shipped(), *parse_day("2026-06-01"));
    REQUIRE(std::holds_alternative<ImpossibleContainer>(found));
    CHECK_FALSE(std::get<ImpossibleContainer>(found).what.empty());
    CHECK(stated_share("60 %") == 0.6);
    CHECK(stated_share("0.25") == 0.25);
    CHECK_FALSE(stated_share("full"));
    CHECK_FALSE(stated_share("60 x"));
    CHECK_FALSE(stated_share("900 %"));
    CHECK_FALSE(prior_key("leaf_area_sdd"));
    CHECK_FALSE(price_key(""));
    CHECK_FALSE(missing(shipped().priors));
    CHECK_FALSE(missing(shipped().prices));
    CHECK_FALSE(complaint(PriorKey::capacity, PriorRow{.spread = Spread::lognormal, .median = -1, .sd_ln = 0.1, .unit = "1", .source = "x"}).empty());
    CHECK_FALSE(complaint(PriorKey::capacity, PriorRow{.spread = Spread::triangular, .low = 2, .mode = 1, .high = 3, .unit = "1", .source = "x"}).empty());
    CHECK_FALSE(complaint(PriceKey::pour_l, Price{std::nan(""), "L", "x", true}).empty());
    CHECK_FALSE(complaint(PriceKey::pour_l, Price{1, "L", "", true}).empty());
}
