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
    auto first = store.first_reading(zone.start_of(today - longest_memory - std::chrono::days(31)), view.now, learned_until(view));
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

// Where a kept state may lie: the newest place is where a missing one will be kept.
std::vector<PotAsked::Place> places_of(const GardenNow& garden, const PotLife& life, const PotHistory& history,
                                       const std::string& tables, const Zone& zone) {
    std::vector<PotAsked::Place> places;
    const auto newest = zone.day_of(garden.now) - kept_before;
    for (int back = 0; back <= looked_back_days; ++back) {
        const auto day = newest - std::chrono::days(back);
        if (zone.start_of(day) <= history.starts || day <= garden.first_day) break;
        const auto days_before = std::size_t((day - garden.first_day).count());
        places.push_back({.day = day, .key = state_key(garden, life, history, tables, zone.start_of(day), days_before)});
    }
    return places;
}

// A belief for each setup. A container that cannot be is refused when it is written, so none is expected here; should a
// table's change make one impossible, the pot's former setup goes on.
void believe(PotNow& pot, const Tables& tables, const Zone& zone) {
    std::vector<DatedSetup> possible;
    for (auto& dated : pot.history.setups) {
        auto belief = belief_of(dated.setup, tables, zone.day_of(dated.since));
        if (!std::holds_alternative<Belief>(belief)) continue;
        pot.beliefs.push_back(std::get<Belief>(std::move(belief)));
        possible.push_back(std::move(dated));
    }
    pot.history.setups = std::move(possible);
}

// Another forecast's days. In so few of them its warmth changes no leaf worth counting.
std::vector<DayCourse> same_canopies(const std::vector<DayCourse>& first, std::span<const DayRecord> days) {
    std::vector<DayCourse> course;
    for (const auto& day : days) {
        const auto same = std::ranges::find(first, day.day, [](const DayCourse& c) { return c.record->day; });
        course.push_back({&day, same->canopy});
    }
    return course;
}

}  // namespace

GardenNow garden_now(const Store& store, const View& view, const Configuration& configuration, const Zone& zone,
                     ForecastKnowledge& knowledge, std::chrono::days days) {
    GardenNow garden;
    garden.ahead = days;
    garden.now = view.now;
    garden.inputs = store.input_mark(learned_until(view));
    garden.past = past_seen(store, view, configuration, zone);
    garden.first_day = first_day_of(store, view, zone);
    garden.weather = weather_seen(store, view, configuration, zone,
                                  {garden.first_day, zone.day_of(view.now) + days}, knowledge);
    garden.heat = heat_now(knowledge, garden.weather, store, view, configuration.site, zone);
    garden.heat_told_before = heat_told_before(garden.weather, store, view, configuration, zone, knowledge.figures);
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
    return zone.start_of(zone.day_of(garden.now) + garden.ahead);
}

PotAsked ask(const GardenNow& garden, const PotLife& life, const Configuration& configuration, const Tables& tables,
             const Zone& zone, const std::string& tables_digest) {
    PotAsked asked;
    auto& pot = asked.pot;
    pot.life = &life;
    pot.history = history_of(life, garden.past, configuration, zone,
                             {.starts = zone.start_of(garden.first_day), .until = garden.now, .lasting = lasting_of(tables.priors)});
    believe(pot, tables, zone);
    if (asked.answerable()) asked.places = places_of(garden, life, pot.history, tables_digest, zone);
    return asked;
}

void look_up(PotAsked& asked, const KeptStates& kept) {
    for (const auto& place : asked.places) {
        const auto here = kept.here.find(place.key);
        auto bytes = here != kept.here.end() ? std::optional(here->second) : kept.store.cache_get(asked.pot.life->id, place.key);
        if (!bytes) continue;
        asked.found = place;
        asked.bytes = std::move(*bytes);
        return;
    }
}

// The newest kept state that still holds, or the beginning; then lived on to the present, with a state to keep on the way.
void live(PotAsked& asked, const GardenNow& garden, const Configuration& configuration, const Tables& tables, const Zone& zone) {
    auto& pot = asked.pot;
    GrowingSite site{.latitude_deg = degrees(configuration.site.latitude), .elevation_m = metres(configuration.site.elevation)};
    pot.courses.push_back(course_of(pot.history, tables, site, zone, garden.weather.members.front()));
    for (const auto& days : std::span(garden.weather.members).subspan(1)) pot.courses.push_back(same_canopies(pot.courses.front(), days));
    PotRun run{.history = pot.history, .beliefs = pot.beliefs, .days = pot.courses.front(), .priors = tables.priors, .zone = zone};
    auto state = asked.found ? ensemble_from_bytes(asked.bytes) : std::nullopt;
    const bool newest = state && asked.found->day == asked.places.front().day;
    if (!state) state = begin(run);
    if (!asked.places.empty() && !newest) {
        advance(*state, run, zone.start_of(asked.places.front().day));
        asked.fresh = CachedState{.pot = pot.life->id, .key = asked.places.front().key, .bytes = to_bytes(*state)};
    }
    advance(*state, run, garden.now);
    pot.ensemble = std::move(*state);
}

void keep(PotAsked& asked, KeptStates& kept) {
    constexpr std::size_t most_here = 256;   // ten megabytes; whatever is older lies in the store's cache
    if (!asked.fresh) return;
    if (kept.here.size() >= most_here) kept.here.clear();
    kept.here[asked.fresh->key] = asked.fresh->bytes;
    kept.fresh.push_back(std::move(*asked.fresh));
}

PotNow pot_now(const GardenNow& garden, const PotLife& life, const Configuration& configuration, const Tables& tables,
               const Zone& zone, KeptStates& kept) {
    auto asked = ask(garden, life, configuration, tables, zone, kept.tables);
    if (!asked.answerable()) return std::move(asked.pot);
    look_up(asked, kept);
    live(asked, garden, configuration, tables, zone);
    keep(asked, kept);
    return std::move(asked.pot);
}

}  // namespace tubgrove
