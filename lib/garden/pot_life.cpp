#include "garden/pot_life.hpp"

#include "care/season.hpp"
#include "care/values.hpp"
#include "intake/quantity.hpp"
#include "pot/geometry.hpp"

#include <algorithm>
#include <cmath>
#include <ranges>
#include <tuple>
#include <utility>

namespace tubgrove {
namespace {

// What a mulching without a stated depth is taken for: enough for its full effect, and no more.
constexpr double usual_mulch_cm = 4;

std::vector<std::string> tree_ids(const Facts& facts) {
    std::vector<std::string> ids;
    for (const auto& [key, value] : facts) {
        if (!key.starts_with("tree.")) continue;
        auto id = key.substr(5, key.find('.', 5) - 5);
        if (ids.empty() || ids.back() != id) ids.push_back(id);
    }
    return ids;
}

// The trees that an entry speaks of: the one it names, else all of the pot.
std::vector<std::string> trees_of(const Entry& entry, const Facts& facts) {
    if (auto named = entry.values.find("tree"); named != entry.values.end()) return {named->second};
    return tree_ids(facts);
}

std::vector<Fact> crown_facts(const Entry& entry, const std::string& tree, LocalDay day) {
    auto stem = "tree." + tree + ".crown.";
    auto first = number(entry, "across_1_cm");
    if (!first) return {};
    auto second = number(entry, "across_2_cm").value_or(*first);
    std::vector<Fact> facts{{stem + "across", decimal(*first) + " cm by " + decimal(second) + " cm"},
                            {stem + "measured", format_day(day)}};
    if (auto height = number(entry, "height_cm")) facts.push_back({stem + "height", decimal(*height) + " cm"});
    return facts;
}

std::vector<Fact> stated_facts(const Entry& entry) {
    std::vector<Fact> facts;
    for (const auto& [key, value] : entry.values)
        if (find_fact(key)) facts.push_back({key, value});
    return facts;
}

bool states_facts(const Entry& entry) { return entry.action == "added" || entry.action == "changed"; }

// A grower's "pruned 20%" takes that share of the leaves until they are back.
void prune(FactsFrom& now, const Entry& entry, LocalDay day) {
    const double share = std::clamp(number(entry, "share_pct").value_or(15) / 100, 0.0, 1.0);
    for (const auto& tree : trees_of(entry, now.facts)) now.pruned[tree].push_back({day, share});
}

// A crown measured, or leaves told, speak of what the cuts before have left.
void forget_cuts(FactsFrom& now, std::span<const Fact> facts) {
    for (const auto& fact : facts)
        if (fact.key.starts_with("tree.") && (fact.key.ends_with(".crown.across") || fact.key.ends_with(".leaf_share")))
            now.pruned.erase(fact.key.substr(5, fact.key.find('.', 5) - 5));
}

void remember_origins(FactsFrom& now, std::span<const Fact> facts, const Entry& entry, LocalDay day) {
    for (const auto& fact : facts) now.origins[fact.key] = {entry.id, day};
    std::erase_if(now.origins, [&](const auto& item) { return !now.facts.contains(item.first); });
}

// The first word of what was seen.
std::string_view seen(const Entry& entry) {
    const auto text = entry.values.find("text");
    if (entry.action != "saw" || text == entry.values.end()) return {};
    return std::string_view(text->second).substr(0, text->second.find(' '));
}

bool one_of(std::string_view word, std::initializer_list<std::string_view> words) { return std::ranges::find(words, word) != words.end(); }

// What was noted and holds for a while; false when the entry says nothing of it.
bool pass(FactsFrom& now, const Entry& entry, LocalDay day) {
    const auto word = seen(entry);
    const auto& action = entry.action;
    bool changed = true;
    const auto share = number(entry, "share_pct");
    const auto text = entry.values.find("text");
    // A wall's shade takes no light, nor does the bare word, which meant either before a cloth counted.
    if (action == "shaded" && (share || (text != entry.values.end() && text->second == "cloth"))) {
        now.shade = Shade{day, share ? std::optional(std::clamp(*share / 100, 0.0, 1.0)) : std::nullopt};
    } else if (word == "weeds" || word == "grass") now.weeds = day;
    else if (word == "standing-water") now.blocked = day;
    else if (word == "rocked" || word == "fallen") now.rocked = day;
    else if (action == "feet-set") now.on_feet = true;
    else changed = false;
    if (one_of(action, {"unshaded", "moved"})) changed = std::exchange(now.shade, std::nullopt) || changed;
    if (one_of(action, {"weeded", "top-dressed", "repotted"})) changed = std::exchange(now.weeds, std::nullopt) || changed;
    // What came out below proves that it drains.
    if (one_of(action, {"holes-checked", "saucer-emptied", "repotted", "ran-through", "drained", "flushed"})) changed = std::exchange(now.blocked, std::nullopt) || changed;
    if (action == "repotted") now.rocked.reset(), now.on_feet = false;
    return changed;
}

// What a repotting takes the trees out of.
struct Former {
    std::optional<double> medium_l;
    std::vector<std::string> trees;
};

Former former_of(const Facts& before) { return {medium_l(before), tree_ids(before)}; }

// After a repotting the same trees go on growing from what the former medium fed.
void remember_growth(FactsFrom& now, const Facts& before, LocalDay day) {
    const auto former = former_of(before);
    now.grown_in.reset();
    if (former.medium_l && former.trees == tree_ids(now.facts)) now.grown_in = GrownIn{.medium_l = *former.medium_l, .until = day};
}

// One entry's effect on what holds; false when it changes nothing.
bool apply(FactsFrom& now, const Entry& entry, const Zone& zone) {
    auto day = zone.day_of(entry.when);
    const bool passing = pass(now, entry, day);
    if (entry.action == "pruned") {
        prune(now, entry, day);
        return true;
    }
    for (const auto& [put, taken, on] : {std::tuple("roofed", "unroofed", &now.roofed), std::tuple("wrapped", "unwrapped", &now.wrapped)})
        if (entry.action == put || entry.action == taken) {
            *on = entry.action == put;
            return true;
        }
    auto facts = states_facts(entry) ? stated_facts(entry) : facts_stated_by(entry, now.facts, zone);
    // Roots that were cut and went into the next pot the same day are the ball that came along.
    if (entry.action == "repotted" && now.roots_cut == day)
        std::erase_if(facts, [&](const Fact& fact) { return fact.key.ends_with(".ball") && !entry.values.contains(fact.key); });
    if (facts.empty()) return passing;
    const auto since = format_day(now.in_this_pot_since);
    const bool corrected = std::ranges::any_of(facts, [&](const Fact& f) {
        return f.key.ends_with(".planted") && now.facts.contains(f.key) && now.facts.at(f.key) == since;
    });
    const auto before = std::exchange(now.facts, merge(now.facts, facts));
    // The top is fresh medium then: what lay on the old one is gone, unless the entry says that some lies there.
    if (entry.action == "repotted" && std::ranges::find(facts, "mulch.depth", &Fact::key) == facts.end())
        std::erase_if(now.facts, [](const auto& fact) { return fact.first.starts_with("mulch."); });
    if (entry.action == "repotted") remember_growth(now, before, day);
    forget_cuts(now, facts);
    // A depth stated with a pot is what lies there as it is written, whenever the pot was filled.
    if (std::ranges::find(facts, "mulch.depth", &Fact::key) != facts.end())
        now.mulch_laid = entry.action == "mulched" ? day : std::max(day, zone.day_of(entry.learned));
    if (std::ranges::find(facts, "container.saucer", &Fact::key) != facts.end()) now.on_feet = false;
    if (entry.action == "roots-pruned") now.roots_cut = day;
    const auto planted_now = last_planting(now.facts);
    if (entry.action == "added" || entry.action == "repotted" || entry.action == "roots-pruned") {
        now.in_this_pot_since = day;
        now.since_untold = entry.action == "added" && !planted_now && day == zone.day_of(entry.learned);
    } else if (planted_now && (now.since_untold || corrected)) {
        // A planting told later or corrected tells too since when roots have grown here, where nothing else did.
        now.in_this_pot_since = std::min(*planted_now, day);
        now.since_untold = false;
    }
    remember_origins(now, facts, entry, day);
    return true;
}

void take(PotLife& life, const Entry& entry, const Zone& zone) {
    if (entry.action == "retired") {
        life.retired = entry.when;
        return;
    }
    FactsFrom now = life.facts.empty() ? FactsFrom{} : life.facts.back();
    if (!apply(now, entry, zone)) return;
    now.since = entry.when;
    if (!life.facts.empty() && life.facts.back().since == now.since)
        life.facts.back() = std::move(now);
    else
        life.facts.push_back(std::move(now));
}

// Trees that are repotted bring what they stood in along as their root ball, unless another one was stated; of several
// trees each brings its part.
std::vector<Fact> repotted_facts(const Entry& entry, const Facts& before) {
    auto facts = stated_facts(entry);
    const auto former = former_of(before);
    const auto new_l = medium_l(merge(before, facts));
    if (!former.medium_l || !new_l) return facts;
    for (const auto& tree : former.trees) {
        auto stem = "tree." + tree;
        auto stated = [&](const std::string& key) { return std::ranges::find(facts, key, &Fact::key) != facts.end(); };
        if (stated(stem)) continue;              // it was taken out
        if (!stated(stem + ".ball"))
            facts.push_back({stem + ".ball", decimal(std::round(10 * std::min(*former.medium_l, *new_l) / double(former.trees.size())) / 10) + " L"});
        if (!stated(stem + ".planting")) facts.push_back({stem + ".planting", "ball"});
    }
    return facts;
}

// A cut takes its share off the ball: off the whole medium, or off what was left of it in a repotting the same day.
std::vector<Fact> roots_pruned_facts(const Entry& entry, const Facts& before) {
    const auto medium = medium_l(before);
    if (!medium) return {};
    const double kept = 1 - std::clamp(number(entry, "share_pct").value_or(15) / 100, 0.0, 0.9);
    const auto trees = trees_of(entry, before);
    std::vector<Fact> facts;
    for (const auto& tree : trees) {
        const auto stem = "tree." + tree;
        facts.push_back({stem + ".ball", decimal(std::round(10 * kept * *medium / double(trees.size())) / 10) + " L"});
        facts.push_back({stem + ".planting", "ball"});
    }
    return facts;
}

constexpr double least_mulch_cm = 1;
constexpr std::chrono::days mulch_step{30};

}  // namespace

const FactsFrom& PotLife::facts_at(Instant t) const {
    auto later = std::ranges::upper_bound(facts, t, {}, &FactsFrom::since);
    return later == facts.begin() ? facts.front() : *std::prev(later);
}

std::optional<LocalDay> last_planting(const Facts& facts) {
    std::optional<LocalDay> last;
    for (const auto& [key, value] : facts)
        if (key.starts_with("tree.") && key.ends_with(".planted"))
            if (auto day = parse_day(value); day && (!last || *day > *last)) last = day;
    return last;
}

bool has_tree(const Facts& facts) { return !tree_ids(facts).empty(); }

std::set<std::int64_t> struck_ids(std::span<const Entry> entries) {
    std::vector<const Entry*> striking;
    for (const auto& entry : entries)
        if (entry.strikes) striking.push_back(&entry);
    std::ranges::sort(striking, std::greater{}, [](const Entry* entry) { return entry->id; });
    std::set<std::int64_t> struck;
    for (const auto* entry : striking)
        if (!struck.contains(entry->id)) struck.insert(*entry->strikes);
    return struck;
}

std::vector<Fact> facts_stated_by(const Entry& entry, const Facts& before, const Zone& zone) {
    auto day = zone.day_of(entry.when);
    if (entry.action == "repotted") return repotted_facts(entry, before);
    if (entry.action == "roots-pruned") return roots_pruned_facts(entry, before);
    if (entry.action == "moved") return {{"bay", entry.values.contains("bay") ? entry.values.at("bay") : std::string()}};
    if (entry.action == "mulched")
        return {{"mulch.depth", decimal(number(entry, "depth_cm").value_or(usual_mulch_cm)) + " cm"}};
    std::vector<Fact> facts;
    for (const auto& tree : trees_of(entry, before)) {
        auto stem = "tree." + tree;
        if (entry.action == "crown") std::ranges::move(crown_facts(entry, tree, day), std::back_inserter(facts));
        if (entry.action == "stage" && entry.values.contains("stage"))
            facts.push_back({stem + ".stage." + entry.values.at("stage"), format_day(day)});
        if (entry.action == "graft-taken") facts.push_back({stem + ".graft_taken", "yes"});
        if (entry.action == "graft-failed") facts.push_back({stem + ".graft_taken", "no"});
        if (entry.action == "grafted") facts.push_back({stem + ".grafted", format_day(day)});
        if (entry.action == "died") facts.push_back({stem, "gone"});
    }
    return facts;
}

std::vector<PotLife> pot_lives(std::span<const Entry> entries, const Zone& zone) {
    auto struck = struck_ids(entries);
    std::vector<const Entry*> in_time;
    for (const auto& entry : entries)
        if (!entry.pot.empty() && !entry.strikes && !struck.contains(entry.id)) in_time.push_back(&entry);
    std::ranges::sort(in_time, {}, [](const Entry* entry) { return std::pair(entry->when, entry->id); });

    std::vector<PotLife> lives;
    std::map<std::string, std::size_t, std::less<>> place;
    std::vector<std::int64_t> added_by;
    for (const auto* entry : in_time)
        if (entry->action == "added" && place.try_emplace(entry->pot, lives.size()).second) {
            lives.push_back({.id = entry->pot, .facts = {}, .entries = {}, .retired = {}});
            added_by.push_back(entry->id);
        }
    for (const auto* entry : in_time) {
        auto found = place.find(entry->pot);
        if (found == place.end()) continue;
        auto& life = lives[found->second];
        take(life, *entry, zone);
        life.entries.push_back(*entry);
    }
    std::erase_if(lives, [](const PotLife& life) { return life.facts.empty(); });
    return lives;
}

Read<PotSetup> setup_at(const PotLife& life, const FactsFrom& facts) {
    return setup_of(life.id, facts.facts, facts.in_this_pot_since);
}

std::optional<LaidMulch> laid_mulch(const FactsFrom& facts) {
    const auto setup = setup_of({}, facts.facts, facts.in_this_pot_since).value;
    return setup.mulch ? std::optional(LaidMulch{cm(setup.mulch->depth), facts.mulch_laid}) : std::nullopt;
}

LocalDay regrown(LocalDay pruned) {
    const auto earliest = pruned + std::chrono::days(90);
    auto year = int(std::chrono::year_month_day(earliest).year());
    for (const auto turn : {longest_day(year, false), longest_day(year, true)})
        if (turn >= earliest) return turn;
    return longest_day(year + 1, false);
}

Lasting lasting_of(const Priors& priors) {
    return {.shade_d = int(priors.fixed(PriorKey::shade_d)), .rocked_d = int(priors.fixed(PriorKey::rocked_d))};
}

void settle(PotSetup& setup, const FactsFrom& facts, const Lasting& lasting, LocalDay day) {
    setup.passing.weeds = facts.weeds.has_value();
    setup.passing.blocked = facts.blocked.has_value();
    setup.passing.rocked = facts.rocked && day < *facts.rocked + std::chrono::days(lasting.rocked_d);
    setup.passing.shaded = facts.shade && day < facts.shade->day + std::chrono::days(lasting.shade_d);
    if (setup.passing.shaded) setup.passing.shade_share = facts.shade->share;
    if (facts.on_feet) setup.container.saucer.reset();
    setup.passing.roofed = facts.roofed;
    setup.grown_in = facts.grown_in;
    if (facts.roofed) setup.exposure.rain = "roof";
    if (facts.wrapped) setup.container.wall = Wall::plastic;
    if (const auto laid = laid_mulch(facts); laid && setup.mulch)
        setup.mulch->depth = Centimetres(worn_mulch_cm(laid->depth_cm, double((day - laid->day).count())));
    for (auto& tree : setup.trees) {
        const auto cuts = facts.pruned.find(tree.id);
        if (cuts == facts.pruned.end()) continue;
        for (const auto& cut : cuts->second)
            if (felt(cut, day)) tree.leaf_share *= 1 - cut.share;
    }
}

std::vector<LocalDay> settling_days(const FactsFrom& facts, const Lasting& lasting) {
    std::vector<LocalDay> days;
    if (facts.shade) days.push_back(facts.shade->day + std::chrono::days(lasting.shade_d));
    if (facts.rocked) days.push_back(*facts.rocked + std::chrono::days(lasting.rocked_d));
    if (const auto laid = laid_mulch(facts))
        for (auto age = mulch_step; worn_mulch_cm(laid->depth_cm, double(age.count())) >= least_mulch_cm; age += mulch_step)
            days.push_back(laid->day + age);
    for (const auto& [tree, cuts] : facts.pruned)
        for (const auto& cut : cuts) days.push_back(regrown(cut.day));
    return days;
}

namespace {

std::optional<double> volume_l(const Facts& facts, Body Vessel::*part) {
    const auto vessel = vessel_of(setup_of("", facts, {}).value.container);
    const auto* possible = std::get_if<Vessel>(&vessel);
    return possible ? std::optional(litres(volume(possible->*part))) : std::nullopt;
}

}  // namespace

std::optional<double> medium_l(const Facts& facts) { return volume_l(facts, &Vessel::medium); }
std::optional<double> brim_l(const Facts& facts) { return volume_l(facts, &Vessel::brim); }

}  // namespace tubgrove
