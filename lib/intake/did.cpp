#include "intake/did.hpp"

#include "intake/quantity.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using Values = std::map<std::string, std::string>;
using Words = std::span<const std::string>;
using Filled = std::optional<Fault>;   // empty: the values were filled in

// What amounts must be, whoever writes them.
constexpr Wanted litres_wanted{"L", 0.001, 500, "2.5L", true}, depth_wanted{"cm", 0.5, 30, "4cm", true};
constexpr Wanted mass_wanted{"kg", 0.05, 2000, "8.4kg", true}, share_wanted{"%", 0, 100, "20%", true}, crown_wanted{"cm", 1, 1000, "90cm", true};
const std::vector<std::string> moistures{"dry", "barely-moist", "moist", "wet"}, round_answers{"all", "some", "none"};

std::string joined(Words words) {
    std::string text;
    for (const auto& word : words) text += (text.empty() ? "" : " ") + word;
    return text;
}

std::string like(const Action& action) { return fmt::format("write it like: did 7 {}", action.example); }

Filled amount(const Action& action, Words rest, const Wanted& wanted, const char* key, Values& values) {
    if (rest.empty()) return Fault{fmt::format("{} needs an amount", action.word), like(action)};
    if (std::ranges::any_of(rest.subspan(1), [](const auto& word) { return !word.empty() && word[0] >= '0' && word[0] <= '9' && word.find(':') == std::string::npos; }))   // 07:30 is a time
        return Fault{fmt::format("{} takes one amount, but {} is more than one", action.word, quoted(joined(rest))), like(action)};
    auto parsed = parse_quantity(joined(rest), wanted);
    if (!good(parsed)) return Fault{fmt::format("{}: {}", action.word, fault(parsed).what), fault(parsed).right};
    values[key] = decimal(*good(parsed));
    return std::nullopt;
}

Filled one_word(const Action& action, Words rest, std::span<const std::string> allowed, const char* key, Values& values) {
    if (rest.size() != 1) return Fault{fmt::format("{} needs one word", action.word), like(action)};
    if (!allowed.empty() && std::ranges::find(allowed, rest[0]) == allowed.end()) {
        auto near = nearest(rest[0], allowed);
        return Fault{fmt::format("{}: {} is not known", action.word, quoted(rest[0])),
                     did_you_mean(near, fmt::format("write {}", one_of(allowed)))};
    }
    values[key] = rest[0];
    return std::nullopt;
}

// "90cm by 80cm high 140cm"; the second width and the height may be left out.
Filled crown(const Action& action, Words rest, Values& values) {
    auto text = joined(rest);
    std::string_view left = text;
    auto high = left.find(" high ");
    auto height = high == std::string_view::npos ? std::string_view() : left.substr(high + 6);
    left = left.substr(0, high);
    auto by = left.find(" by ");
    if (by == std::string_view::npos) by = left.find(" x ");
    auto second = by == std::string_view::npos ? std::string_view() : left.substr(left.find(' ', by + 1) + 1);
    const std::array parts{std::pair("across_1_cm", left.substr(0, by)), std::pair("across_2_cm", second), std::pair("height_cm", height)};
    if (left.empty()) return Fault{"crown needs a width", like(action)};
    for (const auto& [key, written] : parts) {
        if (written.empty()) continue;
        auto parsed = parse_quantity(written, crown_wanted);
        if (!good(parsed)) return Fault{fmt::format("crown: {}", fault(parsed).what), fault(parsed).right};
        values[key] = decimal(*good(parsed));
    }
    if (!values.contains("across_2_cm")) values["across_2_cm"] = values["across_1_cm"];
    return std::nullopt;
}

Filled facts(const Action& action, Words rest, const Names& names, Values& values) {
    auto read = parse_facts(rest, names);
    if (!read.ok()) return Fault{fmt::format("{}: {}", action.word, read.complaints[0].what), read.complaints[0].right};
    for (const auto& fact : read.value) values[fact.key] = fact.value;
    return std::nullopt;
}

Filled free_words(const Action& action, Words rest, Values& values) {
    auto text = joined(rest);
    bool control = std::ranges::any_of(text, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; });
    if (text.size() > 2000 || control) return Fault{fmt::format("{}: the text is too long or holds control bytes", action.word), "write at most 2000 bytes of plain text"};
    if (!text.empty()) values["text"] = text;
    return std::nullopt;
}

