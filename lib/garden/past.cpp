#include "garden/past.hpp"

#include "garden/round_reader.hpp"
#include "intake/read_configuration.hpp"

#include <algorithm>
#include <set>

namespace tubgrove {
std::optional<Instant> learned_until(const View& view) {
    return view.replay && !view.hindsight ? std::optional(view.now) : std::nullopt;
}

namespace {

// Each walk with its revisions, in order of the walks.
std::vector<IssuedWalk> issued_walks(const Store& store, const View& view, const Configuration& configuration,
                                     const Zone& zone) {
    std::map<std::pair<LocalDay, std::string>, std::vector<std::string>> revisions;
    for (const auto& round : store.rounds(LocalDay{}, LocalDay{} + std::chrono::days(400000), learned_until(view)))
        if (round.issued <= view.now) revisions[{round.day, round.walk}].push_back(round.id);
    std::vector<IssuedWalk> walks;
    for (const auto& [at, ids] : revisions) {
        const auto& [day, name] = at;
        auto evening = evening_walk(configuration.walks, zone, day);
        auto walk = name == "evening" && evening ? *evening : morning_walk(configuration.walks, zone, day);
        IssuedWalk issued{.walk = walk, .round = {}, .answered = {}};
        for (const auto& id : ids) issued.earlier.push_back(round_lines_from_json(store.round(id).value().json));
        issued.round = std::move(issued.earlier.back());
        issued.earlier.pop_back();
        walks.push_back(std::move(issued));
    }
    std::ranges::sort(walks, {}, [](const IssuedWalk& walk) { return walk.walk.starts; });
    return walks;
}

std::optional<double> told_share(const std::string& word) {
    if (word == "all") return 1.0;
    if (word == "none") return 0.0;
    if (word == "some") return 0.5;
    return std::nullopt;
}

void note_round_answers(std::vector<IssuedWalk>& walks, std::span<const Entry> entries) {
    auto struck = struck_ids(entries);
    for (const auto& entry : entries) {
        if (entry.action != "round" || entry.strikes || struck.contains(entry.id)) continue;
        auto name = parse_round_name(entry.round);
        auto word = entry.values.find("poured");
        if (!name || word == entry.values.end()) continue;
        for (auto& walk : walks)
            if (walk.walk.day == name->day && walk.walk.name == name->walk) {
                if (const auto share = told_share(word->second)) walk.tell({.share = *share, .by = entry.id, .at = entry.when});
            }
    }
}

// Walks on which somebody told of a pot that ran through.
void note_what_ran_through(std::vector<IssuedWalk>& walks, std::span<const PotLife> lives) {
    for (const auto& life : lives)
        for (const auto& entry : life.entries) {
            if (entry.action != "ran-through") continue;
            if (const auto walk = walk_of(walks, entry)) walks[*walk].tells = true;
        }
}

std::vector<BaysFrom> bays_in_effect(const Store& store, const View& view, const Configuration& current) {
    std::vector<BaysFrom> found;
    std::string last;
    for (const auto& round : store.rounds(LocalDay{}, LocalDay{} + std::chrono::days(400000), learned_until(view))) {
        if (round.issued > view.now || round.configuration == last) continue;
        last = round.configuration;
        auto document = store.document(last);
        if (!document) continue;
        auto read = read_configuration("stored configuration", *document);
        if (read.ok()) found.push_back({.since = round.issued, .bays = std::move(read.value.bays)});
    }
    if (found.empty() || !view.replay) found.push_back({.since = found.empty() ? Instant::min() : view.now, .bays = current.bays});
    return found;
}

}  // namespace

std::vector<Entry> entries_seen(const Store& store, const View& view) {
    EntryFilter filter;
    filter.learned_until = learned_until(view);
    auto entries = store.entries(filter);
    std::erase_if(entries, [&](const Entry& entry) { return entry.when > view.now; });
    return entries;
}

std::optional<Instant> newest_confirmation(const Store& store) {
    std::optional<Instant> newest;
    for (const auto& entry : store.entries({.pot = ""}))
        if (entry.action == "clock-confirmed") newest = entry.when;
    return newest;
}

GardenPast past_seen(const Store& store, const View& view, const Configuration& current, const Zone& zone) {
    auto entries = entries_seen(store, view);
    GardenPast past{.lives = pot_lives(entries, zone),
                    .issued = issued_walks(store, view, current, zone),
                    .answers = {},
                    .bays = bays_in_effect(store, view, current)};
    note_round_answers(past.issued, entries);
    note_what_ran_through(past.issued, past.lives);
    for (std::size_t i = 0; i < past.issued.size(); ++i) {
        const auto& walk = past.issued[i];
        auto next = i + 1 < past.issued.size() ? past.issued[i + 1].walk
                                               : morning_walk(current.walks, zone, walk.walk.day + std::chrono::days(1));
        if (next.issues > view.now) continue;
        past.answers.push_back({.round = walk.round.id, .at = walk.walk.starts, .share = poured_share(walk, next, past.lives)});
    }
    return past;
}

}  // namespace tubgrove
