#include "garden/inside.hpp"

#include "intake/complaint.hpp"
#include "plan/trips.hpp"
#include "utf8.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

const Bay* bay_of(const Configuration& configuration, const std::string& id) {
    auto found = std::ranges::find(configuration.bays, id, &Bay::id);
    return found == configuration.bays.end() ? nullptr : &*found;
}

}  // namespace

Entry Garden::Inside::entry(const View& view, std::string pot, std::string action) const {
    Entry entry;
    entry.pot = std::move(pot);
    entry.action = std::move(action);
    entry.when = view.now;
    entry.learned = view.now;
    entry.clock = view.clock;
    entry.by = view.by;
    return entry;
}

namespace {

// What is kept must come back out of an exported daybook: text in UTF-8 without control bytes, of a length that a page can show.
std::optional<Refusal> unkeepable(const Entry& entry) {
    constexpr std::size_t longest_note = 2000, longest_name = 60;
    if (entry.note.size() > longest_note || !is_clean_text(entry.note))
        return Refusal{"the note is too long, or holds control bytes or bytes that are not UTF-8", "at most 2000 bytes of plain text"};
    if (entry.by.size() > longest_name || !is_clean_text(entry.by) || entry.by.find_first_of("\t\r\n") != std::string::npos)
        return Refusal{"the name of who did it is too long, or holds control bytes or bytes that are not UTF-8", "one line of at most 60 bytes"};
    for (const auto& [key, value] : entry.values)
        if (!is_clean_text(value)) return Refusal{tubgrove::quoted(value) + " holds control bytes or bytes that are not UTF-8", "plain text"};
    return std::nullopt;
}

}  // namespace

Outcome<std::vector<Entry>> Garden::Inside::write(const View& view, std::vector<Entry> entries) {
    for (const auto& entry : entries)
        if (auto refusal = unkeepable(entry)) return *refusal;
    if (auto refusal = too_far_ahead(view)) return *refusal;
    try {
        auto ids = store.append_all(entries, view.replay ? Behind::refuse : Behind::lift);
        for (std::size_t i = 0; i < ids.size(); ++i) entries[i].id = ids[i];
        return entries;
    } catch (const LearnedBehind& behind) {
        return learned_behind(view, zone, behind);
    }
}

std::optional<Refusal> Garden::Inside::too_far_ahead(const View& view) const {
    constexpr std::chrono::days farthest{730};   // own assumption
    if (!view.replay || (view.machine && view.now <= *view.machine + farthest)) return std::nullopt;
    const auto newest = store.newest_learned();
    if (!newest || view.now <= *newest + farthest) return std::nullopt;
    return Refusal{"at " + format_rfc3339(view.now, zone) + " nothing is written: the newest that the garden knows was learned at " +
                       format_rfc3339(*newest, zone) + ", more than two years before",
                   "a moment nearer to that, or the present without --at"};
}

Refusal learned_behind(const View& view, const Zone& zone, const LearnedBehind& behind) {
    return {"at " + format_rfc3339(view.now, zone) + " nothing more can be written: something was learned at " +
                format_rfc3339(behind.newest(), zone),
            "a moment from then on, or the present"};
}

const PotLife* find_life(const std::vector<PotLife>& lives, std::string_view pot) {
    auto found = std::ranges::find(lives, pot, &PotLife::id);
    return found == lives.end() ? nullptr : &*found;
}

std::optional<Refusal> not_here(const std::vector<PotLife>& lives, std::string_view pot, Instant t) {
    const auto* life = find_life(lives, pot);
    if (life && (!life->retired || t < *life->retired)) return std::nullopt;
    if (life) return Refusal{"pot " + tubgrove::quoted(pot) + " is retired", "a pot that is still there; the list of pots names them"};
    std::vector<std::string> ids;
    for (const auto& other : lives) ids.push_back(other.id);
    auto near = nearest(pot, ids);
    if (ids.empty()) return Refusal{"there is no pot " + tubgrove::quoted(pot) + ", nor any other yet", "pot add NAME container.size=… tree.a.species=… bay=…"};
    return Refusal{"there is no pot " + tubgrove::quoted(pot),
                   did_you_mean(near, "one of " + one_of(ids) + ", or pot add for a new one")};
}

Refusal refusal_of(const Complaints& complaints) {
    Refusal refusal;
    for (const auto& complaint : complaints) {
        if (!refusal.what.empty()) refusal.what += '\n';
        if (complaints.size() > 1) {
            refusal.what += format(complaint);
            continue;
        }
        auto where_and_what = complaint;
        where_and_what.right.clear();
        refusal.what = format(where_and_what);
        refusal.right = complaint.right;
    }
    return refusal;
}

std::vector<const PotLife*> in_walking_order(const std::vector<PotLife>& lives, const Configuration& configuration, Instant t) {
    struct Place {
        Bay bay;
        const PotLife* life;
    };
    std::vector<Place> places;
    for (const auto& life : lives) {
        if (!life.lives_at(t) || !has_tree(life.facts_at(t).facts)) continue;
        const auto& facts = life.facts_at(t).facts;
        auto named = facts.find("bay");
        const auto* found = named == facts.end() ? nullptr : bay_of(configuration, named->second);
        places.push_back({.bay = found ? *found : Bay{}, .life = &life});
    }
    std::ranges::stable_sort(places, [](const Place& a, const Place& b) { return walks_before(a.bay, a.life->id, b.bay, b.life->id); });
    std::vector<const PotLife*> pots;
    for (const auto& place : places) pots.push_back(place.life);
    return pots;
}

}  // namespace tubgrove