// The first word counts, written small; what follows it, and what is not known, is kept as words. Of what was seen every word that is not
// known is told, elsewhere, where any words may follow, only one that is nearly one that counts.
Filled words_that_count(const Action& action, Words rest, Did& did) {
    const auto known = counted_words(action.word);
    if (rest.empty() || known.empty()) return free_words(action, rest, did.values);
    std::vector<std::string> words(rest.begin(), rest.end());
    for (char& c : words[0])
        if (c >= 'A' && c <= 'Z') c = char(c - 'A' + 'a');
    if (std::ranges::find(known, words[0]) == known.end()) {
        const auto near = nearest(words[0], known);
        if (!near.empty() || action.takes == Takes::sight)
            did.remarks.push_back(fmt::format("{} is kept as words; what counts is {}{}", quoted(rest[0]), one_of(known),
                                              near.empty() ? "" : fmt::format("; did you mean {}?", near)));
        words[0] = rest[0];
    }
    return free_words(action, words, did.values);
}

Filled sight(const Action& action, Words rest, Did& did) {
    if (rest.empty()) return Fault{fmt::format("{} needs a word", action.word), like(action)};
    return words_that_count(action, rest, did);
}

Filled shade(const Action& action, Words rest, Values& values) {
    if (rest.empty()) return std::nullopt;
    if (rest[0] == "cloth" && rest.size() > 1) rest = rest.subspan(1);   // "cloth 40%"
    const bool amount_follows = rest[0].find_first_of("0123456789") != std::string::npos;
    if (amount_follows) return amount(action, rest, {"%", 0, 100, "40%", true}, "share_pct", values);
    const std::vector<std::string> allowed(shade_words().begin(), shade_words().end());
    return one_word(action, rest, allowed, "text", values);
}

Filled fill(const Action& action, Words rest, const Names& names, Did& did) {
    Values& values = did.values;
    switch (action.takes) {
        case Takes::nothing:
            if (rest.empty()) return std::nullopt;
            return Fault{fmt::format("{} takes nothing, but {} follows", action.word, quoted(joined(rest))), "write other remarks as a note"};
        case Takes::litres: return amount(action, rest, litres_wanted, "amount_l", values);
        case Takes::maybe_litres: return rest.empty() ? std::nullopt : amount(action, rest, litres_wanted, "amount_l", values);
        case Takes::depth: return rest.empty() ? std::nullopt : amount(action, rest, depth_wanted, "depth_cm", values);
        case Takes::mass: return amount(action, rest, mass_wanted, "mass_kg", values);
        case Takes::share: return rest.empty() ? std::nullopt : amount(action, rest, share_wanted, "share_pct", values);
        case Takes::shade: return shade(action, rest, values);
        case Takes::sight: return sight(action, rest, did);
        case Takes::moisture: return one_word(action, rest, moistures, "class", values);
        case Takes::bay: return one_word(action, rest, names.bays, "bay", values);
        case Takes::stage: return one_word(action, rest, names.stages, "stage", values);
        case Takes::crown: return crown(action, rest, values);
        case Takes::facts: return facts(action, rest, names, values);
        case Takes::words: return words_that_count(action, rest, did);
    }
    return std::nullopt;
}

// Actions that concern one tree and not the whole pot.
bool about_a_tree(std::string_view action) {
    constexpr std::array words{std::string_view("stake-checked"), std::string_view("tie-loosened"), std::string_view("crown"),
                               std::string_view("pruned"),        std::string_view("stage"),        std::string_view("grafted"),
                               std::string_view("graft-taken"),   std::string_view("graft-failed"), std::string_view("died"),
                               std::string_view("noted")};
    return std::ranges::find(words, action) != words.end();
}

// "7" or "7.b".
Filled add_pot(const std::string& word, const Names& names, Did& did) {
    auto dot = word.find('.');
    auto pot = word.substr(0, dot);
    if (!names.pots.empty() && std::ranges::find(names.pots, pot) == names.pots.end()) {
        if (const auto comma = pot.find(','); comma != std::string::npos) return Fault{fmt::format("there is no pot {}", quoted(word)), "write several pots with blanks between them, such as: did 7 8 watered 2.5L"};
        if (pot == "all") return Fault{"there is no pot 'all'", "name the pots, or say did round all of a list"};
        if (pot == "pot" || pot == "pots") return Fault{fmt::format("there is no pot {}", quoted(pot)), "write the id alone, such as: did 7 watered 2.5L"};
        auto near = nearest(pot, names.pots);
        return Fault{fmt::format("there is no pot {}", quoted(pot)),
                     did_you_mean(near, "`pot list` shows the pots")};
    }
    if (auto wrong = wrong_pot_id(pot)) return *wrong;
    if (std::ranges::find(did.pots, pot) != did.pots.end()) return Fault{fmt::format("the pot {} is named twice", pot), "name it once"};
    did.pots.push_back(pot);
    if (dot != std::string::npos) did.values["tree"] = word.substr(dot + 1);
    return std::nullopt;
}

