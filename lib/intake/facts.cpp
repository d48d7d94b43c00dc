#include "intake/facts.hpp"

#include "intake/quantity.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

namespace tubgrove {
namespace {

std::string_view trimmed(std::string_view text) {
    auto first = text.find_first_not_of(" \t"), last = text.find_last_not_of(" \t");
    return first == std::string_view::npos ? std::string_view() : text.substr(first, last - first + 1);
}

std::vector<std::string_view> split(std::string_view text, char by) {
    std::vector<std::string_view> parts;
    for (;;) {
        auto end = text.find(by);
        parts.push_back(text.substr(0, end));
        if (end == std::string_view::npos) return parts;
        text.remove_prefix(end + 1);
    }
}

Fault nearest_word(std::string_view what, std::string_view written, std::span<const std::string_view> allowed) {
    auto near = nearest(written, allowed);
    return {fmt::format("{} is not {}", quoted(written), what),
            did_you_mean(near, fmt::format("write {}", one_of(allowed)))};
}

struct NameSet {
    const std::vector<std::string>* names;
    std::string_view what;
};
NameSet name_set(std::string_view which, const Names& names) {
    if (which == "bay") return {&names.bays, "a bay of the configuration"};
    if (which == "medium") return {&names.media, "a known medium"};
    if (which == "species") return {&names.species, "a known species"};
    if (which == "rootstock") return {&names.rootstocks, "a known rootstock"};
    if (which == "vigour") return {&names.vigours, "a class of vigour"};
    return {&names.stages, "a known stage of growth"};
}

std::optional<Fault> unknown_name(std::string_view written, const NameSet& set) {
    if (set.names->empty() || std::ranges::find(*set.names, written) != set.names->end()) return std::nullopt;
    auto near = nearest(written, *set.names);
    return Fault{fmt::format("{} is not {}", quoted(written), set.what),
                 did_you_mean(near, fmt::format("known are {}", one_of(*set.names)))};
}

Parsed<std::string> free_text(std::string_view value) {
    constexpr std::size_t most = 120;
    if (value.size() > most) return Fault{fmt::format("{} has {} bytes", quoted(value), value.size()), fmt::format("at most {} are kept", most)};
    bool control = std::ranges::any_of(value, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; });
    if (control) return Fault{fmt::format("{} holds a control byte", quoted(value)), "write one line of plain text"};
    return std::string(value);
}

Parsed<std::string> one_quantity(const FactRow& row, std::string_view value, bool decimal_comma) {
    auto parsed = parse_quantity(value, {row.unit, row.low, row.high, row.example, decimal_comma});
    const auto* number = good(parsed);
    if (!number) return fault(parsed);
    if (row.unit == "d" && *number != double(long(*number)))
        return Fault{fmt::format("{} is not a whole number of days", quoted(value)), "write it like 2 d"};
    // 5 US gallons are 18.9271 L: more digits than anybody measures only get in the way.
    constexpr double finest = 1e4;
    return fmt::format("{} {}", decimal(std::round(*number * finest) / finest), row.unit);
}

Parsed<std::string> pair_of(FactRow row, std::string_view value, bool decimal_comma) {
    row.example = "90 cm";
    auto by = value.find(" by ");
    auto comma = value.find(", ");
    auto cut = by != std::string_view::npos ? by : comma;
    if (cut == std::string_view::npos) return one_quantity(row, value, decimal_comma);
    auto first = one_quantity(row, trimmed(value.substr(0, cut)), decimal_comma);
    auto second = one_quantity(row, trimmed(value.substr(cut + (cut == by ? 4 : 2))), decimal_comma);
    if (!good(first)) return first;
    if (!good(second)) return second;
    return fmt::format("{} by {}", *good(first), *good(second));
}

Parsed<std::string> clock_times(std::string_view value) {
    std::vector<std::string> times;
    for (auto part : split(value, ',')) {
        auto written = trimmed(part);
        // 6:00 is how many write it
        auto padded = written.size() == 4 ? fmt::format("0{}", written) : std::string(written);
        if (!parse_clock(padded)) return Fault{fmt::format("{} is not a time of day", quoted(written)), "write it like 06:00,20:00"};
        times.push_back(padded);
    }
    if (times.size() > 48) return Fault{fmt::format("there are {} times", times.size()), "at most 48 a day are taken"};
    std::ranges::sort(times);
    times.erase(std::unique(times.begin(), times.end()), times.end());
    return fmt::format("{}", fmt::join(times, ","));
}

Parsed<std::string> calendar_day(std::string_view value) {
    auto found = parse_day(value);
    constexpr std::string_view right = "write year, month and day, like 2026-03-02";
    if (!found) return Fault{fmt::format("{} is not a day of the calendar", quoted(value)), std::string(right)};
    using namespace std::chrono;
    if (*found < LocalDay(1850y / 1 / 1) || *found > LocalDay(2200y / 1 / 1))
        return Fault{fmt::format("the day {} is out of range", value), "1850-01-01 to 2200-01-01 is allowed"};
    return format_day(*found);
}

bool withdraws(const FactRow& row, std::string_view value) {
    return value == "unknown" || (!row.words.empty() && value == row.words && (row.words == "no" || row.words == "gone"));
}

Parsed<std::string> canonical(const FactRow& row, std::string_view value, const Names& names, bool decimal_comma) {
    switch (row.kind) {
        case FactKind::text: return free_text(value);
        case FactKind::word: {
            auto allowed = split(row.words, '|');
            if (std::ranges::find(allowed, value) != allowed.end()) return std::string(value);
            return nearest_word("a word for it", value, allowed);
        }
        case FactKind::name: {
            if (auto wrong = unknown_name(value, name_set(row.words, names))) return *wrong;
            return free_text(value);
        }
        case FactKind::quantity: return one_quantity(row, value, decimal_comma);
        case FactKind::pair: return pair_of(row, value, decimal_comma);
        case FactKind::clocks: return clock_times(value);
        case FactKind::day: return calendar_day(value);
        case FactKind::yes_no:
            if (value == "yes" || value == "true") return std::string("yes");
            if (value == "no" || value == "false") return std::string("no");
            return Fault{fmt::format("{} is neither yes nor no", quoted(value)), "write yes or no"};
        case FactKind::group: break;
    }
    return Fault{fmt::format("{} is not a value for it", quoted(value)), fmt::format("write {}, or a fact below it", row.words)};
}

// The table's keys with the parts that '*' stands for taken from `key`, for a hint.
Fault unknown_key(std::string_view key) {
    auto parts = split(key, '.');
    std::vector<std::string> candidates;
    for (const auto& row : fact_rows()) {
        std::string filled;
        std::size_t i = 0;
        for (auto part : split(row.key, '.')) {
            if (i > 0) filled += '.';
            filled += part == "*" ? (i < parts.size() ? parts[i] : std::string_view("a")) : part;
            ++i;
        }
        candidates.push_back(filled);
    }
    auto near = nearest(key, candidates);
    return {fmt::format("there is no fact {}", quoted(key)),
            did_you_mean(near, "facts are such as container.size=40L, medium=loam or tree.a.species=apple")};
}

std::optional<Fault> wrong_tree_id(std::string_view key) {
    auto parts = split(key, '.');
    if (parts[0] != "tree" || parts.size() < 2) return std::nullopt;
    auto id = parts[1];
    bool plain = !id.empty() && id.size() <= 8 && std::ranges::all_of(id, [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    });
    if (plain) return std::nullopt;
    return Fault{fmt::format("{} can not be a tree's id", quoted(id)), "write one to eight small letters or digits, such as a"};
}

bool below(std::string_view key, std::string_view group) {
    return key.size() > group.size() && key.starts_with(group) && key[group.size()] == '.';
}

void erase_group(Facts& facts, std::string_view group) {
    std::erase_if(facts, [&](const auto& fact) { return fact.first == group || below(fact.first, group); });
}

constexpr std::array measured_sides{std::string_view("container.top"), std::string_view("container.base"), std::string_view("container.top_across"),
                                    std::string_view("container.base_across"), std::string_view("container.height")};

bool states(std::span<const Fact> facts, std::string_view key) {
    return std::ranges::any_of(facts, [&](const Fact& fact) { return fact.key == key && fact.value != "unknown"; });
}

}  // namespace

