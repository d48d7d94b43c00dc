#include "store/store.hpp"

#include "store/inside.hpp"
#include "store/schema.hpp"

#include <fmt/format.h>
#include <sqlite3.h>

#include <unistd.h>
#include <cerrno>

namespace tubgrove {

namespace store {

namespace {

using Kind = StoreFault::Kind;
constexpr int busy_timeout_ms = 10'000;

struct Meaning {
    Kind kind;
    const char* words;
};

Meaning meaning_of(int code) {
    switch (code & 0xff) {
        case SQLITE_FULL:
            return {Kind::full, "the disk is full; nothing was written, make room and try again"};
        case SQLITE_READONLY:
            return {Kind::read_only, "cannot be written: the disk or the file is read-only"};
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return {Kind::busy, "another program kept it locked for too long; try again"};
        case SQLITE_CORRUPT:
            return {Kind::corrupt, "is damaged; restore a backup (the damaged file is kept aside)"};
        case SQLITE_NOTADB:
            return {Kind::not_a_store, "is not a store of tubgrove; restore a backup, or move it away"};
        case SQLITE_PERM:
        case SQLITE_AUTH:
        case SQLITE_CANTOPEN:
            return {Kind::permissions, "cannot be opened; look at the rights of it and its directory"};
        default:
            return {Kind::disk, "the disk or the database failed"};
    }
}

// The store is made whole under another name, so that a power cut leaves either none or a complete one.
void create_store(const Path& file) {
    Path directory = file.parent_path();
    Scratch fresh(free_name(file, fmt::format("new-{}", getpid())));
    create_file(fresh.file(), mode_for_files(directory));
    {
        auto database = connect(fresh.file());
        migrate(database, file, CopyFirst::no);
    }
    publish(fresh.file(), file);  // false: another process was first, and its store is as good
}

void require_no_orphan(const Path& file) {
    Path log = file.string() + "-wal";
    if (std::filesystem::exists(std::filesystem::symlink_status(log)))
        throw StoreFault(Kind::corrupt,
                         fmt::format("{}: is missing, but its log {} is there; bring the file back beside "
                                     "it, or move the log away",
                                     file.string(), log.string()));
}

// A store is never empty, since it gets its name when it is whole; SQLite would take an empty file for a new one.
void require_content(const Path& file) {
    if (std::filesystem::file_size(file) == 0)
        throw StoreFault(Kind::not_a_store,
                         fmt::format("{}: is empty, and a store never is; restore a backup, or move "
                                     "it away",
                                     file.string()));
}

}  // namespace

void throw_fault(const SQLite::Exception& error, const Path& file) {
    // That the index of the log could not grow is an error of its own, and means the same.
    bool no_room = error.getExtendedErrorCode() == SQLITE_IOERR_SHMSIZE;
    auto meaning = meaning_of(no_room ? SQLITE_FULL : error.getErrorCode());
    throw StoreFault(meaning.kind, fmt::format("{}: {} ({})", file.string(), meaning.words, error.what()));
}

SQLite::Database connect(const Path& file) {
    SQLite::Database database(file.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_NOMUTEX, busy_timeout_ms);
    Query mode(database, "PRAGMA journal_mode = WAL");
    if (!mode.next() || mode.text(0) != "wal")
        throw StoreFault(Kind::disk, fmt::format("{}: this file system cannot hold the store's log", file.string()));
    database.exec("PRAGMA synchronous = FULL");
    database.exec("PRAGMA foreign_keys = ON");
    database.exec("PRAGMA trusted_schema = OFF");
    database.exec("PRAGMA cell_size_check = ON");
    database.exec("PRAGMA journal_size_limit = 4194304");
    return database;
}

std::optional<Instant> newest_learned(const SQLite::Database& database, std::optional<Instant> learned_until) {
    Query query(database, R"sql(
        SELECT MAX (learned) FROM (
          SELECT MAX (learned) AS learned FROM entries WHERE learned <= ?1
          UNION ALL SELECT MAX (learned) FROM deliveries WHERE learned <= ?1
          UNION ALL SELECT MAX (learned) FROM rounds WHERE learned <= ?1))sql");
    query.bind(learned_until.value_or(Instant::max()));
    return query.next() ? query.maybe_instant(0) : std::nullopt;
}

Instant settle_learned(const SQLite::Database& database, Instant learned, Behind behind) {
    auto newest = newest_learned(database);
    if (!newest || learned >= *newest) return learned;
    if (behind == Behind::lift) return *newest;
    auto utc = Zone::utc();
    throw LearnedBehind(
        fmt::format("what is written as of {} would change the past: the newest row was learned at {}",
                    format_rfc3339(learned, utc), format_rfc3339(*newest, utc)),
        *newest);
}

}  // namespace store

using namespace store;

Store::Store(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

bool Store::lies_in(const Path& directory) {
    std::error_code none;
    if (!std::filesystem::is_directory(directory, none)) return std::filesystem::exists(directory, none);
    for (const auto& file : std::filesystem::directory_iterator(directory, none))
        if (file.path().filename().string().starts_with(store::file_name)) return true;   // it, or what is left of it
    return bool(none);
}

Store Store::open(const Path& directory) {
    require_directory(directory);
    Path file = directory / store::file_name;
    return guarded(file, [&] {
        require_room(directory, room_to_open_bytes);
        if (!require_file(file)) {
            require_no_orphan(file);
            create_store(file);
            require_file(file);
        }
        require_content(file);
        auto database = connect(file);
        migrate(database, file, CopyFirst::yes);
        return Store(std::unique_ptr<Inside>(new Inside{file, std::move(database), {}, false, mark_of(file)}));
    });
}

const Path& Store::file() const { return inside_->file; }

void Store::require_writable() const {
    require_ready(*inside_);
    if (!require_file(inside_->file)) require_in_place(inside_->file, inside_->opened);  // gone since the line above
    require_directory(inside_->file.parent_path());
}

std::optional<Instant> Store::newest_learned(std::optional<Instant> learned_until) const {
    return guarded(inside_->file, [&] { return store::newest_learned(inside_->database, learned_until); });
}

InputMark Store::input_mark(std::optional<Instant> learned_until) const {
    return guarded(inside_->file, [&] {
        Query query(inside_->database, R"sql(
            SELECT (SELECT IFNULL (MAX (id), 0) FROM entries WHERE learned <= ?),
                   (SELECT IFNULL (MAX (id), 0) FROM deliveries WHERE learned <= ?))sql");
        auto until = learned_until.value_or(Instant::max());
        query.bind(until, until).next();
        return InputMark{.entry = query.integer(0), .delivery = query.integer(1)};
    });
}

std::int64_t Store::data_version() const {
    return guarded(inside_->file, [&] {
        Query query(inside_->database, "PRAGMA data_version");
        query.next();
        // The pragma rises with the writes of others only; our own are counted beside it.
        return query.integer(0) + inside_->database.getTotalChanges();
    });
}

}  // namespace tubgrove
