#pragma once
// Facts about a pot as dotted keys: container.size=40L, tree.a.leaves=dense, bay=south-wall. One table of facts
// feeds the garden file, the command line, its help and its completion, so that all take and say the same.
#include "calendar.hpp"
#include "daybook.hpp"
#include "ensemble/setup.hpp"
#include "intake/complaint.hpp"

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

enum class FactKind : unsigned char {
    text,        // free words, one line
    word,        // one of `words`
    name,        // a name of the set that `words` names: bay, medium, species, rootstock, vigour, stage
    quantity,    // number with unit, kept in `unit`
    pair,        // one or two quantities: "90 cm by 80 cm" (or "90 cm, 80 cm")
    clocks,      // local clock times: 06:00, 20:00
    day,         // YYYY-MM-DD
    yes_no,
    group,       // no value of its own: takes only `no` (mulch, drip) or `gone` (tree.*)
};

struct FactRow {
    std::string_view key;      // '*' stands for one part: a tree's id, a stage
    FactKind kind;
    std::string_view unit;     // of a quantity or pair
    double low, high;          // in that unit
    std::string_view words;    // allowed words, or the name of a set; separated by '|'
    std::string_view help;     // one line
    std::string_view example;  // a value
};

std::span<const FactRow> fact_rows();
const FactRow* find_fact(std::string_view key);   // by a real key such as tree.a.leaves

// The names that a fact may refer to. An empty list is not checked.
struct Names {
    std::vector<std::string> bays, media, species, rootstocks, vigours, stages, pots;
};

struct Fact {
    std::string key;     // dotted: container.size, tree.a.leaves
    std::string value;   // canonical: "40 L", "dense", "2026-03-02", "06:00,20:00", "90 cm by 80 cm"
    friend bool operator==(const Fact&, const Fact&) = default;
};

// Facts that hold together, by key.
using Facts = std::map<std::string, std::string>;

// One fact in canonical form. `unknown` withdraws any fact, `no` a group or a saucer, `gone` a tree; these stay in the fact
// as such words and take effect in merge().
Parsed<Fact> canonical_fact(std::string_view key, std::string_view value, const Names& names, bool decimal_comma = false);

// KEY=VALUE words of a command line; the complaints' column is the word's number.
Read<std::vector<Fact>> parse_facts(std::span<const std::string> words, const Names& names);

// What holds after `newer` (facts of one entry, in order) is added to `facts`: later wins; a withdrawal erases the fact or
// its group; a new container.size withdraws older measured sides, and new measured sides an older size.
Facts merge(Facts facts, std::span<const Fact> newer);

// What holds as the model needs it. `in_this_pot_since` is the day of planting or of the last repotting, which is also the
// default of dates that were not given (drip.first, tree.*.crown.measured). exposure holds only the bay's id.
// Complaints (without place) name what is missing or does not fit together: no container, no tree, top narrower than …
// Of `refused` keys, which were complained of already, nothing is said to be missing.
Read<PotSetup> setup_of(std::string_view pot, const Facts& facts, LocalDay in_this_pot_since, std::span<const std::string> refused = {});

// A pot's id: 1 to 24 letters, digits, - or _, with a letter or digit first; none of the daybook's actions nor of the
// words that the command line needs (round, all, some, none …). Empty when it is one.
std::optional<Fault> wrong_pot_id(std::string_view id);

}  // namespace tubgrove
