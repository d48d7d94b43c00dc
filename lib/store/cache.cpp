#include "store/inside.hpp"

#include <unistd.h>

namespace tubgrove {

using namespace store;

namespace {

constexpr int cache_version = 1;
constexpr const char* make_states = R"sql(
    CREATE TABLE states (
      sequence INTEGER PRIMARY KEY,
      pot   TEXT NOT NULL,
      key   TEXT NOT NULL,
      bytes BLOB NOT NULL,
      UNIQUE (pot, key)
    ) STRICT)sql";
constexpr const char* put_state = "INSERT OR REPLACE INTO states (pot, key, bytes) VALUES (?, ?, ?)";
constexpr const char* drop_older = R"sql(
    DELETE FROM states
    WHERE pot = ?1 AND sequence NOT IN (SELECT sequence FROM states WHERE pot = ?1 ORDER BY sequence DESC LIMIT 4))sql";

SQLite::Database open_cache(const Path& file) {
    if (!require_file(file)) create_file(file, mode_for_files(file.parent_path()));
    SQLite::Database database(file.string(), SQLite::OPEN_READWRITE, 1000);
    // A power cut may lose the newest states and damages none; the card is spared the syncs.
    database.exec("PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; PRAGMA journal_size_limit = 4194304");
    SQLite::Transaction transaction(database, SQLite::TransactionBehavior::IMMEDIATE);
    Query version(database, "PRAGMA user_version");
    version.next();
    if (version.integer(0) != cache_version) {
        database.exec("DROP TABLE IF EXISTS states");
        database.exec(make_states);
        database.exec("PRAGMA user_version = " + std::to_string(cache_version));
    }
    transaction.commit();
    return database;
}

template <class Inside>
SQLite::Database& cache_of(Inside& inside) {
    if (!inside.cache) inside.cache.emplace(open_cache(inside.file.parent_path() / cache_name));
    return *inside.cache;
}

// After any error the cache is thrown away, and made anew when it is next asked for.
template <class Inside>
void forget_cache(Inside& inside) {
    inside.cache.reset();
    remove_cache(inside.file.parent_path());
}

}  // namespace

void store::remove_cache(const Path& directory) { Scratch gone(directory / cache_name); }

void Store::cache_put(std::span<const CachedState> states) noexcept try {
    require_room(inside_->file, 4 * room_to_write_bytes);
    auto& database = cache_of(*inside_);
    SQLite::Transaction transaction(database, SQLite::TransactionBehavior::IMMEDIATE);
    Query put(database, put_state), drop(database, drop_older);
    for (const auto& state : states) {
        put.bind(state.pot, state.key, Blob{state.bytes}).run();
        drop.bind(state.pot).run();
    }
    transaction.commit();
} catch (const SQLite::Exception&) {
    forget_cache(*inside_);
} catch (const std::exception&) {
    // No room, or not ours to write: then there is no cache.
}

std::optional<std::string> Store::cache_get(std::string_view pot, std::string_view key) const noexcept try {
    Query get(cache_of(*inside_), "SELECT bytes FROM states WHERE pot = ? AND key = ?");
    return get.bind(pot, key).next() ? std::optional(get.text(0)) : std::nullopt;
} catch (const SQLite::Exception&) {
    forget_cache(*inside_);
    return std::nullopt;
} catch (const std::exception&) {
    return std::nullopt;
}

}  // namespace tubgrove
