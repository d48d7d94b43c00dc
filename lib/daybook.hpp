#pragma once
// The daybook's value types: an entry, and the one table of actions that the command line, its help, the
// completion and the readers of entries share.
#include "calendar.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace tubgrove {

// How far an entry's time can be trusted.
enum class Clock : unsigned char { board, phone, unknown };

// One thing that happened or became known. Append-only: a mistake is struck by a later entry.
struct Entry {
    std::int64_t id = 0;                             // order of arrival; 0 until the store has given one
    std::string pot = {};                            // empty: the whole garden or a round
    std::string action = {};                         // a word of actions()
    std::map<std::string, std::string> values = {};  // plain decimals, the key names the unit ("amount_l" = "2.5")
    Instant when = {};                               // when it happened
    Instant learned = {};                            // when the tool learned it
    Clock clock = Clock::board;
    std::string by = {};                             // who; empty: the gardener
    std::string note = {};
    std::string round = {};                          // the round that it answers, when named
    std::optional<std::int64_t> strikes = {};        // the entry that this one strikes
};

// A value of an entry as a number; empty when absent or not a plain finite decimal.
std::optional<double> number(const Entry& entry, const std::string& key);

// What an action takes after its word on the command line.
enum class Takes : unsigned char {
    nothing,
    litres,          // required: amount_l
    maybe_litres,    // optional: amount_l
    depth,           // maybe cm: depth_cm
    mass,            // required kg: mass_kg
    moisture,        // dry | barely-moist | moist | wet: class
    bay,             // a bay's id: bay
    facts,           // FACT=VALUE…: the fact itself, dotted
    crown,           // 90cm by 80cm high 140cm: across_1_cm, across_2_cm, height_cm
    share,           // maybe per cent: share_pct
    shade,           // maybe per cent of the light, or a word of shade_words(): share_pct, text
    sight,           // a word of seen_words(), or words of one's own: text
    stage,           // a stage of growth: stage
    words,           // free words: text
};

struct Action {
    std::string_view word;
    Takes takes;
    std::string_view says;     // one line for the help
    std::string_view example;  // what follows "did 7 "
    bool on_a_visit = false;   // somebody who waters while the gardener is away writes it too
};

// What can be shaded with a word. The bare word is what it was before a cloth counted: it answers care, and takes no light.
std::span<const std::string_view> shade_words();
// What counts of what was seen: by these words care and the water model know it.
std::span<const std::string_view> seen_words();

// Of an action that takes words: those that care knows as the first one; empty: it knows none.
std::span<const std::string_view> counted_words(std::string_view action);

std::span<const Action> actions();
// The words of those that are written on a visit, `round` among them.
std::span<const std::string_view> visit_actions();
// Actions of entries that are not written by `did`: what other commands write, and the answer for a whole round.
std::span<const std::string_view> other_actions();
const Action* find_action(std::string_view word);

}  // namespace tubgrove
