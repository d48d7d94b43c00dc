#include "store/inside.hpp"

#include <array>

namespace tubgrove {

using namespace store;

namespace {

// A count and not an age, since clocks on small boards are wrong.
constexpr std::int64_t remembered = 5'000;

constexpr std::array<std::pair<TellingState, std::string_view>, 5> state_words{{{TellingState::waiting, "waiting"},
                                                                                {TellingState::going, "going"},
                                                                                {TellingState::told, "told"},
                                                                                {TellingState::unsure, "unsure"},
                                                                                {TellingState::given_up, "given-up"}}};

std::string_view word_of(TellingState state) { return state_words[std::size_t(state)].second; }

std::vector<Telling> tellings_in(const SQLite::Database& database, TellingState state) {
    Query query(database, R"sql(
        SELECT channel, round, tries, changed, error
        FROM tellings
        WHERE state = ?
        ORDER BY sequence)sql");
    query.bind(word_of(state));
    std::vector<Telling> found;
    while (query.next())
        found.push_back({.channel = query.text(0), .round = query.text(1), .state = state, .tries = int(query.integer(2)),
                         .changed = query.instant(3), .error = query.text(4)});
    return found;
}

}  // namespace

int Store::tell_later(std::span<const std::string> channels, std::string_view round, Instant now) {
    auto& database = inside_->database;
    const auto known = [&](const std::string& channel) {
        Query query(database, "SELECT 1 FROM tellings WHERE channel = ? AND round = ?");
        return query.bind(channel, round).next();
    };
    const auto fresh = guarded(inside_->file, [&] {
        std::vector<std::string> unknown;
        for (const auto& channel : channels)
            if (!known(channel)) unknown.push_back(channel);
        return unknown;
    });
    if (fresh.empty()) return 0;  // the usual case writes nothing
    return writing(*inside_, [&] {
        int added = 0;
        for (const auto& channel : fresh) {
            Query insert(database, R"sql(
                INSERT INTO tellings (channel, round, state, tries, changed, error)
                VALUES (?, ?, 'waiting', 0, ?, '')
                ON CONFLICT (channel, round) DO NOTHING)sql");
            insert.bind(channel, round, now).run();
            added += database.getChanges();
        }
        Query forget(database, "DELETE FROM tellings WHERE sequence <= (SELECT MAX (sequence) FROM tellings) - ?");
        forget.bind(remembered).run();
        return added;
    });
}

std::vector<Telling> Store::tellings(TellingState state) const {
    return guarded(inside_->file, [&] { return tellings_in(inside_->database, state); });
}

bool Store::telling_begins(std::string_view channel, std::string_view round, Instant now) {
    return writing(*inside_, [&] {
        Query update(inside_->database, R"sql(
            UPDATE tellings SET state = 'going', tries = tries + 1, changed = ?
            WHERE channel = ? AND round = ? AND state = 'waiting')sql");
        update.bind(now, channel, round).run();
        return inside_->database.getChanges() == 1;
    });
}

void Store::telling_ends(std::string_view channel, std::string_view round, const TellingEnd& end) {
    writing(*inside_, [&] {
        Query update(inside_->database, "UPDATE tellings SET state = ?, changed = ?, error = ? WHERE channel = ? AND round = ?");
        update.bind(word_of(end.state), end.at, end.error, channel, round).run();
        return true;
    });
}

std::vector<Telling> Store::tellings_cut_off(Instant now) {
    if (tellings(TellingState::going).empty()) return {};
    return writing(*inside_, [&] {
        auto cut_off = tellings_in(inside_->database, TellingState::going);
        Query update(inside_->database, "UPDATE tellings SET state = 'unsure', changed = ? WHERE state = 'going'");
        update.bind(now).run();
        return cut_off;
    });
}

}  // namespace tubgrove
