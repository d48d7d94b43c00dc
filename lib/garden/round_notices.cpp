#include "garden/round_notices.hpp"

#include "care/words.hpp"
#include "plan/lines.hpp"
#include "plan/plain_text.hpp"
#include "plan/trips.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

// Before this day no clock can be right: the program did not exist.
constexpr std::chrono::sys_days released = std::chrono::year(2026) / 1 / 1;
// Own readings older than this are worth a word.
constexpr std::chrono::hours old_readings{36};
// From this on the gardener is reminded of the heat; the usual caution with the trade's round number.
// Source: common practice, no source
constexpr double warm_for_people_degC = 30;
constexpr int feel_first_count = 3;

const IssuedWalk* newest_over(const GardenPast& past, const Walk& walk) {
    const IssuedWalk* found = nullptr;
    for (const auto& issued : past.issued)
        if (issued.walk.starts < walk.starts) found = &issued;
    return found;
}

bool silent(const GardenPast& past, const IssuedWalk& issued) {
    auto answer = std::ranges::find(past.answers, issued.walk.starts, &RoundAnswered::at);
    return answer != past.answers.end() && !answer->share;
}

std::string when_in_words(const Walk& walk, LocalDay today) {
    if (walk.day == today) return "This " + walk.name;
    if (walk.day == today - std::chrono::days(1)) return walk.name == "morning" ? "Yesterday" : "Yesterday evening";
    return "On " + format_day(walk.day);
}

std::vector<std::string> widest(std::span<const PotSummary> pots) {
    std::vector<const PotSummary*> by_spread;
    for (const auto& pot : pots) by_spread.push_back(&pot);
    std::ranges::stable_sort(by_spread, std::greater{}, [](const PotSummary* pot) { return pot->spread; });
    std::vector<std::string> ids;
    for (const auto* pot : by_spread)
        if (int(ids.size()) < feel_first_count && pot->spread > 0.3) ids.push_back(pot->id);
    return ids;
}

void add_clock(std::vector<Notice>& notices, const View& view, const ClockSigns& clock, const Zone& zone) {
    const bool confirmed = clock.confirmed && *clock.confirmed <= view.now;
    if (view.replay || confirmed || !implausible_clock(view.now, clock.newest_learned)) return;
    notices.push_back({.code = "clock", .severity = Severity::warning, .values = {},
                       .text = "The clock says " + format_rfc3339(view.now, zone) +
                               ", which cannot be right. Set it, or say clock confirm if it is."});
}

void add_readings(std::vector<Notice>& notices, const GardenNow& garden, const Zone& zone) {
    const auto& newest = garden.weather.newest_reading;
    if (newest && garden.now - *newest < old_readings) return;
    notices.push_back({.code = "readings-old", .severity = Severity::note, .values = {},
                       .text = newest ? "No weather readings since " + day_text(zone.day_of(*newest)) + ", " + format_clock(zone.local(*newest)) + "; later hours are " +
                                            (garden.weather.has_forecast ? "from the forecast." : "usual values.")
                                      : "No weather readings: the list stands on usual values. "
                                        "weather note max=… min=… rain=… sharpens it."});
}

void add_heat(std::vector<Notice>& notices, const GardenNow& garden, LocalDay day) {
    const double highest_degC = middle_highest(garden.weather, day);
    if (!(highest_degC >= warm_for_people_degC)) return;
    auto max_degC = plain(highest_degC, 0);
    // What nobody measured or forecast is no statement about this day.
    const auto& days = garden.weather.members.front();
    const auto today = std::ranges::find(days, day, &DayRecord::day);
    const bool guessed = today == days.end() || today->rung == Rung::normals;
    notices.push_back({.code = "heat-people", .severity = Severity::warning, .values = {{"max_degC", max_degC}},
                       .text = (guessed ? "No forecast; today is guessed to reach " + max_degC + " °C." : "Up to " + max_degC + " °C today.") + " Water early or late, with a hat and something to drink; stop when dizzy. "
                               "Heat warnings and your doctor's advice come first."});
}

