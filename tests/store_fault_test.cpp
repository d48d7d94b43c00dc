// The ugly side of the store: wrong rights, torn and foreign files, a full and a read-only disk, a newer program, an
// upgrade that fails, and processes that are killed while they write.
#include "store/store.hpp"

#include "catch.h"
#include "store/inside.hpp"
#include "store/schema.hpp"
#include "store_room.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/wait.h>

#include <algorithm>
#include <csignal>
#include <functional>
#include <sstream>
#include <thread>

using namespace tubgrove;
using namespace std::chrono;
namespace fs = std::filesystem;

namespace {

using Kind = StoreFault::Kind;

Entry told(const std::string& note) {
    return {.pot = "7",
            .action = "watered",
            .values = {{"amount_l", "2.5"}},
            .when = morning,
            .learned = morning,
            .note = note};
}

std::string bytes_of(const fs::path& file) {
    std::ostringstream bytes;
    bytes << std::ifstream(file, std::ios::binary).rdbuf();
    return bytes.str();
}

// What opening says; "" when it opens.
struct Fault {
    Kind kind = Kind::disk;
    std::string words;
};
Fault fault_of(const std::function<void()>& work) {
    try {
        work();
        return {};
    } catch (const StoreFault& fault) {
        return {fault.kind(), fault.what()};
    }
}
Fault opening(const Room& room) {
    return fault_of([&] { room.open(); });
}

std::vector<std::string> notes(const Store& store) {
    std::vector<std::string> found;
    for (const auto& entry : store.entries()) found.push_back(entry.note);
    return found;
}

bool sound(const Room& room) {
    SQLite::Database database(room.file().string());
    return database.execAndGet("PRAGMA integrity_check").getString() == "ok" &&
           !SQLite::Statement(database, "PRAGMA foreign_key_check").executeStep();
}

std::vector<fs::path> beside(const Room& room, const std::string& part) {
    std::vector<fs::path> found;
    for (const auto& item : fs::directory_iterator(room.data()))
        if (item.path().filename().string().find(part) != std::string::npos) found.push_back(item.path());
    return found;
}

std::string schema_of(const fs::path& file) {
    SQLite::Database database(file.string());
    SQLite::Statement rows(database, "SELECT IFNULL (sql, name) FROM sqlite_schema ORDER BY type, name");
    std::string schema;
    while (rows.executeStep()) schema += rows.getColumn(0).getString() + "\n";
    return schema;
}

void load_dump(const Room& room, const char* name) {
    room.write("tubgrove.db", "");
    SQLite::Database database(room.file().string(), SQLite::OPEN_READWRITE);
    database.exec(bytes_of(fs::path(TEST_DATA) / name));
}

// A child process that works until it is killed; what it wrote to the pipe is what was acknowledged to it.
class Child {
public:
    explicit Child(const std::function<void(int)>& work) {
        int ends[2];
        if (pipe(ends) != 0) throw std::runtime_error("no pipe");
        pid_ = fork();
        if (pid_ == 0) {
            close(ends[0]);
            try {
                work(ends[1]);
            } catch (...) {
                _exit(9);
            }
            _exit(0);
        }
        close(ends[1]);
        reading_ = ends[0];
    }
    Child(const Child&) = delete;
    ~Child() { close(reading_); }

