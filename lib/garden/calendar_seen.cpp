// What a calendar shows of the garden: lists that were issued, walks to come, and the windows of care.
#include "garden/care_now.hpp"
#include "garden/inside.hpp"
#include "garden/past.hpp"
#include "garden/round_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

namespace tubgrove {
namespace {

using std::chrono::days;

constexpr days walks_before{7}, walks_ahead{7};
constexpr days windows_ahead{60};

bool waits_for_an_answer(const Job& job) {
    return job.state != JobState::done && job.state != JobState::dropped && job.state != JobState::passed;
}

// Walks of past days are there only with their lists; mornings to come also without, and evenings in the heat that is seen coming.
std::vector<CalendarWalk> walks_seen(const Garden::Inside& inside, const View& view, LocalDay today, const IsHot& hot) {
    std::map<std::pair<LocalDay, std::string>, std::string> newest;
    for (const auto& issued : inside.store.rounds(today - walks_before, today + days(1), learned_until(view)))
        newest[{issued.day, issued.walk}] = issued.id;
    const auto& walks = inside.configuration.walks;
    std::vector<CalendarWalk> seen;
    for (auto day = today - walks_before; day <= today + walks_ahead; day += days(1))
        for (const auto& walk : {std::optional(morning_walk(walks, inside.zone, day)), evening_walk(walks, inside.zone, day)}) {
            if (!walk) continue;
            const auto found = newest.find({day, walk->name});
            const bool comes = day >= today && (walk->name == "morning" || hot(day));
            if (found == newest.end() && !comes) continue;
            CalendarWalk one{.day = day, .walk = walk->name, .starts = walk->starts, .round = {}, .expected = {}};
            if (found != newest.end())
                if (const auto stored = inside.store.round(found->second)) one.round = round_from_json(stored->json);
            seen.push_back(std::move(one));
        }
    return seen;
}

// What the newest list expects of days to come.
void expect(std::vector<CalendarWalk>& walks, LocalDay today) {
    const Round* newest = nullptr;
    for (const auto& walk : walks)
        if (walk.round) newest = &*walk.round;
    if (!newest) return;
    for (auto& walk : walks)
        for (const auto& rest : newest->no_water)
            if (!walk.round && walk.day > today && rest.next_day == walk.day) walk.expected.push_back(rest.pot);
}

// One window for all pots that share it.
void gather(std::vector<CalendarWindow>& windows, const Job& job, LocalDay today) {
    const auto opens = job.waits_until && *job.waits_until > job.opens ? *job.waits_until : job.opens;
    const auto same = std::ranges::find_if(windows, [&](const CalendarWindow& w) { return w.rule == job.rule && w.opens == opens && w.closes == job.closes; });
    if (same != windows.end()) {
        if (std::ranges::find(same->pots, job.pot) == same->pots.end()) same->pots.push_back(job.pot);
        return;
    }
    windows.push_back({.rule = job.rule, .title = job.title, .what = job.what, .opens = opens, .due = std::max(job.due, opens),
                       .closes = job.closes, .pots = {job.pot}, .because = job.because, .caution = job.caution, .source = job.source,
                       .answer = job.answer, .ahead = job.opens > today});
}

// The same in every calendar program and after each start; it says nothing of where the garden is.
std::string id_of(const Site& site) {
    return sha256(fmt::format("{}\n{}\n{}", site.name, degrees(site.latitude), degrees(site.longitude))).substr(0, 16);
}

}  // namespace

Outcome<CalendarAnswer> Garden::calendar(const View& view) {
    auto& inside = *inside_;
    const auto today = inside.zone.day_of(view.now);
    CalendarAnswer answer{.site = inside.configuration.site.name, .id = id_of(inside.configuration.site), .day = today,
                          .walks = {}, .windows = {}};
    const auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    answer.walks = walks_seen(inside, view, today, hot_days(garden.weather, garden.heat, inside.tables.prices));
    expect(answer.walks, today);
    const auto care = care_now(garden, inside.configuration, inside.tables, inside.zone, today, {});
    const CareAsk ask = care.ask(inside.tables);
    for (const auto& pot : care.pots)
        for (const auto& job : jobs_in(ask, pot, {today, today + windows_ahead}))
            if (waits_for_an_answer(job) && job.opens <= today + windows_ahead) gather(answer.windows, job, today);
    std::ranges::stable_sort(answer.windows, {}, [](const CalendarWindow& w) { return std::tuple(w.opens, w.closes, w.rule); });
    return answer;
}

}  // namespace tubgrove
