// The queue of lists that are told: once a channel, through restarts and from several programs at once.
#include "store/store.hpp"

#include "catch.h"
#include "store_room.hpp"

using namespace tubgrove;
using namespace std::chrono;

namespace {

const std::string round_id = "2026-07-14-morning";

std::vector<std::string> names(std::initializer_list<const char*> all) { return {all.begin(), all.end()}; }

int waiting(const Store& store) { return int(store.tellings(TellingState::waiting).size()); }

}  // namespace

TEST_CASE("a list is put into the queue of a channel once") {
    Room room;
    auto store = room.open();
    CHECK(store.tell_later(names({"ana", "house"}), round_id, morning) == 2);
    CHECK(store.tell_later(names({"ana", "house"}), round_id, morning + hours(1)) == 0);
    CHECK(store.tell_later(names({"ana", "roof"}), round_id, morning + hours(1)) == 1);
    CHECK(store.tell_later(names({}), round_id, morning) == 0);
    const auto found = store.tellings(TellingState::waiting);
    REQUIRE(found.size() == 3);
    CHECK(found[0].channel == "ana");
    CHECK(found[0].round == round_id);
    CHECK(found[0].tries == 0);
    CHECK(found[2].channel == "roof");
}

TEST_CASE("a try that failed waits again, one that did not is over") {
    Room room;
    auto store = room.open();
    store.tell_later(names({"ana"}), round_id, morning);
    REQUIRE(store.telling_begins("ana", round_id, morning));
    CHECK(waiting(store) == 0);
    store.telling_ends("ana", round_id, {TellingState::waiting, morning, "nobody there"});
    auto again = store.tellings(TellingState::waiting);
    REQUIRE(again.size() == 1);
    CHECK(again[0].tries == 1);
    CHECK(again[0].error == "nobody there");
    REQUIRE(store.telling_begins("ana", round_id, morning));
    store.telling_ends("ana", round_id, {TellingState::told, morning, ""});
    CHECK_FALSE(store.telling_begins("ana", round_id, morning));
    CHECK(store.tell_later(names({"ana"}), round_id, morning) == 0);
    CHECK(store.tellings(TellingState::told).at(0).tries == 2);
}

TEST_CASE("only one of two programs hands a list over") {
    Room room;
    auto store = room.open(), other = room.open();
    store.tell_later(names({"ana"}), round_id, morning);
    CHECK(store.telling_begins("ana", round_id, morning));
    CHECK_FALSE(other.telling_begins("ana", round_id, morning));
    CHECK_FALSE(other.telling_begins("nobody", round_id, morning));
}

TEST_CASE("what was under way when the program died is not sent again") {
    Room room;
    {
        auto store = room.open();
        store.tell_later(names({"ana", "house"}), round_id, morning);
        REQUIRE(store.telling_begins("ana", round_id, morning));
    }
    auto store = room.open();
    const auto cut_off = store.tellings_cut_off(morning + hours(1));
    REQUIRE(cut_off.size() == 1);
    CHECK(cut_off[0].channel == "ana");
    CHECK(store.tellings_cut_off(morning + hours(1)).empty());
    CHECK_FALSE(store.telling_begins("ana", round_id, morning + hours(1)));
    CHECK(store.tell_later(names({"ana"}), round_id, morning + hours(1)) == 0);
    CHECK(waiting(store) == 1);
    CHECK(store.tellings(TellingState::unsure).size() == 1);
}

TEST_CASE("the queue does not grow for ever, and asking it writes nothing") {
    Room room;
    auto store = room.open();
    for (int i = 0; i < 5'100; i += 20) {
        std::vector<std::string> channels;
        for (int k = 0; k < 20; ++k) channels.push_back("channel-" + std::to_string(i + k));
        store.tell_later(channels, round_id, morning);
    }
    CHECK(waiting(store) == 5'000);
    const auto before = store.data_version();
    store.tell_later(names({"channel-5099"}), round_id, morning);
    store.tellings_cut_off(morning);
    CHECK(store.data_version() == before);
    CHECK_FALSE(store.newest_learned());  // it is no part of what was learned
}
