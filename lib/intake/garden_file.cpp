#include "intake/garden_file.hpp"

#include "intake/section.hpp"

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using Kind = YamlNode::Kind;

// 10,000 pots with all their facts.
constexpr YamlLimits garden_limits{std::size_t(32) << 20, 2'000'000, 12};

// Parts that may follow `prefix` ("" or "container.") in the table; trees are written under `trees`, so not among them.
std::vector<std::string> parts_after(std::string_view prefix, std::string_view pattern_prefix) {
    std::set<std::string> parts;
    for (const auto& row : fact_rows()) {
        if (!row.key.starts_with(pattern_prefix) || row.key.size() <= pattern_prefix.size()) continue;
        auto rest = row.key.substr(pattern_prefix.size());
        parts.insert(std::string(rest.substr(0, rest.find('.'))));
    }
    parts.erase("*");
    if (prefix.empty()) parts.erase("tree");
    return {parts.begin(), parts.end()};
}

bool leads_somewhere(std::string_view pattern_prefix) {
    return std::ranges::any_of(fact_rows(), [&](const FactRow& row) { return row.key.starts_with(pattern_prefix); });
}

// A list of scalars as a fact's value takes it: "90 cm, 80 cm".
std::optional<std::string> joined(const YamlNode& node) {
    std::string text;
    for (const auto& item : node.items) {
        if (item.kind != Kind::scalar) return std::nullopt;
        text += (text.empty() ? "" : ", ") + item.text;
    }
    return text;
}

class PotReader {
public:
    PotReader(const Desk& desk, const Names& names, GardenPot& pot) : desk_(desk), names_(names), pot_(pot) {}

    void facts(const YamlNode& node, const std::string& prefix, const std::string& pattern, std::initializer_list<std::string_view> others) {
        for (std::size_t i = 0; i < node.keys.size(); ++i) {
            const auto& key = node.keys[i];
            if (std::ranges::find(others, key.text) != others.end()) continue;
            one(key, node.items[i], prefix, pattern, others);
        }
    }

    void trees(const YamlNode& list) {
        if (list.kind == Kind::broken) return;
        if (list.kind != Kind::sequence)
            return complain(list, {fmt::format("trees is {}, not a list", kind_name(list.kind)), "write `- {id: a, species: apple}` below it"});
        std::set<std::string> seen;
        int place = 0;
        for (const auto& node : list.items) {
            ++place;
            if (node.kind == Kind::broken) continue;
            if (node.kind != Kind::mapping) {
                complain(node, {fmt::format("a tree is {}, not a mapping", kind_name(node.kind)), "write {id: a, species: apple}"});
                continue;
            }
            auto id = tree_id(node, place);
            if (id && !seen.insert(*id).second)
                complain(node, {fmt::format("the tree {} is given twice", quoted(*id)), "give each tree of a pot its own id"});
            else if (id)
                facts(node, "tree." + *id + ".", "tree.*.", {"id"});
        }
    }

private:
    std::optional<std::string> tree_id(const YamlNode& node, int place) {
        auto key = std::ranges::find(node.keys, "id", &YamlKey::text);
        if (key == node.keys.end()) return std::string(1, char('a' + std::min(place - 1, 25)));
        const auto& id = node.items[std::size_t(key - node.keys.begin())];
        auto named = id.kind == Kind::scalar ? canonical_fact("tree." + id.text, "gone", names_) : Parsed<Fact>(Fault{"a tree's id is one word", "write id: a"});
        if (good(named) && id.text.find('.') == std::string::npos) return id.text;
        complain(id, good(named) ? Fault{fmt::format("{} can not be a tree's id", quoted(id.text)), "write one to eight small letters or digits, such as a"} : fault(named));
        return std::nullopt;
    }

