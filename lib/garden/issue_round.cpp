// Use case: the list of a walk. Computed when newer input exists, else the stored one is shown again.
#include "garden/inside.hpp"
#include "garden/json.hpp"
#include "garden/json_writer.hpp"
#include "garden/list_now.hpp"
#include "garden/odd_amounts.hpp"
#include "garden/round_notices.hpp"
#include "garden/round_reader.hpp"
#include "garden/site_doubts.hpp"
#include "garden/stay_away.hpp"
#include "garden/stocks.hpp"
#include "garden/water_now.hpp"
#include "intake/quantity.hpp"
#include "plan/beliefs.hpp"
#include "plan/decision.hpp"
#include "plan/lines.hpp"
#include "plan/trips.hpp"
#include "plan/plain_text.hpp"

#include <algorithm>
#include <iterator>

namespace tubgrove {
namespace {

// One pot decided: the line it gets, or why it rests.
struct Decided {
    Decision decision;
    LineFacts facts;
};

struct Fallen {
    double rain_mm = 0;
    bool guessed = false;    // some of it
};

Fallen rain_between(std::span<const DayRecord> days, Instant from, Instant to) {
    Fallen fallen;
    for (const auto& day : days)
        for (const auto& hour : day.hours) {
            if (hour.starts < from || hour.starts >= to) continue;
            fallen.rain_mm += hour.rain_mm;
            fallen.guessed = fallen.guessed || (hour.rain_guessed && hour.rain_mm > 0);
        }
    return fallen;
}

// Rain that a pot caught by the medians of its members' catches.
double caught_l(const PotNow& pot, double rain_mm) {
    auto members = members_of(pot.ensemble, pot.belief());
    std::vector<double> litres(members.size());
    for (std::size_t i = 0; i < litres.size(); ++i) litres[i] = rain_mm * pot.belief().rain_share.middle * members.rain_factor[i] * members.rain_area_m2[i];
    return percentiles(litres, pot.ensemble.weights).median;
}

Instant last_walk_before(const GardenPast& past, const Walk& walk, Instant otherwise) {
    Instant last = otherwise;
    for (const auto& issued : past.issued)
        if (issued.walk.starts < walk.starts) last = issued.walk.starts;
    return last;
}

Decided decide_pot(const PotNow& pot, const Chances& chances, const GardenNow& garden, const Garden::Inside& inside, LineFacts facts) {
    Decided decided{.decision = decision_of(pot, chances, garden, inside), .facts = std::move(facts)};
    decided.facts.rain_caught_l = facts.rain_mm > 0 ? caught_l(pot, decided.facts.rain_mm) : 0;
    return decided;
}

// How many of this pot's lines in a row, newest first, met silence.
int silent_lines(const PotHistory& history) {
    int silent = 0;
    for (auto event = history.events.rbegin(); event != history.events.rend(); ++event) {
        if (std::holds_alternative<Poured>(event->what)) break;
        const auto* line = std::get_if<Listed>(&event->what);
        if (line && line->share) break;
        silent += line != nullptr;
    }
    return silent;
}

// A pot's line on the list, and what stands above the list of it.
struct Worked {
    PotSummary summary;
    std::optional<PourLine> pour;
    std::optional<RestLine> rest;
};

// What all lines of a list share.
struct ListFacts {
    const Garden::Inside& inside;
    const GardenNow& garden;
    Chances chances;
    Fallen rain;
    std::vector<std::string> unknown_weather;
    const IssuedWalk* issued = nullptr;      // this walk's list as it was shown before, if it was
    Walk next;
};

Worked work_out(const ListFacts& list, const PotNow& pot, int order) {
    LineFacts facts{.pot = pot.life->id, .label = pot.setup().label, .bay = pot.setup().exposure.bay, .order = order,
                    .rain_mm = list.rain.rain_mm, .rain_guessed = list.rain.guessed, .rain_caught_l = 0, .unknown = pot.belief().because,
                    .silent_rounds = silent_lines(pot.history), .calibrated = tested_by_weighing(pot)};
    if (!water_told(pot)) facts.unknown.insert(facts.unknown.begin(), std::string(water_unknown_code));
    facts.unknown.insert(facts.unknown.end(), list.unknown_weather.begin(), list.unknown_weather.end());
    const auto decided = decide_pot(pot, list.chances, list.garden, list.inside, std::move(facts));
    Worked worked{.summary = summary_of(pot, decided.decision), .pour = {}, .rest = {}};
    const bool had = list.issued && had_its_pour(*pot.life, *list.issued, list.next, list.garden.now);
    if (pours(decided.decision) && !had) worked.pour = pour_line(decided.decision, list.chances, decided.facts, list.inside.zone);
    else worked.rest = rest_line(decided.decision, list.chances, decided.facts, list.inside.zone);
    return worked;
}

void add_line(Round& round, Worked&& worked) {
    if (worked.rest) round.no_water.push_back(std::move(*worked.rest));
    if (!worked.pour) return;
    round.total_l += worked.pour->pour_l;
    round.pours.push_back(std::move(*worked.pour));
}

// Some pots at a time, so that a large garden's members never lie in memory together. What takes the time is done for the
// pots of a handful at once, where the face has a way to do so; facts are read (the units' library is not made for several
// readers) and the store is asked before and after, by this one thread.
std::vector<PotSummary> add_lines(Round& round, const ListFacts& list, std::span<const PotLife* const> lives, KeptStates& kept) {
    constexpr std::size_t handful = 64;
    const auto& inside = list.inside;
    std::vector<PotSummary> summaries;
    for (std::size_t from = 0; from < lives.size(); from += handful) {
        const auto some = lives.subspan(from, std::min(handful, lives.size() - from));
        std::vector<PotAsked> asked;
        for (const auto* life : some) {
            auto one = ask(list.garden, *life, inside.configuration, inside.tables, inside.zone, kept.tables);
            if (!one.answerable()) continue;
            look_up(one, kept);
            asked.push_back(std::move(one));
        }
        std::vector<Worked> worked(asked.size());
        inside.for_each(asked.size(), [&](std::size_t i) {
            live(asked[i], list.garden, inside.configuration, inside.tables, inside.zone);
            worked[i] = work_out(list, asked[i].pot, int(summaries.size() + i) + 1);
        });
        for (std::size_t i = 0; i < asked.size(); ++i) {
            keep(asked[i], kept);
            summaries.push_back(std::move(worked[i].summary));
            add_line(round, std::move(worked[i]));
        }
        inside.store.cache_put(kept.fresh);
        kept.fresh.clear();
    }
    return summaries;
}

// The list of a walk from all that the garden knows now.
Round compute(const Garden::Inside& inside, const GardenNow& garden, const Walk& walk, const View& view, const IsHot& hot,
              KeptStates& kept) {
    const auto& days = garden.weather.members.front();
    auto chances = chances_for(walk, inside.configuration, inside.zone, view.now, hot);
    auto since = last_walk_before(garden.past, walk, walk.starts - std::chrono::hours(24));
    Round round;
    round.id = format_round_name({.day = walk.day, .walk = walk.name});
    round.day = walk.day;
    round.walk = walk.name;
    round.site = inside.configuration.site.name;
    round.issued = view.now;
    const auto newest = inside.store.newest_learned(view.replay ? std::optional(view.now) : std::nullopt);
    round.inputs_until = newest.value_or(view.now);
    round.model = model_version;
    round.weather_from = garden.weather.from;
    const auto rain = rain_between(days, since, view.now);
    round.rain_mm = rain.rain_mm;
    if (auto today = std::ranges::find(days, walk.day, &DayRecord::day); today != days.end()) round.et0_mm = today->et0_mm;

    const ListFacts list{.inside = inside, .garden = garden, .chances = chances, .rain = rain,
                         .unknown_weather = weather_unknowns(days_before(days, walk.day)),
                         .issued = issued_before(garden.past, walk), .next = walk_after(inside.configuration.walks, inside.zone, walk, hot)};
    const auto summaries = add_lines(round, list, in_walking_order(garden.past.lives, inside.configuration, view.now), kept);
    round.trips = trips_of(round.pours, inside.configuration.carry);
    round.question = question_of(garden.past, walk, view.now, inside.zone, summaries);
    round.notices = notices_of(round, garden, view, inside.zone, summaries,
                               {.newest_learned = newest, .confirmed = newest_confirmation(inside.store)});
    std::ranges::move(much_poured_notices(garden.past.lives, inside.tables.priors, walk.day, inside.zone), std::back_inserter(round.notices));
    std::ranges::move(butt_notices(round, inside.configuration.carry), std::back_inserter(round.notices));
    if (auto notice = days_off_notice(inside, view, walk)) round.notices.push_back(std::move(*notice));
    if (auto notice = site_notice(site_doubts(inside.configuration.site, inside.zone, view.now, inside.tables.priors.fixed(PriorKey::zone_off_sun_h))))
        round.notices.push_back(std::move(*notice));
    if (auto notice = names_notice(inside.unknown_names(garden.past.lives, view.now))) round.notices.push_back(std::move(*notice));
    return round;
}

std::vector<std::string> job_ids(const Round& round) {
    std::vector<std::string> ids;
    for (const auto& job : round.jobs)
        for (const auto& part : job.parts) ids.push_back(part.id);
    return ids;
}

bool same_list(const Round& a, const Round& b) {
    auto same_pour = [](const PourLine& x, const PourLine& y) {
        return x.pot == y.pot && fixed_decimals(x.pour_l, 2) == fixed_decimals(y.pour_l, 2) && x.passes == y.passes && x.until == y.until;
    };
    auto same_rest = [](const RestLine& x, const RestLine& y) { return x.pot == y.pot; };
    auto same_notice = [](const Notice& x, const Notice& y) { return x.code == y.code; };
    return std::ranges::equal(a.pours, b.pours, same_pour) && std::ranges::equal(a.no_water, b.no_water, same_rest) &&
           std::ranges::equal(a.notices, b.notices, same_notice) && a.question.has_value() == b.question.has_value() &&
           job_ids(a) == job_ids(b);
}

constexpr std::string_view no_water = "no water", list_answered = "the list answered";

std::string pour_words(const Round& round, const std::string& pot) {
    auto line = std::ranges::find(round.pours, pot, &PourLine::pot);
    if (line != round.pours.end()) return litres_text(line->pour_l);
    return std::ranges::find(round.no_water, pot, &RestLine::pot) == round.no_water.end() ? "not on it" : std::string(no_water);
}

std::string news_of(const Entry& entry) {
    if (entry.strikes) return "entry " + std::to_string(*entry.strikes) + " struck";
    if (entry.action == "round") return std::string(list_answered);
    return entry.pot.empty() ? entry.action : "pot " + entry.pot + " " + entry.action;
}

// What differs from the list shown before, and what was learned since.
std::vector<std::string> changes_since(const Round& before, const InputMark& known, const Round& now, std::span<const Entry> entries, bool new_weather) {
    std::vector<std::string> sentences, news;
    const auto add = [&](std::string text) {
        if (std::ranges::find(news, text) == news.end()) news.push_back(std::move(text));
    };
    for (const auto& entry : entries)
        // By number, since several things may happen within one second; a list taken in from a file has no mark.
        if (known.entry > 0 ? entry.id > known.entry : entry.learned >= before.issued) add(news_of(entry));
    if (new_weather) add("new weather");
    if (news.empty()) add("the configuration or the tables changed");
    std::string since;
    for (const auto& text : news) since += (since.empty() ? "" : ", ") + text;
    sentences.push_back("since the list before: " + since);
    std::vector<std::string> pots;
    for (const auto* round : {&before, &now}) {
        for (const auto& line : round->pours) pots.push_back(line.pot);
        for (const auto& line : round->no_water) pots.push_back(line.pot);
    }
    std::ranges::sort(pots, label_before);
    pots.erase(std::unique(pots.begin(), pots.end()), pots.end());
    const bool answered = std::ranges::find(news, list_answered) != news.end();
    std::string done;
    for (const auto& pot : pots) {
        auto was = pour_words(before, pot), is = pour_words(now, pot);
        if (was == is) continue;
        if (answered && is == no_water) done += (done.empty() ? "" : ", ") + pot;
        else sentences.push_back("pot " + pot + ": " + is + " (was " + was + ")");
    }
    if (!done.empty()) sentences.push_back("no more on this walk: " + done);
    if (job_ids(before) != job_ids(now)) sentences.push_back("the jobs changed");
    return sentences;
}

}  // namespace

bool Garden::Inside::newer_input(const IssuedRound& stored, const View& view) const {
    if (stored.inputs != store.input_mark(learned_until(view))) return true;
    if (view.replay) return false;     // a past list is shown as it was, whatever the program and its tables are today
    return stored.configuration != sha256(configuration_text) ||
           stored.tables != sha256(tables_text) || stored.model != model_version;
}

bool Garden::Inside::latest_stored(const View& view) const {
    auto day = zone.day_of(view.now);
    auto learned = view.replay ? std::optional(view.now) : std::nullopt;
    return store.latest_round(day, "morning", learned) || store.latest_round(day, "evening", learned);
}

bool Garden::Inside::looks_ahead(const View& view) const {
    if (too_far_ahead(view)) return true;
    if (!view.replay || !view.machine || view.now <= *view.machine) return false;
    const auto newest = store.newest_learned();
    return !newest || *newest <= *view.machine;
}

Outcome<RoundAnswer> Garden::Inside::stored_round(const View& view, LocalDay day, std::string_view walk) const {
    std::optional<Instant> learned = view.replay ? std::optional(view.now) : std::nullopt;
    auto stored = store.latest_round(day, walk, learned);
    if (!stored)
        return Refusal{"no " + std::string(walk) + " round of " + format_day(day) + " was issued",
                       "a day with a round; a look from that day itself (at " + format_day(day) + ", recompute) works it out"};
    return RoundAnswer{.round = round_from_json(stored->json), .fresh = false, .changed = {}};
}

std::string Garden::walk_now(const View& view) {
    auto today = inside_->zone.day_of(view.now);
    const auto& site = inside_->configuration.site;
    auto weather = weather_seen(inside_->store, view, inside_->configuration, inside_->zone, {today - heat_looked_back, today + outlook_days},
                                inside_->forecasts);
    auto hot = hot_days(weather, heat_now(inside_->forecasts, weather, inside_->store, view, site, inside_->zone), inside_->tables.prices);
    return current_walk(inside_->configuration.walks, inside_->zone, view.now, hot).name;
}

Outcome<RoundAnswer> Garden::round(const View& view, std::optional<LocalDay> day, std::string_view walk_name) {
    auto& inside = *inside_;
    auto today = inside.zone.day_of(view.now);
    if (!walk_name.empty() && walk_name != "morning" && walk_name != "evening")
        return Refusal{tubgrove::quoted(walk_name) + " is not a walk", "morning or evening"};
    if (day && *day > today) return Refusal{format_day(*day) + " has not come yet", "today or a day before"};
    if (day && *day < today && !view.recompute) return inside.stored_round(view, *day, walk_name.empty() ? "morning" : walk_name);

    // A stored list of the current walk with nothing newer behind it is shown before anything is computed.
    auto learned = view.replay ? std::optional(view.now) : std::nullopt;
    for (std::string_view name : {std::string_view("evening"), std::string_view("morning")}) {
        if (!walk_name.empty() && walk_name != name) continue;
        auto stored = inside.store.latest_round(today, name, learned);
        auto evening = evening_walk(inside.configuration.walks, inside.zone, today);
        bool current = name == "evening" || !evening || view.now < evening->issues || walk_name == name;
        if (stored && current && !view.recompute && !inside.newer_input(*stored, view))
            return RoundAnswer{.round = round_from_json(stored->json), .fresh = false, .changed = {}};
    }

    auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    auto hot = hot_days(garden.weather, garden.heat, inside.tables.prices);
    auto walk = current_walk(inside.configuration.walks, inside.zone, view.now, hot);
    if (day && *day < today) walk = morning_walk(inside.configuration.walks, inside.zone, *day);
    if (walk_name == "morning") walk = morning_walk(inside.configuration.walks, inside.zone, walk.day);
    if (walk_name == "evening") {
        auto evening = evening_walk(inside.configuration.walks, inside.zone, walk.day);
        if (!evening) return Refusal{"the configuration has no evening walk", "walks: {evening: 19:00}"};
        walk = *evening;
    }
    if (in_walking_order(garden.past.lives, inside.configuration, view.now).empty())
        return Refusal{"there is no pot with a tree yet", "tubgrove setup, or pot add 7 container.size=40L tree.a.species=apple bay=…"};
    return inside.issue(view, garden, walk, hot);
}

Outcome<RoundAnswer> Garden::Inside::issue(const View& view, const GardenNow& garden, const Walk& walk, const IsHot& hot) {
    KeptStates kept{.store = store, .tables = sha256(tables_text), .here = std::move(kept_here), .fresh = {}};
    auto inputs = garden.inputs;
    auto computed = compute(*this, garden, walk, view, hot, kept);
    kept_here = std::move(kept.here);

    auto learned = view.replay ? std::optional(view.now) : std::nullopt;
    auto before = store.latest_round(walk.day, walk.name, learned);
    std::optional<Round> shown;
    if (before) shown = round_from_json(before->json);
    add_jobs(computed, garden, shown ? &*shown : nullptr);
    // A list learned tomorrow would put all that is written down until then into tomorrow as well.
    const bool ahead = looks_ahead(view);
    if (ahead) computed.notices.push_back(look_ahead_notice());
    RoundAnswer answer{.round = std::move(computed), .fresh = true, .changed = {}};
    if (before) {
        auto old = std::move(*shown);
        if (same_list(old, answer.round)) {
            answer.round = std::move(old);
            answer.fresh = false;
            return answer;
        }
        const bool new_weather = before->inputs.delivery != inputs.delivery;
        answer.changed = changes_since(old, before->inputs, answer.round, entries_seen(store, view), new_weather);
        auto name = parse_round_name(old.id).value();
        ++name.revision;
        answer.round.id = format_round_name(name);
    }
    auto json = to_json(answer, zone);
    answer.round = round_from_json(json);
    if (view.recompute || ahead) return answer;     // a past worked out anew and a look ahead are shown, not issued
    IssuedRound issued{.id = answer.round.id, .day = walk.day, .walk = walk.name, .issued = view.now, .learned = view.now,
                       .inputs_until = answer.round.inputs_until, .inputs = inputs, .model = std::string(model_version), .configuration = {},
                       .tables = {}, .json = std::move(json)};
    try {
        if (!store.put_round(issued, {.configuration = configuration_text, .tables = tables_text},
                             view.replay ? Behind::refuse : Behind::lift))
            // Somebody else issued it in this moment; but no look back shows what was learned after it.
            if (auto other = store.round(issued.id); other && (!learned || other->learned <= *learned)) answer.round = round_from_json(other->json);
    } catch (const LearnedBehind&) {
        // A look back at a moment that the garden has passed: the list is shown, and the past stays as it was.
        answer.round.notices.push_back(look_back_notice());
    } catch (const StoreFault& fault) {
        if (!view.shown_unkept || fault.kind() != StoreFault::Kind::full) throw;
        answer.round.notices.push_back(unkept_notice());
    }
    return answer;
}

}  // namespace tubgrove
