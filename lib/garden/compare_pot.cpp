// Use case: a pot's past season, and a typical one, lived through again with other facts.
#include "ahead/season_replay.hpp"
#include "garden/each_pot.hpp"
#include "garden/odd_amounts.hpp"
#include "intake/facts.hpp"
#include "plan/beliefs.hpp"
#include "plan/plain_text.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

constexpr std::chrono::days season_length{365};
constexpr int most_years_back = 5;

// The pot as it is today through days that may be of another year: full on the first day, its unknowns as they are believed now.
struct Replay {
    PotHistory history;
    std::vector<Belief> beliefs;
    std::vector<std::vector<DayCourse>> days;
    Ensemble ensemble;
};

std::optional<Replay> replay_of(const PotNow& pot, const PotSetup& setup, std::span<const DayRecord> days, const Garden::Inside& inside) {
    Replay r;
    r.history = {.pot = pot.life->id, .starts = days.front().starts, .setups = {{.since = days.front().starts, .setup = setup}}, .events = {}};
    auto belief = belief_of(setup, inside.tables, inside.zone.day_of(pot.history.setups.back().since));
    if (!std::holds_alternative<Belief>(belief)) return std::nullopt;
    r.beliefs.push_back(std::get<Belief>(std::move(belief)));
    r.beliefs.front().drip.reset();              // the same rule waters with and without the change
    const auto& site = inside.configuration.site;
    r.days.push_back(course_of(r.history, inside.tables, {.latitude_deg = degrees(site.latitude), .elevation_m = metres(site.elevation)}, inside.zone, days));
    r.days.push_back(r.days.front());            // several forecasts of the same: what was measured gets no forecast's error
    r.ensemble = begin({.history = r.history, .beliefs = r.beliefs, .days = r.days.front(), .priors = inside.tables.priors, .zone = inside.zone});
    r.ensemble.score = pot.ensemble.score;
    r.ensemble.weights = pot.ensemble.weights;
    auto& state = r.ensemble.state;
    std::ranges::fill(state.depletion_rooted_l, 0.0);
    std::ranges::fill(state.depletion_unrooted_l, 0.0);
    state.warm_days = pot.ensemble.state.warm_days;
    // The first midnight sets the stores of the members by their own constants.
    r.ensemble.day = days.front().day - std::chrono::days(1);
    r.ensemble.until = days.front().starts;
    return r;
}

SeasonSum live(const Replay& r, const Garden::Inside& inside, std::span<const WalkAhead> walks, Instant until) {
    const Outlook outlook(r.ensemble, r.beliefs.front(), inside.tables.priors, inside.zone, r.days, until);
    return live_by_rule(outlook, walks, pouring_of(inside.configuration, inside.tables.figures));
}

std::vector<WalkAhead> walks_of(std::span<const DayRecord> days, const Garden::Inside& inside) {
    const double limit_mm = inside.tables.prices[PriceKey::hot_evening_et0_mm];
    const auto hot = [&](LocalDay day) {
        const auto found = std::ranges::lower_bound(days, day, {}, &DayRecord::day);
        return found != days.end() && found->day == day && found->et0_mm > limit_mm;
    };
    std::vector<WalkAhead> walks;
    for (auto walk = morning_walk(inside.configuration.walks, inside.zone, days.front().day); walk.starts < days.back().ends;) {
        const auto next = walk_after(inside.configuration.walks, inside.zone, walk, hot);
        walks.push_back({walk.starts, next.starts});
        walk = next;
    }
    return walks;
}

SeasonLine line_of(const SeasonSum& sum) { return {.poured_l = sum.poured_l, .dry_h = sum.dry_h, .used_l = sum.used_l, .walks = sum.walks}; }

void add_words(std::string& text, double value, const std::string& unit, const char* less, const char* more) {
    const std::string amount = plain(std::abs(value), 0);
    if (amount != "0") text += (text.empty() ? "" : ", ") + amount + " " + unit + " " + (value < 0 ? less : more);
}

// What comes to nothing is left out.
std::string text_of(const SeasonCompared& c) {
    std::string text;
    if (c.worth_having) {
        add_words(text, c.litres.median, "L", "less to pour", "more to pour");
        add_words(text, c.walks.median, std::abs(c.walks.median) == 1 ? "walk" : "walks", "fewer", "more");
        // Hours added up over a season: from two days on, days.
        const bool in_days = std::abs(c.dry_h.median) >= 48;
        const double dry = in_days ? c.dry_h.median / 24 : c.dry_h.median;
        add_words(text, dry, std::string(in_days ? "day" : "hour") + (std::lround(std::abs(dry)) == 1 ? "" : "s"), "less dry", "more dry");
    }
    return text.empty() ? "no difference worth having" : text;
}

// The same weather so many years later: today's tree lives through it at the age it had in the past season.
void shift(std::vector<DayRecord>& days, std::chrono::days by) {
    for (auto& day : days) {
        day.day += by, day.starts += by, day.ends += by;
        for (auto& hour : day.hours) hour.starts += by;
    }
}

// What of a run of days can speak for a season: those that somebody measured or published.
bool mostly_known(std::span<const DayRecord> days) {
    const auto known = std::ranges::count_if(days, [](const DayRecord& d) { return d.rung == Rung::own_readings || d.rung == Rung::published; });
    return known * 10 >= std::ssize(days) * 8;
}

}  // namespace