Parsed<Did> whole_round(Words words) {
    Did did;
    did.action = "round";
    if (words.size() < 2 || words.size() > 3) return Fault{"`did round` needs an answer", "write: did round all, some or none, with the round's id before it if it is not the last one"};
    const auto& answer = words.back();
    if (std::ranges::find(round_answers, answer) == round_answers.end()) {
        auto near = nearest(answer, round_answers);
        return Fault{fmt::format("{} does not answer for a round", quoted(answer)), did_you_mean(near, "write all, some or none")};
    }
    if (words.size() == 3) did.round = words[1];
    did.values["poured"] = answer;
    return did;
}

// "water" for watered, "prune" for pruned: the first action that begins as a word of four letters or more does; else empty.
std::string begun(const std::string& word, std::span<const std::string_view> known) {
    if (word.size() < 4) return {};
    const auto found = std::ranges::find_if(known, [&](std::string_view action) { return action.starts_with(word); });
    return found == known.end() ? std::string() : std::string(*found);
}

Fault no_action(Words words) {
    std::vector<std::string_view> known;
    for (const auto& action : actions()) known.push_back(action.word);
    for (const auto& word : words) {
        auto near = nearest(word, known);
        if (near.empty()) near = begun(word, known);
        if (!near.empty()) return {fmt::format("{} is not an action", quoted(word)), fmt::format("did you mean {}?", near)};
    }
    return {fmt::format("there is no action in {}", quoted(joined(words))), "write: did POT… ACTION, such as did 7 watered 2.5L"};
}

}  // namespace

Parsed<Did> parse_did(std::span<const std::string> words, const Names& names) {
    if (words.empty()) return Fault{"nothing was said", "write: did POT… ACTION, such as did 7 watered 2.5L"};
    if (words[0] == "round") return whole_round(words);
    auto action_at = std::ranges::find_if(words, [](const std::string& word) { return find_action(word) != nullptr; });
    if (action_at == words.end()) return no_action(words);
    const auto& action = *find_action(*action_at);
    auto pots = words.first(std::size_t(action_at - words.begin())), rest = words.subspan(pots.size() + 1);
    if (pots.empty()) return Fault{fmt::format("{}: no pot is named", action.word), like(action)};
    Did did;
    did.action = action.word;
    for (const auto& pot : pots)
        if (auto wrong = add_pot(pot, names, did)) return *wrong;
    if (did.values.contains("tree") && did.pots.size() > 1) return Fault{"a tree is named beside several pots", "write one entry a tree, such as: did 7.b died"};
    if (did.values.contains("tree") && !about_a_tree(action.word))
        return Fault{fmt::format("{} concerns the whole pot, not tree {}", action.word, quoted(did.values["tree"])), fmt::format("write: did {} {}", did.pots[0], action.example)};
    if (auto wrong = fill(action, rest, names, did)) return *wrong;
    return did;
}

