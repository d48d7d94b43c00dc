#include "ahead/verify.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

struct Sum {
    int days = 0, with_same = 0;
    double error = 0, miss = 0, miss_with_same = 0, same_miss = 0, held = 0;
};

Verified line_of(Foreseen quantity, int lead, const Sum& s) {
    Verified v{.quantity = quantity, .lead = lead, .days = s.days, .bias = s.error / s.days, .miss = s.miss / s.days, .held_share = s.held / s.days};
    if (s.with_same > 0) v.same_miss = s.same_miss / s.with_same;
    if (s.same_miss > 0) v.skill = 1 - s.miss_with_same / s.same_miss;
    return v;
}

double held_rain(double forecast, double came, const RainErrors& errors, double wet) {
    const RainBelief belief = rain_belief(forecast, errors, wet);
    const double high = belief.chance_up_to(came < wet ? 0 : came), low = came < wet ? 0 : high;
    if (high <= low) return high >= 0.1 && high <= 0.9;
    return std::max(0.0, std::min(high, 0.9) - std::max(low, 0.1)) / (high - low);
}

double held(Foreseen q, double forecast, double came, const ForecastErrors& errors, int lead, double wet) {
    if (q == Foreseen::rain) return held_rain(forecast, came, errors.rain_at(lead), wet);
    const Span80 range = range_of(q, forecast, errors.at(q, lead));
    return range.low <= came && came <= range.high;
}

bool by_ratio(Foreseen q) { return q == Foreseen::wind || q == Foreseen::radiation; }

}  // namespace

std::vector<Verified> verify(std::span<const Compared> compared, const std::map<LocalDay, DayValues>& read, const Figures& figures) {
    const double wet = figures[FigureKey::rain_wet_mm];
    std::map<LocalDay, std::vector<const Compared*>> by_issue;
    for (const Compared& c : compared) by_issue[c.day - std::chrono::days(c.lead)].push_back(&c);
    std::map<std::pair<Foreseen, int>, Sum> sums;
    for (const auto& [issued, days] : by_issue) {
        std::vector<Compared> known;
        for (const Compared& c : compared)
            if (c.day < issued) known.push_back(c);
        const ForecastErrors errors = learn(known, figures);
        const auto before = read.find(issued - std::chrono::days(1));
        for (const Compared* c : days)
            for (std::size_t i = 0; i < foreseen_count; ++i) {
                const auto q = Foreseen(i);
                const double forecast = c->forecast[i], came = c->came[i];
                if (std::isnan(forecast) || std::isnan(came)) continue;
                Sum& s = sums[{q, std::min(c->lead, leads - 1)}];
                ++s.days;
                s.error += by_ratio(q) ? (came > 0 ? forecast / came - 1 : 0) : forecast - came;
                s.miss += std::abs(forecast - came);
                s.held += held(q, forecast, came, errors, c->lead, wet);
                const double same = before == read.end() ? NAN : before->second[i];
                if (std::isnan(same)) continue;
                ++s.with_same;
                s.miss_with_same += std::abs(forecast - came);
                s.same_miss += std::abs(same - came);
            }
    }
    std::vector<Verified> verified;
    for (const auto& [key, s] : sums) verified.push_back(line_of(key.first, key.second, s));
    return verified;
}

std::vector<Verified> tally(std::span<const ForeseenDay> days) {
    std::map<int, Sum> sums;
    for (const ForeseenDay& d : days) {
        Sum& s = sums[d.lead];
        ++s.days;
        s.error += d.middle - d.came;
        s.miss += std::abs(d.middle - d.came);
        s.held += d.low <= d.came && d.came <= d.high;
        if (std::isnan(d.same)) continue;
        ++s.with_same;
        s.miss_with_same += std::abs(d.middle - d.came);
        s.same_miss += std::abs(d.same - d.came);
    }
    std::vector<Verified> verified;
    for (const auto& [lead, s] : sums) verified.push_back(line_of(Foreseen::count_, lead, s));
    return verified;
}

std::vector<VerifiedChance> tally(std::span<const ForeseenChance> all) {
    std::map<int, VerifiedChance> by_lead;
    for (const auto& one : all) {
        auto& v = by_lead[one.lead];
        const double came = one.came, same = one.same;
        v.lead = one.lead;
        ++v.days;
        v.foreseen_share += one.chance;
        v.came_share += came;
        v.brier += (one.chance - came) * (one.chance - came);
        v.same_brier += (same - came) * (same - came);
    }
    std::vector<VerifiedChance> lines;
    for (auto& [lead, v] : by_lead) {
        for (double* sum : {&v.foreseen_share, &v.came_share, &v.brier, &v.same_brier}) *sum /= v.days;
        if (v.same_brier > 0) v.skill = 1 - v.brier / v.same_brier;
        lines.push_back(v);
    }
    return lines;
}

}  // namespace tubgrove
