#include "garden/list_now.hpp"

#include "garden/each_pot.hpp"
#include "garden/round_reader.hpp"
#include "plan/beliefs.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

Stage stage_on(const PotNow& pot, LocalDay day) {
    auto course = std::ranges::find(pot.courses.front(), day, [](const DayCourse& c) { return c.record->day; });
    return stage_of(pot.setup(), course == pot.courses.front().end() ? Canopy{} : course->canopy, day);
}

}  // namespace

Chances chances_for(const Walk& walk, const Configuration& configuration, const Zone& zone, Instant now, const IsHot& hot) {
    auto next = walk_after(configuration.walks, zone, walk, hot);
    auto after = walk_after(configuration.walks, zone, next, hot);
    return {.walk = std::max(walk.starts, now), .next = std::max(next.starts, now + std::chrono::hours(1)),
            .after = std::max(after.starts, now + std::chrono::hours(2))};
}

const IssuedWalk* issued_before(const GardenPast& past, const Walk& walk) {
    auto found = std::ranges::find_if(past.issued, [&](const IssuedWalk& i) { return i.walk.day == walk.day && i.walk.name == walk.name; });
    return found == past.issued.end() ? nullptr : &*found;
}

Decision decision_of(const PotNow& pot, const Chances& chances, const GardenNow& garden, const Garden::Inside& inside) {
    const auto& configuration = inside.configuration;
    auto ahead = days_ahead(pot, inside.zone);
    Outlook outlook(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, ahead, outlook_end(garden, inside.zone));
    const Means means{.mark_l = litres(configuration.carry.mark), .passes = configuration.carry.passes,
                      .dry_hour_l = dry_hour_price(inside.tables.prices, Care(configuration.caution),
                                                   stage_on(pot, inside.zone.day_of(chances.walk))),
                      .drains = pot.belief().drains, .due_chance = inside.tables.figures[FigureKey::due_chance]};
    return decide(outlook, chances, inside.tables.prices, means);
}

ListNow::ListNow(const Garden::Inside& inside, const View& view, const GardenNow& garden, const Walk& walk, const IsHot& hot)
    : inside_(inside), garden_(garden), chances_(chances_for(walk, inside.configuration, inside.zone, view.now, hot)),
      next_(walk_after(inside.configuration.walks, inside.zone, walk, hot)), issued_(issued_before(garden.past, walk)) {
    const auto stored = inside.store.latest_round(walk.day, walk.name, view.replay ? std::optional(view.now) : std::nullopt);
    if (!stored || view.recompute || inside.newer_input(*stored, view)) return;
    shown_.emplace();
    for (const auto& line : round_from_json(stored->json).pours) shown_->emplace(line.pot, Manner{line.pour_l, line.passes, line.until});
}

Manner ListNow::of(const PotNow& pot) const {
    if (shown_) {
        const auto found = shown_->find(pot.life->id);
        return found == shown_->end() ? Manner{} : found->second;
    }
    if (issued_ && had_its_pour(*pot.life, *issued_, next_, garden_.now)) return {};
    return decision_of(pot, chances_, garden_, inside_).manner;
}

std::optional<ListNow> list_of_first(const Garden::Inside& inside, const View& view, const GardenNow& garden, std::span<const WalkNamed> walks, const IsHot& hot) {
    if (walks.empty()) return std::nullopt;
    const auto now = current_walk(inside.configuration.walks, inside.zone, view.now, hot);
    const auto& first = walks.front().walk;
    if (first.day != now.day || first.name != now.name) return std::nullopt;
    return std::optional<ListNow>(std::in_place, inside, view, garden, first, hot);
}

}  // namespace tubgrove
