#include "ahead/shares.hpp"

#include "ahead/heat.hpp"

#include <algorithm>
#include <numeric>

namespace tubgrove {
namespace {

using Interval = std::pair<Instant, Instant>;

LocalDay day_of(const Observation& o, const Zone& zone) { return zone.day_of(o.starts + (o.ends - o.starts) / 2); }

Observation median_of(const Interval& interval, std::span<const Observation* const> told) {
    Observation middle(interval.first, interval.second);
    for (std::size_t c = 0; c < channel_count; ++c) {
        std::vector<double> values;
        for (const Observation* o : told)
            if (!std::isnan(o->values[c])) values.push_back(o->values[c]);
        if (values.empty()) continue;
        const bool rain = Channel(c) == Channel::precipitation_amount_sum;
        middle.values[c] = rain ? std::accumulate(values.begin(), values.end(), 0.0) / double(values.size()) : sample_quantile(std::move(values), 0.5);
    }
    return middle;
}

}  // namespace

double relative_miss(const ForecastErrors& errors, int furthest, bool bias_stays, const Figures& figures) {
    const auto prior = learn({}, figures);
    const double n0 = figures[FigureKey::forecast_trust_days], u = figures[FigureKey::forecast_unproven_miss];
    const int last = std::clamp(furthest, 0, leads - 1);
    double sum = 0;
    for (int lead = 0; lead <= last; ++lead) {
        const LeadErrors& e = errors.at(Foreseen::warmest, lead);
        const double sd0 = prior.at(Foreseen::warmest, lead).sd;
        sum += (e.sd * e.sd + (bias_stays ? e.bias * e.bias : 0)) / (sd0 * sd0) + n0 * (u * u - 1) / (e.days + n0);
    }
    return sum / (last + 1);
}

std::vector<int> share_out(int members, std::span<const double> relative_misses) {
    const int pairs = members / 2;
    double all = 0;
    for (double r : relative_misses) all += 1 / r;
    std::vector<int> shares;
    std::vector<double> left;
    int given = 0;
    for (double r : relative_misses) {
        const double due = pairs / r / all;
        shares.push_back(int(due));
        left.push_back(due - shares.back());
        given += shares.back();
    }
    for (; given < pairs; ++given) {
        const auto most = std::ranges::max_element(left) - left.begin();
        ++shares[std::size_t(most)];
        left[std::size_t(most)] -= 1;
    }
    for (int& share : shares) share *= 2;
    return shares;
}

std::vector<Observation> middle_of(std::span<const std::vector<Observation>> members, const Zone& zone) {
    constexpr auto rain = Channel::precipitation_amount_sum;
    std::map<Interval, std::vector<const Observation*>> told;
    std::map<LocalDay, std::vector<double>> rain_mm;   // of each member
    for (std::size_t m = 0; m < members.size(); ++m)
        for (const Observation& o : members[m]) {
            told[{o.starts, o.ends}].push_back(&o);
            if (o.has(rain)) rain_mm.try_emplace(day_of(o, zone), members.size(), 0.0).first->second[m] += o[rain];
        }
    std::vector<Observation> middle;
    std::map<LocalDay, double> mean_mm;
    for (const auto& [interval, same] : told) {
        middle.push_back(median_of(interval, same));
        if (middle.back().has(rain)) mean_mm[day_of(middle.back(), zone)] += middle.back()[rain];
    }
    for (Observation& o : middle) {
        const LocalDay day = day_of(o, zone);
        if (o.has(rain) && mean_mm[day] > 0) o[rain] *= sample_quantile(rain_mm[day], 0.5) / mean_mm[day];
    }
    return middle;
}

}  // namespace tubgrove
