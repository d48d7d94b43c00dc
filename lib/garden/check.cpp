// What the pots name and nobody knows any more.
#include "garden/inside.hpp"

#include <cctype>

namespace tubgrove {
namespace {

std::string stands_in_for(std::string_view set) {
    if (set == "bay") return "a bay in full sun and open rain";
    if (set == "medium") return "a usual bought mix";
    if (set == "species") return "the first species of the tables";
    return "the class of its vigour, or of its species";
}

std::string right_for(const std::string& pot, const std::string& key, std::string_view set) {
    const std::string change = ", or say tubgrove pot change " + pot + " " + key + "=…";
    return (set == "bay" ? "put it back into the configuration" : "put its row back into the tables") + change;
}

void add_unknown(Complaints& complaints, const std::string& pot, const std::pair<const std::string, std::string>& fact,
                 const Names& names) {
    const auto* row = find_fact(fact.first);
    if (!row || row->kind != FactKind::name) return;
    const auto parsed = canonical_fact(fact.first, fact.second, names);
    if (good(parsed)) return;
    complaints.push_back({.file = {}, .line = 0, .column = 0,
                          .what = "pot " + pot + ": " + (fact.first == row->words ? "" : fact.first + ": ") + "there is no " + std::string(row->words) + " " +
                                  tubgrove::quoted(fact.second) + " any more, so that it is taken as " + stands_in_for(row->words),
                          .right = right_for(pot, fact.first, row->words)});
}

}  // namespace

Complaints Garden::Inside::unknown_names(const std::vector<PotLife>& lives, Instant now) const {
    Complaints complaints;
    const Names known = names(lives);
    for (const auto& life : lives) {
        if (!life.lives_at(now)) continue;
        for (const auto& fact : life.facts_at(now).facts) add_unknown(complaints, life.id, fact, known);
    }
    return complaints;
}

std::optional<Notice> names_notice(const Complaints& unknown) {
    if (unknown.empty()) return std::nullopt;
    const auto more = unknown.size() - 1;
    std::string text = unknown.front().what + (more ? "; and " + std::to_string(more) + " more such" : "");
    text.front() = char(std::toupper(static_cast<unsigned char>(text.front())));
    return Notice{.code = "name-unknown", .severity = Severity::warning, .values = {}, .text = text + ". tubgrove check says what would be right."};
}

Complaints Garden::unknown_names(const View& view) { return inside_->unknown_names(inside_->lives(view), view.now); }

}  // namespace tubgrove
