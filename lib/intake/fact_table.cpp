// The one table of facts.
#include "intake/facts.hpp"

#include <algorithm>
#include <array>

namespace tubgrove {
namespace {

using enum FactKind;

// Ranges are wide on purpose: they catch slips of unit and of the finger, not unusual gardens.
constexpr std::array table{
    FactRow{"label", text, "", 0, 0, "", "what the label says beside the id", "the old apple"},
    FactRow{"bay", name, "", 0, 0, "bay", "where the pot stands", "south-wall"},
    FactRow{"medium", name, "", 0, 0, "medium", "what fills the pot", "bark_peat_sand"},
    FactRow{"container.form", word, "", 0, 0, "round|square|oblong|oval|bag", "plan of the pot; bag is a fabric bag", "round"},
    FactRow{"container.size", quantity, "L", 0.3, 2000, "", "litres as printed on the rim", "40 L"},
    FactRow{"container.top", quantity, "cm", 5, 300, "", "inner width at the top; of an oblong the long side", "42 cm"},
    FactRow{"container.base", quantity, "cm", 3, 300, "", "inner width at the base", "34 cm"},
    FactRow{"container.top_across", quantity, "cm", 5, 300, "", "short side at the top of an oblong or oval", "30 cm"},
    FactRow{"container.base_across", quantity, "cm", 3, 300, "", "short side at the base of an oblong or oval", "26 cm"},
    FactRow{"container.height", quantity, "cm", 5, 200, "", "inner height", "38 cm"},
    FactRow{"container.drainage", quantity, "cm", 0, 50, "", "coarse layer at the bottom", "5 cm"},
    FactRow{"container.wall", word, "", 0, 0, "plastic|glazed|clay|fabric|wood|metal|concrete", "what the pot is made of", "clay"},
    FactRow{"container.colour", word, "", 0, 0, "dark|light", "of the outside", "dark"},
    FactRow{"container.saucer", quantity, "L", 0.05, 200, "no", "what the saucer below holds, or no", "1.5 L"},
    FactRow{"mulch", group, "", 0, 0, "no", "`no` says that there is none any more", "no"},
    FactRow{"mulch.depth", quantity, "cm", 0.5, 20, "", "how deep the mulch lies", "4 cm"},
    FactRow{"mulch.cover", quantity, "%", 0, 100, "", "share of the surface under mulch", "80 %"},
    FactRow{"drip", group, "", 0, 0, "no", "`no` says that there is none any more", "no"},
    FactRow{"drip.each", quantity, "L", 0.01, 200, "", "what the drip supply gives each time", "0.3 L"},
    FactRow{"drip.at", clocks, "", 0, 0, "", "when on the clock, local time", "06:00,20:00"},
    FactRow{"drip.every", quantity, "d", 1, 30, "", "every so many days", "2 d"},
    FactRow{"drip.first", day, "", 0, 0, "", "its first day", "2026-05-01"},
    FactRow{"tree.*", group, "", 0, 0, "gone", "`gone` says that this tree stands there no more", "gone"},
    FactRow{"tree.*.species", name, "", 0, 0, "species", "species of the tree", "apple"},
    FactRow{"tree.*.cultivar", text, "", 0, 0, "", "free text", "unnamed seedling"},
    FactRow{"tree.*.rootstock", name, "", 0, 0, "rootstock", "stock that it is grafted on", "M.27"},
    FactRow{"tree.*.vigour", name, "", 0, 0, "vigour", "how dwarfing the stock is, when its name is not known", "very-dwarfing"},
    FactRow{"tree.*.planted", day, "", 0, 0, "", "first day of its life as a planted tree", "2023-11-12"},
    FactRow{"tree.*.grafted", day, "", 0, 0, "", "day of the graft", "2026-03-20"},
    FactRow{"tree.*.graft_taken", yes_no, "", 0, 0, "", "whether the graft took", "yes"},
    FactRow{"tree.*.planting", word, "", 0, 0, "potted|ball|bare-root|bench-graft|grafted-in-place", "how it came into this pot", "bare-root"},
    FactRow{"tree.*.ball", quantity, "L", 0.05, 500, "", "litres of the root ball when it was planted into this pot", "3 L"},
    FactRow{"tree.*.leaves", word, "", 0, 0, "few|usual|dense", "how leafy it is for its size", "dense"},
    FactRow{"tree.*.stake", word, "", 0, 0, "none|temporary|permanent", "its stake", "permanent"},
    FactRow{"tree.*.crown.across", pair, "cm", 1, 800, "", "width of the crown, one way or two", "90 cm by 80 cm"},
    FactRow{"tree.*.crown.height", quantity, "cm", 1, 1000, "", "height of the tree above the medium", "140 cm"},
    FactRow{"tree.*.crown.measured", day, "", 0, 0, "", "day of that measurement", "2026-05-01"},
    FactRow{"tree.*.stage.*", day, "", 0, 0, "stage", "day on which a stage of growth was seen", "2026-04-20"},
    FactRow{"tree.*.leaf_share", quantity, "%", 0, 100, "", "share of the leaves left after pruning", "80 %"},
};

// Whether a real key fits a pattern in which '*' stands for one non-empty part.
bool fits(std::string_view key, std::string_view pattern) {
    for (;;) {
        auto part = key.substr(0, key.find('.')), wanted = pattern.substr(0, pattern.find('.'));
        if (wanted == "*" ? part.empty() : part != wanted) return false;
        bool key_ends = part.size() == key.size(), pattern_ends = wanted.size() == pattern.size();
        if (key_ends || pattern_ends) return key_ends && pattern_ends;
        key.remove_prefix(part.size() + 1);
        pattern.remove_prefix(wanted.size() + 1);
    }
}

}  // namespace

std::span<const FactRow> fact_rows() { return table; }

const FactRow* find_fact(std::string_view key) {
    auto found = std::ranges::find_if(table, [&](const FactRow& row) { return fits(key, row.key); });
    return found == table.end() ? nullptr : &*found;
}

}  // namespace tubgrove
