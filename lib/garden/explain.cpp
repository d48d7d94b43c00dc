// Use case: why. Each number of a pot's line, from readings to litres, with its equation and source.
#include "climate/bay.hpp"
#include "garden/inside.hpp"
#include "garden/json_writer.hpp"
#include "ensemble/outlook.hpp"
#include "plan/lines.hpp"
#include "plan/plain_text.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace tubgrove {
namespace {

class Steps {
public:
    explicit Steps(std::vector<WhyStep>& steps) : steps_(steps) {}
    void about(std::string what) { about_ = std::move(what); }
    void number(std::string label, double value, int decimals, std::string unit, std::string equation, std::string source,
                std::string note = {}) {
        steps_.push_back({about_, std::move(label), fixed_decimals(value, decimals), std::move(unit), std::move(equation),
                          std::move(source), std::move(note)});
    }
    void range(std::string label, const Percentiles& p, int decimals, std::string unit, std::string equation, std::string source) {
        const auto low = fixed_decimals(p.low, decimals), high = fixed_decimals(p.high, decimals);
        number(std::move(label), p.median, decimals, std::move(unit), std::move(equation), std::move(source),
               low == high ? "" : "8 of 10 possible pots between " + low + " and " + high);
    }
    void text(std::string label, std::string value, std::string source = {}) {
        steps_.push_back({about_, std::move(label), std::move(value), {}, {}, std::move(source), {}});
    }

private:
    std::vector<WhyStep>& steps_;
    std::string about_;
};

// The words of climate/complete.hpp as a person says them.
std::string how_words(std::string_view how) {
    static const std::map<std::string_view, std::string_view> said{
        {"hourly", "hourly values"},
        {"daily", "the day's value"},
        {"bridged", "a short gap bridged in a straight line"},
        {"one-extreme", "one of the day's extremes"},
        {"mean-only", "the day's mean"},
        {"by-hand", "given by hand"},
        {"normals", "the month's usual value"},
        {"guess", "guessed from the latitude"},
        {"days-near", "guessed from the known days near and the latitude"},
        {"dew-point", "from the dew point"},
        {"wet-bulb", "from the wet bulb"},
        {"rh-max-min", "from the highest and lowest humidity"},
        {"rh-max", "from the highest humidity"},
        {"rh-mean", "from the mean humidity"},
        {"tmin-dew", "from the night's lowest temperature"},
        {"no-wind", "no wind known, 2 m/s taken"},
        {"sunshine", "from the hours of sunshine"},
        {"temperature-range", "from the range of temperature"},
        {"overcast", "no range known, an overcast day taken"},
        {"block", "the day's total, put at 15 h"},
        {"none-known", "none known"},
        {"no-sun", "the sun stays below the horizon"},
    };
    constexpr std::string_view forecast = "forecast:";
    const bool ahead = how.starts_with(forecast);
    if (ahead) how.remove_prefix(forecast.size());
    const auto found = said.find(how);
    return (ahead ? "forecast, " : "") + std::string(found == said.end() ? how : found->second);
}

std::string mark_words(const Marked& marked) {
    constexpr const char* words[] = {"measured", "derived", "estimated"};
    std::string line = words[std::size_t(marked.origin)];
    for (std::string_view rest = marked.how, between = ": "; !rest.empty(); between = "; ") {
        const auto word = rest.substr(0, rest.find('+'));
        line += std::string(between) + how_words(word);
        rest.remove_prefix(std::min(rest.size(), word.size() + 1));
    }
    return line;
}

void explain_weather(Steps& steps, const DayRecord& day) {
    steps.about("weather of " + format_day(day.day));
    steps.number("highest air temperature", day.air_temp_max_degC.value, 1, "degC", "", "", mark_words(day.air_temp_max_degC));
    steps.number("lowest air temperature", day.air_temp_min_degC.value, 1, "degC", "", "", mark_words(day.air_temp_min_degC));
    steps.number("vapour pressure of the air", day.vapour_pressure_kPa.value, 2, "kPa", "FAO-56 eq. 14 to 19, 48, 54", "FAO56",
                 mark_words(day.vapour_pressure_kPa));
    steps.number("wind at 2 m", day.wind_2m_m_s.value, 1, "m/s", "FAO-56 eq. 47", "FAO56", mark_words(day.wind_2m_m_s));
    steps.number("solar radiation", day.radiation_MJ_m2.value, 1, "MJ/m2", "FAO-56 eq. 35, 50", "FAO56", mark_words(day.radiation_MJ_m2));
    steps.number("rain", day.rain_mm.value, 1, "mm", "", "", mark_words(day.rain_mm));
    steps.number("reference evapotranspiration ET0", day.et0_mm, 2, "mm",
                 day.hourly ? "ASCE-EWRI eq. 1, hour by hour" : "FAO-56 eq. 6", day.hourly ? "ASCE2005" : "FAO56");
}

void explain_bay(Steps& steps, const PotNow& pot, const DayRecord& day, const FactsFrom& facts, const Priors& priors) {
    steps.about("bay " + pot.setup().exposure.bay);
    if (pot.setup().passing.roofed)
        steps.number("light that the rain roof leaves", 100 * priors.fixed(PriorKey::roof_left), 0, "%", "until it is taken off", "own assumption");
    if (pot.setup().passing.shaded && facts.shade) {
        const auto told = facts.shade->share;
        steps.number("light that the shade leaves", 100 * (told ? 1 - *told : priors[PriorKey::shade_left].mode), 0, "%",
                     "until it is taken away, or " + fixed_decimals(priors.fixed(PriorKey::shade_d), 0) + " days without another word",
                     told ? "daybook" : "own assumption", "shaded on " + format_day(facts.shade->day));
    }
    auto light = percentiles(values_of(pot.ensemble, pot.belief(), Dim::radiation), pot.ensemble.weights);
    auto wind = percentiles(values_of(pot.ensemble, pot.belief(), Dim::wind), pot.ensemble.weights);
    steps.range("share of the radiation", light, 2, "", "config/words.yaml, light", "own assumption");
    steps.range("share of the wind", wind, 2, "", "config/words.yaml, shelter and place", "own assumption");
    const auto& room = pot.belief().room;
    if (room)
        steps.number("temperature indoors, as it is held", room->held(day.mean_temp_degC), 1, "degC",
                     "the day's mean outside, held between " + fixed_decimals(room->low_degC, 0) + " and " + fixed_decimals(room->high_degC, 0) + " degC", "own assumption",
                     "no rain and little wind arrive; the air's vapour is that of outside");
    double et0 = 0;
    for (const auto& hour : room ? hours_in(*room, day) : day.hours) et0 += et0_mm(hour.et0, light.median, wind.median);
    steps.number("ET0 in the bay, at the medians", et0, 2, "mm", "the same, with the bay's radiation and wind", day.hourly ? "ASCE2005" : "FAO56");
    steps.number("share of the open rain", pot.belief().rain_share.middle, 2, "", room ? "indoors: none" : "config/words.yaml, rain", "own assumption");
}

void explain_pot(Steps& steps, const PotNow& pot, const Members& members, const FactsFrom& facts) {
    const auto& shape = pot.belief().shape;
    const auto& state = pot.ensemble.state;
    steps.about("pot");
    steps.number("medium", shape.volume_l, 1, "L", "from the container's shape", "geometry");
    steps.number("water after draining, by the curve", shape.capacity_l, 1, "L", "integral of the retention curve over the height",
                 "VG1980, MILKS");
    steps.range("water after draining, as believed", percentiles(members.capacity_l, pot.ensemble.weights), 1, "L", "times the pot's own factor",
                "config/priors.yaml");
    steps.range("of it the tree can take", percentiles(available_l(state), pot.ensemble.weights), 1, "L",
                "down to the lower limit of suction", "own assumption");
    steps.range("of it freely", percentiles(state.ready_l, pot.ensemble.weights), 1, "L", "down to the threshold suction", "own assumption");
    if (const auto laid = laid_mulch(facts); laid && pot.setup().mulch) {
        steps.number("mulch left, by its wear", cm(pot.setup().mulch->depth), 1, "cm", "4 cm are 3 cm after 120 days; in steps of 30 days",
                     "own assumption", fixed_decimals(laid->depth_cm, 1) + " cm laid on " + format_day(laid->day));
        steps.range("share of a bare surface's evaporation under it", percentiles(values_of(pot.ensemble, pot.belief(), Dim::mulch), pot.ensemble.weights),
                    2, "", "less by 5 % for each 10 % covered, in full from 3 cm on", "FAO56, own assumption");
    }
    if (pot.setup().passing.rocked && facts.rocked)
        steps.number("roots that a loose ball keeps", 100 * shape.roots_kept, 0, "%", "for some weeks, until torn roots are back", "own assumption",
                     "seen on " + format_day(*facts.rocked));
    steps.range("share of the medium that roots have reached", percentiles(state.rooted_share, pot.ensemble.weights), 2, "",
                "root front from the ball", "own assumption");
    if (facts.blocked)
        steps.number("room for standing water", shape.saucer_l, 1, "L", "the pores that drain in a pot whose holes are clear; until they are cleared",
                     "geometry, own assumption", "water seen standing on " + format_day(*facts.blocked));
    if (shape.saucer_l > 0)
        steps.range(facts.blocked ? "standing in the pot" : "standing in the saucer", percentiles(state.saucer_l, pot.ensemble.weights), 2, "L",
                    "what drained, less what the medium took back", "own assumption");
}

void explain_trees(Steps& steps, const PotNow& pot, const Canopy& canopy, const FactsFrom& facts, const Priors& priors, LocalDay day) {
    steps.about("tree");
    if (facts.weeds)
        steps.number("weeds ask for, on top of what the tree does", 100 * priors.fixed(PriorKey::weeds_demand), 0, "%", "until they are weeded",
                     "own assumption", "seen on " + format_day(*facts.weeds));
    for (const auto& [tree, cuts] : facts.pruned)
        for (const auto& cut : cuts)
            if (felt(cut, day))
                steps.number("leaves that pruning left", 100 * (1 - cut.share), 0, "%",
                             "until they are back, taken to be by " + format_day(regrown(cut.day)), "own assumption",
                             "pruned on " + format_day(cut.day));
    steps.number("crown, before learning", canopy.crown_m2, 2, "m2", "measured, or by age and stock", "config/rootstocks.yaml");
    steps.number("effective leaf area today, before learning", canopy.leaf_m2, 2, "m2", "leaves per crown times the season's share", "PER06, OAK");
    steps.range("this pot's own leaf area, times", percentiles(values_of(pot.ensemble, pot.belief(), Dim::leaf_area), pot.ensemble.weights), 2, "",
                "learned from what was told of it; a crown that was not measured grows with it", "own assumption");
    steps.range("asks for, each mm of ET0", percentiles(pot.ensemble.state.demand_l_mm, pot.ensemble.weights), 2, "L",
                "the pot's own leaf area over 2.88, capped for a lone crown by FAO-56 eq. 105", "PER06, FAO56");
}

void explain_water(Steps& steps, const PotNow& pot, const Zone& zone) {
    steps.about("water");
    for (auto event = pot.history.events.rbegin(); event != pot.history.events.rend() && event - pot.history.events.rbegin() < 4; ++event) {
        auto at = format_day(zone.day_of(event->at)) + " " + format_clock(zone.local(event->at));
        if (const auto* poured = std::get_if<Poured>(&event->what)) steps.text(at, "poured " + litres_text(poured->pour_l), "daybook");
        if (const auto* listed = std::get_if<Listed>(&event->what))
            steps.text(at, "listed " + litres_text(listed->pour_l) + (listed->share ? ", answered" : ", no answer: perhaps poured"), "round " + listed->round);
        if (std::holds_alternative<Unlisted>(event->what)) steps.text(at, "no list: perhaps poured", "own assumption");
        if (std::holds_alternative<Felt>(event->what)) steps.text(at, "felt", "daybook");
        if (std::holds_alternative<Weighed>(event->what)) steps.text(at, "weighed", "daybook");
    }
    steps.range("needs now", percentiles(depletion_l(pot.ensemble.state), pot.ensemble.weights), 2, "L",
                "hourly balance of rain, pours, evaporation and uptake, over all possible pots", "FAO56, own assumption");
    steps.number("possible pots that fit what was told, of " + std::to_string(pot.ensemble.size()) + " that are followed", effective_size(pot.ensemble.weights), 0, "",
                 "effective number of members: 1 over the sum of squared weights", "analytic");
}

}  // namespace

