#include "store/schema.hpp"

#include "store/files.hpp"
#include "store/inside.hpp"
#include "store/query.hpp"

#include <fmt/format.h>

#include <array>

namespace tubgrove::store {

namespace {

// Times are seconds since 1970-01-01T00:00:00Z. `learned` is when the tool learned the row; within a table it never
// falls as ids rise. A delivery is one accepted batch of one series; a reading's versions are its deliveries, and a
// later version repeats what it did not change, so the newest one visible is the whole truth. A reading names its
// series and its delivery without REFERENCES: checking them row by row made taking weather in half as slow again, so
// their rows are looked for when a backup is checked instead.
constexpr const char* version_1 = R"sql(
PRAGMA application_id = 1416979047;

CREATE TABLE entries (
  id       INTEGER PRIMARY KEY,
  pot      TEXT    NOT NULL,
  action   TEXT    NOT NULL,
  happened INTEGER NOT NULL,
  learned  INTEGER NOT NULL,
  clock    TEXT    NOT NULL CHECK (clock IN ('board', 'phone', 'unknown')),
  author   TEXT    NOT NULL,
  note     TEXT    NOT NULL,
  round    TEXT    NOT NULL,
  strikes  INTEGER REFERENCES entries (id) CHECK (strikes < id)
) STRICT;
CREATE INDEX entries_pot ON entries (pot, id);
CREATE INDEX entries_learned ON entries (learned);

CREATE TABLE entry_values (
  entry INTEGER NOT NULL REFERENCES entries (id),
  name  TEXT    NOT NULL,
  value TEXT    NOT NULL,
  PRIMARY KEY (entry, name)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER entries_stay_whole BEFORE UPDATE ON entries
BEGIN SELECT RAISE (ABORT, 'an entry is never changed: strike it with a later one'); END;
CREATE TRIGGER entries_stay BEFORE DELETE ON entries
BEGIN SELECT RAISE (ABORT, 'an entry is never erased: strike it with a later one'); END;
CREATE TRIGGER entry_values_stay_whole BEFORE UPDATE ON entry_values
BEGIN SELECT RAISE (ABORT, 'an entry is never changed: strike it with a later one'); END;
CREATE TRIGGER entry_values_stay BEFORE DELETE ON entry_values
BEGIN SELECT RAISE (ABORT, 'an entry is never erased: strike it with a later one'); END;

CREATE TABLE series (
  id     INTEGER PRIMARY KEY,
  source TEXT    NOT NULL,
  issued INTEGER,
  member INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX series_identity ON series (source, IFNULL (issued, -9223372036854775808), member);

CREATE TABLE deliveries (
  id            INTEGER PRIMARY KEY,
  series        INTEGER NOT NULL REFERENCES series (id),
  rung          TEXT    NOT NULL CHECK (rung IN ('own_readings', 'published', 'by_hand', 'normals')),
  wind_height_m REAL    NOT NULL,
  learned       INTEGER NOT NULL
) STRICT;
CREATE INDEX deliveries_learned ON deliveries (learned);
CREATE INDEX deliveries_series ON deliveries (series, id);

CREATE TABLE readings (
  series   INTEGER NOT NULL,
  ends     INTEGER NOT NULL,
  span_s   INTEGER NOT NULL CHECK (span_s > 0),
  delivery INTEGER NOT NULL,
  air_temperature_mean_degC       REAL,
  air_temperature_max_degC        REAL,
  air_temperature_min_degC        REAL,
  dew_point_temperature_mean_degC REAL,
  wet_bulb_temperature_mean_degC  REAL,
  relative_humidity_mean_pct      REAL,
  relative_humidity_max_pct       REAL,
  relative_humidity_min_pct       REAL,
  wind_speed_mean_m_s             REAL,
  wind_speed_of_gust_max_m_s      REAL,
  surface_downwelling_shortwave_flux_in_air_mean_W_m2 REAL,
  duration_of_sunshine_sum_h      REAL,
  precipitation_amount_sum_mm     REAL,
  air_pressure_mean_kPa           REAL,
  PRIMARY KEY (series, ends, span_s, delivery)
) STRICT, WITHOUT ROWID;

CREATE TABLE documents (
  digest TEXT NOT NULL PRIMARY KEY,
  text   TEXT NOT NULL
) STRICT;

CREATE TABLE rounds (
  sequence      INTEGER PRIMARY KEY,
  id            TEXT    NOT NULL UNIQUE,
  day           TEXT    NOT NULL,
  walk          TEXT    NOT NULL,
  issued        INTEGER NOT NULL,
  learned       INTEGER NOT NULL,
  inputs_until  INTEGER NOT NULL,
  last_entry    INTEGER NOT NULL,
  last_delivery INTEGER NOT NULL,
  model         TEXT    NOT NULL,
  configuration TEXT    NOT NULL REFERENCES documents (digest),
  tables        TEXT    NOT NULL REFERENCES documents (digest),
  json          TEXT    NOT NULL
) STRICT;
CREATE INDEX rounds_walk ON rounds (day, walk, sequence);
CREATE INDEX rounds_learned ON rounds (learned);
)sql";

// Answers to writes that came with a key, so that a write sent twice is written once. `sequence` says which are oldest.
constexpr const char* version_2 = R"sql(
CREATE TABLE answers (
  sequence INTEGER PRIMARY KEY,
  key      TEXT    NOT NULL UNIQUE,
  request  TEXT    NOT NULL,
  status   INTEGER NOT NULL,
  body     TEXT    NOT NULL
) STRICT;
)sql";

// The queue of lists that are told through channels, and what became of each; at most once a channel.
constexpr const char* version_3 = R"sql(
CREATE TABLE tellings (
  sequence INTEGER PRIMARY KEY,
  channel  TEXT    NOT NULL,
  round    TEXT    NOT NULL,
  state    TEXT    NOT NULL CHECK (state IN ('waiting', 'going', 'told', 'unsure', 'given-up')),
  tries    INTEGER NOT NULL,
  changed  INTEGER NOT NULL,
  error    TEXT    NOT NULL,
  UNIQUE (channel, round)
) STRICT;
CREATE INDEX tellings_state ON tellings (state, sequence);
)sql";

// Who sent a delivery; empty: nobody said, as in all that was delivered before.
constexpr const char* version_4 = "ALTER TABLE deliveries ADD COLUMN author TEXT NOT NULL DEFAULT '';";

constexpr std::array all_migrations{Migration{1, version_1}, Migration{2, version_2}, Migration{3, version_3}, Migration{4, version_4}};

int number_of(const SQLite::Database& database, const char* sql) {
    Query query(database, sql);
    return query.next() ? static_cast<int>(query.integer(0)) : 0;
}

int version_of(const SQLite::Database& database) { return number_of(database, "PRAGMA user_version"); }

void require_known(const SQLite::Database& database, const Path& file, int newest) {
    int version = version_of(database);
    if (version > newest)
        throw StoreFault(
            StoreFault::Kind::newer,
            fmt::format("{}: was written by a newer tubgrove (store version {}, this program knows up to "
                        "{}); nothing was changed, use the newer program",
                        file.string(), version, newest));
    if (version > 0 && number_of(database, "PRAGMA application_id") != application_id)
        throw StoreFault(StoreFault::Kind::not_a_store,
                         fmt::format("{}: is a database, but of another program", file.string()));
    if (version == 0 && number_of(database, "SELECT COUNT(*) FROM sqlite_schema") > 0)
        throw StoreFault(StoreFault::Kind::not_a_store,
                         fmt::format("{}: is a database, but not a store of tubgrove", file.string()));
}

}  // namespace

std::span<const Migration> migrations() { return all_migrations; }

void migrate(SQLite::Database& database, const Path& file, CopyFirst copy, std::span<const Migration> steps) {
    int newest = steps.back().version;
    require_known(database, file, newest);
    if (version_of(database) == newest) return;
    // The lock first, then the version again: another process may have migrated while we waited.
    SQLite::Transaction transaction(database, SQLite::TransactionBehavior::IMMEDIATE);
    require_known(database, file, newest);
    int version = version_of(database);
    if (version == newest) return;
    if (version > 0 && copy == CopyFirst::yes)
        copy_database(file, free_name(file, fmt::format("version-{}", version)));
    for (const auto& step : steps)
        if (step.version > version) database.exec(step.sql);
    database.exec(fmt::format("PRAGMA user_version = {}", newest));
    transaction.commit();
}

}  // namespace tubgrove::store