Parsed<Fact> canonical_fact(std::string_view key, std::string_view value_text, const Names& names, bool decimal_comma) {
    if (auto wrong = wrong_tree_id(key)) return *wrong;
    const auto* row = find_fact(key);
    if (!row) return unknown_key(key);
    auto value = trimmed(value_text);
    auto at_key = [&](const Fault& f) { return Fault{fmt::format("{}: {}", key, f.what), f.right}; };
    if (value.empty()) return at_key({"there is no value", fmt::format("write it like {}={}", key, row->example)});
    if (row->key == "tree.*.stage.*")
        if (auto wrong = unknown_name(key.substr(key.rfind('.') + 1), name_set("stage", names))) return *wrong;
    if (withdraws(*row, value)) return Fact{std::string(key), std::string(value)};
    auto parsed = canonical(*row, value, names, decimal_comma);
    if (const auto* text = good(parsed)) return Fact{std::string(key), *text};
    return at_key(fault(parsed));
}

Read<std::vector<Fact>> parse_facts(std::span<const std::string> words, const Names& names) {
    Read<std::vector<Fact>> read;
    int place = 0;
    for (const auto& word : words) {
        ++place;
        auto complain = [&](const Fault& f) { read.complaints.push_back({"", 0, place, f.what, f.right}); };
        auto equals = word.find('=');
        if (equals == std::string::npos) {
            complain({fmt::format("{} is not a fact", quoted(word)), "write KEY=VALUE, such as container.size=40L"});
            continue;
        }
        auto parsed = canonical_fact(std::string_view(word).substr(0, equals), std::string_view(word).substr(equals + 1), names);
        const auto* fact = good(parsed);
        if (!fact)
            complain(fault(parsed));
        else if (std::ranges::find(read.value, fact->key, &Fact::key) != read.value.end())
            complain({fmt::format("{} is given twice", fact->key), "keep one of them"});
        else
            read.value.push_back(*fact);
    }
    return read;
}

