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

std::vector<HeatEpisode> heat_episodes(LocalDay first, std::span<const std::vector<double>> maxima,
                                       std::span<const std::optional<HeatRule>> rules, const Figures& f) {
    const std::size_t days = rules.size();
    std::vector<double> chance(days, 0.0);
    for (const auto& member : maxima) {
        // One rule holds for a run: that of its days that asks for the most days in a row.
        std::vector<bool> above(days, false);
        int least = 1;
        for (std::size_t d = 0; d < days; ++d) {
            above[d] = rules[d] && member[d] > rules[d]->above_degC;
            if (rules[d]) least = std::max(least, rules[d]->days);
        }
        const auto in = in_a_run(above, least);
        for (std::size_t d = 0; d < days; ++d) chance[d] += in[d] ? 1.0 / double(maxima.size()) : 0;
    }
    std::vector<HeatEpisode> episodes;
    for (std::size_t d = 0; d < days; ++d) {
        if (chance[d] < f[FigureKey::heat_chance] || chance[d] <= 0) continue;
        const bool goes_on = d > 0 && !episodes.empty() && episodes.back().last == first + std::chrono::days(long(d) - 1);
        if (!goes_on)
            episodes.push_back({.first = first + std::chrono::days(long(d)), .last = {}, .chance = 0, .peak_degC = -1e9,
                                .above_degC = rules[d]->above_degC, .by = rules[d]->by, .days_in_a_row = rules[d]->days});
        HeatEpisode& e = episodes.back();
        e.last = first + std::chrono::days(long(d));
        e.chance = std::max(e.chance, std::min(1.0, chance[d]));
        e.peak_degC = std::max(e.peak_degC, maxima.front()[d]);
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
