// The store from its door: what was written is found, as of when it was learned; what must not be written is refused.
#include "store/store.hpp"

#include "catch.h"
#include "store_room.hpp"

#include <algorithm>
#include <limits>

using namespace tubgrove;
using namespace std::chrono;

namespace {

Entry watered(const char* pot, Instant at, const char* amount_l) {
    return {.pot = pot, .action = "watered", .values = {{"amount_l", amount_l}}, .when = at, .learned = at};
}

Observation hour(Instant ends, double degC, double mm) {
    Observation o(ends - hours(1), ends);
    o[Channel::air_temperature_mean] = degC;
    o[Channel::precipitation_amount_sum] = mm;
    return o;
}

Observation warm_hour(Instant ends, double degC) { return hour(ends, degC, std::nan("")); }

const Series own{.source = "roof"};

ReadingsQuery everything(std::optional<Instant> learned_until = {}) {
    return {.from = morning - days(400), .to = morning + days(400), .learned_until = learned_until};
}

double only_degC(const Store& store, std::optional<Instant> learned_until = {}) {
    auto found = store.readings(everything(learned_until));
    REQUIRE(found.size() == 1);
    REQUIRE(found[0].observations.size() == 1);
    return found[0].observations[0][Channel::air_temperature_mean];
}

IssuedRound morning_round(const char* id, Instant issued) {
    return {.id = id,
            .day = parse_day("2026-07-14").value(),
            .walk = "morning",
            .issued = issued,
            .learned = issued,
            .inputs_until = issued - hours(1),
            .model = "1",
            .json = std::string("{\"id\":\"") + id + "\"}"};
}

}  // namespace

TEST_CASE("an entry comes back as it was written") {
    Room room;
    auto store = room.open();
    Entry entry{.pot = "7",
                .action = "watered",
                .values = {{"amount_l", "2.5"}, {"because", "näßer 'Tag'"}},
                .when = morning - hours(2),
                .learned = morning,
                .clock = Clock::phone,
                .by = "Ane",
                .note = "line one\nline two",
                .round = "2026-07-14-morning"};
    auto id = store.append(entry);
    auto found = store.entry(id);
    REQUIRE(found);
    CHECK(found->id == id);
    CHECK(found->pot == entry.pot);
    CHECK(found->action == entry.action);
    CHECK(found->values == entry.values);
    CHECK(found->when == entry.when);
    CHECK(found->learned == entry.learned);
    CHECK(found->clock == Clock::phone);
    CHECK(found->by == entry.by);
    CHECK(found->note == entry.note);
    CHECK(found->round == entry.round);
    CHECK_FALSE(found->strikes);
    CHECK_FALSE(store.entry(id + 1));
}

TEST_CASE("entries are found by pot, by time and by when they were learned, in order of arrival") {
    Room room;
    auto store = room.open();
    auto late = watered("7", morning - days(3), "1");  // told today about three days ago
    late.learned = morning + hours(2);
    std::vector<Entry> told{watered("7", morning, "2"),
                            watered("8", morning + hours(1), "3"),
                            late,
                            {.action = "clock-confirmed", .when = morning + hours(2), .learned = morning + hours(2)}};
    auto ids = store.append_all(told);
    CHECK(std::is_sorted(ids.begin(), ids.end()));
    auto ids_of = [&](const EntryFilter& filter) {
        std::vector<std::int64_t> found;
        for (const auto& entry : store.entries(filter)) found.push_back(entry.id - ids[0]);
        return found;
    };
    using Ids = std::vector<std::int64_t>;
    CHECK(ids_of({}) == Ids{0, 1, 2, 3});
    CHECK(ids_of({.pot = "7"}) == Ids{0, 2});
    CHECK(ids_of({.pot = ""}) == Ids{3});
    CHECK(ids_of({.from = morning, .to = morning + hours(1)}) == Ids{0});
    CHECK(ids_of({.learned_until = morning + hours(1)}) == Ids{0, 1});
    CHECK(ids_of({.pot = "7", .from = morning - days(5), .to = morning}) == Ids{2});
    CHECK(ids_of({.pot = "70"}).empty());
}

