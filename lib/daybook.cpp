#include "daybook.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace tubgrove {
namespace {

constexpr std::array table{
    Action{"watered", Takes::litres, "poured so much water", "watered 2.5L"},
    Action{"ran-through", Takes::maybe_litres, "poured until water showed below; without litres: the listed pour", "ran-through 2L"},
    Action{"skipped", Takes::nothing, "was on the list and got no water", "skipped"},
    Action{"felt", Takes::moisture, "felt the medium: dry, barely-moist, moist or wet", "felt dry"},
    Action{"weighed", Takes::mass, "weighed the whole pot", "weighed 8.4kg"},
    Action{"weighed-drained", Takes::mass, "weighed it full, half an hour after it ran through: the reference weight", "weighed-drained 12.1kg"},
    Action{"drained", Takes::litres, "measured what came out below", "drained 0.4L"},
    Action{"wilted", Takes::nothing, "leaves hung at noon and recovered", "wilted"},
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
    Action{"died", Takes::nothing, "the tree is dead", "died"},
    Action{"noted", Takes::words, "anything else worth keeping", "noted"},
};

}  // namespace

std::span<const Action> actions() { return table; }

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
