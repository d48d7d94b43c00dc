#include "garden/odd_amounts.hpp"

#include "plan/plain_text.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

std::string too_much(const MuchPoured& much) { return litres_text(much.poured_l) + " is more than a pot of " + litres_text(much.brim_l) + " can take up"; }

std::string take_back(std::int64_t entry) { return "A slip? strike " + std::to_string(entry) + ", and tell it anew"; }

}  // namespace

std::optional<MuchPoured> much_poured(const Entry& entry, const PotLife& life, const Priors& priors) {
    if (entry.action != "watered" && entry.action != "ran-through") return std::nullopt;
    const auto poured_l = number(entry, "amount_l"), full_l = brim_l(life.facts_at(entry.when).facts);
    if (!poured_l || !full_l || *poured_l <= *full_l * priors.fixed(PriorKey::doubted_pour)) return std::nullopt;
    return MuchPoured{.pot = life.id, .entry = entry.id, .poured_l = *poured_l, .brim_l = *full_l};
}

std::string remark_of(const MuchPoured& much) {
    return "pot " + much.pot + ": " + too_much(much) + ". It is kept, and the pot counts as filled. " + take_back(much.entry) +
           ". If it was so, as with a hose left on, leave it; told with a note, lists do not ask again";
}

std::optional<std::string> weight_remark(const Entry& entry, const PotLife& life) {
    constexpr double rock_kg_l = 2.65;   // quartz, the particle density that soils are reckoned with; from memory
    if (entry.action != "weighed" && entry.action != "weighed-drained") return std::nullopt;
    const auto mass_kg = number(entry, "mass_kg"), full_l = brim_l(life.facts_at(entry.when).facts);
    if (!mass_kg || !full_l || *mass_kg <= *full_l * rock_kg_l) return std::nullopt;
    return "pot " + life.id + ": " + plain(*mass_kg) + " kg is more than its " + litres_text(*full_l) + " of solid rock would weigh. It is kept. " + take_back(entry.id);
}

std::optional<std::string> saucer_remark(std::string_view pot, std::span<const Fact> told, const Facts& facts, const Container& container) {
    if (std::ranges::none_of(told, [](const Fact& fact) { return fact.key.starts_with("container."); })) return std::nullopt;
    constexpr double large_share = 0.5;   // of the pot's litres to the brim; own assumption, as a wide saucer holds a tenth
    const auto full_l = brim_l(facts);
    if (!container.saucer || !full_l || litres(*container.saucer) <= *full_l * large_share) return std::nullopt;
    return "pot " + std::string(pot) + ": a saucer of " + litres_text(litres(*container.saucer)) + " is large beside a pot of " + litres_text(*full_l) +
           ". A slip? container.saucer=" + plain(std::max(0.5, std::round(*full_l / 5) / 2)) + "L would be usual";
}

Complaints days_to_come(std::string_view pot, std::span<const Fact> facts, LocalDay today) {
    Complaints complaints;
    for (const auto& fact : facts) {
        const auto* row = find_fact(fact.key);
        const auto day = row && row->kind == FactKind::day && fact.key.starts_with("tree.") ? parse_day(fact.value) : std::nullopt;
        if (day && *day > today)
            complaints.push_back({.file = {}, .line = 0, .column = 0, .what = "pot " + std::string(pot) + ": " + fact.key + ": " + fact.value + " has not come yet",
                                  .right = "today or a day before"});
    }
    return complaints;
}

std::vector<Notice> much_poured_notices(std::span<const PotLife> lives, const Priors& priors, LocalDay day, const Zone& zone) {
    std::vector<Notice> notices;
    for (const auto& life : lives)
        for (const auto& entry : life.entries) {
            const auto told = zone.day_of(entry.learned);
            if (!entry.note.empty() || told > day || told < day - std::chrono::days(1)) continue;
            const auto much = much_poured(entry, life, priors);
            if (!much) continue;
            notices.push_back({.code = "pour-doubted", .severity = Severity::warning,
                               .values = {{"pot", much->pot}, {"entry", std::to_string(much->entry)}, {"poured_l", plain(much->poured_l)}, {"holds_l", plain(much->brim_l)}},
                               .text = "Pot " + much->pot + ": " + too_much(*much) + ", so it counts as filled. " + take_back(much->entry) + "; else leave it."});
        }
    return notices;
}

}  // namespace tubgrove