    // Waits for so many acknowledgements and kills it; gives all that came.
    long kill_after(long acknowledgements) {
        long count = 0;
        char one;
        while (count < acknowledgements && read(reading_, &one, 1) == 1) ++count;
        kill(pid_, SIGKILL);
        while (read(reading_, &one, 1) == 1) ++count;
        waitpid(pid_, nullptr, 0);
        return count;
    }
    int finish() {
        int status = 0;
        waitpid(pid_, &status, 0);
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }

private:
    pid_t pid_ = 0;
    int reading_ = -1;
};

// Takes a mount away again, also when the test fails.
class Unmount {
public:
    explicit Unmount(fs::path where) : where_(std::move(where)) {}
    Unmount(const Unmount&) = delete;
    ~Unmount() { umount2(where_.c_str(), MNT_DETACH); }

private:
    fs::path where_;
};

void acknowledge(int descriptor) {
    if (write(descriptor, ".", 1) != 1) _exit(8);
}

std::vector<Observation> hours_from(Instant start, int count) {
    std::vector<Observation> batch;
    for (int i = 0; i < count; ++i) {
        Observation o(start + hours(i), start + hours(i + 1));
        o[Channel::air_temperature_mean] = i % 30;
        batch.push_back(o);
    }
    return batch;
}

long readings_in(const Store& store) {
    long count = 0;
    for (const auto& part : store.readings({.from = morning - days(1), .to = morning + days(100000)}))
        count += static_cast<long>(part.observations.size());
    return count;
}

}  // namespace

