// Use case: what `ahead` foresaw of the pots on past mornings, beside what came. What came is what the garden takes to have been, with
// all that it knows now: nobody measures a pot's use each day.
#include "garden/each_pot.hpp"
#include "ahead/verify.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace tubgrove {
namespace {

using std::chrono::days;

// A look back costs as much as the list of that morning worked out anew, so some mornings stand for all.
constexpr int most_mornings = 8;
constexpr days between_mornings{4};
constexpr int furthest = 9;                      // days of lead; the day of the look itself has begun

// A day of one pot as it is taken to have been.
struct DayCame {
    double demand_l = 0;                         // median
    bool dry = false;                            // an hour of it, in more than half of the members
};
using PotCame = std::map<LocalDay, DayCame>;

// The setup that held on most of a day.
std::size_t setup_on(const PotHistory& history, Instant starts, Instant ends) {
    const Instant noon = starts + (ends - starts) / 2;
    std::size_t setup = 0;
    while (setup + 1 < history.setups.size() && history.setups[setup + 1].since <= noon) ++setup;
    return setup;
}

// What it would have used with water free, in the weather that came, as it stood on each day: its place, wall and mulch of then, by
// what is believed of its unknowns now.
std::vector<Range80> demand_came(const Garden::Inside& inside, const PotNow& pot, LocalDay first, std::span<const Instant> midnights) {
    const auto& all = pot.courses.front();
    const auto from = std::ranges::find(all, first, [](const DayCourse& c) { return c.record->day; });
    if (from == all.end()) return {};
    std::vector<Range80> demand;
    for (std::size_t d = 0; d + 1 < midnights.size();) {
        const std::size_t setup = setup_on(pot.history, midnights[d], midnights[d + 1]);
        std::size_t end = d + 1;
        while (end + 1 < midnights.size() && setup_on(pot.history, midnights[end], midnights[end + 1]) == setup) ++end;
        // Several forecasts of the same: what was measured gets no forecast's error.
        const std::vector<std::vector<DayCourse>> courses(2, {from + std::ptrdiff_t(d), all.end()});
        Ensemble members = pot.ensemble;
        members.day = first + days(long(d)) - days(1);
        members.until = midnights[d];
        members.setup = setup;
        const auto some = demand_by_day(Outlook(members, pot.beliefs[setup], inside.tables.priors, inside.zone, courses, midnights[end]), midnights.subspan(d, end - d + 1));
        demand.insert(demand.end(), some.begin(), some.end());
        d = end;
    }
    return demand;
}

// Lived through once more.
PotCame came_of(const Garden::Inside& inside, const PotNow& pot, LocalDay first, LocalDay last) {
    const PotRun run{.history = pot.history, .beliefs = pot.beliefs, .days = pot.courses.front(), .priors = inside.tables.priors, .zone = inside.zone};
    PotCame came;
    if (pot.history.setups.empty()) return came;
    first = std::max(first, inside.zone.day_of(pot.history.starts) + days(1));
    std::vector<Instant> midnights{inside.zone.start_of(first)};
    for (auto day = first; day <= last; day += days(1)) midnights.push_back(inside.zone.end_of(day));
    const auto demand = demand_came(inside, pot, first, midnights);
    Ensemble members = begin(run);
    advance(members, run, midnights.front());
    for (std::size_t d = 0; d < demand.size(); ++d) {
        Fluxes booked(members.size());
        advance(members, run, midnights[d + 1], &booked);
        if (members.until != midnights[d + 1]) break;
        double dry_share = 0;
        for (std::size_t i = 0; i < members.size(); ++i) dry_share += booked.dry_h[i] > 1e-9 ? members.weights[i] : 0;
        came[first + days(long(d))] = {.demand_l = demand[d].median, .dry = dry_share > 0.5};
    }
    return came;
}

// What was poured after a moment, and until when that is known: up to the first walk of which nobody said.
struct Given {
    std::vector<GivenPour> pours;
    Instant known_until = Instant::max();
};
Given given_after(const PotHistory& history, Instant t) {
    Given given;
    for (const auto& event : history.events) {
        if (event.at < t) continue;
        const auto* listed = std::get_if<Listed>(&event.what);
        if (std::holds_alternative<Unlisted>(event.what) || (listed && !listed->share)) {
            given.known_until = event.at;
            break;
        }
        if (const auto* poured = std::get_if<Poured>(&event.what))
            given.pours.push_back({event.at, {.pour_l = poured->pour_l, .passes = poured->passes, .until = Until::amount}});
        if (listed && *listed->share > 0)
            given.pours.push_back({event.at, {.pour_l = listed->pour_l * *listed->share, .passes = listed->passes, .until = listed->until}});
    }
    return given;
}

struct Known {
    std::map<std::string, PotCame> came;         // by pot
    std::map<std::string, PotHistory> histories;
};

Known known_now(const Garden::Inside& inside, const View& view, LocalDay first, LocalDay last) {
    const auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    const auto lives = in_walking_order(garden.past.lives, inside.configuration, view.now);
    std::vector<std::pair<PotCame, PotHistory>> found(lives.size());
    each_pot(inside, garden, lives, [&](std::size_t i, const PotNow& pot) { found[i] = {came_of(inside, pot, first, last), pot.history}; });
    Known known;
    for (std::size_t i = 0; i < lives.size(); ++i) {
        known.came[lives[i]->id] = std::move(found[i].first);
        known.histories[lives[i]->id] = std::move(found[i].second);
    }
    return known;
}

struct PotsForeseen {
    std::vector<ForeseenDay> demand;
    std::vector<ForeseenChance> dry;
    int untold = 0;                              // days left out, since nobody said what was poured
};

}  // namespace

