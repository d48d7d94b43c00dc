#include "garden/history.hpp"

#include <algorithm>
#include <ranges>
#include <set>

namespace tubgrove {
namespace {

constexpr double stated_sd_share = 0.15;

Moisture moisture_of(const std::string& word) {
    if (word == "dry") return Moisture::dry;
    if (word == "barely-moist") return Moisture::barely_moist;
    return word == "moist" ? Moisture::moist : Moisture::wet;
}

std::string value_of(const Entry& entry, const std::string& key) {
    auto found = entry.values.find(key);
    return found == entry.values.end() ? std::string() : found->second;
}

bool answers_line(const Entry& entry) {
    return entry.action == "watered" || entry.action == "ran-through" || entry.action == "skipped" || entry.action == "flushed";
}

// What an entry says of water; empty for one that only states a fact or care.
std::optional<decltype(Happened::what)> event_of(const Entry& entry) {
    auto amount = number(entry, "amount_l");
    if (entry.action == "watered")
        return Poured{.pour_l = amount.value_or(0), .passes = int(number(entry, "passes").value_or(1)),
                      .sd_share = stated_sd_share, .ran_through = {}};
    if (entry.action == "ran-through" && amount)
        return Poured{.pour_l = *amount, .passes = int(number(entry, "passes").value_or(1)), .sd_share = stated_sd_share,
                      .ran_through = true};
    // So much that it ran through long before the end.
    if (entry.action == "flushed" && amount)
        return Poured{.pour_l = *amount, .passes = 1, .sd_share = stated_sd_share, .ran_through = true, .stopped = false};
    if (entry.action == "felt") return Felt{.moisture = moisture_of(value_of(entry, "class")), .practised = false};
    if (entry.action == "weighed") return Weighed{.mass_kg = number(entry, "mass_kg").value_or(0), .drained = false};
    if (entry.action == "weighed-drained")
        return Weighed{.mass_kg = number(entry, "mass_kg").value_or(0), .drained = true};
    if (entry.action == "drained") return Drained{amount.value_or(0)};
    if (entry.action == "wilted") return Wilted{};
    if (entry.action == "saucer-emptied") return Emptied{};
    return std::nullopt;
}

const PourLine* line_for(const Round& round, const std::string& pot) {
    auto found = std::ranges::lower_bound(round.pours, pot, {}, &PourLine::pot);
    return found == round.pours.end() || found->pot != pot ? nullptr : &*found;
}

// The pot's own entries that answer a walk: those between its hour of issue and the next walk's, or that name its round.
std::vector<const Entry*> answers_to(const PotLife& life, const IssuedWalk* issued, const Walk& walk, const Walk& next) {
    std::vector<const Entry*> found;
    for (const auto& entry : life.entries) {
        if (!answers_line(entry)) continue;
        auto named = parse_round_name(entry.round);
        bool here = named ? (issued && named->day == walk.day && named->walk == walk.name)
                          : (entry.when >= walk.issues && entry.when < next.issues);
        if (here) found.push_back(&entry);
    }
    return found;
}

// A walk as its gardener knew it: the revision read, and what was told of it.
struct Spoken {
    const IssuedWalk& issued;
    const Round& read;
    std::optional<double> share = {};
    std::int64_t by = 0;
};

Listed listed(const PourLine& line, const Spoken& spoken) {
    return {.round = spoken.read.id, .pour_l = line.pour_l, .passes = line.passes, .until = line.until,
            .share = spoken.share, .followed = 0.8, .ran_through = {}, .tells = spoken.issued.tells};
}

// The event of a listed pot's line, unless an entry with litres took its place.
std::optional<Happened> line_event(const PourLine& line, const Spoken& spoken, std::span<const Entry* const> answers,
                                   const Followed& counts) {
    Happened happened{.at = std::max(spoken.issued.walk.starts, spoken.read.issued), .entry = spoken.by,
                      .what = Poured{}};
    auto event = listed(line, spoken);
    event.followed = counts.mean();
    for (const auto* answer : answers) {
        if (event_of(*answer)) return std::nullopt;      // stated litres are an event of their own
        event.share = answer->action == "skipped" ? 0.0 : 1.0;
        if (answer->action == "ran-through") event.ran_through = true;
        happened.entry = answer->id;
        if (answer->round.empty()) happened.at = answer->when;   // one that names its round may be written days later
    }
    happened.what = event;
    return happened;
}

// What became of a pot's line on one walk. Each revision that somebody answered counts: who poured a list and was asked for more
// later has poured both. The pot's own entries go before what was told of the whole list that they speak of.
std::vector<Happened> events_of_list(const PotLife& life, const IssuedWalk& issued, std::span<const Entry* const> answers, bool over,
                                     const Followed& counts) {
    std::vector<Happened> events;
    const auto add = [&](const Spoken& spoken, std::span<const Entry* const> own) {
        const auto* line = line_for(spoken.read, life.id);
        if (auto event = line ? line_event(*line, spoken, own, counts) : std::nullopt) events.push_back(std::move(*event));
    };
    std::vector<std::pair<const Round*, std::vector<const Entry*>>> own;
    for (const auto* answer : answers) {
        const auto* read = issued.read_at(answer->when, life.id);
        auto of_same = std::ranges::find(own, read, &std::pair<const Round*, std::vector<const Entry*>>::first);
        if (of_same == own.end()) of_same = own.insert(own.end(), {read, {}});
        of_same->second.push_back(answer);
    }
    const auto told = issued.told();
    for (const auto& t : told)
        if (const auto& read = issued.read_at(t.at); std::ranges::none_of(own, [&](const auto& o) { return o.first == &read; }))
            add({.issued = issued, .read = read, .share = t.share, .by = t.by}, {});
    for (const auto& [read, entries] : own)
        if (read != nullptr) add({.issued = issued, .read = *read}, entries);
    if (told.empty() && answers.empty() && over) add({.issued = issued, .read = issued.round}, {});
    return events;
}

// When all of the pot's last list was told to be poured, its own word of what it got instead included; empty: it was not.
std::optional<Instant> poured_at(const PotLife& life, const IssuedWalk& issued, std::span<const Entry* const> answers) {
    const auto told = issued.told();
    for (auto t = told.rbegin(); t != told.rend(); ++t) {
        if (line_for(issued.read_at(t->at), life.id) == nullptr) continue;
        if (t->share != 1.0) return std::nullopt;
        auto at = t->at;
        for (const auto* answer : answers) at = std::max(at, answer->when);
        return at;
    }
    return std::nullopt;
}

bool speaks_of_dryness(const Entry& entry) {
    if (entry.action == "wilted") return true;
    const auto felt = entry.action == "felt" ? value_of(entry, "class") : std::string();
    return felt == "dry" || felt == "barely-moist";
}

// Times are whole seconds: what was written in the very second of the question counts as of the second before it. Else a list asked
// for right after an answer would leave that out, and pass for one that knows it.
bool is_past(const HistoryBounds& bounds, Instant t) { return t < bounds.until || (t == bounds.until && bounds.starts < bounds.until); }
Instant seen_at(const HistoryBounds& bounds, Instant t) { return std::min(t, bounds.until - std::chrono::seconds(1)); }

// When a pot's setup could have changed: its facts, what time makes of them, and the configuration in effect.
std::vector<Instant> change_points(const PotLife& life, const GardenPast& past, const Zone& zone, const HistoryBounds& bounds) {
    std::vector<Instant> points{bounds.starts};
    for (auto facts = life.facts.begin(); facts != life.facts.end(); ++facts) {
        points.push_back(facts->since);
        for (auto day : settling_days(*facts, bounds.lasting)) {
            const auto at = zone.start_of(day);
            if (at > facts->since && (std::next(facts) == life.facts.end() || at < std::next(facts)->since)) points.push_back(at);
        }
    }
    for (const auto& bays : past.bays) points.push_back(bays.since);
    std::ranges::sort(points);
    points.erase(std::unique(points.begin(), points.end()), points.end());
    std::erase_if(points, [&](Instant t) { return t < bounds.starts || !is_past(bounds, t); });
    return points;
}

void add_setups(PotHistory& history, const PotLife& life, const GardenPast& past, const Zone& zone, const HistoryBounds& bounds) {
    for (auto t : change_points(life, past, zone, bounds)) {
        auto setup = setup_at(life, life.facts_at(t));
        if (!setup.ok()) continue;               // told when the fact was written; the former setup goes on
        setup.value.exposure = exposure_at(past, setup.value.exposure.bay, t);
        settle(setup.value, life.facts_at(t), bounds.lasting, zone.day_of(t));
        history.setups.push_back({.since = seen_at(bounds, t), .setup = std::move(setup.value)});
    }
}

void add_entries(PotHistory& history, const PotLife& life, const GardenPast& past, const HistoryBounds& bounds) {
    for (const auto& entry : life.entries) {
        if (entry.when < bounds.starts || !is_past(bounds, entry.when)) continue;
        auto event = event_of(entry);
        if (!event) continue;
        if (auto* poured = std::get_if<Poured>(&*event)) {
            const auto walk = walk_of(past.issued, entry);
            poured->tells = walk && past.issued[*walk].tells;
        }
        history.events.push_back({.at = seen_at(bounds, entry.when), .entry = entry.id, .what = *event});
    }
}

void add_walks(PotHistory& history, const PotLife& life, const GardenPast& past, const Configuration& configuration,
               const Zone& zone, const HistoryBounds& bounds) {
    std::map<std::pair<LocalDay, std::string>, const IssuedWalk*> issued;
    for (const auto& walk : past.issued) issued[{walk.walk.day, walk.walk.name}] = &walk;
    auto was_issued = [&](LocalDay day) { return issued.contains({day, "evening"}); };
    auto walk = morning_walk(configuration.walks, zone, zone.day_of(history.starts));
    for (; walk.issues < bounds.until; walk = walk_after(configuration.walks, zone, walk, was_issued)) {
        auto next = walk_after(configuration.walks, zone, walk, was_issued);
        auto found = issued.find({walk.day, walk.name});
        const auto* round = found == issued.end() ? nullptr : found->second;
        if (walk.starts < history.starts || (life.retired && walk.starts >= *life.retired)) continue;
        auto answers = answers_to(life, round, walk, next);
        bool over = next.issues <= bounds.until;
        if (round) {
            for (auto& event : events_of_list(life, *round, answers, over, followed(past.answers, walk.starts)))
                history.events.push_back(std::move(event));
        } else if (over && answers.empty()) {
            history.events.push_back({.at = walk.starts, .entry = 0,
                                      .what = Unlisted{format_round_name({.day = walk.day, .walk = walk.name})}});
        }
    }
}

}  // namespace

const Round& IssuedWalk::read_at(Instant t) const {
    // Nobody reads a list and answers it within one second: a revision of that very second came after.
    if (round.issued < t || earlier.empty()) return round;
    for (auto revision = earlier.rbegin(); revision != earlier.rend(); ++revision)
        if (revision->issued < t) return *revision;
    return earlier.front();
}

const Round* IssuedWalk::read_at(Instant t, const std::string& pot) const {
    if (round.issued < t && line_for(round, pot) != nullptr) return &round;
    for (auto revision = earlier.rbegin(); revision != earlier.rend(); ++revision)
        if ((revision->issued < t || &*revision == &earlier.front()) && line_for(*revision, pot) != nullptr) return &*revision;
    return earlier.empty() && line_for(round, pot) != nullptr ? &round : nullptr;
}

std::vector<RoundTold> IssuedWalk::told() const {
    auto all = told_before;
    if (answered) all.push_back({.share = *answered, .by = answered_by, .at = answered_at});
    return all;
}

void IssuedWalk::tell(RoundTold now) {
    told_before = told();
    std::erase_if(told_before, [&](const RoundTold& t) { return &read_at(t.at) == &read_at(now.at); });
    answered = now.share;
    answered_by = now.by;
    answered_at = now.at;
}

std::optional<std::size_t> walk_of(std::span<const IssuedWalk> walks, const Entry& entry) {
    auto found = walks.end();
    if (const auto name = parse_round_name(entry.round)) {
        found = std::ranges::find_if(walks, [&](const IssuedWalk& w) { return w.walk.day == name->day && w.walk.name == name->walk; });
    } else {
        found = std::ranges::upper_bound(walks, entry.when, {}, [](const IssuedWalk& w) { return w.walk.issues; });
        if (found == walks.begin()) return std::nullopt;
        --found;
    }
    if (found == walks.end()) return std::nullopt;
    return std::size_t(found - walks.begin());
}

std::optional<double> poured_share(const IssuedWalk& issued, const Walk& next, std::span<const PotLife> lives) {
    if (issued.answered) return issued.answered;
    std::map<std::string_view, const PotLife*> by_id;
    for (const auto& life : lives) by_id.emplace(life.id, &life);
    double poured = 0, told = 0;
    // Whether the pot has an answer, which is then counted.
    const auto count = [&](const std::string& pot) {
        auto life = by_id.find(pot);
        if (life == by_id.end()) return false;
        auto answers = answers_to(*life->second, &issued, issued.walk, next);
        if (answers.empty()) return false;
        ++told;
        poured += std::ranges::any_of(answers, [](const Entry* entry) { return entry->action != "skipped"; });
        return true;
    };
    for (const auto& line : issued.round.pours)
        if (!count(line.pot)) return std::nullopt;
    // A pot that had its water is on no later revision.
    std::set<std::string> before;
    for (const auto& round : issued.earlier)
        for (const auto& line : round.pours)
            if (line_for(issued.round, line.pot) == nullptr && before.insert(line.pot).second) count(line.pot);
    return told > 0 ? std::optional(poured / told) : std::nullopt;
}

bool had_its_pour(const PotLife& life, const IssuedWalk& issued, const Walk& next, Instant now) {
    constexpr std::chrono::hours walk_lasts{3};      // with its second passes; whoever asks later than that sets out anew
    const auto answers = answers_to(life, &issued, issued.walk, next);
    const auto poured = poured_at(life, issued, answers);
    if (!poured || now < *poured || now - *poured > walk_lasts) return false;
    return std::ranges::none_of(life.entries, [&](const Entry& e) { return e.when > *poured && speaks_of_dryness(e); });
}

Exposure exposure_at(const GardenPast& past, const std::string& bay, Instant t) {
    auto later = std::ranges::upper_bound(past.bays, t, {}, &BaysFrom::since);
    const auto& in_effect = later == past.bays.begin() ? past.bays.front() : *std::prev(later);
    auto found = std::ranges::find(in_effect.bays, bay, &Bay::id);
    Bay words = found == in_effect.bays.end() ? Bay{} : *found;
    return {.bay = bay, .light = words.light, .shelter = words.shelter, .rain = words.rain,
            .place = words.place, .ground = words.ground};
}

PotHistory history_of(const PotLife& life, const GardenPast& past, const Configuration& configuration, const Zone& zone,
                      const HistoryBounds& bounds) {
    PotHistory history{.pot = life.id, .starts = std::max(bounds.starts, life.facts.front().since), .setups = {}, .events = {}};
    const HistoryBounds own{.starts = history.starts, .until = bounds.until, .lasting = bounds.lasting};
    add_setups(history, life, past, zone, own);
    add_entries(history, life, past, own);
    add_walks(history, life, past, configuration, zone, bounds);
    std::ranges::stable_sort(history.events, {}, &Happened::at);
    return history;
}

}  // namespace tubgrove
