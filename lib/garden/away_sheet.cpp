#include "garden/away_sheet.hpp"

#include "care/words.hpp"
#include "plan/plain_text.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace tubgrove {
namespace {

const WalkPour* pour_of(const AwayVisit& visit, const std::string& pot) {
    const auto found = std::ranges::find(visit.pours, pot, &WalkPour::pot);
    return found == visit.pours.end() ? nullptr : &*found;
}

// Nothing else than on the first of them; a pot that is safe to the return drops out.
bool pours_alike(const AwayVisit& first, const AwayVisit& visit) {
    constexpr double near_l = 1, near_share = 0.5;   // own assumption: so much longer a ceiling does no harm, since the hand stops by what runs through
    return std::ranges::all_of(visit.pours, [&](const WalkPour& x) {
        const auto* y = pour_of(first, x.pot);
        return y && x.until == y->until && std::abs(x.most_l - y->most_l) <= std::max(near_l, near_share * std::max(x.most_l, y->most_l));
    });
}
bool follows(const AwayVisit& before, const AwayVisit& visit) { return visit.walk == before.walk && visit.day - before.day == std::chrono::days(1); }

// Runs of one walk on days in a row that pour alike, as indices, in order of their first visits.
std::vector<std::vector<std::size_t>> runs_of(const std::vector<AwayVisit>& visits) {
    std::vector<std::vector<std::size_t>> runs;
    for (std::size_t v = 0; v < visits.size(); ++v) {
        const auto run = std::ranges::find_if(runs, [&](const auto& r) { return follows(visits[r.back()], visits[v]) && pours_alike(visits[r.front()], visits[v]); });
        if (run == runs.end()) runs.push_back({v});
        else run->push_back(v);
    }
    return runs;
}

std::string how_much(const WalkPour& pour) {
    const std::string most = litres_text(pour.most_l);
    return pour.until == Until::run_through ? " until it runs through, " + most + " at most" : " " + most + " and no more, since nothing runs through";
}

// What is poured on the first of a run, and of a pot that drops out when the last time is.
std::vector<std::string> pours_said(const std::vector<AwayVisit>& visits, const std::vector<std::size_t>& run) {
    std::vector<std::string> all;
    for (const auto& pour : visits[run.front()].pours) {
        const auto last = *std::ranges::find_if(run.rbegin(), run.rend(), [&](std::size_t v) { return pour_of(visits[v], pour.pot); });
        all.push_back((pour.label.empty() ? "pot " + pour.pot : pour.label) + how_much(pour));
        if (last != run.back()) all.back() += " (the last time on " + day_text(visits[last].day) + ")";
    }
    return all;
}

std::string in_a_row(const std::vector<std::string>& parts) {
    std::string said;
    for (const auto& part : parts) said += (said.empty() ? "" : ", ") + part;
    return said.empty() ? "look at all pots; none should need water" : said;
}

// "8 L at most"; where nothing drains the amount itself.
std::string filled_with(const WalkPour& fill) { return litres_text(fill.most_l) + (fill.until == Until::run_through ? " at most" : ""); }

void add_leaving(AbsenceAnswer& answer) {
    std::map<std::pair<std::string, std::string>, std::vector<std::string>> by_precaution;
    for (const auto& pot : answer.pots) by_precaution[{pot.chosen, pot.to_bay}].push_back((pot.label.empty() ? pot.pot : pot.label) + " (" + filled_with(pot.fill) + ")");
    for (const auto& [done, names] : by_precaution) {
        std::string all;
        for (const auto& name : names) all += (all.empty() ? "" : ", ") + name;
        answer.sheet.push_back({.kind = "leaving", .from = {}, .to = {}, .when = {},
                                .what = "On leaving, " + std::string(names.size() == 1 ? "pot " : "pots ") + all + ": " + words_of(done.first, done.second) + "."});
    }
}

// What would make a wide range narrower while there is still time.
void add_little_known(AbsenceAnswer& answer) {
    std::string all;
    std::size_t count = 0;
    for (const auto& pot : answer.pots)
        if (pot.little_known) all += (count++ ? ", " : "") + (pot.label.empty() ? pot.pot : pot.label);
    if (count == 0) return;
    answer.sheet.push_back({.kind = "leaving", .from = {}, .to = {}, .when = {},
                            .what = "Nobody told a weight or a run-through of " + std::string(count == 1 ? "pot " : "pots ") + all + " yet, so how long " +
                                    (count == 1 ? "it lasts" : "they last") + " is a wide guess and the earliest day counts. Weigh " + (count == 1 ? "it" : "them") +
                                    ", or tell when water shows below, before you leave: that tells more."});
}

void add_water(AbsenceAnswer& answer) {
    for (const auto& stock : answer.stocks) {
        if (stock.lacking_l <= 0) continue;
        const std::string when = stock.lasts_until && *stock.lasts_until >= answer.leaves_on ? "After " + day_text(*stock.lasts_until) + " " : std::string("From the beginning ");
        answer.sheet.push_back({.kind = "water", .from = {}, .to = {}, .when = {},
                                .what = when + "the water of " + stock.tap + " may be at an end: "
                                        + (stock.instead.empty() ? "have up to " + litres_text(std::ceil(stock.lacking_l)) + " more at hand." : "take it from " + stock.instead + ".")});
    }
}

}  // namespace