Facts merge(Facts facts, std::span<const Fact> newer) {
    if (states(newer, "container.size"))
        for (auto side : measured_sides) facts.erase(std::string(side));
    if (states(newer, "container.top")) facts.erase("container.size");
    for (const auto& fact : newer) {
        const auto* row = find_fact(fact.key);
        if (row && withdraws(*row, fact.value))
            erase_group(facts, fact.key);
        else
            facts[fact.key] = fact.value;
    }
    return facts;
}

std::optional<Fault> wrong_pot_id(std::string_view id) {
    constexpr std::string_view right = "use 1 to 24 letters, digits, - or _, such as 7 or lemon-2";
    constexpr std::array reserved{std::string_view("round"), std::string_view("all"),   std::string_view("some"), std::string_view("none"),
                                  std::string_view("no"),    std::string_view("yes"),   std::string_view("by"),   std::string_view("high"),
                                  std::string_view("tree"),  std::string_view("pot"),   std::string_view("pots"), std::string_view("null"),
                                  std::string_view("true"),  std::string_view("false"), std::string_view("gone"), std::string_view("unknown"),
                                  std::string_view("job"),   std::string_view("jobs")};
    if (id.empty()) return Fault{"a pot has no id", std::string(right)};
    auto letter_or_digit = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80;
    };
    bool plain = letter_or_digit(id[0]) && std::ranges::all_of(id, [&](char c) { return letter_or_digit(c) || c == '-' || c == '_'; });
    if (id.size() > 24 || !plain) return Fault{fmt::format("{} can not be a pot's id", quoted(id)), std::string(right)};
    if (find_action(id) || std::ranges::find(reserved, id) != reserved.end())
        return Fault{fmt::format("{} can not be a pot's id, since it is a word of the commands", quoted(id)), fmt::format("call it pot-{}, or as its label says", id)};
    return std::nullopt;
}

}  // namespace tubgrove
