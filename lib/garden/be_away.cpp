// Use case: an absence. How long each pot lasts, what makes it last, and on which days somebody must come.
#include "ahead/absence.hpp"
#include "care/words.hpp"
#include "garden/away_sheet.hpp"
#include "garden/each_pot.hpp"
#include "garden/heat_help.hpp"
#include "garden/stay_away.hpp"
#include "garden/stocks.hpp"
#include "plan/trips.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

bool has_evenings(const Walks& walks) { return walks.evening && walks.evening_on_hot_days; }

namespace {

// The moments at which the pots are filled or looked at: on leaving, each walk away, on returning.
struct Moments : WalkMoments {
    void add(Instant t, LocalDay d, std::string name) {
        if (at.empty() || t > at.front() + near_a_walk) WalkMoments::add(t, d, std::move(name));   // else just filled on leaving
    }
};
Moments moments_of(const Walks& walks, const Zone& zone, Instant now, LocalDay from, LocalDay to, bool evenings) {
    const auto evening = walks.evening.value_or(std::chrono::minutes(19 * 60));
    Moments m;
    m.add(std::max(now, zone.at(LocalTime(from - std::chrono::days(1)) + evening)), from, "");
    for (auto day = from; day <= to; day += std::chrono::days(1)) {
        m.add(zone.at(LocalTime(day) + walks.morning), day, "morning");
        if (evenings) m.add(zone.at(LocalTime(day) + evening), day, "evening");
    }
    const auto home = to + std::chrono::days(1);
    m.add(std::max(m.at.back() + std::chrono::hours(1), zone.at(LocalTime(home) + walks.morning)), home, "");
    return m;
}

struct Tried {
    std::string what;
    PotSetup setup;
    int passes = 2;
    std::string bay = {};                        // of a move
};

// Least trouble first. A saucer, shade: only where they change something.
std::vector<Tried> precautions(const PotSetup& setup, std::span<const Change> changes, const Garden::Inside& inside) {
    const int passes = std::max(2, inside.configuration.carry.passes);
    std::vector<Tried> tried{{"as-is", setup, 1}, {"fill-twice", setup, passes}};
    const PotSetup *saucer = nullptr, *shade = nullptr;
    for (const auto& change : changes) {
        if (change.what == "saucer") saucer = &change.setup;
        if (change.what == "shade") shade = &change.setup;
    }
    if (saucer) tried.push_back({"saucer", *saucer, passes});
    if (shade) tried.push_back({"shade", *shade, passes});
    if (saucer && shade) {
        PotSetup both = *shade;
        both.container.saucer = saucer->container.saucer;
        tried.push_back({"shade-and-saucer", both, passes});
    }
    return tried;
}

// Each other bay: more trouble than all else.
std::vector<Tried> moves(std::span<const Change> changes, const Garden::Inside& inside) {
    std::vector<Tried> tried;
    for (const auto& change : changes)
        if (change.what == "move") tried.push_back({"move", change.setup, std::max(2, inside.configuration.carry.passes), change.bay});
    return tried;
}

// A move in a saucer, where there is none yet.
std::optional<Tried> in_saucer(const Tried& move, std::span<const Change> changes) {
    const auto saucer = std::ranges::find(changes, "saucer", &Change::what);
    if (saucer == changes.end()) return std::nullopt;
    Tried both = move;
    both.what = "move-and-saucer";
    both.setup.container.saucer = saucer->setup.container.saucer;
    return both;
}

std::optional<Instant> before_return(Instant filled, double hours, Instant returns) {
    if (!std::isfinite(hours)) return std::nullopt;
    const auto at = filled + std::chrono::seconds(std::llround(hours * 3600));
    return at >= returns ? std::nullopt : std::optional(at);
}

struct Worked {
    bool known = false;
    AwayPot line;
    std::string water_bay;                       // where its water is carried to
    std::vector<Instant> safe_until;             // by moment, with what was chosen
    Filling leaving;
    // By moment: the fillings at the moments after it, as far as it is safe from there on, and to the next morning in any case.
    std::vector<std::vector<Filling>> later;