    void one(const YamlKey& key, const YamlNode& value, const std::string& prefix, const std::string& pattern,
             std::initializer_list<std::string_view> others) {
        // In the file the stages of a tree stand under `stages`, as there may be several.
        auto part = pattern == "tree.*." && key.text == "stages" ? std::string("stage") : key.text;
        bool open_part = pattern.ends_with("stage.");
        auto full = prefix + part, full_pattern = pattern + (open_part ? "*" : part);
        bool known = part.find('.') == std::string::npos && part != "*" && (find_fact(full) || leads_somewhere(full_pattern + "."));
        if (!known) return unknown(key, prefix, pattern, others);
        switch (value.kind) {
            case Kind::broken: return;
            case Kind::null: return complain(key, {fmt::format("{} has no value", full), "give one or remove the key"});
            case Kind::mapping:
                if (leads_somewhere(full_pattern + ".")) return facts(value, full + ".", full_pattern + ".", {});
                return complain(value, {fmt::format("{} is a mapping, not one value", full), fmt::format("write it like {}", find_fact(full)->example)});
            case Kind::sequence: {
                auto text = joined(value);
                if (!text) return complain(value, {fmt::format("{} is a list of more than values", full), "write [value, value]"});
                return put(full, *text, value);
            }
            case Kind::scalar: return put(full, value.text, value);
        }
    }

    void put(const std::string& key, const std::string& text, const YamlNode& node) {
        if (!find_fact(key)) return complain(node, {fmt::format("{} is one value, not a mapping", key), "write the facts below it"});
        auto parsed = canonical_fact(key, text, names_);
        if (const auto* fact = good(parsed))
            pot_.facts.push_back(*fact);
        else
            complain(node, fault(parsed)), pot_.refused.push_back(key);
    }

    void unknown(const YamlKey& key, const std::string& prefix, const std::string& pattern, std::initializer_list<std::string_view> others) {
        auto candidates = parts_after(prefix, pattern);
        for (auto other : others) candidates.emplace_back(other);
        if (pattern == "tree.*.") std::ranges::replace(candidates, "stage", "stages");
        auto near = nearest(key.text, candidates);
        if (!near.empty()) pot_.refused.push_back(prefix + near);
        complain(key, {fmt::format("there is no key {} here", quoted(key.text)),
                       did_you_mean(near, fmt::format("the keys here are {}", one_of(candidates)))});
    }

    template <class Place>
    void complain(const Place& place, Fault fault) {
        if (!pot_.id.empty()) fault.what = fmt::format("pot {}: {}", pot_.id, fault.what);
        desk_.complain(place, std::move(fault));
    }

    const Desk& desk_;
    const Names& names_;
    GardenPot& pot_;
};

const YamlNode* child(const YamlNode& node, std::string_view key) {
    auto found = std::ranges::find(node.keys, key, &YamlKey::text);
    return found == node.keys.end() ? nullptr : &node.items[std::size_t(found - node.keys.begin())];
}

void read_id(const YamlNode& node, GardenPot& pot, const Desk& desk) {
    const auto* id = child(node, "id");
    pot.line = node.line;
    pot.column = node.column;
    if (id && id->kind == Kind::broken) return;
    if (!id || id->kind != Kind::scalar) return desk.complain(node, {"this pot has no id", "add `id: 7`, as on its label"});
    pot.line = id->line;
    pot.column = id->column;
    if (auto wrong = wrong_pot_id(id->text)) return desk.complain(*id, *wrong);
    pot.id = id->text;
}

void read_since(const YamlNode& node, GardenPot& pot, const Desk& desk) {
    const auto* since = child(node, "since");
    if (!since || since->kind == Kind::broken) return;
    if (since->kind == Kind::scalar) pot.since = parse_day(since->text);
    if (!pot.since)
        desk.complain(*since, {fmt::format("pot {}: since: {} is not a day of the calendar", pot.id, quoted(since->text)),
                               "write year, month and day, like 2026-03-02"});
}

GardenPot read_pot(const YamlNode& node, const Desk& desk, const Names& names) {
    GardenPot pot;
    read_id(node, pot, desk);
    read_since(node, pot, desk);
    PotReader reader(desk, names, pot);
    reader.facts(node, "", "", {"id", "since", "trees"});
    if (const auto* trees = child(node, "trees")) reader.trees(*trees);
    return pot;
}

// A scalar that YAML takes back as the same text.
std::string scalar(std::string_view text) {
    bool plain = !text.empty() && std::ranges::all_of(text, [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' || c == '_' || c == '-' || c == ' ' ||
               static_cast<unsigned char>(c) >= 0x80;
    }) && text.front() != '-' && text.front() != ' ' && text.back() != ' ' && text != "null" && text != "Null" && text != "NULL";
    if (plain) return std::string(text);
    std::string marked = "\"";
    for (char c : text) {
        if (c == '"' || c == '\\') marked += '\\';
        marked += c;
    }
    return marked + '"';
}

