#include "garden/each_pot.hpp"

#include "plan/beliefs.hpp"

#include <algorithm>

namespace tubgrove {

void each_pot(const Garden::Inside& inside, const GardenNow& garden, std::span<const PotLife* const> lives,
              const std::function<void(std::size_t, const PotNow&)>& work) {
    constexpr std::size_t handful = 64;
    KeptStates kept{.store = inside.store, .tables = sha256(inside.tables_text), .here = {}, .fresh = {}};
    for (std::size_t from = 0; from < lives.size(); from += handful) {
        std::vector<PotAsked> asked;
        std::vector<std::size_t> places;
        for (std::size_t i = from; i < std::min(lives.size(), from + handful); ++i) {
            auto one = ask(garden, *lives[i], inside.configuration, inside.tables, inside.zone, kept.tables);
            if (!one.answerable()) continue;
            look_up(one, kept);
            asked.push_back(std::move(one));
            places.push_back(i);
        }
        inside.for_each(asked.size(), [&](std::size_t k) {
            live(asked[k], garden, inside.configuration, inside.tables, inside.zone);
            work(places[k], asked[k].pot);
        });
        for (auto& one : asked) keep(one, kept);
        inside.store.cache_put(kept.fresh);
        kept.fresh.clear();
    }
}

std::optional<Otherwise> otherwise(const PotNow& pot, const PotSetup& setup, const Tables& tables, const Zone& zone) {
    auto belief = belief_of(setup, tables, zone.day_of(pot.history.setups.back().since));
    if (!std::holds_alternative<Belief>(belief)) return std::nullopt;
    return Otherwise{.belief = std::get<Belief>(std::move(belief)), .days = days_ahead(pot, zone)};
}

std::vector<WalkNamed> walks_ahead(const GardenNow& garden, const Configuration& configuration, const Zone& zone, const IsHot& hot, Instant until) {
    // A walk whose hour is long over, or whose round was answered, is no chance any more.
    constexpr std::chrono::hours late{4};
    auto walk = current_walk(configuration.walks, zone, garden.now, hot);
    const bool answered = std::ranges::any_of(garden.past.issued, [&](const IssuedWalk& issued) {
        return issued.walk.day == walk.day && issued.walk.name == walk.name && issued.answered;
    });
    if (answered || garden.now > walk.starts + late) walk = walk_after(configuration.walks, zone, walk, hot);
    std::vector<WalkNamed> walks;
    while (walk.starts < until) {
        const auto next = walk_after(configuration.walks, zone, walk, hot);
        walks.push_back({.walk = walk, .at = std::max(walk.starts, garden.now), .next = std::max(next.starts, garden.now)});
        walk = next;
    }
    return walks;
}

Pouring pouring_of(const Configuration& configuration, const Figures& figures) {
    return {.mark_l = litres(configuration.carry.mark), .passes = configuration.carry.passes, .due_chance = figures[FigureKey::due_chance]};
}

}  // namespace tubgrove
