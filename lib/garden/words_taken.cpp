// Use case: which words this garden takes: the facts of a pot and the actions of the daybook, with the names that they
// may hold. A face offers these as choices and need not know a table of its own.
#include "garden/inside.hpp"

#include <array>

namespace tubgrove {
namespace {

std::string_view kind_word(FactKind kind) {
    constexpr std::array words{"text", "word", "name", "quantity", "pair", "clocks", "day", "yes-no", "group"};
    return words[std::size_t(kind)];
}

std::vector<std::string> split(std::string_view words) {
    std::vector<std::string> parts;
    while (!words.empty()) {
        const auto bar = std::min(words.find('|'), words.size());
        parts.emplace_back(words.substr(0, bar));
        words.remove_prefix(std::min(bar + 1, words.size()));
    }
    return parts;
}

std::vector<std::string> words_of(const FactRow& row, const Names& names) {
    if (row.kind == FactKind::yes_no) return {"yes", "no"};
    if (row.kind != FactKind::name && row.kind != FactKind::day) return split(row.words);
    if (row.words == "bay") return names.bays;
    if (row.words == "medium") return names.media;
    if (row.words == "species") return names.species;
    if (row.words == "rootstock") return names.rootstocks;
    if (row.words == "vigour") return names.vigours;
    return row.words == "stage" ? names.stages : std::vector<std::string>();
}

// What people call the words of a fact, where that is something else.
std::vector<std::string> names_of(const FactRow& row, std::span<const std::string> words, const Tables& tables) {
    std::vector<std::string> names;
    if (row.kind != FactKind::name || row.words != "medium") return names;
    for (const auto& word : words) {
        const auto* medium = tables.medium(word);
        names.push_back(medium ? medium->name : word);
    }
    return names;
}

}  // namespace

Outcome<WordsAnswer> Garden::words(const View& view) {
    const auto names = inside_->names(inside_->lives(view));
    WordsAnswer answer;
    for (const auto& row : fact_rows()) {
        auto allowed = words_of(row, names);
        auto called = names_of(row, allowed, inside_->tables);
        answer.facts.push_back({.key = std::string(row.key), .kind = std::string(kind_word(row.kind)), .unit = std::string(row.unit),
                                .words = std::move(allowed), .names = std::move(called), .help = std::string(row.help), .example = std::string(row.example)});
    }
    for (const auto& action : actions())
        answer.actions.push_back({.word = std::string(action.word), .help = std::string(action.says), .example = std::string(action.example)});
    return answer;
}

}  // namespace tubgrove