Outcome<CompareAnswer> Garden::compare(const View& view, std::string_view id, std::span<const std::string> words) {
    auto& inside = *inside_;
    auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    if (auto refusal = not_here(garden.past.lives, id, view.now)) return *refusal;
    const auto* life = find_life(garden.past.lives, id);
    const auto today = inside.zone.day_of(view.now);
    auto facts = parse_facts(words, inside.names(garden.past.lives));
    if (!facts.ok()) return refusal_of(facts.complaints);
    if (auto wrong = days_to_come(id, facts.value, today); !wrong.empty()) return refusal_of(wrong);
    auto changed = life->facts_at(view.now);
    CompareAnswer answer{.pot = life->id, .changes = {}, .seasons = {}, .remarks = {}};
    for (const auto& fact : facts.value) {
        const auto was = changed.facts.find(fact.key);
        answer.changes.push_back(fact.key + " " + fact.value + (was == changed.facts.end() ? "" : " (is " + was->second + ")"));
    }
    changed.facts = merge(changed.facts, facts.value);
    // Both as their facts state them: what passes (a worn mulch, pruned leaves, a shade) is no part of the question.
    auto setup = setup_at(*life, changed);
    const auto stated = setup_at(*life, life->facts_at(view.now));
    if (!setup.ok()) return refusal_of(setup.complaints);
    if (!stated.ok()) return Refusal{"pot " + tubgrove::quoted(id) + " as it is cannot be worked out: " + refusal_of(stated.complaints).what, "a pot with a size and a tree"};
    KeptStates kept{.store = inside.store, .tables = sha256(inside.tables_text), .here = {}, .fresh = {}};
    const auto pot = pot_now(garden, *life, inside.configuration, inside.tables, inside.zone, kept);
    if (pot.beliefs.empty()) return Refusal{"nothing can be said of pot " + tubgrove::quoted(id) + " yet", "a pot with a size and a tree"};
    const auto exposed = [&](PotSetup s) {
        s.exposure = exposure_at(garden.past, s.exposure.bay, view.now);
        return s;
    };
    PotSetup with = exposed(setup.value);
    const PotSetup without = exposed(stated.value);
    // The same tree in another pot: in the season that is lived again it would have come there as it was.
    if (const auto now_l = medium_l(life->facts_at(view.now).facts)) with.grown_in = GrownIn{.medium_l = *now_l, .until = today};
    if (std::holds_alternative<ImpossibleContainer>(belief_of(with, inside.tables, today)))
        return Refusal{"such a container cannot be", "litres, or widths and height, that fit together"};

    // A year each: the past one, and of the years before it those that somebody measured.
    struct Year {
        LocalDay from{}, to{};               // of the weather
        std::vector<DayRecord> days;         // as days of the past season
        double dryness_mm = 0;
    };
    std::vector<Year> years;
    for (int back = 0; back < most_years_back; ++back) {
        const LocalDay last = today - std::chrono::days(1) - season_length * back, first = last - season_length + std::chrono::days(1);
        if (back > 0 && !inside.store.first_reading(inside.zone.start_of(first), inside.zone.end_of(last), learned_until(view))) break;
        auto seen = weather_seen(inside.store, view, inside.configuration, inside.zone, {first, last}, inside.forecasts);
        Year year{.from = first, .to = last, .days = std::move(seen.members.front())};
        if (back > 0 && !mostly_known(year.days)) break;
        shift(year.days, season_length * back);
        for (const auto& day : year.days) year.dryness_mm += day.et0_mm - day.rain_mm.value;
        years.push_back(std::move(year));
    }
    const auto season = [&](const char* name, const Year& year) {
        SeasonCompared c{.season = name, .from = year.from, .to = year.to, .without = {}, .with = {}, .litres = {}, .dry_h = {},
                         .walks = {}, .worth_having = false, .text = {}};
        const auto walks = walks_of(year.days, inside);
        const auto a = replay_of(pot, without, year.days, inside), b = replay_of(pot, with, year.days, inside);
        if (!a || !b) return;
        const SeasonSum is = live(*a, inside, walks, year.days.back().ends), would = live(*b, inside, walks, year.days.back().ends);
        const auto difference = difference_of(is, would, pot.ensemble.weights, inside.tables.figures);
        c.without = line_of(is), c.with = line_of(would);
        c.litres = difference.litres, c.dry_h = difference.dry_h, c.walks = difference.walks, c.worth_having = difference.worth_having;
        c.text = text_of(c);
        answer.seasons.push_back(std::move(c));
    };
    season("past", years.front());
    if (years.size() >= 3) {
        std::ranges::sort(years, {}, &Year::dryness_mm);
        season("typical", years[years.size() / 2]);
    } else {
        answer.remarks.push_back("A typical season needs three years of readings; until then the past one speaks alone.");
    }
    if (!mostly_known(years.front().days)) answer.remarks.push_back("Much of the past season's weather stands on usual values: take the figures for their difference only.");
    if (auto odd = saucer_remark(id, facts.value, changed.facts, with.container)) (*odd)[0] = 'P', answer.remarks.push_back(*odd + ".");
    if (std::ranges::any_of(facts.value, [](const auto& fact) { return fact.key == "container.colour"; }))
        answer.remarks.push_back("These figures are of water alone. A wall's colour counts for the roots: in the sun a dark wall heats them, a light one less.");
    answer.remarks.push_back("Both are watered by the same rule: each possibility is filled at a walk when it would else be dry before the next one, as by somebody who knows the pot. It is not what you poured. A difference is that of each possibility with itself, so its middle need not be the one between the two middles.");
    return answer;
}

}  // namespace tubgrove
