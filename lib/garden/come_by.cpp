// Use case: somebody waters while the gardener is away. Whether they must come today, and what they pour, worked out from what has
// been told up to now; so it needs no plan that was kept, and follows the weather and what was really poured.
#include "ahead/absence.hpp"
#include "care/words.hpp"
#include "garden/each_pot.hpp"
#include "garden/list_now.hpp"
#include "garden/stay_away.hpp"
#include "plan/plain_text.hpp"
#include "plan/trips.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

// A visit now hardly hangs on what is months away.
constexpr std::chrono::days furthest_visit{30};

// As it stands, then with a filling now, at each walk to come, and the return.
struct Chances : WalkMoments {
    bool evenings = false;
    Instant had_since{};                         // what was poured from then on was for the visit of now
};
Chances chances_of(const Walks& walks, const Zone& zone, Instant now, LocalDay to, bool evenings) {
    const auto today = zone.day_of(now);
    const auto evening_of = [&](LocalDay day) { return zone.at(LocalTime(day) + walks.evening.value_or(std::chrono::minutes(19 * 60))); };
    const bool evening_now = has_evenings(walks) && now + near_a_walk >= evening_of(today);
    Chances c{{}, evenings, evening_now ? evening_of(today) - near_a_walk : zone.start_of(today)};
    c.add(now, today, "");
    // Who asks before the morning's walk comes at its hour.
    c.add(std::max(now, zone.at(LocalTime(today) + walks.morning)), today, evening_now ? "evening" : "morning");
    if (evenings && !evening_now) c.add(evening_of(today), today, "evening");
    for (auto day = today + std::chrono::days(1); day <= to; day += std::chrono::days(1)) {
        c.add(zone.at(LocalTime(day) + walks.morning), day, "morning");
        if (evenings) c.add(evening_of(day), day, "evening");
    }
    const auto home = to + std::chrono::days(1);
    c.add(zone.at(LocalTime(home) + walks.morning), home, "morning");
    return c;
}

struct Worked {
    bool known = false;
    std::string pot, label, bay;
    bool had = false;                            // what it needed, for the visit of now
    bool had_today = false;
    Instant as_filled{};                         // until when it would be safe if what it had were a whole filling
    std::vector<Instant> safe_until;             // by chance; the first without a filling
    std::vector<VisitPour> pours;                // by chance; of the first none
    double listed_l = 0;                         // what the list of this walk says

    // The first moment at which somebody could come for it after this chance.
    std::size_t next(std::size_t m) const { return m == 0 && had ? 2 : m + 1; }
    // Filled at each chance to come.
    bool lasts_each(const Chances& c) const {
        for (std::size_t m = 1; m < c.last(); ++m)
            if ((m == 1 && had ? std::max(as_filled, safe_until[0]) : safe_until[m]) < c.at[m + 1]) return false;
        return true;
    }
};

// What was told to have been poured from a moment on. Litres alone do not say whether they were enough.
struct Told {
    bool filled = false;                         // its line was answered, or it ran through
    double pour_l = 0;
};
Told told_since(const PotHistory& history, Instant t) {
    Told told;
    for (const auto& event : history.events) {
        if (event.at < t) continue;
        if (const auto* listed = std::get_if<Listed>(&event.what)) told.filled = told.filled || listed->share.value_or(0) > 0;
        const auto* poured = std::get_if<Poured>(&event.what);
        if (!poured) continue;
        told.filled = told.filled || poured->ran_through.value_or(false);
        told.pour_l += poured->pour_l;
    }
    return told;
}

// Nobody need come twice on a day for a pot that had what it needed: litres count where no more is missing now than was poured, which allows
// for what it used since.
bool had_its_need(const Told& told, const Outlook& outlook) {
    if (told.filled || told.pour_l <= 0) return told.filled;
    return told.pour_l >= percentiles(depletion_l(outlook.start().state), outlook.ensemble().weights).median;
}

// Today's pour beside the walk's list: never less than stands there.
void add_listed(VisitPour& pour, const Manner& listed) {
    pour.list_l = listed.pour_l;
    if (pour.until == Until::run_through) pour.pour_l = std::max(pour.pour_l, listed.pour_l);
}

