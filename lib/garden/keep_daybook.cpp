// Use cases of the daybook: writing what was done, striking, reading, taking it along.
#include "garden/inside.hpp"
#include "garden/json.hpp"
#include "garden/odd_amounts.hpp"
#include "garden/past.hpp"
#include "garden/round_notices.hpp"
#include "garden/round_reader.hpp"
#include "intake/daybook_csv.hpp"
#include "intake/garden_file.hpp"
#include "intake/quantity.hpp"
#include "plan/plain_text.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

// The walk that a bare `did round all` speaks of: the newest issued one that has begun.
const IssuedWalk* newest_begun(const GardenPast& past, Instant when) {
    const IssuedWalk* found = nullptr;
    for (const auto& walk : past.issued)
        if (walk.walk.starts <= when) found = &walk;
    return found;
}

const IssuedWalk* walk_named(const GardenPast& past, const RoundName& name) {
    for (const auto& walk : past.issued)
        if (walk.walk.day == name.day && walk.walk.name == name.walk) return &walk;
    return nullptr;
}

bool listed(const IssuedWalk* walk, const std::string& pot) {
    const auto on = [&](const Round& round) { return std::ranges::find(round.pours, pot, &PourLine::pot) != round.pours.end(); };
    return walk && (on(walk->round) || std::ranges::any_of(walk->earlier, on));   // one that had its pour is on no later one
}

Outcome<Entry> round_entry(const Did& did, const GardenPast& past, Entry entry) {
    const IssuedWalk* walk = nullptr;
    if (did.round.empty()) {
        walk = newest_begun(past, entry.when);
        if (!walk) return Refusal{"no round has been issued yet", "ask for a round first, or tell of a pot: did 7 watered 2.5L"};
    } else {
        auto name = parse_round_name(did.round);
        if (!name) return Refusal{tubgrove::quoted(did.round) + " is not a round", "an id such as 2026-07-14-morning"};
        walk = walk_named(past, *name);
        if (!walk) return Refusal{"no round " + tubgrove::quoted(did.round) + " was issued", "the id that its list shows"};
    }
    entry.round = walk->round.id;
    entry.values = did.values;
    return entry;
}

// What a pot's entry needs beyond its words; a sentence for what was odd but kept.
std::optional<Refusal> check_pot_entry(const Did& did, const PotLife& life, const IssuedWalk* walk, const Entry& entry,
                                       const Zone& zone, std::vector<std::string>& remarks) {
    if (entry.when < life.facts.front().since)
        remarks.push_back("pot " + life.id + " was added later than this; the entry is kept");
    if (!has_tree(life.facts_at(entry.when).facts) && entry.when >= life.facts.front().since)
        remarks.push_back("no tree stands in pot " + life.id + "; the entry is kept");
    if (did.action == "ran-through" && !did.values.contains("amount_l") && !listed(walk, life.id))
        return Refusal{"pot " + life.id + " is not on a list, so the litres are not known", "did " + life.id + " ran-through 2L"};
    if (did.action == "skipped" && !listed(walk, life.id))
        return Refusal{"pot " + life.id + " is not on a list that could be skipped", "nothing needs to be said"};
    if (did.values.contains("tree") || did.action == "repotted") {
        Facts facts = merge(life.facts_at(entry.when).facts, facts_stated_by(entry, life.facts_at(entry.when).facts, zone));
        if (did.action == "died") return std::nullopt;
        if (auto setup = setup_of(life.id, facts, zone.day_of(entry.when)); !setup.ok()) return refusal_of(setup.complaints);
    }
    return std::nullopt;
}

}  // namespace

namespace {

// A machine whose clock fell back dates what is written down wrongly; who writes it is told so at once.
bool clock_in_doubt(const Store& store, const View& view) {
    if (view.replay || !implausible_clock(view.now, store.newest_learned())) return false;
    const auto confirmed = newest_confirmation(store);
    return !confirmed || *confirmed > view.now;
}

}  // namespace