TEST_CASE("a new store is private, and in a directory that a group shares it is the group's") {
    Room room;
    fs::remove(room.data());
    room.open().append(told("one"));
    CHECK(fs::status(room.data()).permissions() == fs::perms::owner_all);
    CHECK(fs::status(room.file()).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
    Room shared;
    chmod(shared.data().c_str(), 02770);
    auto store = shared.open();
    store.append(told("one"));
    for (const auto& file : beside(shared, "tubgrove.db")) {
        INFO(file);
        struct stat status {};
        stat(file.c_str(), &status);
        CHECK((status.st_mode & 07777) == 0660);
    }
}

TEST_CASE("a directory or file that lets others in is refused in words") {
    Room room;
    room.open();
    chmod(room.data().c_str(), 0755);
    auto wide = opening(room);
    CHECK(wide.kind == Kind::permissions);
    auto where = room.data().string();
    CHECK(wide.words == where +
                            ": has mode 0755, which lets others in; right would be 2770 or stricter (chmod 2770 " +
                            where + ")");
    chmod(room.data().c_str(), 0700);
    chmod(room.file().c_str(), 0664);
    CHECK_THAT(opening(room).words, ContainsSubstring("has mode 0664"));
    chmod(room.file().c_str(), 0660);
    CHECK(opening(room).words.empty());
}

TEST_CASE("a file of somebody else than the directory is refused in words") {
    if (geteuid() != 0) return;  // only root can give files away
    Room room;
    room.open();
    REQUIRE(chown(room.file().c_str(), 12345, 12345) == 0);
    auto fault = opening(room);
    CHECK(fault.kind == Kind::permissions);
    CHECK_THAT(fault.words, ContainsSubstring("belongs to 12345:12345, its directory to root:root"));
    REQUIRE(chown(room.data().c_str(), 12345, 0) == 0);
    CHECK(opening(room).words.empty());
}

TEST_CASE("without the right to write there are words about whose it is") {
    if (geteuid() != 0) return;  // as root, to become nobody in a child
    Room room;
    room.open();
    chmod(room.folder().c_str(), 0755);
    Child child([&](int) {
        if (setgid(65534) != 0 || setuid(65534) != 0) _exit(7);
        auto fault = opening(room);
        bool good = fault.kind == Kind::permissions &&
                    fault.words.find("may not write it; join the group") != std::string::npos;
        _exit(good ? 0 : 1);
    });
    CHECK(child.finish() == 0);
}

TEST_CASE("what is not a plain file in a directory is refused") {
    Room room;
    fs::create_symlink("/dev/null", room.file());
    CHECK_THAT(opening(room).words, ContainsSubstring("is not a plain file"));
    fs::remove(room.file());
    fs::create_directory(room.file());
    CHECK_THAT(opening(room).words, ContainsSubstring("is not a plain file"));
    std::ofstream(room.folder() / "plain") << "x";
    CHECK_THAT(fault_of([&] { Store::open(room.folder() / "plain"); }).words,
               ContainsSubstring("is not a directory"));
}

TEST_CASE("garbage, an empty file and the database of another program are told apart and left as they are") {
    Room room;
    room.write("tubgrove.db", std::string(10000, 'g'));
    CHECK(opening(room).kind == Kind::not_a_store);
    CHECK(bytes_of(room.file()) == std::string(10000, 'g'));
    room.write("tubgrove.db", "");
    CHECK_THAT(opening(room).words, ContainsSubstring("is empty, and a store never is"));
    fs::remove(room.file());
    room.write("tubgrove.db", "");
    SQLite::Database(room.file().string(), SQLite::OPEN_READWRITE).exec("CREATE TABLE songs (name TEXT)");
    CHECK_THAT(opening(room).words, ContainsSubstring("is a database, but not a store of tubgrove"));
    SQLite::Database(room.file().string(), SQLite::OPEN_READWRITE).exec("PRAGMA user_version = 1");
    CHECK_THAT(opening(room).words, ContainsSubstring("is a database, but of another program"));
}

TEST_CASE("a log without its file is not thrown away") {
    Room room;
    room.write("tubgrove.db-wal", "rows that were acknowledged");
    auto fault = opening(room);
    CHECK(fault.kind == Kind::corrupt);
    CHECK_THAT(fault.words, ContainsSubstring("is missing, but its log"));
    CHECK(bytes_of(room.file().string() + "-wal") == "rows that were acknowledged");
}

TEST_CASE("a torn file is refused in words, and a backup brings the garden back") {
    Room room;
    auto backup = room.folder() / "backup.db";
    {
        auto store = room.open();
        for (int i = 0; i < 2000; ++i) store.append(told("kept " + std::to_string(i)));
        store.backup(backup);
    }
    fs::resize_file(room.file(), fs::file_size(room.file()) / 2 / 4096 * 4096);
    auto fault = fault_of([&] { room.open().entries(); });
    CHECK(fault.kind == Kind::corrupt);
    CHECK_THAT(fault.words, ContainsSubstring("is damaged; restore a backup"));
    auto aside = Store::restore(room.data(), backup);
    CHECK(aside.filename() == "tubgrove.db.damaged");
    CHECK(fs::exists(aside));
    CHECK(room.open().entries().size() == 2000);
    CHECK(sound(room));
}

TEST_CASE("a file of a newer program is refused in words and left as it is") {
    Room room;
    room.open();
    SQLite::Database(room.file().string(), SQLite::OPEN_READWRITE).exec("PRAGMA user_version = 99");
    auto before = bytes_of(room.file());
    auto fault = opening(room);
    CHECK(fault.kind == Kind::newer);
    CHECK(fault.words ==
          room.file().string() +
              ": was written by a newer tubgrove (store version 99, this program knows up to 4); nothing "
              "was changed, use the newer program");
    CHECK(bytes_of(room.file()) == before);
}

TEST_CASE("the form of version 1 never changes, and its rows are read") {
    Room room, fresh;
    load_dump(room, "store_version_1.sql");
    auto store = room.open();
    fresh.open();
    CHECK(schema_of(room.file()) == schema_of(fresh.file()));
    auto entries = store.entries();
    REQUIRE(entries.size() == 3);
    CHECK(entries[0].values.at("amount_l") == "2.5");
    CHECK(entries[2].strikes == entries[1].id);
    CHECK(store.round("2026-07-14-morning")->json == "{\"id\":\"2026-07-14-morning\"}");
    auto found = store.readings({.from = morning - days(1), .to = morning + days(1)});
    REQUIRE(found.size() == 2);
    CHECK(found[1].observations.at(0)[Channel::air_temperature_mean] == 19.5);
    CHECK(store.versions("roof", morning - days(1), morning + days(1)).size() == 2);
}

TEST_CASE("the form of version 2 never changes, and its answers are kept") {
    Room room, fresh;
    load_dump(room, "store_version_2.sql");
    auto store = room.open();
    fresh.open();
    CHECK(schema_of(room.file()) == schema_of(fresh.file()));
    REQUIRE(beside(room, "version-2").size() == 1);
    CHECK(store.entries().size() == 2);
    const auto kept = store.answer_once("key-1", []() -> std::optional<KeptAnswer> { return std::nullopt; });
    REQUIRE(kept);
    CHECK(kept->status == 201);
    CHECK(kept->body == "{\n}\n");
    CHECK(store.tellings(TellingState::waiting).empty());
    const std::vector<std::string> channels{"mail"};
    CHECK(store.tell_later(channels, "2026-07-14-morning", morning) == 1);
}

TEST_CASE("the form of version 3 never changes, and of its readings nobody is said to have sent them") {
    Room room, fresh;
    load_dump(room, "store_version_3.sql");
    auto store = room.open();
    fresh.open();
    CHECK(schema_of(room.file()) == schema_of(fresh.file()));
    REQUIRE(beside(room, "version-3").size() == 1);
    CHECK(store.entries().at(1).by == "Ane");
    const auto found = store.readings({.from = morning - days(1), .to = morning + days(1)});
    REQUIRE(found.size() == 1);
    CHECK(found[0].observations.at(0)[Channel::air_temperature_max] == 31);
    CHECK(store.tellers(morning - days(1), morning + days(1)).empty());
}

TEST_CASE("an upgrade keeps a copy of what was, and takes all steps or none") {
    Room room;
    room.open().append(told("old"));
    std::vector steps(store::migrations().begin(), store::migrations().end());
    const int newest = store::migrations().back().version;
    steps.push_back({newest + 1, "CREATE TABLE more (id INTEGER PRIMARY KEY) STRICT"});
    steps.push_back({newest + 2, "ALTER TABLE more ADD COLUMN word TEXT"});
    auto upgrade = [&](std::span<const store::Migration> to) {
        auto database = store::connect(room.file());
        store::migrate(database, room.file(), store::CopyFirst::yes, to);
        return database.execAndGet("PRAGMA user_version").getInt();
    };
    auto broken = steps;
    broken.back().sql = "ALTER TABLE nothing ADD COLUMN word TEXT";
    CHECK_THROWS_AS(upgrade(broken), SQLite::Exception);
    CHECK(opening(room).words.empty());  // still of this program's version, and whole
    CHECK(upgrade(steps) == newest + 2);
    CHECK(upgrade(steps) == newest + 2);
    auto copies = beside(room, "version-" + std::to_string(newest));
    REQUIRE(copies.size() == 2);  // of the upgrade that failed, and of the one that did not
    for (const auto& copy : copies)
        CHECK(SQLite::Database(copy.string()).execAndGet("SELECT note FROM entries").getString() == "old");
    CHECK(opening(room).kind == Kind::newer);
}

TEST_CASE("a full disk refuses whole, in words; what was acknowledged stays") {
    Room room;
    bool mounted = geteuid() == 0 && mount("tmpfs", room.data().c_str(), "tmpfs", 0, "size=4m,mode=0700") == 0;
    if (!mounted) return;  // the test below needs no rights
    Unmount at_the_end(room.data());
    std::size_t kept = 0;
    {
        auto store = room.open();
        auto fault = fault_of([&] {
            for (;; ++kept) store.append(told(std::string(100000, 'n')));
        });
        CHECK(fault.kind == Kind::full);
        CHECK_THAT(fault.words, ContainsSubstring("the disk is full"));
        CHECK(kept > 5);
        CHECK(store.entries().size() == kept);
        CHECK(fault_of([&] { store.ingest({.source = "roof"}, hours_from(morning, 10), morning); }).kind ==
              Kind::full);
        CHECK(fault_of([&] { store.backup(room.data() / "b.db"); }).kind == Kind::full);
        CHECK(beside(room, "b.db").empty());
    }
    CHECK(opening(room).kind == Kind::full);
    REQUIRE(mount(nullptr, room.data().c_str(), nullptr, MS_REMOUNT, "size=8m") == 0);  // room was made
    CHECK(sound(room));
    auto store = room.open();
    CHECK(store.entries().size() == kept);
    store.append(told("and on"));
}

TEST_CASE("a write that the system cuts short is taken back whole") {
    Room room;
    { room.open().append(told("before")); }
    Child child([&](int) {
        signal(SIGXFSZ, SIG_IGN);
        auto store = room.open();
        rlimit limit{400000, 400000};
        if (setrlimit(RLIMIT_FSIZE, &limit) != 0) _exit(7);
        auto fault = fault_of([&] { store.ingest({.source = "roof"}, hours_from(morning, 50000), morning); });
        _exit(fault.words.empty() ? 1 : 0);
    });
    CHECK(child.finish() == 0);
    CHECK(sound(room));
    auto store = room.open();
    CHECK(notes(store) == std::vector<std::string>{"before"});
    CHECK(readings_in(store) == 0);
    CHECK(store.ingest({.source = "roof"}, hours_from(morning, 50000), morning).fresh == 50000);
}

TEST_CASE("a disk that cannot be written says so") {
    Room room;
    room.open();
    bool mounted = geteuid() == 0 &&
                   mount(room.data().c_str(), room.data().c_str(), nullptr, MS_BIND, nullptr) == 0 &&
                   mount(nullptr, room.data().c_str(), nullptr, MS_REMOUNT | MS_BIND | MS_RDONLY, nullptr) == 0;
    if (!mounted) return;
    Unmount at_the_end(room.data());
    auto fault = opening(room);
    CHECK(fault.kind == Kind::read_only);
    CHECK_THAT(fault.words, ContainsSubstring("is on a disk that cannot be written"));
}

TEST_CASE("killed while it appends: every entry that was acknowledged is there, whole and once") {
    Room room;
    room.open();
    long acknowledged = 0;
    for (int life = 0; life < 5; ++life) {
        Child child([&](int ack) {
            auto store = room.open();
            std::vector<Entry> pair{told("left"), told("right")};
            for (;;) {
                store.append_all(pair, Behind::lift);
                acknowledge(ack);
            }
        });
        acknowledged += child.kill_after(20 + 13 * life);
        CHECK(sound(room));
        auto count = static_cast<long>(room.open().entries().size());
        CHECK(count % 2 == 0);  // both of a pair or none
        CHECK(count / 2 >= acknowledged);
        CHECK(count / 2 <= acknowledged + life + 1);  // at most one a life that ended before it could say so
    }
}

TEST_CASE(
    "killed while it takes weather in: whole batches, all that were acknowledged, and the rest by asking again") {
    Room room;
    room.open();
    const int size = 600;
    Child child([&](int ack) {
        auto store = room.open();
        for (int batch = 0;; ++batch) {
            store.ingest({.source = "roof"}, hours_from(morning + hours(batch * size), size), morning);
            acknowledge(ack);
        }
    });
    long acknowledged = child.kill_after(10);
    CHECK(sound(room));
    auto store = room.open();
    long count = readings_in(store);
    CHECK(count % size == 0);
    CHECK(count >= acknowledged * size);
    auto again = store.ingest({.source = "roof"}, hours_from(morning, static_cast<int>(count) + 7), morning);
    CHECK(again.same == count);
    CHECK(again.fresh == 7);
}

TEST_CASE("two processes write at once and neither loses a row") {
    Room room;
    room.open();
    auto writer = [&](const char* name) {
        return [&room, name](int) {
            auto store = room.open();
            for (int i = 0; i < 40; ++i) {
                store.append(told(name), Behind::lift);
                store.ingest({.source = name}, hours_from(morning + hours(100 * i), 100), morning, Behind::lift);
            }
        };
    };
    Child one(writer("one")), two(writer("two"));
    CHECK(one.finish() == 0);
    CHECK(two.finish() == 0);
    auto store = room.open();
    CHECK(store.entries().size() == 80);
    CHECK(readings_in(store) == 8000);
    CHECK(sound(room));
}

TEST_CASE("several processes make one store between them") {
    Room room;
    fs::remove(room.data());
    auto opener = [&](int) { room.open().append(told("here"), Behind::lift); };
    Child one(opener), two(opener), three(opener);
    CHECK(one.finish() == 0);
    CHECK(two.finish() == 0);
    CHECK(three.finish() == 0);
    CHECK(room.open().entries().size() == 3);
    CHECK(beside(room, "new-").empty());
}

TEST_CASE("entries can be neither changed nor erased, also by other tools") {
    Room room;
    room.open().append(told("kept"));
    SQLite::Database database(room.file().string(), SQLite::OPEN_READWRITE);
    for (const char* sql : {"UPDATE entries SET note = 'other'", "DELETE FROM entries", "DELETE FROM entry_values",
                            "UPDATE entry_values SET value = '3'"}) {
        INFO(sql);
        CHECK_THROWS_WITH(database.exec(sql), ContainsSubstring("strike it with a later one"));
    }
}

TEST_CASE("a backup is one sound file of a living store, private, and overwrites nothing") {
    Room room;
    auto store = room.open();
    store.append(told("first"));
    auto backup = room.folder() / "backup.db";
    store.backup(backup);
    CHECK((fs::status(backup).permissions() & fs::perms(077)) == fs::perms::none);
    CHECK_FALSE(fs::exists(backup.string() + "-wal"));
    CHECK(SQLite::Database(backup.string()).execAndGet("SELECT note FROM entries").getString() == "first");
    CHECK_THROWS_AS(store.backup(backup), StoreRefusal);
    CHECK(fault_of([&] { store.backup(room.folder() / "nowhere" / "backup.db"); }).kind == Kind::disk);
}

TEST_CASE("a backup whose rows point at nothing is no sound backup") {
    Room room;
    auto store = room.open();
    store.ingest({.source = "roof"}, hours_from(morning, 3), morning);
    SQLite::Database(room.file().string(), SQLite::OPEN_READWRITE).exec("DELETE FROM deliveries");
    auto fault = fault_of([&] { store.backup(room.folder() / "backup.db"); });
    CHECK(fault.kind == Kind::corrupt);
    CHECK_THAT(fault.words, ContainsSubstring("rows point at rows that are missing"));
    CHECK_FALSE(fs::exists(room.folder() / "backup.db"));
}

TEST_CASE("a restore reaches those who have the store open, and keeps what was") {
    Room room;
    auto store = room.open();
    store.append(told("first"));
    auto backup = room.folder() / "backup.db";
    store.backup(backup);
    store.append(told("second"));
    auto before = store.data_version();
    auto aside = Store::restore(room.data(), backup);
    CHECK(notes(store) == std::vector<std::string>{"first"});
    CHECK(store.data_version() != before);
    CHECK(SQLite::Database(aside.string()).execAndGet("SELECT COUNT(*) FROM entries").getInt() == 2);
    store.append(told("third"));
    CHECK(notes(room.open()) == std::vector<std::string>{"first", "third"});
    CHECK(Store::restore(room.data(), aside) != aside);
    CHECK(notes(store) == std::vector<std::string>{"first", "second"});
    CHECK(sound(room));
}

TEST_CASE("a restore into an empty directory makes the store") {
    Room room, other;
    auto backup = room.folder() / "backup.db";
    {
        auto store = room.open();
        store.append(told("first"));
        store.backup(backup);
    }
    CHECK(Store::restore(other.data(), backup).empty());
    CHECK(notes(other.open()) == std::vector<std::string>{"first"});
}

TEST_CASE("what is no sound backup is refused, and the present store is untouched") {
    Room room;
    auto store = room.open();
    store.append(told("kept"));
    auto bad = room.folder() / "bad.db";
    CHECK_THROWS_AS(Store::restore(room.data(), bad), StoreRefusal);  // there is none
    std::ofstream(bad) << std::string(9000, 'x');
    CHECK_THROWS_AS(Store::restore(room.data(), bad), StoreRefusal);
    fs::remove(bad);
    SQLite::Database(bad.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
        .exec("CREATE TABLE songs (name TEXT)");
    CHECK_THROWS_WITH(Store::restore(room.data(), bad),
                      ContainsSubstring("not a store of tubgrove, and nothing was changed"));
    CHECK(notes(store) == std::vector<std::string>{"kept"});
    CHECK(beside(room, "restore").empty());
}
