#include "ahead/heat.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

std::vector<bool> in_a_run(const std::vector<bool>& above, int least) {
    std::vector<bool> in(above.size(), false);
    for (std::size_t from = 0; from < above.size();) {
        std::size_t to = from;
        while (to < above.size() && above[to]) ++to;
        if (to - from >= std::size_t(std::max(least, 1)))
            for (std::size_t i = from; i < to; ++i) in[i] = true;
        from = std::max(to, from + 1);
    }
    return in;
}

double sample_quantile(std::vector<double> values, double p) {
    std::sort(values.begin(), values.end());
    const double place = p * double(values.size() - 1);
    const auto below = std::size_t(place);
    if (below + 1 >= values.size()) return values.back();
    return values[below] + (place - double(below)) * (values[below + 1] - values[below]);
}

namespace {

// The same date of another year; 29 February is the last of its month elsewhere.
LocalDay in_year(LocalDay day, int years) {
    const std::chrono::year_month_day date(day);
    const auto there = date.year() + std::chrono::years(years);
    const std::chrono::year_month_day same(there, date.month(), date.day());
    return same.ok() ? LocalDay(same) : LocalDay(there / date.month() / std::chrono::last);
}

}  // namespace

std::optional<HeatRule> heat_rule(LocalDay day, const std::map<LocalDay, double>& record, std::optional<double> usual_max_degC, const Figures& f) {
    const int half = std::max(0, int(f[FigureKey::heat_window_d]) / 2);
    std::vector<double> same_days;
    int years_known = 0;
    for (int years = 1; years <= 60 && !record.empty(); ++years) {
        const LocalDay middle = in_year(day, -years);
        if (middle + std::chrono::days(half) < record.begin()->first) break;
        const auto before = same_days.size();
        for (int off = -half; off <= half; ++off)
            if (const auto found = record.find(middle + std::chrono::days(off)); found != record.end()) same_days.push_back(found->second);
        years_known += int(same_days.size() - before) > half;
    }
    if (years_known >= int(f[FigureKey::heat_least_years]))
        return HeatRule{sample_quantile(std::move(same_days), f[FigureKey::heat_percentile]), int(f[FigureKey::heat_days]), "record"};
    if (!usual_max_degC) return std::nullopt;
    return HeatRule{*usual_max_degC + f[FigureKey::heat_over_usual_K], int(f[FigureKey::heat_over_days]), "usual"};
}

namespace {

// One rule holds for a run: that of its days that asks for the most days in a row.
int days_asked_for(std::span<const std::optional<HeatRule>> rules) {
    int least = 1;
    for (const auto& rule : rules)
        if (rule) least = std::max(least, rule->days);
    return least;
}

std::vector<bool> days_in_runs(const std::vector<double>& maxima, std::span<const std::optional<HeatRule>> rules) {
    std::vector<bool> above(rules.size(), false);
    for (std::size_t d = 0; d < rules.size(); ++d) above[d] = rules[d] && maxima[d] > rules[d]->above_degC;
    return in_a_run(above, days_asked_for(rules));
}

// From the run of told days at `from` on: so many days at least, by the neighbours with the larger chance.
void widen(std::vector<bool>& told, std::size_t from, std::size_t least, std::span<const double> chance, std::span<const std::optional<HeatRule>> rules) {
    std::size_t to = from;
    while (to < told.size() && told[to]) ++to;
    while (to - from < least) {
        const bool earlier = from > 0 && rules[from - 1], later = to < told.size() && rules[to];
        if (!earlier && !later) return;
        if (earlier && (!later || chance[from - 1] >= chance[to])) told[--from] = true;
        else told[to++] = true;
    }
}

double median_of_day(std::span<const std::vector<double>> maxima, std::size_t day) {
    std::vector<double> of_day;
    for (const auto& member : maxima) of_day.push_back(member[day]);
    return sample_quantile(std::move(of_day), 0.5);
}

}  // namespace

std::vector<HeatEpisode> heat_episodes(LocalDay first, std::span<const std::vector<double>> maxima,
                                       std::span<const std::optional<HeatRule>> rules, const Figures& f) {
    const std::size_t days = rules.size();
    std::vector<std::vector<bool>> in;
    std::vector<double> chance(days, 0.0);
    for (const auto& member : maxima) {
        in.push_back(days_in_runs(member, rules));
        for (std::size_t d = 0; d < days; ++d) chance[d] += in.back()[d] ? 1.0 / double(maxima.size()) : 0;
    }
    std::vector<bool> told(days, false);
    for (std::size_t d = 0; d < days; ++d) told[d] = chance[d] >= f[FigureKey::heat_chance] && chance[d] > 0;
    for (std::size_t d = 0; d < days; ++d)
        if (told[d] && (d == 0 || !told[d - 1])) widen(told, d, std::size_t(rules[d]->days), chance, rules);
    std::vector<HeatEpisode> episodes;
    for (std::size_t from = 0, to = 0; from < days; from = to + 1) {
        for (to = from; to < days && told[to];) ++to;
        if (to == from) continue;
        HeatEpisode e{.first = first + std::chrono::days(long(from)), .last = first + std::chrono::days(long(to) - 1), .chance = 0, .peak_degC = -1e9,
                      .above_degC = rules[from]->above_degC, .by = rules[from]->by, .days_in_a_row = rules[from]->days};
        for (const auto& member : in)
            if (std::find(member.begin() + long(from), member.begin() + long(to), true) != member.begin() + long(to)) e.chance += 1.0 / double(in.size());
        e.chance = std::min(e.chance, 1.0);
        for (std::size_t d = from; d < to; ++d) e.peak_degC = std::max(e.peak_degC, median_of_day(maxima, d));
        episodes.push_back(std::move(e));
    }
    return episodes;
}

RootHeatRisk root_heat_risk(const RootPlace& place) {
    constexpr double little_sun = 0.4, full_sun = 0.7;
    const bool heats = place.colour == Colour::dark || place.wall == Wall::metal;
    const bool stays_cool = place.colour == Colour::light || place.wall == Wall::clay || place.wall == Wall::wood || place.wall == Wall::fabric;
    if (place.light_share < little_sun) return RootHeatRisk::low;
    if (heats && place.light_share >= full_sun) return RootHeatRisk::high;
    if (heats || (place.hot_ground && !stays_cool && place.light_share >= full_sun)) return RootHeatRisk::raised;
    return stays_cool ? RootHeatRisk::low : RootHeatRisk::raised;
}

bool worse_for_roots(const RootPlace& here, const RootPlace& there) {
    const auto is = root_heat_risk(here), would = root_heat_risk(there);
    if (is != would) return would > is;
    return is != RootHeatRisk::low && (there.light_share >= here.light_share || (there.hot_ground && !here.hot_ground));
}

std::string_view name_of(RootHeatRisk risk) {
    return risk == RootHeatRisk::low ? "low" : risk == RootHeatRisk::raised ? "raised" : "high";
}

}  // namespace tubgrove