    bool rests(std::size_t since, const Moments& moments) const { return safe_until[since] >= moments.at.back(); }
    bool lasts_each(const Moments& moments) const {
        for (std::size_t m = 0; m < moments.last(); ++m)
            if (safe_until[m] < moments.at[m + 1]) return false;
        return true;
    }
    // The filling at `to` where it was filled at `since`; null where nobody would let it stand so long.
    const Filling* filling(std::size_t since, std::size_t to) const {
        const std::size_t after = to - since - 1;
        return after < later[since].size() ? &later[since][after] : nullptr;
    }
};

// Whether anybody told what shows how much the pot takes up: a weight, a run-through, what came out below.
bool room_told(const PotHistory& history) {
    return std::ranges::any_of(history.events, [](const Happened& event) {
        const auto* poured = std::get_if<Poured>(&event.what);
        const auto* listed = std::get_if<Listed>(&event.what);
        return std::holds_alternative<Weighed>(event.what) || std::holds_alternative<Drained>(event.what) || (poured && poured->ran_through.value_or(false)) ||
               (listed && listed->ran_through.value_or(false));
    });
}

// One pot for one precaution after the other: as it stands on the eve, and how it then runs on.
struct Eve {
    const Garden::Inside& inside;
    const PotNow& pot;
    const Moments& moments;
    Instant until;
    Outlook::Run run;

    // Calls work(outlook, pouring) with the pot as the precaution makes it; not where such a pot cannot be.
    template <class Work>
    bool with(const Tried& tried, Work work) const {
        const auto there = otherwise(pot, tried.setup, inside.tables, inside.zone);
        if (!there) return false;
        auto pouring = pouring_of(inside.configuration, inside.tables.figures);
        pouring.passes = tried.passes;
        work(there->outlook(pot, inside.tables.priors, inside.zone, until).coarser(3, until), pouring);
        return true;
    }
    Lasts from(const Outlook& outlook, const Pouring& pouring, const Outlook::Run& at) const {
        const auto& f = inside.tables.figures;
        return lasts_from(outlook, pouring, at, f[FigureKey::harmed_share], f[FigureKey::safe_chance]);
    }
    double safe_h(const Outlook& outlook, const Outlook::Run& filled) const {
        const auto& f = inside.tables.figures;
        return safe_hours(outlook, filled, f[FigureKey::harmed_share], f[FigureKey::safe_chance]);
    }
};

// How long each lasts from the filling on leaving; the chosen one is the first that is safe, else the one that lasts longest.
class Choice {
public:
    Choice(const Eve& eve, AwayPot& line) : eve_(eve), line_(line) {}

