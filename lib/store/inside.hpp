#pragma once
// What the store's own files share: the open connection, one way to turn SQLite's errors into words, and the rule
// that `learned` never falls.
#include "store/files.hpp"
#include "store/query.hpp"
#include "store/store.hpp"

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/SQLiteCpp.h>
#include <optional>

namespace tubgrove {

struct Store::Inside {
    std::filesystem::path file;
    mutable SQLite::Database database;
    mutable std::optional<SQLite::Database> cache;  // opened when first asked for
    bool within_work = false;                       // a write joins the transaction of answer_once
    store::FileMark opened = {};                    // what file stood at the name then
};

// One state of the file for all statements; within answer_once its transaction is that already.
class Snapshot {
public:
    template <class Inside>
    explicit Snapshot(const Inside& inside) {
        if (!inside.within_work) own_.emplace(inside.database);
    }

private:
    std::optional<SQLite::Transaction> own_;
};

namespace store {

inline constexpr const char* file_name = "tubgrove.db";
inline constexpr const char* cache_name = "tubgrove-cache.db";
inline constexpr std::uintmax_t room_to_open_bytes = 128 * 1024;
inline constexpr std::uintmax_t room_to_write_bytes = 1024 * 1024;

// A connection with the store's settings on a file that exists. Checks nothing of its contents.
SQLite::Database connect(const Path& file);

// A whole copy of a living database as one file of mode 0600, checked after writing; false when the name is taken.
bool copy_database(const Path& from, const Path& to);

// Deletes the cache, if there is one.
void remove_cache(const Path& directory);

// Throws StoreFault when SQLite finds a broken page, index or reference.
void require_integrity(const SQLite::Database& database, const Path& file);

[[noreturn]] void throw_fault(const SQLite::Exception& error, const Path& file);

// Runs a function over the database; whatever SQLite throws leaves as StoreFault.
template <class Work>
auto guarded(const Path& file, Work work) {
    try {
        return work();
    } catch (const SQLite::Exception& error) {
        throw_fault(error, file);
    }
}

// What every write asks before it begins. Throws StoreFault.
template <class Inside>
void require_ready(const Inside& inside) {
    require_in_place(inside.file, inside.opened);
    require_room(inside.file, room_to_write_bytes);
}

// The same in a write transaction that is taken back unless it ends well.
template <class Inside, class Work>
auto writing(Inside& inside, Work work) {
    return guarded(inside.file, [&] {
        if (inside.within_work) return work();
        require_ready(inside);
        SQLite::Transaction transaction(inside.database, SQLite::TransactionBehavior::IMMEDIATE);
        auto result = work();
        transaction.commit();
        return result;
    });
}

std::optional<Instant> newest_learned(const SQLite::Database& database, std::optional<Instant> learned_until = {});

// The `learned` to write with, within a write transaction. Throws LearnedBehind.
Instant settle_learned(const SQLite::Database& database, Instant learned, Behind behind);

}  // namespace store
}  // namespace tubgrove