Outcome<EntriesAnswer> Garden::did(const View& view, std::span<const std::string> words, const DidOptions& options) {
    auto past = past_seen(inside_->store, view, inside_->configuration, inside_->zone);
    auto parsed = parse_did(words, inside_->names(past.lives));
    if (!good(parsed)) return refusal_of(fault(parsed));
    const auto& did = *good(parsed);
    if (options.on_a_visit && std::ranges::find(visit_actions(), did.action) == visit_actions().end())
        return Refusal{.what = tubgrove::quoted(did.action) + " is the gardener's to write; who waters meanwhile writes what a visit does",
                       .right = one_of(visit_actions()), .anothers = true};

    auto when = options.when.value_or(view.now);
    if (when > view.now)
        return Refusal{format_rfc3339(when, inside_->zone) + " has not come yet", "the time when it was done"};
    auto draft = [&](const std::string& pot) {
        auto entry = inside_->entry(view, pot, did.action);
        entry.when = when;
        entry.by = options.by;
        entry.note = options.note;
        entry.round = options.round;
        entry.values = did.values;
        return entry;
    };

    EntriesAnswer answer{.entries = {}, .remarks = did.remarks};
    std::vector<Entry> entries;
    if (did.action == "round") {
        auto entry = round_entry(did, past, draft({}));
        if (auto* refusal = std::get_if<Refusal>(&entry)) return *refusal;
        entries.push_back(std::get<Entry>(entry));
        answer.remarks.push_back("answered round " + entries.back().round);
    }
    for (const auto& pot : did.pots) {
        if (auto refusal = not_here(past.lives, pot, when)) return *refusal;
        auto entry = draft(pot);
        auto name = parse_round_name(entry.round);
        const auto* walk = name ? walk_named(past, *name) : newest_begun(past, when + inside_->configuration.walks.issue_before);
        if (!entry.round.empty() && (!name || !walk)) answer.remarks.push_back("no list " + entry.round + " was issued here; the entry is kept and answers none");
        if (auto refusal = check_pot_entry(did, *find_life(past.lives, pot), walk, entry, inside_->zone, answer.remarks))
            return *refusal;
        entries.push_back(std::move(entry));
    }
    const bool misdated = !options.when && clock_in_doubt(inside_->store, view);
    auto written = inside_->write(view, std::move(entries));
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    answer.entries = std::get<std::vector<Entry>>(std::move(written));
    if (misdated && !answer.entries.empty()) {
        std::string ids;
        for (const auto& entry : answer.entries) ids += (ids.empty() ? "" : ", ") + std::to_string(entry.id);
        answer.remarks.push_back("the clock says " + format_rfc3339(view.now, inside_->zone) + ", which cannot be right, and this stands at that time. " +
                                 "Once the clock is set: strike " + ids + ", and tell it anew with its time");
    }
    for (const auto& entry : answer.entries)
        if (const auto* life = find_life(past.lives, entry.pot)) {
            if (const auto much = much_poured(entry, *life, inside_->tables.priors)) answer.remarks.push_back(remark_of(*much));
            if (auto heavy = weight_remark(entry, *life)) answer.remarks.push_back(std::move(*heavy));
        }
    return answer;
}

Outcome<EntriesAnswer> Garden::strike(const View& view, std::int64_t id, std::string_view note) {
    auto entries = entries_seen(inside_->store, view);
    auto found = std::ranges::find(entries, id, &Entry::id);
    if (found == entries.end()) return Refusal{"there is no entry " + std::to_string(id), "a number that daybook shows"};
    if (struck_ids(entries).contains(id))
        return Refusal{"entry " + std::to_string(id) + " is struck already", "to bring it back, strike the entry that struck it"};
    auto entry = inside_->entry(view, found->pot, "struck");
    entry.strikes = id;
    entry.note = note;
    auto written = inside_->write(view, {entry});
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    EntriesAnswer answer{std::get<std::vector<Entry>>(std::move(written)), {}};
    if (found->action == "added")
        answer.remarks.push_back("pot " + found->pot + " is no more, as if it had never been added; strike " + std::to_string(answer.entries.front().id) + " brings it back with all its entries");
    return answer;
}

std::optional<std::string> Garden::writer(const View& view, std::int64_t id) {
    const auto entries = entries_seen(inside_->store, view);
    const auto found = std::ranges::find(entries, id, &Entry::id);
    return found == entries.end() ? std::nullopt : std::optional(found->by);
}

Outcome<EntriesAnswer> Garden::clock_confirm(const View& view) {
    auto written = inside_->write(view, {inside_->entry(view, {}, "clock-confirmed")});
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    return EntriesAnswer{std::get<std::vector<Entry>>(std::move(written)), {}};
}

Outcome<DaybookAnswer> Garden::daybook(const View& view, std::string_view pot, std::optional<LocalDay> from,
                                       std::optional<LocalDay> to) {
    if (from && to && *from > *to) return Refusal{"the first day is after the last", "a first day not after the last"};
    auto all = entries_seen(inside_->store, view);
    auto lives = pot_lives(all, inside_->zone);
    if (!pot.empty() && !find_life(lives, pot)) return not_here(lives, pot, view.now).value();
    auto struck = struck_ids(all);
    DaybookAnswer answer;
    for (auto& entry : all) {
        auto day = inside_->zone.day_of(entry.when);
        if ((!pot.empty() && entry.pot != pot) || (from && day < *from) || (to && day > *to)) continue;
        if (struck.contains(entry.id)) answer.struck.push_back(entry.id);
        answer.entries.push_back(std::move(entry));
    }
    std::ranges::stable_sort(answer.entries, {}, &Entry::when);
    return answer;
}