    std::optional<Lasts> lasts(const Tried& tried) const {
        Lasts lasts;
        const bool can_be = eve_.with(tried, [&](const Outlook& outlook, const Pouring& pouring) { lasts = eve_.from(outlook, pouring, outlook.take_up(eve_.run)); });
        return can_be ? std::optional(lasts) : std::nullopt;
    }
    // `only_safe`: such trouble is taken only where no visit is then needed for the pot.
    void add(const Tried& tried, const Lasts& lasts, bool only_safe = false) {
        const Instant leaves = eve_.moments.at.front(), returns = eve_.moments.at.back();
        line_.tried.push_back({.what = tried.what, .bay = tried.bay, .checked_h = lasts.checked_after_h, .harmed_h = lasts.harmed_after_h,
                               .safe_until = before_return(leaves, lasts.safe_h, returns)});
        const bool safe = !line_.tried.back().safe_until;
        if (line_.safe || lasts.safe_h <= longest_h_ || (only_safe && !safe)) return;
        longest_h_ = lasts.safe_h;
        chosen = tried;
        line_.chosen = tried.what;
        line_.to_bay = tried.bay;
        line_.safe = safe;
        line_.checked_at = before_return(leaves, lasts.checked_after_h.median, returns);
        line_.harmed_at = before_return(leaves, lasts.harmed_after_h.median, returns);
    }
    std::optional<Tried> chosen;

private:
    const Eve& eve_;
    AwayPot& line_;
    double longest_h_ = -1;
};

// `carried`: no visits keep the pot where it stands, so that another bay is worth carrying it there.
std::optional<Tried> choose(const Eve& eve, AwayPot& line, bool carried) {
    Choice choice(eve, line);
    const auto changes = changes_that_help(eve.pot.setup(), eve.inside);
    for (const auto& tried : precautions(eve.pot.setup(), changes, eve.inside)) {
        if (const auto lasts = choice.lasts(tried)) choice.add(tried, *lasts);
        if (line.safe) return choice.chosen;     // no more trouble is needed
    }
    std::optional<Tried> best;
    Lasts best_lasts;
    for (const auto& move : moves(changes, eve.inside))
        if (const auto lasts = choice.lasts(move); lasts && (!best || lasts->safe_h > best_lasts.safe_h)) best = move, best_lasts = *lasts;
    if (!best) return choice.chosen;
    choice.add(*best, best_lasts, !carried);
    if (const auto both = in_saucer(*best, changes); both && !line.safe)
        if (const auto lasts = choice.lasts(*both)) choice.add(*both, *lasts, !carried);
    return choice.chosen;
}

Worked work_out(const Garden::Inside& inside, const PotNow& pot, const Moments& moments, Instant until, bool carried) {
    Worked w;
    w.line = {.pot = pot.life->id, .label = pot.setup().label, .bay = pot.setup().exposure.bay, .tried = {}, .chosen = {}, .to_bay = {}, .fill = {}, .checked_at = {},
              .harmed_at = {}, .safe = false};
    const auto courses = days_ahead(pot, inside.zone);
    const Outlook as_is(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, courses, until);
    Eve eve{.inside = inside, .pot = pot, .moments = moments, .until = until, .run = as_is.start()};
    as_is.run(eve.run, moments.at.front());
    const auto chosen = choose(eve, w.line, carried);
    if (const auto as_chosen = std::ranges::find_if(w.line.tried, [&](const Precaution& p) { return p.what == w.line.chosen && p.bay == w.line.to_bay; });
        as_chosen != w.line.tried.end() && !w.line.safe) {
        constexpr double wide = 2;               // of eight possibilities in ten the longest lasts twice as long as the shortest; own assumption
        w.line.little_known = as_chosen->harmed_h.high > wide * as_chosen->harmed_h.low && !room_told(pot.history);
    }
    w.known = chosen.has_value();
    w.water_bay = w.line.to_bay.empty() ? w.line.bay : w.line.to_bay;
    // The same from each walk on, for somebody who comes by.
    if (chosen)
        eve.with(*chosen, [&](const Outlook& outlook, const Pouring& on_leaving) {
            auto pouring = on_leaving;
            Outlook::Run run = outlook.take_up(eve.run);
            for (std::size_t m = 0; m < moments.last(); ++m) {
                outlook.run(run, moments.at[m]);
                Outlook::Run filled = run;
                const Filling now = fill(outlook, pouring, filled);
                w.safe_until.push_back(moment_after(moments.at[m], eve.safe_h(outlook, filled)));
                if (m == 0) {
                    w.leaving = now;
                    w.line.fill = {.pot = w.line.pot, .label = w.line.label, .pour_l = now.likely_l, .most_l = now.manner.pour_l, .passes = now.manner.passes, .until = now.manner.until};
                }
                pouring.passes = std::max(2, on_leaving.passes);
                w.later.push_back(fillings_after(outlook, pouring, std::move(filled), std::span(moments.at).subspan(m + 1, moments.last() - m - 1),
                                                 std::max(w.safe_until.back(), moments.morning_after(m))));
            }
        });
    return w;
}

// What the visits may draw from each butt that ends, where no other tap gives what it lacks; by the high figures. A pot that is safe to the return is
// not filled again.
std::vector<Stock> limits_of(const Carry& carry, const std::vector<Worked>& worked, const Moments& moments) {
    std::vector<Stock> stocks;
    if (!tap_without_end(carry).empty()) return stocks;
    for (std::size_t t = 0; t < carry.taps.size(); ++t) {
        Stock stock{.holds_l = litres(*carry.taps[t].holds), .needed_l = std::vector(moments.at.size(), std::vector<double>(moments.at.size(), 0.0))};
        for (const auto& w : worked) {
            if (!w.known || tap_of(w.water_bay, carry) != t) continue;
            stock.holds_l -= w.leaving.likely_l.high;
            for (std::size_t since = 0; since < moments.last(); ++since)
                for (std::size_t to = since + 1; to < moments.last() && !w.rests(since, moments); ++to)
                    if (const auto* filling = w.filling(since, to)) stock.needed_l[since][to] += filling->likely_l.high;
        }
        stocks.push_back(std::move(stock));
    }
    return stocks;
}

std::vector<std::vector<Instant>> safe_times(const std::vector<Worked>& worked, const Moments& moments, bool only_kept = false) {
    std::vector<std::vector<Instant>> all;
    for (const auto& w : worked)
        if (w.known && (!only_kept || w.lasts_each(moments))) all.push_back(w.safe_until);
    return all;
}

// Every walk is not enough for all: those that it does not keep call for no more than a visit a day.
std::vector<std::vector<Instant>> with_a_visit_a_day(const std::vector<Worked>& worked, const Moments& moments) {
    std::vector<std::vector<Instant>> all;
    for (const auto& w : worked) {
        if (!w.known) continue;
        all.push_back(w.safe_until);
        if (w.lasts_each(moments)) continue;
        for (std::size_t m = 0; m < moments.last(); ++m) all.back()[m] = std::max(all.back()[m], moments.morning_after(m));
    }
    return all;
}

struct Plan {
    Moments moments;
    std::vector<Worked> worked;
    std::vector<std::size_t> visits;
    bool safe = false;
};

// What is asked: with mornings only, or with evenings, too; and the same plan made before, of which those that it did not keep are now carried to
// another bay.
struct PlanAsked {
    LocalDay from{}, to{};
    bool evenings = false;
    const Plan* before = nullptr;
    std::vector<bool> carried;                   // by pot
};
// Where the water of the butts is not enough, the fewest visits all the same: it must be brought.
Plan plan_of(const Garden::Inside& inside, const GardenNow& garden, std::span<const PotLife* const> lives, const PlanAsked& asked) {
    Plan plan{.moments = moments_of(inside.configuration.walks, inside.zone, garden.now, asked.from, asked.to, asked.evenings), .worked = asked.before ? asked.before->worked : std::vector<Worked>(lives.size()), .visits = {},
              .safe = false};
    const auto until = inside.zone.end_of(asked.to + std::chrono::days(1));
    std::vector<const PotLife*> anew;
    std::vector<std::size_t> places;
    for (std::size_t i = 0; i < lives.size(); ++i)
        if (!asked.before || asked.carried[i]) anew.push_back(lives[i]), places.push_back(i);
    each_pot(inside, garden, anew, [&](std::size_t i, const PotNow& pot) { plan.worked[places[i]] = work_out(inside, pot, plan.moments, until, asked.before); });
    const auto safe_until = safe_times(plan.worked, plan.moments);
    auto visits = least_visits(plan.moments.at, safe_until, limits_of(inside.configuration.carry, plan.worked, plan.moments));
    if (!visits) visits = least_visits(plan.moments.at, safe_until);
    plan.safe = visits.has_value();
    plan.visits = visits ? std::move(*visits) : least_visits(plan.moments.at, with_a_visit_a_day(plan.worked, plan.moments)).value();
    return plan;
}

// The least trouble that keeps all: mornings, then evenings, then pots carried elsewhere that no visits keep where they stand.
Plan best_plan(const Garden::Inside& inside, const GardenNow& garden, std::span<const PotLife* const> lives, LocalDay from, LocalDay to) {
    const auto plan_with = [&](bool evenings, const Plan* before, std::vector<bool> carried) {
        return plan_of(inside, garden, lives, {.from = from, .to = to, .evenings = evenings, .before = before, .carried = std::move(carried)});
    };
    const bool evenings = has_evenings(inside.configuration.walks);
    const Plan mornings = plan_with(false, nullptr, {});
    if (mornings.safe) return mornings;
    const Plan all = evenings ? plan_with(true, nullptr, {}) : mornings;
    if (all.safe) return all;
    std::vector<bool> carried;
    for (const auto& w : all.worked) carried.push_back(w.known && !w.lasts_each(all.moments));
    Plan elsewhere = plan_with(false, &mornings, carried);
    if (elsewhere.safe || !evenings) return elsewhere;
    return plan_with(true, &all, carried);
}

// Answers what the filling on leaving and the visits are likely to draw, in order of their days.
std::vector<Draw> add_visits(AbsenceAnswer& answer, const Plan& plan) {
    std::vector<Draw> draws;
    for (const auto& w : plan.worked)
        if (w.known) draws.push_back({answer.leaves_on, w.water_bay, w.leaving.likely_l});
    std::vector<std::size_t> since(plan.worked.size(), 0);
    for (const std::size_t m : plan.visits) {
        AwayVisit visit{.day = plan.moments.day[m], .walk = plan.moments.walk[m], .at = plan.moments.at[m], .pours = {}, .total_l = 0};
        for (std::size_t i = 0; i < plan.worked.size(); ++i) {
            const auto& w = plan.worked[i];
            if (!w.known || w.rests(since[i], plan.moments)) continue;
            const auto* filling = w.filling(since[i], m);
            since[i] = m;
            if (!filling || filling->manner.pour_l <= 0) continue;
            draws.push_back({visit.day, w.water_bay, filling->likely_l});
            visit.pours.push_back({.pot = w.line.pot, .label = w.line.label, .pour_l = filling->likely_l, .most_l = filling->manner.pour_l,
                                   .passes = filling->manner.passes, .until = filling->manner.until});
        }
        answer.visits.push_back(std::move(visit));
    }
    same_each_time(answer.visits);
    return draws;
}

void add_stocks(AbsenceAnswer& answer, std::span<const Draw> draws, const Carry& carry) {
    answer.stocks = stocks_of(carry, draws);
    for (const auto& stock : answer.stocks)
        if (stock.instead.empty()) answer.bring_l += stock.lacking_l;
}

void add_what_is_not_safe(AbsenceAnswer& answer, const Plan& plan, const Walks& walks) {
    const bool evenings = std::ranges::find(plan.moments.walk, "evening") != plan.moments.walk.end();
    std::string names;
    for (const auto& w : plan.worked)
        if (w.known && !w.lasts_each(plan.moments)) names += (names.empty() ? "" : ", ") + called(w.line);
    answer.remarks.push_back(std::string("Not even a visit each morning") + (evenings ? " and evening" : "") + " keeps these safe: " + names
                             + ". A larger pot, a drip line or another place would.");
    if (!has_evenings(walks)) answer.remarks.push_back("Visits in the evening were not looked at, since the configuration has no evening walk (walks: {evening: 19:00}).");
    const auto others = safe_times(plan.worked, plan.moments, true);
    if (const auto fewer = others.empty() ? std::nullopt : least_visits(plan.moments.at, others)) {
        answer.kept_visits.emplace();
        for (const std::size_t m : *fewer) answer.kept_visits->push_back({plan.moments.day[m], plan.moments.walk[m]});
        answer.remarks.push_back("All others need no more than " + visits_said(*answer.kept_visits, "visit", "visits") + ".");
    }
}

}  // namespace

