// Writes that are done once for a key: the entries and the answer in one transaction.
#include "catch.h"
#include "store_room.hpp"

#include <SQLiteCpp/SQLiteCpp.h>

using namespace tubgrove;
using namespace std::chrono;

namespace {

Entry noted(const std::string& note) { return {.pot = "7", .action = "noted", .when = morning, .learned = morning, .note = note}; }

// Writes an entry and answers with its number.
std::optional<KeptAnswer> write(Store& store, std::string_view key, const std::string& note) {
    return store.answer_once(key, [&]() -> std::optional<KeptAnswer> {
        const auto id = store.append(noted(note));
        return KeptAnswer{.request = "asked " + note, .status = 201, .body = std::to_string(id)};
    });
}

}  // namespace

TEST_CASE("a key answers the second time what it answered the first, and writes nothing") {
    Room room;
    auto store = room.open();
    const auto first = write(store, "k1", "once");
    const auto again = write(store, "k1", "once");
    auto other_program = room.open();
    const auto elsewhere = write(other_program, "k1", "something else");
    REQUIRE(again);
    CHECK(first->body == "1");
    for (const auto* answer : {&again, &elsewhere}) {
        CHECK((*answer)->body == "1");
        CHECK((*answer)->status == 201);
        CHECK((*answer)->request == "asked once");
    }
    CHECK(store.entries().size() == 1);
    CHECK(write(store, "k2", "twice")->body == "2");
}

TEST_CASE("work that comes to nothing is taken back, whole") {
    Room room;
    auto store = room.open();
    const auto nothing = store.answer_once("k1", [&]() -> std::optional<KeptAnswer> {
        store.append(noted("lost"));
        store.append(noted("lost too"));
        return std::nullopt;
    });
    CHECK_FALSE(nothing);
    CHECK(store.entries().empty());
    CHECK_THROWS_AS(store.answer_once("k1", [&]() -> std::optional<KeptAnswer> {
        store.append(noted("lost"));
        throw std::runtime_error("the machine failed");
    }), std::runtime_error);
    CHECK(store.entries().empty());
    CHECK(write(store, "k1", "kept"));  // the key is still free
    CHECK(store.entries().size() == 1);
    CHECK(store.append(noted("outside")) == 2);  // writes outside are transactions of their own again
    CHECK(room.open().entries().size() == 2);
}

TEST_CASE("a write that is refused inside leaves the others of its work to be taken back") {
    Room room;
    auto store = room.open();
    auto late = noted("late");
    late.learned = morning + hours(1);
    store.append(late);
    const auto refused = store.answer_once("k1", [&]() -> std::optional<KeptAnswer> {
        store.append(noted("first"), Behind::lift);
        CHECK_THROWS_AS(store.append(noted("second")), LearnedBehind);
        return std::nullopt;
    });
    CHECK_FALSE(refused);
    CHECK(store.entries().size() == 1);
}

TEST_CASE("what a write reads of the weather is read within its transaction") {
    Room room;
    auto store = room.open();
    const auto answer = store.answer_once("k1", [&]() -> std::optional<KeptAnswer> {
        CHECK(store.readings({}).empty());
        CHECK_FALSE(store.first_reading(morning - hours(1), morning));
        store.append(noted("after reading"));
        return KeptAnswer{.request = "r", .status = 201, .body = "b"};
    });
    REQUIRE(answer);
    CHECK(store.entries().size() == 1);
    CHECK(store.readings({}).empty());
}

TEST_CASE("the newest keys are remembered, the oldest forgotten") {
    Room room;
    auto store = room.open();
    write(store, "the first", "a");
    {
        SQLite::Database database(room.file().string(), SQLite::OPEN_READWRITE);
        database.exec("WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 19999) "
                      "INSERT INTO answers (key, request, status, body) SELECT 'old ' || i, '', 201, '' FROM n");
    }
    CHECK(write(store, "the first", "b")->body == "1");
    CHECK(write(store, "the newest", "c")->body == "2");
    SQLite::Database database(room.file().string());
    CHECK(database.execAndGet("SELECT COUNT(*) FROM answers").getInt() == 20'000);
    CHECK(database.execAndGet("SELECT MIN (sequence) FROM answers").getInt() == 2);
    CHECK(write(store, "the first", "d")->body == "3");
}
