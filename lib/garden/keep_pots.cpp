// Use cases of pots: adding, changing, retiring, taking a garden file, listing and showing.
#include "garden/inside.hpp"
#include "garden/odd_amounts.hpp"
#include "intake/garden_file.hpp"
#include "pot/geometry.hpp"

#include <algorithm>
#include <iterator>
#include <set>

namespace tubgrove {
namespace {

// `since=DATE` among the words is about the entry, not the pot.
struct FactWords {
    std::vector<std::string> facts;
    std::optional<LocalDay> since;
};

Outcome<FactWords> split_since(std::span<const std::string> words, std::optional<LocalDay> since) {
    FactWords split{.facts = {}, .since = since};
    for (const auto& word : words) {
        if (!word.starts_with("since=")) {
            split.facts.push_back(word);
            continue;
        }
        split.since = parse_day(word.substr(6));
        if (!split.since) return Refusal{tubgrove::quoted(word) + " is not a date", "since=2026-03-02"};
    }
    return split;
}

std::map<std::string, std::string> as_values(std::span<const Fact> facts) {
    std::map<std::string, std::string> values;
    for (const auto& fact : facts) values[fact.key] = fact.value;
    return values;
}

std::string added_line(const std::string& pot, std::span<const Fact> facts) {
    std::string line = "pot " + pot + ": new";
    for (const auto& fact : facts) line += ", " + fact.key + " " + fact.value;
    return line;
}

std::string changed_line(const std::string& pot, const Fact& fact, const Facts& before) {
    auto was = before.find(fact.key);
    return "pot " + pot + ": " + fact.key + " " + fact.value + (was == before.end() ? "" : " (was " + was->second + ")");
}

// Only the facts that say something else than what holds already.
std::vector<Fact> differing(std::span<const Fact> facts, const Facts& before) {
    std::vector<Fact> result;
    for (const auto& fact : facts) {
        auto was = before.find(fact.key);
        if (was == before.end() || was->second != fact.value) result.push_back(fact);
    }
    return result;
}

double rim_l(const Container& container) {
    auto vessel = vessel_of(container);
    const auto* possible = std::get_if<Vessel>(&vessel);
    return possible ? litres(volume(possible->brim)) : container.size ? litres(*container.size) : 0;
}

// A description that the model can use, or what is wrong with it.
Complaints impossible(const PotSetup& setup) {
    auto vessel = vessel_of(setup.container);
    if (const auto* wrong = std::get_if<ImpossibleContainer>(&vessel)) return {{.file = {}, .what = wrong->what, .right = wrong->right}};
    return {};
}

// The facts as a setup, with every complaint about it.
Complaints complaints_of(std::string_view pot, const Facts& facts, LocalDay since, std::span<const std::string> refused = {}) {
    auto setup = setup_of(pot, facts, since, refused);
    const bool vessel_known = std::ranges::none_of(refused, [](const std::string& key) { return key.starts_with("container."); });
    return setup.ok() && vessel_known ? impossible(setup.value) : setup.complaints;
}

std::string trees_in_words(const PotSetup& setup) {
    std::string words;
    for (const auto& tree : setup.trees) {
        if (!words.empty()) words += "; ";
        words += tree.species.empty() ? "tree " + tree.id : tree.species;
        if (!tree.rootstock.empty()) words += " on " + tree.rootstock;
        else if (!tree.vigour.empty()) words += ", " + tree.vigour;
    }
    return words;
}

}  // namespace

PotLine pot_line(const PotLife& life, Instant t, const Zone& zone, const Tables& tables) {
    const auto& facts = life.facts_at(t);
    auto setup = setup_at(life, facts).value;
    PotLine line{.id = life.id, .label = setup.label, .bay = setup.exposure.bay, .trees = trees_in_words(setup),
                 .medium = setup.medium.empty() ? std::string(unnamed_medium) : setup.medium, .medium_name = {}, .size_l = rim_l(setup.container),
                 .since = facts.in_this_pot_since, .retired = {}};
    const auto* medium = tables.medium(line.medium);
    line.medium_name = medium ? medium->name : line.medium;
    if (life.retired) line.retired = zone.day_of(*life.retired);
    return line;
}

Outcome<PotsAnswer> Garden::pots(const View& view, bool with_retired) {
    PotsAnswer answer;
    auto lives = inside_->lives(view);
    auto walked = in_walking_order(lives, inside_->configuration, view.now);
    for (const auto& life : lives) {
        bool here = !life.retired || view.now < *life.retired;
        if ((here || with_retired) && std::ranges::find(walked, &life) == walked.end()) walked.push_back(&life);
    }
    for (const auto* life : walked) answer.pots.push_back(pot_line(*life, view.now, inside_->zone, inside_->tables));
    return answer;
}

std::vector<std::string> Garden::pot_ids(const View& view) {
    std::vector<std::string> ids;
    for (const auto& life : inside_->lives(view))
        if (!life.retired || view.now < *life.retired) ids.push_back(life.id);
    return ids;
}

Outcome<ChangesAnswer> Garden::pot_add(const View& view, std::string_view id, std::span<const std::string> words) {
    if (auto wrong = wrong_pot_id(id)) return refusal_of(*wrong);
    auto lives = inside_->lives(view);
    if (find_life(lives, id))
        return Refusal{"pot " + tubgrove::quoted(id) + " is in the daybook already", "another id: one is never used twice; pot change alters a pot"};
    auto split = split_since(words, {});
    if (auto* refusal = std::get_if<Refusal>(&split)) return *refusal;
    const auto& [fact_words, since] = std::get<FactWords>(split);
    auto facts = parse_facts(fact_words, inside_->names(lives));
    if (!facts.ok()) return refusal_of(facts.complaints);
    auto day = since ? *since : last_planting(as_values(facts.value)).value_or(inside_->zone.day_of(view.now));
    if (auto wrong = days_to_come(id, facts.value, inside_->zone.day_of(view.now)); !wrong.empty()) return refusal_of(wrong);
    if (inside_->zone.start_of(day) > view.now) return Refusal{format_day(day) + " has not come yet", "the day when the pot was filled"};
    if (auto wrong = complaints_of(id, merge({}, facts.value), day); !wrong.empty()) return refusal_of(wrong);

    auto entry = inside_->entry(view, std::string(id), "added");
    entry.when = std::min(inside_->zone.start_of(day), view.now);
    entry.values = as_values(facts.value);
    auto written = inside_->write(view, {entry});
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    std::vector<std::string> changes{added_line(entry.pot, facts.value)};
    const auto all = merge({}, facts.value);
    if (auto odd = saucer_remark(entry.pot, facts.value, all, setup_of(entry.pot, all, day).value.container)) changes.push_back(std::move(*odd));
    if (!since && !last_planting(entry.values))
        changes.push_back("pot " + entry.pot + ": taken as planted today; if its tree has stood there longer, say since when: pot change " + entry.pot +
                          " tree.a.planted=" + format_day(day - std::chrono::days(2 * 365)));
    return ChangesAnswer{.changes = std::move(changes), .complaints = {},
                         .entries = std::get<std::vector<Entry>>(std::move(written)), .applied = true};
}

Outcome<ChangesAnswer> Garden::pot_change(const View& view, std::string_view id, std::span<const std::string> words,
                                          std::optional<LocalDay> since_option) {
    auto lives = inside_->lives(view);
    if (auto refusal = not_here(lives, id, view.now)) return *refusal;
    const auto& life = *find_life(lives, id);
    auto split = split_since(words, since_option);
    if (auto* refusal = std::get_if<Refusal>(&split)) return *refusal;
    const auto& [fact_words, since] = std::get<FactWords>(split);
    auto facts = parse_facts(fact_words, inside_->names(lives));
    if (!facts.ok()) return refusal_of(facts.complaints);
    if (facts.value.empty()) return Refusal{"nothing to change", "a fact: pot change " + life.id + " medium=loam"};

    auto entry = inside_->entry(view, life.id, "changed");
    if (since) entry.when = inside_->zone.start_of(*since);
    if (entry.when > view.now) return Refusal{format_day(*since) + " has not come yet", "today or a day before"};
    if (auto wrong = days_to_come(id, facts.value, inside_->zone.day_of(view.now)); !wrong.empty()) return refusal_of(wrong);
    const auto& before = life.facts_at(entry.when);
    if (auto wrong = complaints_of(life.id, merge(before.facts, facts.value), before.in_this_pot_since); !wrong.empty())
        return refusal_of(wrong);
    ChangesAnswer answer;
    for (const auto& fact : facts.value) answer.changes.push_back(changed_line(life.id, fact, before.facts));
    const auto all = merge(before.facts, facts.value);
    if (auto odd = saucer_remark(life.id, facts.value, all, setup_of(life.id, all, before.in_this_pot_since).value.container)) answer.changes.push_back(std::move(*odd));
    entry.values = as_values(facts.value);
    auto written = inside_->write(view, {entry});
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    answer.entries = std::get<std::vector<Entry>>(std::move(written));
    answer.applied = true;
    return answer;
}

Outcome<ChangesAnswer> Garden::pot_retire(const View& view, std::string_view id, std::string_view because) {
    auto lives = inside_->lives(view);
    if (auto refusal = not_here(lives, id, view.now)) return *refusal;
    auto entry = inside_->entry(view, std::string(id), "retired");
    entry.note = because;
    auto written = inside_->write(view, {entry});
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    return ChangesAnswer{.changes = {"pot " + entry.pot + ": retired; its id is not used again"}, .complaints = {},
                         .entries = std::get<std::vector<Entry>>(std::move(written)), .applied = true};
}

Outcome<ChangesAnswer> Garden::pot_take(const View& view, std::string_view file_name, std::string_view yaml, bool apply) {
    auto lives = inside_->lives(view);
    auto names = inside_->names(lives);
    auto read = read_garden(file_name, yaml, names);
    ChangesAnswer answer;
    std::vector<Entry> entries;
    auto today = inside_->zone.day_of(view.now);
    for (const auto& pot : read.value) {
        auto complain = [&](const Fault& wrong) {
            read.complaints.push_back({std::string(file_name), pot.line, pot.column, wrong.what, wrong.right});
        };
        if (pot.id.empty()) continue;      // its id was complained of
        const auto* life = find_life(lives, pot.id);
        if (life && life->retired) {
            complain(Fault{"pot " + tubgrove::quoted(pot.id) + " is retired", "another id: one is never used twice"});
            continue;
        }
        auto day = pot.since ? *pot.since : life ? today : last_planting(as_values(pot.facts)).value_or(today);
        auto entry = inside_->entry(view, pot.id, life ? "changed" : "added");
        entry.when = std::min(inside_->zone.start_of(day), view.now);
        if (pot.since && inside_->zone.start_of(day) > view.now) complain(Fault{format_day(day) + " has not come yet", "today or a day before"});
        // A file that is taken again says the same since-day; what differs is news of today.
        if (life) entry.when = view.now;
        auto before = life ? life->facts_at(view.now).facts : Facts{};
        auto facts = differing(pot.facts, before);
        if (facts.empty() && pot.refused.empty()) continue;
        auto since = life ? life->facts_at(view.now).in_this_pot_since : day;
        for (const auto& wrong : days_to_come(pot.id, facts, today)) complain(Fault{wrong.what, wrong.right});
        for (const auto& wrong : complaints_of(pot.id, merge(before, facts), since, pot.refused)) complain(Fault{wrong.what, wrong.right});
        if (life)
            for (const auto& fact : facts) answer.changes.push_back(changed_line(pot.id, fact, before));
        else
            answer.changes.push_back(added_line(pot.id, facts));
        entry.values = as_values(facts);
        entries.push_back(std::move(entry));
    }
    for (const auto& complaint : read.complaints) answer.complaints.push_back(format(complaint));
    if (!answer.complaints.empty() || !apply) return answer;
    auto written = inside_->write(view, std::move(entries));
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    answer.entries = std::get<std::vector<Entry>>(std::move(written));
    answer.applied = true;
    return answer;
}

}  // namespace tubgrove