void without_usual_rain(WeatherSeen& seen) {
    for (auto& days : seen.members)
        for (auto& day : days)
            if (day.guessed.rain && day.rung == Rung::normals)
                for (auto& hour : day.hours) hour.rain_mm = 0;
}

// The last day of which a forecast speaks; empty: none does.
std::optional<LocalDay> last_foretold(const WeatherSeen& seen, Instant now, const Zone& zone) {
    std::optional<LocalDay> last;
    for (const auto& day : seen.members.front())
        if (day.day >= zone.day_of(now) && day.rung != Rung::normals) last = day.day;
    return last;
}

std::optional<Refusal> too_long_away(LocalDay today, LocalDay from, LocalDay to) {
    constexpr std::chrono::days longest{60};
    if (to < today) return Refusal{format_day(to) + " is past", "a last day from today on"};
    if (from > to) return Refusal{"the first day lies after the last", "the earlier day first"};
    if (from < today) return Refusal{format_day(from) + " is past", "a first day from today on"};
    if (to - from > longest || to - today > furthest_away)
        return Refusal{"nothing can be said of so long a time", "up to 60 days away, the last of them within 90 days from now"};
    return std::nullopt;
}

Refusal no_pot_yet() { return {"there is no pot with a tree yet", "tubgrove setup, or pot add 7 container.size=40L tree.a.species=apple bay=…"}; }

