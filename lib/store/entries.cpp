#include "store/inside.hpp"

#include <fmt/format.h>

#include <array>

namespace tubgrove {

using namespace store;

namespace {

constexpr std::array<std::string_view, 3> clock_words{"board", "phone", "unknown"};

Clock clock_of(const std::string& word) {
    for (std::size_t i = 0; i < clock_words.size(); ++i)
        if (clock_words[i] == word) return Clock(i);
    return Clock::unknown;
}

constexpr const char* insert_entry = R"sql(
    INSERT INTO entries (pot, action, happened, learned, clock, author, note, round, strikes)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?))sql";

constexpr const char* insert_value = "INSERT INTO entry_values (entry, name, value) VALUES (?, ?, ?)";

constexpr const char* select_entries = R"sql(
    SELECT id, pot, action, happened, learned, clock, author, note, round, strikes, name, value
    FROM entries LEFT JOIN entry_values ON entry = id
    WHERE (?1 IS NULL OR pot = ?1) AND (?2 IS NULL OR happened >= ?2) AND (?3 IS NULL OR happened < ?3)
      AND (?4 IS NULL OR learned <= ?4)
    ORDER BY id, name)sql";

constexpr const char* select_entry = R"sql(
    SELECT id, pot, action, happened, learned, clock, author, note, round, strikes, name, value
    FROM entries LEFT JOIN entry_values ON entry = id
    WHERE id = ?
    ORDER BY name)sql";

void require_struck_exists(const SQLite::Database& database, const Entry& entry) {
    if (!entry.strikes) return;
    Query query(database, "SELECT id FROM entries WHERE id = ?");
    if (!query.bind(*entry.strikes).next())
        throw StoreRefusal(fmt::format("there is no entry {} to strike", *entry.strikes));
}

Entry entry_in(const Query& row) {
    Entry entry;
    entry.id = row.integer(0);
    entry.pot = row.text(1);
    entry.action = row.text(2);
    entry.when = row.instant(3);
    entry.learned = row.instant(4);
    entry.clock = clock_of(row.text(5));
    entry.by = row.text(6);
    entry.note = row.text(7);
    entry.round = row.text(8);
    if (!row.null(9)) entry.strikes = row.integer(9);
    return entry;
}

// An entry comes as one row for each of its values, or as one row without.
std::vector<Entry> entries_in(Query& rows) {
    std::vector<Entry> entries;
    while (rows.next()) {
        if (entries.empty() || entries.back().id != rows.integer(0)) entries.push_back(entry_in(rows));
        if (!rows.null(10)) entries.back().values.emplace(rows.text(10), rows.text(11));
    }
    return entries;
}

}  // namespace

std::int64_t Store::append(const Entry& entry, Behind behind) {
    return append_all(std::span(&entry, 1), behind).front();
}

std::vector<std::int64_t> Store::append_all(std::span<const Entry> entries, Behind behind) {
    return writing(*inside_, [&] {
        auto& database = inside_->database;
        Query insert(database, insert_entry), value(database, insert_value);
        std::vector<std::int64_t> ids;
        for (const auto& entry : entries) {
            require_struck_exists(database, entry);
            auto learned = settle_learned(database, entry.learned, behind);
            insert
                .bind(entry.pot, entry.action, entry.when, learned, clock_words[std::size_t(entry.clock)], entry.by,
                      entry.note, entry.round, entry.strikes)
                .run();
            ids.push_back(database.getLastInsertRowid());
            for (const auto& [name, text] : entry.values) value.bind(ids.back(), name, text).run();
        }
        return ids;
    });
}

std::vector<Entry> Store::entries(const EntryFilter& filter) const {
    return guarded(inside_->file, [&] {
        Query query(inside_->database, select_entries);
        query.bind(filter.pot, filter.from, filter.to, filter.learned_until);
        return entries_in(query);
    });
}

std::optional<Entry> Store::entry(std::int64_t id) const {
    return guarded(inside_->file, [&]() -> std::optional<Entry> {
        Query query(inside_->database, select_entry);
        auto found = entries_in(query.bind(id));
        return found.empty() ? std::nullopt : std::optional(std::move(found.front()));
    });
}

}  // namespace tubgrove