Outcome<HindcastAnswer> Garden::hindcast(const View& view) {
    auto& inside = *inside_;
    const auto today = inside.zone.day_of(view.now);
    const LocalDay last = today - days(1), first = today - between_mornings * most_mornings - days(1);
    HindcastAnswer answer{.from = {}, .to = last, .mornings = {}, .pots = 0, .demand = {}, .dry = {}, .remarks = {}};
    const auto known = known_now(inside, view, first, last);
    PotsForeseen all;
    for (int k = most_mornings; k >= 1; --k) {
        const LocalDay morning = today - between_mornings * k;
        const View then{.now = morning_walk(inside.configuration.walks, inside.zone, morning).issues, .replay = true};
        ForecastKnowledge knowledge{.figures = inside.tables.figures};
        const auto garden = garden_now(inside.store, then, inside.configuration, inside.zone, knowledge);
        if (!garden.weather.has_forecast) continue;
        const auto lives = in_walking_order(garden.past.lives, inside.configuration, then.now);
        std::vector<Instant> midnights;
        for (auto day = morning; day <= std::min(last, morning + days(furthest)); day += days(1)) midnights.push_back(inside.zone.end_of(day));
        std::vector<PotsForeseen> found(lives.size());
        each_pot(inside, garden, lives, [&](std::size_t i, const PotNow& pot) {
            const auto came = known.came.find(pot.life->id);
            if (came == known.came.end()) return;
            const auto before = came->second.find(morning - days(1));
            const auto courses = days_ahead(pot, inside.zone);
            const Outlook outlook(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, courses, outlook_end(garden, inside.zone));
            const auto demand = demand_by_day(outlook, midnights);
            const auto given = given_after(known.histories.at(pot.life->id), then.now);
            const auto dry = dry_chances(outlook, given.pours, midnights);
            for (std::size_t d = 0; d < demand.size(); ++d) {
                const int lead = int(d) + 1;
                const auto day = came->second.find(morning + days(lead));
                if (day == came->second.end() || before == came->second.end()) continue;
                found[i].demand.push_back({.lead = lead, .low = demand[d].low, .middle = demand[d].median, .high = demand[d].high, .came = day->second.demand_l, .same = before->second.demand_l});
                if (given.known_until < midnights[d + 1]) ++found[i].untold;
                else found[i].dry.push_back({.lead = lead, .chance = dry[d], .came = day->second.dry, .same = before->second.dry});
            }
        });
        bool compared = false;
        for (auto& one : found) {
            compared = compared || !one.demand.empty();
            all.demand.insert(all.demand.end(), one.demand.begin(), one.demand.end());
            all.dry.insert(all.dry.end(), one.dry.begin(), one.dry.end());
            all.untold += one.untold;
        }
        if (!compared) continue;
        answer.mornings.push_back(morning);
        answer.pots = std::max(answer.pots, int(std::ranges::count_if(found, [](const PotsForeseen& one) { return !one.demand.empty(); })));
    }
    answer.from = answer.mornings.empty() ? last : answer.mornings.front() + days(1);
    answer.demand = tally(std::span<const ForeseenDay>(all.demand));
    answer.dry = tally(std::span<const ForeseenChance>(all.dry));
    if (all.untold > 0)
        answer.remarks.push_back(std::to_string(all.untold) + " days of pots are left out of running dry, since nobody said what was poured before their end.");
    if (answer.mornings.empty()) {
        answer.remarks.push_back("There is nothing to compare yet: it takes mornings with a forecast, and days after them.");
        return answer;
    }
    answer.remarks.push_back("Looked ahead from " + std::to_string(answer.mornings.size()) + " mornings, " + std::to_string(between_mornings.count())
                             + " days apart, with what was known on each. Pots of one garden err together, so these are fewer tests than they seem.");
    answer.remarks.push_back("What came is what the garden now takes to have been, from the weather that was read and all that was seen since; nobody measures a pot's use, weighings "
                             "sharpen it. Demand is what it would use with water free; for running dry, what was poured is taken as known in both.");
    return answer;
}

}  // namespace tubgrove