Instant moment_after(Instant t, double hours) {
    return std::isfinite(hours) ? t + std::chrono::seconds(std::llround(hours * 3600)) : Instant::max();
}

Outcome<AbsenceAnswer> Garden::absence(const View& view, LocalDay from, LocalDay to) { return be_away(*inside_, view, from, to); }

Outcome<AbsenceAnswer> be_away(const Garden::Inside& inside, const View& view, LocalDay from, LocalDay to) {
    const auto today = inside.zone.day_of(view.now);
    if (auto refusal = too_long_away(today, from, to)) return *refusal;
    auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts, (to - today) + std::chrono::days(3));
    without_usual_rain(garden.weather);
    const auto lives = in_walking_order(garden.past.lives, inside.configuration, view.now);
    if (lives.empty()) return no_pot_yet();
    const auto& walks = inside.configuration.walks;
    const auto plan = best_plan(inside, garden, lives, from, to);

    AbsenceAnswer answer{.from = from, .to = to, .leaves = plan.moments.at.front(), .returns = plan.moments.at.back(), .leaves_on = inside.zone.day_of(plan.moments.at.front()), .pots = {}, .safe = plan.safe, .visits = {},
                         .stocks = {}, .kept_visits = {}, .bring_l = 0, .safe_with_water = false, .sheet = {}, .cautions = {}, .remarks = {}};
    for (const auto& w : plan.worked)
        if (w.known) answer.pots.push_back(w.line), answer.pots.back().kept = w.lasts_each(plan.moments);
    add_stocks(answer, add_visits(answer, plan), inside.configuration.carry);
    const auto foretold = last_foretold(garden.weather, view.now, inside.zone);
    answer.safe_with_water = plan.safe;
    answer.safe = plan.safe && answer.bring_l <= 0;
    write_sheet(answer);
    if (!plan.safe) add_what_is_not_safe(answer, plan, walks);
    if (!answer.visits.empty())
        answer.remarks.push_back(std::string("The litres follow from ") + (foretold && *foretold >= from ? "what is forecast today" : "usual weather") +
                                 " and from these visits alone; on each day the command visit " + format_day(to) + " tells them anew.");
    answer.remarks.push_back("Rain that is not forecast is not counted on.");
    if (!foretold || *foretold < to)
        answer.remarks.push_back((foretold && *foretold >= from ? "After " + day_text(*foretold) + " no forecast speaks" : std::string("No forecast speaks of these days")) +
                                 ": usual weather stands in. Ask again nearer the time.");
    for (const auto& pot : answer.pots)
        if (pot.chosen.find("saucer") != std::string::npos) {
            answer.cautions.push_back("Empty saucers on the return: roots that stand in water for long suffer, and mosquitoes breed in it.");
            break;
        }
    if (std::ranges::any_of(answer.pots, [](const AwayPot& pot) { return !pot.to_bay.empty() || pot.chosen.find("saucer") != std::string::npos; }))
        answer.remarks.push_back("Tell what was done of it before you leave, so that each visit counts on it: pot change P bay=…, pot change P container.saucer=…");
    answer.cautions.push_back("A full pot is heavy: two people or a trolley before it is moved. Water that stands in butts and cans is a danger to small children: cover it.");
    answer.remarks.push_back("A helper's phone: tubgrove pair --name NAME --until " + format_day(to + std::chrono::days(1)) + "; their entries carry the name.");
    return answer;
}

}  // namespace tubgrove