Outcome<WhyAnswer> Garden::why(const View& view, std::string_view id, std::optional<LocalDay> wanted) {
    auto& inside = *inside_;
    auto at = view;
    auto today = inside.zone.day_of(view.now);
    if (wanted && *wanted > today) return Refusal{format_day(*wanted) + " has not come yet", "today or a day before"};
    if (wanted && *wanted < today) {
        at.now = hour_of_issue(*wanted);
        at.replay = true;
        at.recompute = false;
    }
    auto garden = garden_now(inside.store, at, inside.configuration, inside.zone, inside.forecasts);
    if (auto refusal = not_here(garden.past.lives, id, at.now)) return *refusal;
    const auto& life = *find_life(garden.past.lives, id);
    KeptStates kept{.store = inside.store, .tables = sha256(inside.tables_text), .here = {}, .fresh = {}};
    auto pot = pot_now(garden, life, inside.configuration, inside.tables, inside.zone, kept);
    if (pot.history.setups.empty()) return Refusal{"pot " + tubgrove::quoted(id) + " has no usable description at that time", "pot show " + life.id};
    auto day = inside.zone.day_of(at.now);
    auto course = std::ranges::find(pot.courses.front(), day, [](const DayCourse& c) { return c.record->day; });

    WhyAnswer answer{.pot = life.id, .round = {}, .day = day, .steps = {}, .because = {}};
    Steps steps(answer.steps);
    auto members = members_of(pot.ensemble, pot.belief());
    explain_weather(steps, *course->record);
    const auto& priors = inside.tables.priors;
    explain_bay(steps, pot, *course->record, life.facts_at(at.now), priors);
    explain_pot(steps, pot, members, life.facts_at(at.now));
    explain_trees(steps, pot, course->canopy, life.facts_at(at.now), priors, day);
    explain_water(steps, pot, inside.zone);
    at.recompute = !inside.latest_stored(at);     // a list that nobody asked for is worked out, not issued
    if (auto round = this->round(at, day); std::holds_alternative<RoundAnswer>(round)) {
        const auto& list = std::get<RoundAnswer>(round).round;
        answer.round = list.id;
        steps.about("list " + list.id);
        if (auto line = std::ranges::find(list.pours, id, &PourLine::pot); line != list.pours.end()) {
            steps.number("pour", line->pour_l, 2, "L", "least expected loss over the possible pots: hours dry, water lost below, walks",
                         "config/prices.yaml", line->until == Until::run_through ? "until it runs through; the litres are the most" : "");
            answer.because = line->because;
        } else {
            steps.text("pour", "none", "config/prices.yaml");
        }
    }
    return answer;
}