TEST_CASE("what would rewrite the past is refused by name, and nothing of the batch is kept") {
    Room room;
    auto store = room.open();
    CHECK_FALSE(store.newest_learned());
    store.append(watered("7", morning, "2"));
    CHECK(store.newest_learned() == morning);
    std::vector<Entry> batch{watered("8", morning + hours(1), "1"), watered("9", morning - seconds(1), "1")};
    try {
        store.append_all(batch);
        FAIL("taken");
    } catch (const LearnedBehind& refusal) {
        CHECK(refusal.newest() == morning + hours(1));
        CHECK(std::string(refusal.what()) ==
              "what is written as of 2026-07-14T04:59:59Z would change the past: the newest row was learned at "
              "2026-07-14T06:00:00Z");
    }
    CHECK(store.entries().size() == 1);
    CHECK_THROWS_AS(store.ingest(own, std::vector{hour(morning, 20, 0)}, morning - hours(1)), LearnedBehind);
    CHECK(store.readings(everything()).empty());
    CHECK_THROWS_AS(store.put_round(morning_round("r", morning - hours(1)), {"c", "t"}), LearnedBehind);
    CHECK(store.append(watered("7", morning, "1")) > 0);  // the same second is not before it
}

TEST_CASE("a clock that lags loses nothing: the row counts as learned with the newest one") {
    Room room;
    auto store = room.open();
    store.append(watered("7", morning, "2"));
    auto id = store.append(watered("8", morning - days(20000), "1"), Behind::lift);
    CHECK(store.entry(id)->learned == morning);
    CHECK(store.entry(id)->when == morning - days(20000));
    store.ingest(own, std::vector{hour(morning, 20, 0)}, morning - days(1), Behind::lift);
    CHECK(store.newest_learned() == morning);
}

TEST_CASE("readings and rounds count for the newest learned, too") {
    Room room;
    auto store = room.open();
    store.ingest(own, std::vector{hour(morning, 20, 0)}, morning);
    CHECK(store.newest_learned() == morning);
    REQUIRE(store.put_round(morning_round("2026-07-14-morning", morning + hours(1)), {"c", "t"}));
    CHECK(store.newest_learned() == morning + hours(1));
}

TEST_CASE("striking needs an entry, and never the one that strikes") {
    Room room;
    auto store = room.open();
    auto id = store.append(watered("7", morning, "2"));
    Entry strike{.action = "struck", .when = morning, .learned = morning, .strikes = id};
    auto striking = store.append(strike);
    CHECK(store.entry(striking)->strikes == id);
    strike.strikes = striking + 1;  // its own id to be
    CHECK_THROWS_AS(store.append(strike), StoreRefusal);
    strike.strikes = 4711;
    CHECK_THROWS_WITH(store.append(strike), "there is no entry 4711 to strike");
    CHECK(store.entries().size() == 2);
}

TEST_CASE("the same batch twice changes nothing and writes nothing") {
    Room room;
    auto store = room.open();
    std::vector batch{hour(morning, 20, 0), hour(morning + hours(1), 21, 0.5)};
    auto first = store.ingest(own, batch, morning);
    CHECK(first.fresh == 2);
    CHECK(first.same + first.changed == 0);
    auto other = room.open();
    auto before = other.data_version();
    auto again = store.ingest(own, batch, morning + days(1));
    CHECK(again.same == 2);
    CHECK(again.fresh + again.changed == 0);
    CHECK(other.data_version() == before);
    CHECK(store.newest_learned() == morning);
}