std::string flow_value(std::string_view value) {
    auto percent = value.ends_with(" %");
    return percent ? std::string(value) : scalar(value);
}

// Facts below one another as a tree of keys, in the table's order.
struct Branch {
    std::string part, value;
    std::vector<Branch> below;
};

Branch& at(Branch& branch, std::string_view part) {
    auto found = std::ranges::find(branch.below, part, &Branch::part);
    if (found == branch.below.end()) found = branch.below.insert(branch.below.end(), Branch{std::string(part), {}, {}});
    return *found;
}

std::string flow(const Branch& branch) {
    if (branch.below.empty()) return flow_value(branch.value);
    std::string text = "{";
    for (const auto& inner : branch.below) text += (text.size() > 1 ? ", " : "") + scalar(inner.part) + ": " + flow(inner);
    return text + "}";
}

std::size_t rank(std::string_view key) { return std::size_t(find_fact(key) - fact_rows().data()); }

Branch branch_of(const GardenPot& pot) {
    auto facts = pot.facts;
    std::erase_if(facts, [](const Fact& fact) { return !find_fact(fact.key); });
    std::ranges::stable_sort(facts, {}, [](const Fact& fact) { return rank(fact.key); });
    Branch root;
    for (const auto& fact : facts) {
        auto* branch = &root;
        for (std::string_view rest = fact.key; !rest.empty();) {
            auto part = rest.substr(0, rest.find('.'));
            branch = &at(*branch, part);
            rest.remove_prefix(std::min(rest.size(), part.size() + 1));
        }
        branch->value = fact.value;
    }
    return root;
}

void write_trees(const Branch& trees, std::string& yaml) {
    yaml += "    trees:\n";
    auto sorted = trees.below;
    std::ranges::sort(sorted, {}, &Branch::part);
    for (auto& tree : sorted) {
        for (auto& inner : tree.below)
            if (inner.part == "stage") inner.part = "stages";
        auto inside = tree.below.empty() ? std::string("{}") : flow(tree);
        yaml += fmt::format("      - {{id: {}{}{}\n", scalar(tree.part), inside == "{}" ? "" : ", ", inside.substr(1));
    }
}

}  // namespace

Read<std::vector<GardenPot>> read_garden(std::string_view file, std::string_view yaml, const Names& names) {
    Read<std::vector<GardenPot>> read;
    auto tree = parse_yaml(file, yaml, garden_limits);
    read.complaints = std::move(tree.complaints);
    Desk desk{std::string(file), read.complaints};
    if (tree.value.kind == Kind::broken || (tree.value.kind == Kind::null && !read.complaints.empty())) return read;
    if (tree.value.kind == Kind::null) {
        desk.complain(0, 0, "the file is empty", "write `pots:` and a list below it");
        return read;
    }
    Section top(tree.value, "the garden file", desk);
    top.require("pots", "pots:");
    const auto* pots = top.list("pots");
    top.finish();
    std::map<std::string, int> lines;
    for (const auto& node : items_of(pots)) {
        if (node.kind == Kind::broken) continue;
        if (node.kind != Kind::mapping) {
            desk.complain(node, {fmt::format("a pot is {}, not a mapping", kind_name(node.kind)), "write `- id: 7` and its facts below"});
            continue;
        }
        auto pot = read_pot(node, desk, names);
        auto [first, fresh] = lines.try_emplace(pot.id, pot.line);
        if (!fresh && !pot.id.empty())
            desk.complain(pot.line, pot.column, fmt::format("the pot {} is given twice, first in line {}", quoted(pot.id), first->second), "give each pot its own id");
        else
            read.value.push_back(std::move(pot));
    }
    return read;
}

std::string write_garden(std::span<const GardenPot> pots) {
    std::string yaml = pots.empty() ? "pots: []\n" : "pots:\n";
    for (const auto& pot : pots) {
        yaml += fmt::format("  - id: {}\n", scalar(pot.id));
        if (pot.since) yaml += fmt::format("    since: {}\n", format_day(*pot.since));
        auto root = branch_of(pot);
        for (const auto& branch : root.below)
            if (branch.part != "tree") yaml += fmt::format("    {}: {}\n", branch.part, flow(branch));
        if (auto trees = std::ranges::find(root.below, std::string_view("tree"), &Branch::part); trees != root.below.end()) write_trees(*trees, yaml);
    }
    return yaml;
}

}  // namespace tubgrove