Outcome<PotAnswer> Garden::pot(const View& view, std::string_view id) {
    auto& inside = *inside_;
    auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    const auto* life = find_life(garden.past.lives, id);
    if (!life) return not_here(garden.past.lives, id, view.now).value();
    const auto& facts = life->facts_at(view.now);
    PotAnswer answer;
    answer.pot = pot_line(*life, view.now, inside.zone, inside.tables);
    for (const auto& [key, value] : facts.facts) {
        auto origin = facts.origins.find(key);
        FactLine line{.key = key, .value = value, .from = "stated", .since = {}, .entry = {}, .source = {}};
        if (origin != facts.origins.end()) line.since = origin->second.since, line.entry = origin->second.entry;
        answer.facts.push_back(std::move(line));
    }
    KeptStates kept{.store = inside.store, .tables = sha256(inside.tables_text), .here = {}, .fresh = {}};
    auto pot = pot_now(garden, *life, inside.configuration, inside.tables, inside.zone, kept);
    if (pot.history.setups.empty() || life->retired) return answer;
    for (const auto& code : pot.belief().because)
        answer.facts.push_back({.key = code, .value = unknown_text(code), .from = "default", .since = {}, .entry = {}, .source = "config/priors.yaml"});
    auto missing = percentiles(depletion_l(pot.ensemble.state), pot.ensemble.weights);
    answer.has_water = true;
    answer.depletion_l = missing.median, answer.depletion_low_l = missing.low, answer.depletion_high_l = missing.high;
    answer.available_l = percentiles(available_l(pot.ensemble.state), pot.ensemble.weights).median;
    auto ahead = days_ahead(pot, inside.zone);
    Outlook outlook(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, ahead, outlook_end(garden, inside.zone));
    double dry_h = percentiles(outlook.dry_after_h(outlook.start()), pot.ensemble.weights).median;
    if (std::isfinite(dry_h)) answer.dry_at = view.now + std::chrono::seconds(std::llround(dry_h * 3600));
    return answer;
}

}  // namespace tubgrove