TEST_CASE("a corrected value is a new version; the old one is found as of then, and by asking for versions") {
    Room room;
    auto store = room.open();
    store.ingest(own, std::vector{warm_hour(morning, 20)}, morning);
    auto counts = store.ingest(own, std::vector{warm_hour(morning, 19.5)}, morning + hours(3));
    CHECK(counts.changed == 1);
    CHECK(only_degC(store) == 19.5);
    CHECK(only_degC(store, morning + hours(3)) == 19.5);
    CHECK(only_degC(store, morning + hours(3) - seconds(1)) == 20);
    CHECK(store.readings(everything(morning - seconds(1))).empty());
    auto versions = store.versions("roof", morning - hours(1), morning);
    REQUIRE(versions.size() == 2);
    CHECK(versions[0].observation[Channel::air_temperature_mean] == 20);
    CHECK(versions[0].learned == morning);
    CHECK(versions[1].learned == morning + hours(3));
    CHECK(store.versions("roof", morning, morning + hours(9)).empty());
    CHECK(store.versions("cellar", morning - hours(1), morning).empty());
}

TEST_CASE("a reading carries who sent it: the same again is no news, a correction has its own name") {
    Room room;
    auto store = room.open();
    const auto names = [&](std::optional<Instant> until = {}) {
        std::vector<std::string> found;
        for (const auto& teller : store.tellers(morning - days(1), morning + days(1), until)) found.push_back(teller.by);
        return found;
    };
    using Names = std::vector<std::string>;
    store.ingest(own, std::vector{warm_hour(morning, 20)}, morning);
    CHECK(names().empty());
    CHECK(store.ingest(own, std::vector{warm_hour(morning, 20)}, morning, Behind::refuse, "Ana").same == 1);
    CHECK(names().empty());
    CHECK(store.ingest(own, std::vector{warm_hour(morning, 21)}, morning + hours(1), Behind::refuse, "Ana").changed == 1);
    CHECK(store.ingest(own, std::vector{warm_hour(morning, 19)}, morning + hours(2), Behind::refuse, "Ben").changed == 1);
    CHECK(names() == Names{"Ana", "Ben"});
    CHECK(names(morning + hours(1)) == Names{"Ana"});   // before the second was learned
    CHECK(store.tellers(morning - days(1), morning + days(1)).front().starts == morning - hours(1));
    CHECK(store.tellers(morning, morning + days(1)).empty());   // what ends there does not lie within
    // A forecast is nobody's observation.
    store.ingest({.source = "met", .rung = Rung::published, .issued = morning}, std::vector{warm_hour(morning + hours(2), 25)}, morning + hours(2), Behind::refuse, "Cem");
    CHECK(names() == Names{"Ana", "Ben"});
}

TEST_CASE("a value that is not reported leaves the earlier one") {
    Room room;
    auto store = room.open();
    store.ingest(own, std::vector{warm_hour(morning, 20)}, morning);
    auto wet = hour(morning, std::nan(""), 3.5);
    CHECK(store.ingest(own, std::vector{wet}, morning + hours(1)).changed == 1);
    CHECK(store.ingest(own, std::vector{wet}, morning + hours(1)).same == 1);
    auto o = store.readings(everything())[0].observations.at(0);
    CHECK(o[Channel::air_temperature_mean] == 20);
    CHECK(o[Channel::precipitation_amount_sum] == 3.5);
    CHECK_FALSE(o.has(Channel::wind_speed_mean));
    CHECK(store.ingest(own, std::vector{hour(morning + hours(1), std::nan(""), std::nan(""))}, morning + hours(1))
              .empty == 1);
    CHECK(store.ingest(own, std::vector{hour(morning, std::nan(""), std::nan(""))}, morning + hours(2)).empty == 1);
}

TEST_CASE("two lines of one batch complete each other; where they contradict, the later wins and both stay") {
    Room room;
    auto store = room.open();
    std::vector complete{warm_hour(morning, 20), hour(morning, std::nan(""), 1)};
    auto counts = store.ingest(own, complete, morning);
    CHECK(counts.fresh == 1);
    CHECK(counts.changed == 1);
    CHECK(store.versions("roof", morning - hours(1), morning).size() == 1);
    store.ingest(own, std::vector{warm_hour(morning + hours(1), 15), warm_hour(morning + hours(1), 16)}, morning);
    auto versions = store.versions("roof", morning, morning + hours(1));
    REQUIRE(versions.size() == 2);
    CHECK(versions[0].observation[Channel::air_temperature_mean] == 15);
    CHECK(store.readings(everything())[0].observations.at(1)[Channel::air_temperature_mean] == 16);
}

