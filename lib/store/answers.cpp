#include "store/inside.hpp"

namespace tubgrove {

using namespace store;

namespace {

constexpr std::int64_t remembered = 20'000;

std::optional<KeptAnswer> kept(const SQLite::Database& database, std::string_view key) {
    Query query(database, "SELECT request, status, body FROM answers WHERE key = ?");
    if (!query.bind(key).next()) return std::nullopt;
    return KeptAnswer{.request = query.text(0), .status = int(query.integer(1)), .body = query.text(2)};
}

void keep(const SQLite::Database& database, std::string_view key, const KeptAnswer& answer) {
    Query insert(database, "INSERT INTO answers (key, request, status, body) VALUES (?, ?, ?, ?)");
    insert.bind(key, answer.request, answer.status, answer.body).run();
    Query forget(database, "DELETE FROM answers WHERE sequence <= (SELECT MAX (sequence) FROM answers) - ?");
    forget.bind(remembered).run();
}

// While it lives, writes join the transaction that is open.
class Within {
public:
    explicit Within(bool& flag) : flag_(flag) { flag_ = true; }
    ~Within() { flag_ = false; }
    Within(const Within&) = delete;

private:
    bool& flag_;
};

}  // namespace

std::optional<KeptAnswer> Store::answer_once(std::string_view key, const std::function<std::optional<KeptAnswer>()>& work) {
    auto& inside = *inside_;
    return guarded(inside.file, [&]() -> std::optional<KeptAnswer> {
        if (auto known = kept(inside.database, key)) return known;  // without waiting for anybody's write
        require_ready(inside);
        SQLite::Transaction transaction(inside.database, SQLite::TransactionBehavior::IMMEDIATE);
        if (auto known = kept(inside.database, key)) return known;
        const Within joined(inside.within_work);
        auto answer = work();
        if (!answer) return std::nullopt;  // the transaction is taken back
        keep(inside.database, key, *answer);
        transaction.commit();
        return answer;
    });
}

void Store::together(const std::function<void()>& work) {
    auto& inside = *inside_;
    guarded(inside.file, [&] {
        if (inside.within_work) return work();
        require_ready(inside);
        SQLite::Transaction transaction(inside.database, SQLite::TransactionBehavior::IMMEDIATE);
        const Within joined(inside.within_work);
        work();
        transaction.commit();
    });
}

}  // namespace tubgrove