// Told from three days before on, so that shade and saucers can still be put up.
void add_heat_ahead(std::vector<Notice>& notices, const GardenNow& garden, LocalDay day) {
    constexpr std::chrono::days told_before{3};
    for (const auto& e : garden.heat) {
        if (e.last < day || e.first > day + told_before) continue;
        const bool here = e.first <= day;
        notices.push_back({.code = "heat-ahead", .severity = Severity::warning,
                           .values = {{"first", format_day(e.first)}, {"last", format_day(e.last)}, {"peak_degC", plain(e.peak_degC, 0)},
                                      {"chance_share", plain(e.chance, 2)}},
                           .text = (here ? "Heat until " + day_text(e.last) : (e.chance < 0.5 ? "Heat perhaps from " : "Heat likely from ") + day_text(e.first) + " to " + day_text(e.last))
                                       + ", up to " + plain(e.peak_degC, 0) + " °C (" + (e.chance >= 0.95 ? std::string("almost certain") : "a chance of " + plain(10 * e.chance, 0) + " in 10") + "). "
                                       + (here ? "There is an evening walk while it lasts; " : "There is an evening walk from the evening before; ")
                                       + "ahead says which pots will not get through a day, and what would help each."});
    }
}

// Whoever was told of heat hears that its end, or its going on, is not seen any more.
void add_forecast_too_old(std::vector<Notice>& notices, const GardenNow& garden, const Zone& zone) {
    if (garden.heat_told_before.empty()) return;
    const auto& e = garden.heat_told_before.front();
    notices.push_back({.code = "forecast-old", .severity = Severity::warning,
                       .values = {{"issued", format_day(zone.day_of(*garden.weather.too_old))}, {"last", format_day(e.last)}, {"peak_degC", plain(e.peak_degC, 0)}},
                       .text = forecast_too_old_text(garden, zone) + " The litres stand on usual values; a newer forecast would tell."});
}

void add_differ(std::vector<Notice>& notices, const WeatherSeen& weather) {
    if (!weather.differ) return;
    const auto& d = *weather.differ;
    notices.push_back({.code = "forecasts-differ", .severity = Severity::note,
                       .values = {{"day", format_day(d.day)}, {"warm_degC", plain(d.warm_degC, 0)}, {"cool_degC", plain(d.cool_degC, 0)}},
                       .text = differ_text(d)});
}

// Roots drown before a list could help: what comes before any pour stands among the notices.
void add_blocked(std::vector<Notice>& notices, std::span<const PotSummary> pots) {
    std::string names, first;
    for (const auto& pot : pots)
        if (!pot.drains) names += (names.empty() ? "" : ", ") + pot.id, first = first.empty() ? pot.id : first;
    if (names.empty()) return;
    notices.push_back({.code = "drain-blocked", .severity = Severity::warning, .values = {{"pots", names}},
                       .text = "Water was seen standing in " + names + ": clear the holes first; until then nothing runs through. Cleared: did " + first +
                               " holes-checked."});
}

// A first list stands on no pour: how wet the pots are is what a finger knows best.
void add_water_unknown(std::vector<Notice>& notices, std::span<const PotSummary> pots) {
    std::string names, first;
    std::size_t count = 0;
    for (const auto& pot : pots)
        if (!pot.water_told) names += (names.empty() ? "" : ", ") + pot.id, first = first.empty() ? pot.id : first, ++count;
    if (count == 0) return;
    notices.push_back({.code = std::string(water_unknown_code), .severity = Severity::note, .values = {{"pots", names}},
                       .text = "How wet " + std::string(count == pots.size() ? count == 1 ? "the pot is" : "the pots are" : names + (count == 1 ? " is" : " are"))
                                   + " was never told, so the litres are wide guesses. Feel a finger deep or lift the pot before you pour, and say so: did "
                                   + first + " felt dry (or barely-moist, moist, wet)."});
}

}  // namespace

std::string forecast_too_old_text(const GardenNow& garden, const Zone& zone) {
    std::string text = "The newest forecast, of " + day_text(zone.day_of(*garden.weather.too_old)) + ", is too old";
    if (garden.heat_told_before.empty()) return text + ".";
    const auto& e = garden.heat_told_before.front();
    return text + "; it spoke of heat " + std::string(e.first > zone.day_of(garden.now) ? "from " + day_text(e.first) + " to " : "until ") + day_text(e.last) + ", up to "
           + plain(e.peak_degC, 0) + " °C.";
}

