// Use case: the course of a pot's water. The members are lived through once more from their beginning, and looked at
// every few hours on the way; nothing is drawn smoother than it was believed.
#include "garden/inside.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

// Between two looks. An hour is a step of the balance, so that looking changes no digit.
constexpr std::size_t look_every_h = 3;
constexpr std::chrono::days looked_at_first{13};   // before the last day, when nobody says from when

struct Span {
    LocalDay from{}, to{};
};

Outcome<Span> span_of(LocalDay today, std::optional<LocalDay> from, std::optional<LocalDay> to) {
    const Span span{.from = from.value_or(to.value_or(today) - looked_at_first), .to = to.value_or(today)};
    if (span.to > today) return Refusal{format_day(span.to) + " has not come yet", "today or a day before"};
    if (span.from > span.to) return Refusal{"the first day lies after the last", "a first day not after the last"};
    return span;
}

WaterPoint look(const Ensemble& members) {
    const auto missing = percentiles(depletion_l(members.state), members.weights);
    return {.at = members.until, .depletion_l = missing.median, .depletion_low_l = missing.low, .depletion_high_l = missing.high,
            .available_l = percentiles(available_l(members.state), members.weights).median};
}

std::vector<WaterPoint> looks(const PotRun& run, Span span, Instant now) {
    std::vector<WaterPoint> points;
    Ensemble members = begin(run);
    const auto look_at = [&](Instant t) {
        if (t < run.history.starts || t > now) return;
        advance(members, run, t);
        if (members.until == t) points.push_back(look(members));
    };
    for (const auto& day : run.days) {
        if (day.record->day < span.from || day.record->day > span.to) continue;
        for (std::size_t h = 0; h < day.record->hours.size(); h += look_every_h) look_at(day.record->hours[h].starts);
    }
    if (span.to == run.zone.day_of(now) && (points.empty() || points.back().at < now)) look_at(now);
    return points;
}

}  // namespace

std::optional<WaterPour> pour_of(const Happened& event) {
    if (const auto* poured = std::get_if<Poured>(&event.what))
        return WaterPour{.at = event.at, .pour_l = poured->pour_l, .known = "told", .round = {}};
    const auto* listed = std::get_if<Listed>(&event.what);
    if (!listed || listed->share == 0.0) return std::nullopt;
    return WaterPour{.at = event.at, .pour_l = listed->pour_l * listed->share.value_or(1), .known = listed->share ? "answered" : "silent",
                     .round = listed->round};
}

Outcome<WaterAnswer> Garden::water(const View& view, std::string_view id, std::optional<LocalDay> from, std::optional<LocalDay> to) {
    auto& inside = *inside_;
    const auto span_asked = span_of(inside.zone.day_of(view.now), from, to);
    if (const auto* refusal = std::get_if<Refusal>(&span_asked)) return *refusal;
    const auto span = std::get<Span>(span_asked);
    auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    const auto* life = find_life(garden.past.lives, id);
    if (!life) return not_here(garden.past.lives, id, view.now).value();
    KeptStates kept{.store = inside.store, .tables = sha256(inside.tables_text), .here = {}, .fresh = {}};
    const auto pot = pot_now(garden, *life, inside.configuration, inside.tables, inside.zone, kept);
    WaterAnswer answer{.pot = life->id, .from = span.from, .to = span.to, .points = {}, .pours = {}, .rain = {}};
    if (pot.history.setups.empty()) return answer;
    const auto until = life->retired ? std::min(*life->retired, garden.now) : garden.now;
    answer.points = looks({.history = pot.history, .beliefs = pot.beliefs, .days = pot.courses.front(), .priors = inside.tables.priors,
                           .zone = inside.zone}, span, until);
    const auto shown = [&](LocalDay day) { return day >= span.from && day <= span.to; };
    for (const auto& event : pot.history.events)
        if (shown(inside.zone.day_of(event.at)))
            if (auto pour = pour_of(event)) answer.pours.push_back(*pour);
    for (const auto& day : pot.courses.front())
        if (shown(day.record->day)) answer.rain.push_back({.day = day.record->day, .rain_mm = day.record->rain_mm.value});
    return answer;
}

}  // namespace tubgrove