std::string called(const AwayPot& pot) { return "pot " + (pot.label.empty() ? pot.pot : pot.label); }

std::string walks_said(std::span<const WalkOn> walks) {
    std::string said;
    for (std::size_t i = 0; i < walks.size(); ++i) {
        const bool same_day = i > 0 && walks[i - 1].day == walks[i].day;
        said += (i == 0 ? "" : same_day ? " and" : ", ") + (same_day ? std::string() : day_text(walks[i].day)) + " in the " + walks[i].walk;
    }
    return said;
}

std::string visits_said(std::span<const WalkOn> visits, const std::string& one, const std::string& more) {
    if (visits.empty()) return "no " + one;
    return std::to_string(visits.size()) + " " + (visits.size() == 1 ? one : more) + ": " + walks_said(visits);
}

std::string words_of(const std::string& precaution, const std::string& bay) {
    if (precaution == "move") return "move to the bay " + bay + ", and fill twice there";
    if (precaution == "move-and-saucer") return "move to the bay " + bay + " with a saucer under, and fill twice there";

    if (precaution == "fill-twice") return "fill twice, half an hour apart";
    if (precaution == "saucer") return "put a saucer under and fill twice";
    if (precaution == "shade") return "move to shade or hang shade over, and fill twice";
    if (precaution == "shade-and-saucer") return "shade, a saucer under, and fill twice";
    return "fill once";
}

void same_each_time(std::vector<AwayVisit>& visits) {
    for (const auto& run : runs_of(visits)) {
        std::map<std::string, double> most_l;
        for (const std::size_t v : run)
            for (const auto& pour : visits[v].pours) most_l[pour.pot] = std::max(most_l[pour.pot], pour.most_l);
        for (const std::size_t v : run)
            for (auto& pour : visits[v].pours) pour.most_l = most_l[pour.pot];
    }
    for (auto& visit : visits) {
        visit.total_l = 0;
        for (const auto& pour : visit.pours) visit.total_l += pour.most_l;
    }
}

void write_sheet(AbsenceAnswer& answer) {
    add_leaving(answer);
    add_little_known(answer);
    if (answer.visits.empty()) {
        if (answer.safe_with_water) answer.sheet.push_back({.kind = "nobody", .from = {}, .to = {}, .when = {}, .what = "Nobody needs to come until the return."});
        add_water(answer);
        return;
    }
    // Mornings in a row on which the same is poured are told once.
    for (const auto& run : runs_of(answer.visits)) {
        const auto& first = answer.visits[run.front()];
        const auto to = answer.visits[run.back()].day;
        const std::string when = run.size() == 1 ? day_text(first.day) + ", in the " + first.walk : "Each " + first.walk + ", " + day_text(first.day) + " to " + day_text(to);
        const auto parts = pours_said(answer.visits, run);
        answer.sheet.push_back({.kind = "visit", .from = first.day, .to = to, .when = when, .what = in_a_row(parts) + ".", .parts = parts});
    }
    add_water(answer);
    answer.sheet.push_back({.kind = "how", .from = {}, .to = {}, .when = {}, .what = "Pour slowly, stop when water shows below, and come back after half an hour for the same again."});
    answer.sheet.push_back({.kind = "watch", .from = {}, .to = {}, .when = {}, .what = "Droops in the morning, too, or is strikingly light: feel deep into the medium. Dry: pour as above. Moist or wet: better no water. Ask the gardener either way."});
}

}  // namespace tubgrove