Worked work_out(const Garden::Inside& inside, const PotNow& pot, const Chances& chances, Instant until, const std::optional<Manner>& listed) {
    const auto& f = inside.tables.figures;
    const double harmed_share = f[FigureKey::harmed_share], safe_chance = f[FigureKey::safe_chance];
    auto pouring = pouring_of(inside.configuration, f);
    pouring.passes = std::max(2, pouring.passes);
    const auto courses = days_ahead(pot, inside.zone);
    const Outlook fine(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, courses, until);
    const Outlook outlook = fine.coarser(3, until);
    Worked w{.known = true, .pot = pot.life->id, .label = pot.setup().label, .bay = pot.setup().exposure.bay, .had = false, .had_today = false, .as_filled = {}, .safe_until = {}, .pours = {}};
    w.safe_until.push_back(moment_after(chances.at.front(), safe_hours(outlook, outlook.start(), harmed_share, safe_chance)));
    w.had = had_its_need(told_since(pot.history, chances.had_since), outlook);
    w.pours.push_back({});
    // To the first chance hour by hour, as a list runs.
    Outlook::Run run = fine.start();
    fine.run(run, chances.at[1]);
    run = outlook.take_up(run);
    for (std::size_t m = 1; m + 1 < chances.at.size(); ++m) {
        outlook.run(run, chances.at[m]);
        Outlook::Run filled = run;
        const auto [manner, likely_l] = fill(outlook, pouring, filled);
        w.safe_until.push_back(moment_after(chances.at[m], safe_hours(outlook, std::move(filled), harmed_share, safe_chance)));
        w.pours.push_back({.pot = w.pot, .label = w.label, .bay = w.bay, .pour_l = manner.pour_l, .passes = manner.passes, .until = manner.until,
                           .need_l = likely_l, .list_l = {}});
    }
    if (listed) add_listed(w.pours[1], *listed), w.listed_l = listed->pour_l;
    w.had_today = w.had || had_its_need(told_since(pot.history, inside.zone.start_of(chances.day.front())), outlook);
    w.as_filled = w.safe_until[1];
    if (w.had) w.safe_until[1] = w.safe_until[0], w.pours[1].pour_l = 0;   // the visit of now passes it by
    return w;
}

std::vector<PourLine> as_lines(const std::vector<VisitPour>& pours) {
    std::vector<PourLine> lines;
    for (const auto& pour : pours) {
        PourLine line;
        line.pot = pour.pot;
        line.bay = pour.bay;
        line.pour_l = pour.pour_l;
        line.passes = pour.passes;
        line.until = pour.until;
        lines.push_back(std::move(line));
    }
    return lines;
}

bool rests(const Worked& w, const Chances& chances) { return w.safe_until.front() >= chances.at.back(); }

struct Plan {
    Chances chances;
    std::vector<Worked> worked;
    std::vector<std::size_t> visits;
    bool safe = false;
};

// The fewest visits, by the rule of an absence: where no visits keep all pots, those that they do not keep call for no more than a visit a day.
void plan_visits(Plan& plan) {
    const auto& c = plan.chances;
    const auto fewest = [&](bool a_visit_a_day) {
        std::vector<std::vector<Instant>> safe_until;
        for (const auto& w : plan.worked) {
            if (!w.known || rests(w, c)) continue;
            auto& until = safe_until.emplace_back(w.safe_until);
            if (w.had) until[0] = until[1] = std::max(until[0], w.as_filled);   // whoever came has done what can be done
            else until[0] = std::max(until[0], c.at[1]);                        // nobody can come earlier than now
            if (!a_visit_a_day) continue;
            const bool kept = w.lasts_each(c);
            if (w.had_today && !kept) until[0] = std::max(until[0], c.morning_after(1));
            for (std::size_t m = 1; m < c.last() && !kept; ++m) until[m] = std::max(until[m], c.morning_after(m));
        }
        return least_visits(c.at, safe_until);
    };
    auto visits = fewest(false);
    plan.safe = visits.has_value();
    plan.visits = visits ? std::move(*visits) : fewest(true).value();
}

// Pots that are not safe from a visit of the plan, or from what they had today, to the next visit.
std::string short_of(const Plan& plan) {
    std::string names;
    const auto lasts = [&](const Worked& w, std::size_t from, std::size_t to) { return (from == 0 && !w.had) || w.safe_until[from] >= plan.chances.at[std::max(to, w.next(from))]; };
    for (const auto& w : plan.worked) {
        if (!w.known || rests(w, plan.chances)) continue;
        bool all = true;
        std::size_t from = 0;
        for (const std::size_t to : plan.visits) all = all && lasts(w, from, to), from = to;
        if (!all || !lasts(w, from, plan.chances.last())) names += (names.empty() ? "" : ", ") + (w.label.empty() ? w.pot : w.label);
    }
    return names;
}

void add_visits(VisitAnswer& answer, const Plan& made) {
    const auto& [chances, worked, plan] = std::tie(made.chances, made.worked, made.visits);
    if (plan.empty()) return;
    answer.day = chances.day[plan.front()];
    answer.walk = chances.walk[plan.front()];
    answer.due = plan.front() == 1;
    for (std::size_t i = 1; i < plan.size(); ++i) {
        answer.later.push_back(chances.day[plan[i]]);
        answer.later_visits.push_back({chances.day[plan[i]], chances.walk[plan[i]]});
    }
    for (const auto& w : worked) {
        if (!w.known || rests(w, chances) || w.pours[plan.front()].pour_l <= 0) continue;
        answer.pours.push_back(w.pours[plan.front()]);
        answer.total_l += answer.pours.back().pour_l;
    }
}