Notice look_ahead_notice() {
    return {.code = "look-ahead", .severity = Severity::note, .values = {},
            .text = "A look ahead: nothing of it is kept, and what will be poured and rain until then is guessed."};
}

Notice unkept_notice() {
    return {.code = "not-kept", .severity = Severity::warning, .values = {},
            .text = "The disk is full: nothing of this list is kept, and nothing can be written down until there is room."};
}

Notice look_back_notice() {
    return {.code = "look-back", .severity = Severity::note, .values = {},
            .text = "A look back: nobody was shown this list then, and nothing of it is kept, since more was learned in between."};
}

bool implausible_clock(Instant now, std::optional<Instant> newest_learned) {
    return now < released || (newest_learned && now < *newest_learned);
}

std::span<const DayRecord> days_before(std::span<const DayRecord> days, LocalDay day) {
    auto first = std::ranges::lower_bound(days, day - std::chrono::days(7), {}, &DayRecord::day);
    auto end = std::ranges::lower_bound(days, day, {}, &DayRecord::day);
    return {first, end};
}

bool tested_by_weighing(const PotNow& pot) {
    constexpr int enough = 3;
    return std::ranges::count_if(pot.history.events, [](const Happened& h) {
               const auto* weighed = std::get_if<Weighed>(&h.what);
               return weighed && !weighed->drained;
           }) >= enough;
}

bool water_told(const PotNow& pot) {
    if (pot.beliefs.front().water_in) return true;
    return std::ranges::any_of(pot.history.events, [](const Happened& h) {
        const auto* line = std::get_if<Listed>(&h.what);
        if (line) return line->share.value_or(0) > 0;
        return !std::holds_alternative<Unlisted>(h.what) && !std::holds_alternative<Emptied>(h.what);
    });
}

PotSummary summary_of(const PotNow& pot, const Decision& decision) {
    double width = decision.available_l > 0 ? (decision.need_l.high - decision.need_l.low) / decision.available_l : 0;
    return {.id = pot.life->id, .label = pot.setup().label, .spread = width, .water_told = water_told(pot), .doubt = !pot.ensemble.doubts.empty(), .drains = pot.belief().drains};
}

int silent_rounds(const GardenPast& past) {
    int count = 0;
    for (auto answer = past.answers.rbegin(); answer != past.answers.rend() && !answer->share; ++answer) ++count;
    return count;
}

std::optional<Question> question_of(const GardenPast& past, const Walk& walk, Instant now, const Zone& zone,
                                    std::span<const PotSummary> pots) {
    const auto* newest = newest_over(past, walk);
    if (!newest || newest->round.pours.empty() || !silent(past, *newest)) return std::nullopt;
    Question question{.round = newest->round.id, .text = {}, .unanswered = silent_rounds(past), .feel_first = {}};
    question.text = when_in_words(newest->walk, zone.day_of(now)) + ": all, some or none poured?";
    if (question.unanswered >= 2) {
        question.feel_first = widest(pots);
        if (!question.feel_first.empty()) {
            question.text += " " + std::to_string(question.unanswered) + " rounds have no answer. Feel these first: ";
            for (std::size_t i = 0; i < question.feel_first.size(); ++i)
                question.text += (i ? ", " : "") + question.feel_first[i];
            question.text += ".";
        }
    }
    return question;
}

std::vector<Notice> notices_of(const Round& round, const GardenNow& garden, const View& view, const Zone& zone,
                               std::span<const PotSummary> pots, const ClockSigns& clock) {
    std::vector<Notice> notices;
    add_clock(notices, view, clock, zone);
    add_readings(notices, garden, zone);
    add_water_unknown(notices, pots);
    add_heat(notices, garden, round.day);
    add_heat_ahead(notices, garden, round.day);
    add_forecast_too_old(notices, garden, zone);
    add_differ(notices, garden.weather);
    add_blocked(notices, pots);
    if (auto weight = weight_notice(round.trips)) notices.push_back(*weight);
    for (const auto& pot : pots)
        if (pot.doubt)
            notices.push_back({.code = "weighing-doubted", .severity = Severity::note, .values = {{"pot", pot.id}},
                               .text = "Pot " + pot.id + " was weighed at something that its history does not explain; it is kept, not used. "
                                       "Weigh it again?"});
    return notices;
}

}  // namespace tubgrove