namespace {

std::vector<ListInDaybook> lists_seen(const Store& store, const View& view) {
    std::vector<ListInDaybook> lists;
    for (const auto& issued : store.rounds(LocalDay{}, LocalDay{} + std::chrono::days(400000), learned_until(view)))
        if (issued.issued <= view.now)
            lists.push_back({.round = round_lines_from_json(store.round(issued.id).value().json), .learned = issued.learned});
    std::ranges::stable_sort(lists, {}, &ListInDaybook::learned);
    return lists;
}

// A list from a file stands in the store as one that was issued here; empty when its name is none.
std::optional<IssuedRound> issued_round(ListInDaybook& list, const Garden::Inside& inside) {
    const auto name = parse_round_name(list.round.id);
    if (!name) return std::nullopt;
    list.round.day = name->day;
    list.round.walk = name->walk;
    list.round.site = inside.configuration.site.name;
    list.round.inputs_until = list.round.issued;
    list.round.model = model_version;
    for (const auto& line : list.round.pours) list.round.total_l += line.pour_l;
    return IssuedRound{.id = list.round.id, .day = name->day, .walk = name->walk, .issued = list.round.issued, .learned = list.learned,
                       .inputs_until = list.round.issued, .inputs = {}, .model = std::string(model_version), .configuration = {}, .tables = {},
                       .json = to_json(RoundAnswer{.round = list.round, .fresh = false, .changed = {}}, inside.zone)};
}

// All in one transaction, in the order in which it was learned, so that the past of the new place replays as the old one's.
std::optional<Refusal> take_in(const View& view, Garden::Inside& inside, std::span<const Entry> entries, std::span<const IssuedRound> rounds) {
    const auto behind = view.replay ? Behind::refuse : Behind::lift;
    const RoundDocuments documents{.configuration = inside.configuration_text, .tables = inside.tables_text};
    try {
        inside.store.together([&] {
            auto round = rounds.begin();
            const auto put_until = [&](Instant learned) {
                for (; round != rounds.end() && round->learned <= learned; ++round) (void)inside.store.put_round(*round, documents, behind);
            };
            for (const auto& entry : entries) {
                put_until(entry.learned);
                inside.store.append(entry, behind);
            }
            put_until(Instant::max());
        });
    } catch (const LearnedBehind& error) {
        return learned_behind(view, inside.zone, error);
    }
    return std::nullopt;
}

}  // namespace

Outcome<ExportAnswer> Garden::export_all(const View& view) {
    auto entries = entries_seen(inside_->store, view);
    std::vector<GardenPot> pots;
    for (const auto& life : pot_lives(entries, inside_->zone)) {
        if (life.retired) continue;
        const auto& now = life.facts.back();
        GardenPot pot{.id = life.id, .since = now.in_this_pot_since, .facts = {}};
        for (const auto& [key, value] : now.facts) pot.facts.push_back({key, value});
        pots.push_back(std::move(pot));
    }
    return ExportAnswer{write_garden(pots), write_daybook(entries, lists_seen(inside_->store, view), inside_->zone)};
}

Outcome<ChangesAnswer> Garden::take_daybook(const View& view, std::string_view file_name, std::string_view csv, bool apply) {
    auto read = read_daybook(file_name, csv);
    ChangesAnswer answer;
    for (const auto& complaint : read.complaints) answer.complaints.push_back(format(complaint));
    if (!read.ok()) return answer;
    if (!inside_->store.entries().empty())
        return Refusal{"this garden has a daybook already", "take a daybook into an empty data folder"};
    // Ids are given anew in the file's order; the strikes follow them.
    std::map<std::int64_t, std::int64_t> new_id;
    auto& entries = read.value.entries;
    for (std::size_t i = 0; i < entries.size(); ++i) new_id[entries[i].id] = std::int64_t(i) + 1;
    std::vector<IssuedRound> rounds;
    for (auto& list : read.value.lists) {
        auto issued = issued_round(list, *inside_);
        if (!issued) return Refusal{tubgrove::quoted(list.round.id) + " is not a list's name", "an id such as 2026-07-14-morning"};
        rounds.push_back(std::move(*issued));
    }
    std::ranges::stable_sort(rounds, {}, &IssuedRound::learned);
    for (auto& entry : entries) {
        if (!entry.strikes) continue;
        if (!new_id.contains(*entry.strikes))
            return Refusal{"entry " + std::to_string(entry.id) + " strikes an entry that the file does not hold", "the whole daybook"};
        entry.strikes = new_id[*entry.strikes];
    }
    answer.changes.push_back(std::to_string(entries.size()) + " entries");
    if (!rounds.empty()) answer.changes.push_back(std::to_string(rounds.size()) + (rounds.size() == 1 ? " list" : " lists") + " that they speak of");
    if (apply) {
        if (auto refusal = take_in(view, *inside_, entries, rounds)) return *refusal;
        answer.applied = true;
    }
    return answer;
}

}  // namespace tubgrove