namespace {

using Wrong = std::optional<WrongEntry>;
enum class Need : unsigned char { must, may };

Wrong in_values(std::string what, std::string right) { return WrongEntry{.in_values = true, .fault = {std::move(what), std::move(right)}}; }

const std::string* value_of(const Entry& entry, const char* key) {
    const auto found = entry.values.find(key);
    return found == entry.values.end() ? nullptr : &found->second;
}

Wrong missing(const Entry& entry, const std::string& example) { return in_values(fmt::format("{}: the values lack {}", entry.action, example.substr(0, example.find('='))), fmt::format("write {}", example)); }

Wrong wrong_amount(const Entry& entry, const char* key, const Wanted& wanted, Need need) {
    const auto* written = value_of(entry, key);
    if (!written) return need == Need::may ? std::nullopt : missing(entry, fmt::format("{}={}", key, decimal(wanted.low < 1 && wanted.high > 1 ? 1 : wanted.low)));
    const auto number = parse_number(*written, wanted.low, wanted.high);
    if (good(number)) return std::nullopt;
    return in_values(fmt::format("{}: {}: {}", entry.action, key, fault(number).what), fault(number).right);
}

Wrong wrong_word(const Entry& entry, const char* key, std::span<const std::string> allowed) {
    const auto* written = value_of(entry, key);
    if (!written || written->empty()) return missing(entry, fmt::format("{}={}", key, allowed.empty() ? "WORD" : allowed.front()));
    if (allowed.empty() || std::ranges::find(allowed, *written) != allowed.end()) return std::nullopt;
    return in_values(fmt::format("{}: {}: {} is not known", entry.action, key, quoted(*written)), did_you_mean(nearest(*written, allowed), fmt::format("write {}", one_of(allowed))));
}

Wrong wrong_facts(const Entry& entry) {
    for (const auto& [key, value] : entry.values) {
        const auto fact = canonical_fact(key, value, {});
        if (!good(fact)) return in_values(fmt::format("{}: {}: {}", entry.action, key, fault(fact).what), fault(fact).right);
    }
    return std::nullopt;
}

Wrong wrong_crown(const Entry& entry) {
    for (const auto& [key, need] : {std::pair("across_1_cm", Need::must), std::pair("across_2_cm", Need::must), std::pair("height_cm", Need::may)})
        if (auto wrong = wrong_amount(entry, key, crown_wanted, need)) return wrong;
    return std::nullopt;
}

Wrong wrong_job(const Entry& entry) {
    if (auto wrong = wrong_word(entry, "job", {})) return wrong;
    if (entry.action == "job-dropped") return wrong_word(entry, "text", {});
    const auto* until = value_of(entry, "until");
    if (until && parse_day(*until)) return std::nullopt;
    return in_values(fmt::format("{}: until is not a date", entry.action), "write until=2026-07-20");
}

// Of an action that other commands than `did` write.
Wrong wrong_other(const Entry& entry) {
    if (entry.action == "round") return entry.round.empty() ? Wrong({.in_values = false, .fault = {"round: the list that it answers is not named", "write its id, such as 2026-07-14-morning"}}) : wrong_word(entry, "poured", round_answers);
    if (entry.action == "struck") return entry.strikes ? Wrong() : Wrong({.in_values = false, .fault = {"struck: the entry that it strikes is not named", "write its number"}});
    if (entry.action == "added" || entry.action == "changed") return wrong_facts(entry);
    if (entry.action.starts_with("job-")) return wrong_job(entry);
    return std::nullopt;
}

Wrong wrong_values(const Entry& entry, Takes takes) {
    switch (takes) {
        case Takes::litres: return wrong_amount(entry, "amount_l", litres_wanted, Need::must);
        case Takes::maybe_litres: return wrong_amount(entry, "amount_l", litres_wanted, Need::may);
        case Takes::depth: return wrong_amount(entry, "depth_cm", depth_wanted, Need::may);
        case Takes::mass: return wrong_amount(entry, "mass_kg", mass_wanted, Need::must);
        case Takes::share:
        case Takes::shade: return wrong_amount(entry, "share_pct", share_wanted, Need::may);
        case Takes::moisture: return wrong_word(entry, "class", moistures);
        case Takes::bay: return wrong_word(entry, "bay", {});
        case Takes::stage: return wrong_word(entry, "stage", {});
        case Takes::crown: return wrong_crown(entry);
        case Takes::facts: return wrong_facts(entry);
        case Takes::nothing:
        case Takes::sight:   // earlier daybooks hold any words
        case Takes::words: return std::nullopt;
    }
    return std::nullopt;
}

Fault unknown_action(const std::string& action) {
    std::vector<std::string_view> known(other_actions().begin(), other_actions().end());
    for (const auto& one : actions()) known.push_back(one.word);
    return {fmt::format("{} is not an action", quoted(action)), did_you_mean(nearest(action, known), "write what was done, such as watered")};
}

}  // namespace

std::optional<WrongEntry> wrong_entry(const Entry& entry) {
    const auto* action = find_action(entry.action);
    if (!action && std::ranges::find(other_actions(), entry.action) == other_actions().end())
        return WrongEntry{.in_values = false, .fault = unknown_action(entry.action)};
    if (!action) return wrong_other(entry);
    if (entry.pot.empty()) return WrongEntry{.in_values = false, .fault = {fmt::format("{}: no pot is named", entry.action), "write the pot's id"}};
    return wrong_values(entry, action->takes);
}

}  // namespace tubgrove