// The list weighs rare cases of which a visit takes no heed.
void add_rests_on_the_list(VisitAnswer& answer, const std::vector<Worked>& worked, const Chances& chances) {
    std::string names;
    for (const auto& w : worked)
        if (w.known && rests(w, chances) && w.listed_l > 0) names += (names.empty() ? "" : ", ") + (w.label.empty() ? w.pot : w.label) + " (" + litres_text(w.listed_l) + ")";
    if (!names.empty())
        answer.remarks.push_back("The list of this walk pours these, too: " + names + ". It weighs the rare case that they run dry early; in nine cases of ten no leaf is harmed until the return without it.");
}

// Why a visit's most is not the list's.
void add_difference(VisitAnswer& answer) {
    std::string names;
    for (const auto& pour : answer.pours)
        if (answer.due && pour.list_l && *pour.list_l < pour.pour_l - 1e-9)
            names += (names.empty() ? "" : ", ") + (pour.label.empty() ? pour.pot : pour.label) + " (" + (*pour.list_l > 0 ? litres_text(*pour.list_l) : "none") + ")";
    if (names.empty()) return;
    answer.remarks.push_back("The list of this walk says less for " + names + ": it weighs what may run through against the next walk, and a visit fills the pot.");
}

void add_blocked(VisitAnswer& answer) {
    std::string names;
    for (const auto& pour : answer.pours)
        if (pour.until == Until::amount) names += (names.empty() ? "" : ", ") + (pour.label.empty() ? pour.pot : pour.label);
    if (!names.empty()) answer.cautions.push_back("Clear the holes of these first: " + names + ". Water was seen standing; pour no more than is written.");
}

}  // namespace

Outcome<VisitAnswer> Garden::visit(const View& view, LocalDay to) {
    auto& inside = *inside_;
    const auto today = inside.zone.day_of(view.now);
    const LocalDay asked_to = to;
    if (to > today + furthest_away) return Refusal{format_day(to) + " is too far ahead", "a last day up to " + format_day(today + furthest_away) + ", 90 days from now"};
    to = std::min(to, today + furthest_visit);
    if (auto refusal = too_long_away(today, today, to)) return *refusal;
    auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts, (to - today) + std::chrono::days(3));
    without_usual_rain(garden.weather);
    const auto lives = in_walking_order(garden.past.lives, inside.configuration, view.now);
    if (lives.empty()) return no_pot_yet();
    const auto& walks_told = inside.configuration.walks;
    const auto until = inside.zone.end_of(to + std::chrono::days(1));
    const auto hot = hot_days(garden.weather, garden.heat, inside.tables.prices);
    const auto walks = walks_ahead(garden, inside.configuration, inside.zone, hot, until);
    const auto list = list_of_first(inside, view, garden, walks, hot);
    const auto plan_with = [&](bool evenings) {
        Plan plan{.chances = chances_of(walks_told, inside.zone, view.now, to, evenings), .worked = std::vector<Worked>(lives.size()), .visits = {}, .safe = false};
        each_pot(inside, garden, lives, [&](std::size_t i, const PotNow& pot) {
            plan.worked[i] = work_out(inside, pot, plan.chances, until, list ? std::optional(list->of(pot)) : std::nullopt);
        });
        plan_visits(plan);
        return plan;
    };
    auto plan = plan_with(false);
    if (!plan.safe && has_evenings(walks_told)) plan = plan_with(true);
    const auto& chances = plan.chances;
    const auto& worked = plan.worked;

    VisitAnswer answer{.at = view.now, .to = to, .returns = chances.at.back(), .day = {}, .walk = {}, .due = false, .safe = true, .later = {}, .later_visits = {}, .pours = {}, .rests = {},
                       .trips = {}, .total_l = 0, .cautions = {}, .remarks = {}};
    add_visits(answer, plan);
    answer.trips = trips_of(as_lines(answer.pours), inside.configuration.carry);
    for (const auto& w : worked)
        if (w.known && rests(w, chances)) answer.rests.push_back({.pot = w.pot, .label = w.label});
    if (const auto names = short_of(plan); !names.empty()) {
        answer.safe = false;
        answer.remarks.push_back(chances.evenings ? "These may not last from one visit to the next: " + names + ". Shade over them is safer, and another visit on hot days."
                                                  : "These may not last from a morning to the next: " + names + ". A second visit in the evening is safer for them.");
    }
    add_difference(answer);
    add_rests_on_the_list(answer, worked, chances);
    add_blocked(answer);
    if (!answer.pours.empty()) {
        answer.cautions.push_back("Pour slowly, stop when water shows below, and come back after half an hour for the second pass.");
        if (const auto weight = weight_notice(answer.trips)) answer.cautions.push_back(weight->text);
        answer.cautions.push_back("Water early or late, with a hat and something to drink; stop when dizzy.");
    }
    if (to != asked_to) answer.remarks.push_back("Visits are seen until " + day_text(to) + "; later ones show nearer the time.");
    answer.remarks.push_back("A pot that droops in the morning, too, or is strikingly light: feel deep into the medium. Dry: pour as above. Moist or wet: better no water. Ask the gardener either way.");
    return answer;
}

}  // namespace tubgrove
