#include "store/inside.hpp"
#include "store/schema.hpp"

#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include <thread>

namespace tubgrove {

namespace store {

namespace {

using Kind = StoreFault::Kind;

// Copies every page in one step: the copy is one state of the source. Waits for other writers as long as a write
// would.
void copy_pages(SQLite::Database& to, SQLite::Database& from, const Path& file) {
    SQLite::Backup backup(to, from);
    for (int tries = 0; tries < 1000; ++tries) {
        int code = backup.executeStep(-1);
        if (code == SQLITE_DONE) return;
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    throw StoreFault(Kind::busy,
                     fmt::format("{}: another program kept it locked for too long; try again", file.string()));
}

constexpr const char* orphan_reading = R"sql(
    SELECT delivery FROM readings
    WHERE NOT EXISTS (SELECT 1 FROM deliveries WHERE deliveries.id = delivery AND deliveries.series = readings.series)
    LIMIT 1)sql";

std::string one_text(const SQLite::Database& database, const char* sql) {
    Query query(database, sql);
    return query.next() ? query.text(0) : "";
}

// Takes a foreign file as a store in a scratch file beside the real one, so that only a checked one ever replaces it.
void take_in(const Path& from, const Path& scratch) {
    create_file(scratch, mode_for_files(scratch.parent_path()));
    std::filesystem::copy_file(from, scratch, std::filesystem::copy_options::overwrite_existing);
    Path log = from.string() + "-wal";  // of a store copied by hand while it was open
    if (std::filesystem::exists(log)) std::filesystem::copy_file(log, scratch.string() + "-wal");
    auto database = connect(scratch);
    migrate(database, from, CopyFirst::no);
    require_integrity(database, from);
}

// A fault of the backup is a refusal: nothing of ours was touched.
void take_in_or_refuse(const Path& from, const Path& scratch) {
    try {
        take_in(from, scratch);
    } catch (const SQLite::Exception& error) {
        int code = error.getErrorCode() & 0xff;
        if (code != SQLITE_NOTADB && code != SQLITE_CORRUPT) throw;
        throw StoreRefusal(
            fmt::format("{}: is not a sound backup ({}), and nothing was changed", from.string(), error.what()),
            "a file that tubgrove backup wrote");
    } catch (const StoreFault& fault) {
        if (fault.kind() != Kind::corrupt && fault.kind() != Kind::not_a_store && fault.kind() != Kind::newer) throw;
        throw StoreRefusal(fmt::format("{}, and nothing was changed", fault.what()), "a file that tubgrove backup wrote");
    }
}

// Through SQLite, so that a process that has the store open goes on with the restored one.
Path replace_contents(const Path& directory, const Path& scratch) {
    auto present = Store::open(directory);
    Path aside = free_name(present.file(), "before-restore");
    present.backup(aside);
    auto live = connect(present.file());
    auto source = connect(scratch);
    copy_pages(live, source, present.file());
    return aside;
}

// A damaged file cannot be written through SQLite; nobody can be using it either.
Path replace_file(const Path& file, const Path& scratch) {
    Path aside = free_name(file, "damaged");
    for (const char* suffix : {"", "-wal", "-shm"}) {
        Path present = file.string() + suffix;
        if (std::filesystem::exists(present)) std::filesystem::rename(present, aside.string() + suffix);
    }
    publish(scratch, file);
    return aside;
}

bool damaged(const StoreFault& fault) { return fault.kind() == Kind::corrupt || fault.kind() == Kind::not_a_store; }

Path restore_file(const Path& directory, const Path& file, const Path& from) {
    Scratch scratch(free_name(file, fmt::format("restore-{}", getpid())));
    take_in_or_refuse(from, scratch.file());
    remove_cache(directory);
    if (!std::filesystem::exists(file)) {
        publish(scratch.file(), file);
        return {};
    }
    try {
        return replace_contents(directory, scratch.file());
    } catch (const StoreFault& fault) {
        if (!damaged(fault)) throw;
        return replace_file(file, scratch.file());
    }
}

StoreFault fault_of(const std::filesystem::filesystem_error& error) {
    auto code = error.code();
    Kind kind = code == std::errc::no_space_on_device      ? Kind::full
                : code == std::errc::read_only_file_system ? Kind::read_only
                : code == std::errc::permission_denied     ? Kind::permissions
                                                           : Kind::disk;
    return StoreFault(kind, error.what());
}

}  // namespace

void require_integrity(const SQLite::Database& database, const Path& file) {
    auto verdict = one_text(database, "PRAGMA integrity_check(1)");
    if (verdict == "ok" && one_text(database, "PRAGMA foreign_key_check").empty() &&
        one_text(database, orphan_reading).empty())
        return;
    throw StoreFault(Kind::corrupt, fmt::format("{}: is damaged ({})", file.string(),
                                                verdict == "ok" ? "rows point at rows that are missing" : verdict));
}

bool copy_database(const Path& from, const Path& to) {
    Scratch scratch(free_name(to, fmt::format("partial-{}", getpid())));
    create_file(scratch.file(), 0600);
    {
        SQLite::Database source(from.string(), SQLite::OPEN_READWRITE, 10'000);
        SQLite::Database copy(scratch.file().string(), SQLite::OPEN_READWRITE, 10'000);
        copy_pages(copy, source, from);
        copy.exec("PRAGMA journal_mode = DELETE");  // one file, without a log beside it
        require_integrity(copy, to);
    }
    return publish(scratch.file(), to);
}

}  // namespace store

using namespace store;

void Store::backup(const Path& to) const {
    guarded(inside_->file, [&] {
        if (!copy_database(inside_->file, to))
            throw StoreRefusal(
                fmt::format("{}: exists already, and a backup overwrites nothing", to.string()), "choose another name");
    });
}

Path Store::restore(const Path& directory, const Path& from) {
    require_directory(directory);
    Path file = directory / store::file_name;
    if (!std::filesystem::is_regular_file(from))
        throw StoreRefusal(fmt::format("{}: there is no such backup file", from.string()), "a file that tubgrove backup wrote");
    try {
        return guarded(file, [&] { return restore_file(directory, file, from); });
    } catch (const std::filesystem::filesystem_error& error) {
        throw fault_of(error);
    }
}

}  // namespace tubgrove
