#include "daybook.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace tubgrove {
namespace {

constexpr std::array<std::string_view, 2> shades{"cloth", "wall"};
constexpr std::array<std::string_view, 15> sights{"blight", "moth", "tie-biting", "tape-biting", "tape-gone", "crust", "weeds", "grass",
                                                  "roots-at-wall", "rocked", "fallen", "standing-water", "warm-water", "no-fruit", "store-empty"};

// "saw: blight, moth": the help's line, of the one list.
constexpr std::string_view says_before = "saw: ", says_between = ", ";
constexpr std::size_t length_of_says() {
    std::size_t length = says_before.size() + says_between.size() * (sights.size() - 1);
    for (const auto word : sights) length += word.size();
    return length;
}
constexpr auto seen_says = [] {
    std::array<char, length_of_says()> text{};
    std::size_t at = 0;
    const auto add = [&](std::string_view part) {
        for (const char c : part) text[at++] = c;
    };
    for (std::size_t i = 0; i < sights.size(); ++i) add(i == 0 ? says_before : says_between), add(sights[i]);
    return text;
}();

// What a visit's sheet asks for, and what eyes and hands notice meanwhile; the pots themselves stay the gardener's.
constexpr bool on_a_visit = true;

constexpr std::array table{
    Action{"watered", Takes::litres, "poured so much water", "watered 2.5L", on_a_visit},
    Action{"ran-through", Takes::maybe_litres, "poured until water showed below; without litres: the listed pour", "ran-through 2L", on_a_visit},
    Action{"skipped", Takes::nothing, "was on the list and got no water", "skipped", on_a_visit},
    Action{"felt", Takes::moisture, "felt the medium: dry, barely-moist, moist or wet", "felt dry", on_a_visit},
    Action{"weighed", Takes::mass, "weighed the whole pot", "weighed 8.4kg", on_a_visit},
    Action{"weighed-drained", Takes::mass, "weighed it full, half an hour after it ran through: the reference weight", "weighed-drained 12.1kg"},
    Action{"drained", Takes::litres, "measured what came out below", "drained 0.4L", on_a_visit},
    Action{"wilted", Takes::nothing, "leaves hung at noon and recovered", "wilted", on_a_visit},
    Action{"mulched", Takes::depth, "mulched, to this depth", "mulched 4cm"},
    Action{"stake-checked", Takes::nothing, "looked at stake and ties", "stake-checked"},
    Action{"tie-loosened", Takes::nothing, "loosened or renewed the ties", "tie-loosened"},
    Action{"weeded", Takes::nothing, "cleared weeds and grass", "weeded"},
    Action{"fed", Takes::words, "fed, by the label", "fed"},
    Action{"repotted", Takes::facts, "moved into another pot or medium", "repotted container.size=50L medium=loam"},
    Action{"moved", Takes::bay, "carried to another bay", "moved south-wall"},
    Action{"crown", Takes::crown, "measured the crown", "crown 90cm by 80cm high 140cm"},
    Action{"pruned", Takes::share, "pruned, taking about this share of the crown", "pruned 20%"},
    Action{"stage", Takes::stage, "saw a stage of growth", "stage full-bloom"},
    Action{"grafted", Takes::words, "grafted", "grafted"},
    Action{"graft-taken", Takes::nothing, "the graft has taken", "graft-taken"},
    Action{"graft-failed", Takes::nothing, "the graft has failed", "graft-failed"},
    Action{"collar-cleared", Takes::nothing, "kept mulch off the stem", "collar-cleared"},
    Action{"secured", Takes::nothing, "tied, laid or sheltered it against wind", "secured"},
    Action{"grass-cleared", Takes::nothing, "cleared grass around the pot", "grass-cleared"},
    Action{"shoots-removed", Takes::nothing, "looked for shoots from the stock and took them off", "shoots-removed"},
    Action{"planned", Takes::words, "means to do: graft", "planned graft"},
    Action{"scions-cut", Takes::words, "cut scion wood", "scions-cut"},
    Action{"scions-checked", Takes::nothing, "looked at the stored scions", "scions-checked"},
    Action{"graft-checked", Takes::words, "looked at the graft: asleep, moving", "graft-checked moving"},
    Action{"tape-slit", Takes::nothing, "slit the graft's tape", "tape-slit"},
    Action{"shoot-chosen", Takes::nothing, "kept one shoot of the graft", "shoot-chosen"},
    Action{"splinted", Takes::nothing, "tied the new shoot to a cane", "splinted"},
    Action{"flowers-off", Takes::nothing, "took the flowers off", "flowers-off"},
    Action{"feeding-stopped", Takes::nothing, "stopped feeding for the season", "feeding-stopped"},
    Action{"flushed", Takes::maybe_litres, "washed salts out with so much water", "flushed 60L"},
    Action{"top-dressed", Takes::depth, "renewed the top of the medium, so deep", "top-dressed 4cm"},
    Action{"roots-pruned", Takes::share, "cut the root ball back by about this share", "roots-pruned 15%"},
    Action{"holes-checked", Takes::nothing, "looked at the drain holes", "holes-checked"},
    Action{"feet-set", Takes::nothing, "raised the pot off the ground, out of its saucer's water", "feet-set"},
    Action{"saucer-emptied", Takes::nothing, "emptied the saucer", "saucer-emptied"},
    Action{"wrapped", Takes::nothing, "wrapped the pot for winter", "wrapped"},
    Action{"unwrapped", Takes::nothing, "took the winter wrap off", "unwrapped"},
    Action{"covered", Takes::nothing, "covered the crown against frost", "covered"},
    Action{"uncovered", Takes::nothing, "took the frost cover off", "uncovered"},
    Action{"roofed", Takes::nothing, "put a rain roof over the tree", "roofed"},
    Action{"unroofed", Takes::nothing, "took the rain roof off", "unroofed"},
    Action{"shaded", Takes::shade, "hung a cloth over it: cloth, or the share of the light that it takes, such as 40%; or shaded its wall only: wall", "shaded cloth"},
    Action{"unshaded", Takes::nothing, "took the shade away", "unshaded"},
    Action{"thinned", Takes::nothing, "thinned the fruit", "thinned"},
    Action{"propped", Takes::nothing, "propped its branches", "propped"},
    Action{"netted", Takes::nothing, "netted it against birds", "netted"},
    Action{"picked", Takes::words, "picked the fruit; `keep` for storing", "picked keep"},
    Action{"leaves-cleared", Takes::nothing, "cleared fallen leaves", "leaves-cleared"},
    Action{"mummies-off", Takes::nothing, "took dried fruit off", "mummies-off"},
    Action{"cut-out", Takes::words, "cut a diseased part out", "cut-out"},
    Action{"looked", Takes::words, "looked for: scab, curl, blight, moth, aphids, mites, weevil, ripeness, store", "looked scab"},
    Action{"saw", Takes::sight, std::string_view(seen_says.data(), seen_says.size()), "saw blight", on_a_visit},
    Action{"answered", Takes::words, "answered for: stake, partner, load", "answered partner"},
    Action{"butt-cleaned", Takes::nothing, "emptied and scrubbed the butt", "butt-cleaned"},
    Action{"died", Takes::nothing, "the tree is dead", "died"},
    Action{"noted", Takes::words, "anything else worth keeping", "noted", on_a_visit},
};

constexpr std::array<std::string_view, 8> others{"added", "changed", "retired", "round", "struck", "clock-confirmed", "job-waits", "job-dropped"};

constexpr auto visit_words = [] {
    std::array<std::string_view, 1 + std::ranges::count(table, true, &Action::on_a_visit)> words{};
    std::size_t at = 0;
    for (const auto& action : table)
        if (action.on_a_visit) words[at++] = action.word;
    words[at] = "round";
    return words;
}();

}  // namespace

