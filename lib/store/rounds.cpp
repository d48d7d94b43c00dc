#include "store/inside.hpp"

namespace tubgrove {

using namespace store;

namespace {

constexpr const char* keep_document =
    "INSERT INTO documents (digest, text) VALUES (?, ?) ON CONFLICT (digest) DO NOTHING";

constexpr const char* insert_round = R"sql(
    INSERT INTO rounds (id, day, walk, issued, learned, inputs_until, last_entry, last_delivery, model, configuration, tables, json)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?))sql";

constexpr const char* select_round = R"sql(
    SELECT id, day, walk, issued, learned, inputs_until, last_entry, last_delivery, model, configuration, tables, json
    FROM rounds
    WHERE id = ?
    ORDER BY sequence)sql";

constexpr const char* select_latest = R"sql(
    SELECT id, day, walk, issued, learned, inputs_until, last_entry, last_delivery, model, configuration, tables, json
    FROM rounds
    WHERE day = ?1 AND walk = ?2 AND (?3 IS NULL OR learned <= ?3)
    ORDER BY sequence DESC LIMIT 1)sql";

constexpr const char* select_rounds = R"sql(
    SELECT id, day, walk, issued, learned, inputs_until, last_entry, last_delivery, model, configuration, tables, ''
    FROM rounds
    WHERE day >= ?1 AND day < ?2 AND (?3 IS NULL OR learned <= ?3)
    ORDER BY sequence)sql";

IssuedRound round_in(const Query& row) {
    return {.id = row.text(0),
            .day = parse_day(row.text(1)).value_or(LocalDay{}),
            .walk = row.text(2),
            .issued = row.instant(3),
            .learned = row.instant(4),
            .inputs_until = row.instant(5),
            .inputs = {.entry = row.integer(6), .delivery = row.integer(7)},
            .model = row.text(8),
            .configuration = row.text(9),
            .tables = row.text(10),
            .json = row.text(11)};
}

std::optional<IssuedRound> maybe_round(Query& rows) {
    return rows.next() ? std::optional(round_in(rows)) : std::nullopt;
}

}  // namespace

bool Store::put_round(const IssuedRound& round, const RoundDocuments& documents, Behind behind) {
    auto configuration = sha256(documents.configuration), tables = sha256(documents.tables);
    return writing(*inside_, [&] {
        auto& database = inside_->database;
        Query existing(database, select_round);
        if (existing.bind(round.id).next()) return false;
        auto learned = settle_learned(database, round.learned, behind);
        Query document(database, keep_document);
        document.bind(configuration, documents.configuration).run();
        document.bind(tables, documents.tables).run();
        Query insert(database, insert_round);
        insert
            .bind(round.id, format_day(round.day), round.walk, round.issued, learned, round.inputs_until,
                  round.inputs.entry, round.inputs.delivery, round.model, configuration, tables, round.json)
            .run();
        return true;
    });
}

std::optional<IssuedRound> Store::round(std::string_view id) const {
    return guarded(inside_->file, [&] {
        Query query(inside_->database, select_round);
        return maybe_round(query.bind(id));
    });
}

std::optional<IssuedRound> Store::latest_round(LocalDay day, std::string_view walk,
                                               std::optional<Instant> learned_until) const {
    return guarded(inside_->file, [&] {
        Query query(inside_->database, select_latest);
        return maybe_round(query.bind(format_day(day), walk, learned_until));
    });
}

std::int64_t Store::newest_round() const {
    return guarded(inside_->file, [&] {
        Query query(inside_->database, "SELECT IFNULL (MAX (sequence), 0) FROM rounds");
        query.next();
        return query.integer(0);
    });
}

std::vector<IssuedRound> Store::rounds(LocalDay from, LocalDay to, std::optional<Instant> learned_until) const {
    return guarded(inside_->file, [&] {
        Query query(inside_->database, select_rounds);
        query.bind(format_day(from), format_day(to), learned_until);
        std::vector<IssuedRound> found;
        while (query.next()) found.push_back(round_in(query));
        return found;
    });
}

std::optional<std::string> Store::document(std::string_view digest) const {
    return guarded(inside_->file, [&]() -> std::optional<std::string> {
        Query query(inside_->database, "SELECT text FROM documents WHERE digest = ?");
        return query.bind(digest).next() ? std::optional(query.text(0)) : std::nullopt;
    });
}

}  // namespace tubgrove