TEST_CASE("observations of one source keep the height that they were measured at") {
    Room room;
    auto store = room.open();
    auto windy = hour(morning, 20, 0);
    windy[Channel::wind_speed_mean] = 3;
    store.ingest({.source = "roof", .wind_height_m = 10}, std::vector{windy}, morning);
    auto still = hour(morning + hours(1), 21, 0);
    still[Channel::wind_speed_mean] = 1;
    store.ingest({.source = "roof", .wind_height_m = 2}, std::vector{still}, morning);
    auto found = store.readings(everything());
    REQUIRE(found.size() == 2);
    CHECK(found[0].series.wind_height_m == 10);
    CHECK(found[1].series.wind_height_m == 2);
    CHECK(found[1].observations.at(0).ends == morning + hours(1));
    // Without wind in it, a correction says nothing about the height.
    store.ingest({.source = "roof", .wind_height_m = 2}, std::vector{warm_hour(morning, 18)}, morning);
    CHECK(store.readings(everything())[0].series.wind_height_m == 10);
    // The same wind at another height is a correction.
    CHECK(store.ingest({.source = "roof", .wind_height_m = 2}, std::vector{windy}, morning).changed == 1);
    CHECK(store.readings(everything()).size() == 1);
}

TEST_CASE("a range gives what overlaps it, days and hours alike") {
    Room room;
    auto store = room.open();
    Observation day(morning - hours(5), morning + hours(19));
    day[Channel::air_temperature_max] = 31;
    store.ingest(own, std::vector{hour(morning, 20, 0), hour(morning + hours(1), 21, 0), day}, morning);
    auto count = [&](Instant from, Instant to) {
        std::size_t n = 0;
        for (const auto& part : store.readings({.from = from, .to = to})) n += part.observations.size();
        return n;
    };
    CHECK(count(morning, morning + hours(1)) == 2);  // the second hour and the day
    CHECK(count(morning - minutes(1), morning + minutes(1)) == 3);
    CHECK(count(morning + hours(2), morning + hours(3)) == 1);
    CHECK(count(morning + hours(19), morning + hours(30)) == 0);  // ends are not inside
    CHECK(count(morning - days(9), morning - hours(5)) == 0);
}

TEST_CASE("of forecasts the newest issue that was known then, with every member") {
    Room room;
    auto store = room.open();
    auto add = [&](Instant issued, int member, double degC) {
        store.ingest({.source = "met", .rung = Rung::published, .issued = issued, .member = member},
                     std::vector{hour(morning + hours(30), degC, 0)}, issued + minutes(10));
    };
    add(morning - hours(6), 0, 10);
    add(morning - hours(6), 1, 11);
    add(morning, 0, 12);
    add(morning, 1, 13);
    auto degC_of = [&](ReadingsQuery query) {
        std::vector<double> found;
        for (const auto& part : store.readings(query))
            found.push_back(part.observations.at(0)[Channel::air_temperature_mean]);
        return found;
    };
    auto query = everything();
    CHECK(degC_of(query) == std::vector<double>{12, 13});
    query.learned_until = morning;  // issued by then, but not yet fetched
    CHECK(degC_of(query) == std::vector<double>{10, 11});
    query = everything();
    query.issued_until = morning - hours(1);  // hindsight looks at the issue only
    CHECK(degC_of(query) == std::vector<double>{10, 11});
    query = everything();
    query.forecasts = Forecasts::all;
    CHECK(degC_of(query).size() == 4);
    query.forecasts = Forecasts::none;
    CHECK(degC_of(query).empty());
    CHECK(store.readings(everything())[1].series.rung == Rung::published);
}

