#include "garden/water_now.hpp"

#include "garden/fingerprint.hpp"
#include "garden/garden.hpp"
#include "garden/past.hpp"
#include "plan/beliefs.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

// A state is kept at a midnight that late answers rarely reach behind.
constexpr std::chrono::days kept_before{2};
// How many days further back a kept state is looked for.
constexpr int looked_back_days = 10;
// Without any reading an estimate stands on normals alone; a longer run adds nothing to it.
constexpr std::chrono::days memory_without_readings{60};

LocalDay first_day_of(const Store& store, const View& view, const Zone& zone) {
    auto today = zone.day_of(view.now);
    ReadingsQuery query{.from = zone.start_of(today - longest_memory - std::chrono::days(31)), .to = view.now, .learned_until = {},
                        .issued_until = view.now, .forecasts = Forecasts::none};
    query.learned_until = learned_until(view);
    std::optional<Instant> first;
    for (const auto& readings : store.readings(query))
        if (!readings.observations.empty() && (!first || readings.observations.front().starts < *first))
            first = readings.observations.front().starts;
    if (!first) return today - memory_without_readings;
    // From a month's first day, so that the beginning moves once a month and kept states hold meanwhile.
    std::chrono::year_month_day oldest{today - longest_memory};
    return std::max(zone.day_of(*first), LocalDay(oldest.year() / oldest.month() / 1));
}

std::string state_key(const GardenNow& garden, const PotLife& life, const PotHistory& history, const std::string& tables,
                      Instant at, std::size_t days_before) {
    Fingerprint print(history_fingerprint(life, history, at));
    print.add(tables);
    print.add(model_version);
    print.add(at);
    print.add(days_before ? garden.day_prints[days_before - 1] : std::uint64_t{0});
    return print.hex();
}

std::optional<Ensemble> kept_state(const KeptStates& kept, const std::string& pot, const std::string& key) {
    if (auto here = kept.here.find(key); here != kept.here.end()) return ensemble_from_bytes(here->second);
    if (auto stored = kept.store.cache_get(pot, key)) return ensemble_from_bytes(*stored);
    return std::nullopt;
}

// The newest kept state that still holds, or the beginning; then lived on to the present, keeping a state on the way.
Ensemble lived_until(const GardenNow& garden, const PotLife& life, const PotRun& run, const Zone& zone, KeptStates& kept) {
    const auto& history = run.history;
    auto keep_day = zone.day_of(garden.now) - kept_before;
    auto key_of = [&](LocalDay day) {
        return state_key(garden, life, history, kept.tables, zone.start_of(day), std::size_t((day - garden.first_day).count()));
    };
    bool keeps = zone.start_of(keep_day) > history.starts && keep_day > garden.first_day;
    std::optional<Ensemble> state;
    bool have_newest = false;
    for (int back = 0; keeps && !state && back <= looked_back_days; ++back) {
        auto day = keep_day - std::chrono::days(back);
        if (zone.start_of(day) <= history.starts || day <= garden.first_day) break;
        state = kept_state(kept, life.id, key_of(day));
        have_newest = state && back == 0;
    }
    if (!state) state = begin(run);
    if (keeps && !have_newest) {
        advance(*state, run, zone.start_of(keep_day));
        CachedState fresh{.pot = life.id, .key = key_of(keep_day), .bytes = to_bytes(*state)};
        kept.here[fresh.key] = fresh.bytes;
        kept.fresh.push_back(std::move(fresh));
    }
    advance(*state, run, garden.now);
    return std::move(*state);
}

// A belief for each setup. A container that cannot be is refused when it is written, so none is expected here; should a
// table's change make one impossible, the pot's former setup goes on.
bool believe(PotNow& pot, const Tables& tables, const Zone& zone) {
    std::vector<DatedSetup> possible;
    for (auto& dated : pot.history.setups) {
        auto belief = belief_of(dated.setup, tables, zone.day_of(dated.since));
        if (!std::holds_alternative<Belief>(belief)) continue;
        pot.beliefs.push_back(std::get<Belief>(std::move(belief)));
        possible.push_back(std::move(dated));
    }
    pot.history.setups = std::move(possible);
    return !pot.beliefs.empty();
}

}  // namespace

GardenNow garden_now(const Store& store, const View& view, const Configuration& configuration, const Zone& zone) {
    GardenNow garden;
    garden.now = view.now;
    garden.inputs = store.input_mark(learned_until(view));
    garden.past = past_seen(store, view, configuration, zone);
    garden.first_day = first_day_of(store, view, zone);
    garden.weather = weather_seen(store, view, configuration, zone,
                                  {garden.first_day, zone.day_of(view.now) + outlook_days});
    garden.day_prints = day_fingerprints(garden.weather.members.front());
    return garden;
}

std::vector<std::vector<DayCourse>> days_ahead(const PotNow& pot, const Zone& zone) {
    std::vector<std::vector<DayCourse>> ahead;
    for (const auto& course : pot.courses) {
        auto today = std::ranges::find(course, zone.day_of(pot.ensemble.until), [](const DayCourse& c) { return c.record->day; });
        ahead.emplace_back(today, course.end());
    }
    return ahead;
}

Instant outlook_end(const GardenNow& garden, const Zone& zone) {
    return zone.start_of(zone.day_of(garden.now) + outlook_days);
}

PotNow pot_now(const GardenNow& garden, const PotLife& life, const Configuration& configuration, const Tables& tables,
               const Zone& zone, KeptStates& kept) {
    PotNow pot;
    pot.life = &life;
    pot.history = history_of(life, garden.past, configuration, zone,
                             {.starts = zone.start_of(garden.first_day), .until = garden.now});
    if (!believe(pot, tables, zone)) return pot;
    GrowingSite site{.latitude_deg = degrees(configuration.site.latitude), .elevation_m = metres(configuration.site.elevation)};
    for (const auto& days : garden.weather.members) pot.courses.push_back(course_of(pot.history, tables, site, zone, days));
    PotRun run{.history = pot.history, .beliefs = pot.beliefs, .days = pot.courses.front(), .priors = tables.priors, .zone = zone};
    pot.ensemble = lived_until(garden, life, run, zone, kept);
    return pot;
}

}  // namespace tubgrove