std::span<const std::string_view> shade_words() { return shades; }
std::span<const std::string_view> seen_words() { return sights; }

std::span<const std::string_view> counted_words(std::string_view action) {
    static constexpr std::array<std::string_view, 1> picked{"keep"}, planned{"graft"};
    static constexpr std::array<std::string_view, 9> looked{"scab", "curl", "blight", "moth", "aphids", "mites", "weevil", "ripeness", "store"};
    static constexpr std::array<std::string_view, 3> answered{"stake", "partner", "load"};
    if (action == "picked") return picked;
    if (action == "planned") return planned;
    if (action == "looked") return looked;
    if (action == "answered") return answered;
    return action == "saw" ? seen_words() : std::span<const std::string_view>{};
}

std::span<const Action> actions() { return table; }
std::span<const std::string_view> visit_actions() { return visit_words; }
std::span<const std::string_view> other_actions() { return others; }

const Action* find_action(std::string_view word) {
    auto found = std::ranges::find(table, word, &Action::word);
    return found == table.end() ? nullptr : &*found;
}

std::optional<double> number(const Entry& entry, const std::string& key) {
    auto found = entry.values.find(key);
    if (found == entry.values.end()) return std::nullopt;
    const auto& text = found->second;
    double value = 0;
    auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

}  // namespace tubgrove