TEST_CASE("of forecasts what still stands: each time from the newest issue that speaks of it") {
    Room room;
    auto store = room.open();
    auto add = [&](Instant issued, int member, const std::vector<int>& ahead_h, double degC) {
        std::vector<Observation> rows;
        for (int h : ahead_h) rows.push_back(hour(morning + hours(h), degC, 0));
        store.ingest({.source = "met", .rung = Rung::published, .issued = issued, .member = member}, rows, morning);
    };
    const auto told = [&](const ReadingsQuery& query) {   // hour -> temperature; each hour once a member
        std::map<std::pair<int, int>, double> found;
        for (const auto& part : store.readings(query))
            for (const auto& o : part.observations) {
                const auto at = std::pair(part.series.member, int((o.ends - morning) / hours(1)));
                CHECK(found.emplace(at, o[Channel::air_temperature_mean]).second);
            }
        return found;
    };
    using Told = std::map<std::pair<int, int>, double>;
    auto query = everything();
    query.forecasts = Forecasts::standing;
    query.issued_until = morning;
    query.issued_from = morning - days(5);
    add(morning - days(6), 0, {1, 2, 3, 4, 5, 6, 7}, 16);   // too old to stand in
    CHECK(told(query).size() == 7);                         // but the newest there is
    add(morning - days(2), 0, {-3, 1, 2, 3, 4, 5}, 12);
    add(morning - days(1), 0, {-2, 1, 2, 3, 4}, 11);
    add(morning - hours(1), 0, {1, 3}, 10);                 // short, with a gap
    CHECK(told(query) == Told{{{0, 1}, 10}, {{0, 2}, 11}, {{0, 3}, 10}, {{0, 4}, 11}, {{0, 5}, 12}});
    query.issued_until = morning - hours(2);                // the short one was not issued yet
    CHECK(told(query) == Told{{{0, -2}, 11}, {{0, 1}, 11}, {{0, 2}, 11}, {{0, 3}, 11}, {{0, 4}, 11}, {{0, 5}, 12}});
    query.issued_until = morning;
    // Rain alone does not stand for weather, and what a member says keeps an older issue silent.
    Observation rain(morning + hours(5), morning + hours(6));
    rain[Channel::precipitation_amount_sum] = 3;
    store.ingest({.source = "met", .rung = Rung::published, .issued = morning - minutes(30)}, std::vector{rain}, morning);
    CHECK(told(query).count({0, 4}) == 1);
    add(morning - minutes(20), 3, {1, 2, 3, 4}, 20);
    const auto found = told(query);
    CHECK(found.at({3, 2}) == 20);
    CHECK_FALSE(found.contains({0, 2}));
    CHECK(store.readings({.from = query.from, .to = query.to, .issued_until = morning - days(7), .forecasts = Forecasts::standing}).empty());
}

TEST_CASE("numbers that are none and intervals that are none are refused whole") {
    Room room;
    auto store = room.open();
    for (double bad : {std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()})
        CHECK_THROWS_AS(
            store.ingest(own, std::vector{hour(morning, 20, 0), hour(morning + hours(1), bad, 0)}, morning),
            StoreRefusal);
    CHECK_THROWS_AS(
        store.ingest({.source = "roof", .wind_height_m = std::nan("")}, std::vector{hour(morning, 20, 0)}, morning),
        StoreRefusal);
    CHECK_THROWS_AS(store.ingest(own, std::vector{Observation(morning, morning)}, morning), StoreRefusal);
    CHECK_THROWS_AS(store.ingest(own, std::vector{Observation(morning, morning - hours(1))}, morning), StoreRefusal);
    CHECK_THROWS_AS(store.ingest(own, std::vector{Observation(morning - days(33), morning)}, morning), StoreRefusal);
    CHECK(store.readings(everything()).empty());
    CHECK_FALSE(store.newest_learned());
}

TEST_CASE("an issued round comes back with the documents that it rests on, each text once") {
    Room room;
    auto store = room.open();
    CHECK(store.newest_round() == 0);
    REQUIRE(store.put_round(morning_round("2026-07-14-morning", morning), {"site: here", "tables"}));
    const auto first = store.newest_round();
    CHECK(first > 0);
    REQUIRE(store.put_round(morning_round("2026-07-14-morning.2", morning + hours(1)), {"site: there", "tables"}));
    CHECK(store.newest_round() > first);
    auto round = store.round("2026-07-14-morning");
    REQUIRE(round);
    CHECK(round->json == "{\"id\":\"2026-07-14-morning\"}");
    CHECK(format_day(round->day) == "2026-07-14");
    CHECK(round->inputs_until == morning - hours(1));
    CHECK(store.document(round->configuration) == "site: here");
    CHECK(store.document(round->tables) == "tables");
    auto latest = store.latest_round(round->day, "morning");
    CHECK(latest->id == "2026-07-14-morning.2");
    CHECK(latest->tables == round->tables);
    CHECK(store.latest_round(round->day, "morning", morning)->id == "2026-07-14-morning");
    CHECK_FALSE(store.latest_round(round->day, "morning", morning - seconds(1)));
    CHECK_FALSE(store.latest_round(round->day, "evening"));
    CHECK(store.rounds(round->day, round->day + days(1)).size() == 2);
    CHECK(store.rounds(round->day, round->day).empty());
    CHECK_FALSE(store.round("2026-07-15-morning"));
    CHECK_FALSE(store.document("none"));
}

TEST_CASE("an id is issued once; whoever comes second is told and reads it") {
    Room room;
    auto one = room.open(), other = room.open();
    REQUIRE(one.put_round(morning_round("2026-07-14-morning", morning), {"c", "t"}));
    auto second = morning_round("2026-07-14-morning", morning + seconds(1));
    second.json = "{}";
    CHECK_FALSE(other.put_round(second, {"c", "t"}));
    CHECK(other.round("2026-07-14-morning")->json != "{}");
}

TEST_CASE("the cache gives back bytes and forgets the oldest of a pot") {
    Room room;
    auto store = room.open();
    std::string bytes("a\0b\xff", 4);
    store.cache_put(std::vector<CachedState>{{"7", "k1", bytes}, {"8", "k1", "other"}});
    CHECK(store.cache_get("7", "k1") == bytes);
    CHECK_FALSE(store.cache_get("7", "k2"));
    for (const char* key : {"k2", "k3", "k4", "k5"}) store.cache_put(std::vector<CachedState>{{"7", key, key}});
    CHECK_FALSE(store.cache_get("7", "k1"));
    CHECK(store.cache_get("7", "k2") == "k2");
    CHECK(store.cache_get("8", "k1") == "other");
}

TEST_CASE("a cache that is damaged or gone is a miss, and then a new one") {
    Room room;
    room.open().cache_put(std::vector<CachedState>{{"7", "k2", "old"}});
    std::filesystem::remove(room.data() / "tubgrove-cache.db");
    CHECK_FALSE(room.open().cache_get("7", "k2"));
    room.write("tubgrove-cache.db",
               "this is no database, but it is long enough to be taken for one" + std::string(4096, 'x'));
    auto again = room.open();
    CHECK_FALSE(again.cache_get("7", "k2"));
    again.cache_put(std::vector<CachedState>{{"7", "k9", "new"}});
    CHECK(again.cache_get("7", "k9") == "new");
}

TEST_CASE("the data version moves with every writer") {
    Room room;
    auto one = room.open(), other = room.open();
    auto before = other.data_version();
    CHECK(other.data_version() == before);
    one.append(watered("7", morning, "1"));
    auto after = other.data_version();
    CHECK(after != before);
    other.append(watered("7", morning, "1"));
    CHECK(other.data_version() != after);
}

// The examples of [FIPS180-4]: one block, none, and two.
TEST_CASE("a digest is SHA-256") {
    CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}
