#include "ensemble/observations.hpp"
#include "pot/exponential.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tubgrove {

double onset_share(double bypass_scale) { return onset_share_of(bypass_scale); }

namespace {

constexpr double least_l = 1e-6;   // keeps a logarithm finite for a full pot

double deviation(Litres poured, const OnsetLaw& law) {
    const double onset_l = std::max(law.depletion_l * law.share, least_l);
    return (logarithm(std::max(litres(poured), least_l)) - logarithm(onset_l)) / law.sd_ln;
}

}  // namespace

double ran_through_likelihood(Litres poured, const OnsetLaw& law) {
    const double z = deviation(poured, law);
    return exponential(-z * z / 2);
}

double held_likelihood(Litres poured, const OnsetLaw& law) { return normal_cdf(-deviation(poured, law)); }

double depletion_share(Moisture moisture) {
    switch (moisture) {
    case Moisture::dry: return 0.875;
    case Moisture::barely_moist: return 0.625;
    case Moisture::moist: return 0.375;
    case Moisture::wet: return 0.125;
    }
    return 0.5;
}

double feel_likelihood(Moisture moisture, double share, double sd_share) {
    const double middle = depletion_share(moisture);
    const double wetter = moisture == Moisture::wet ? 0 : normal_cdf((middle - 0.125 - share) / sd_share);
    const double drier = moisture == Moisture::dry ? 1 : normal_cdf((middle + 0.125 - share) / sd_share);
    return drier - wetter;
}

double weighing_sd_l(const WeighingSpread& s, double weeks_since_reference) {
    return std::hypot(s.scale_kg, s.growth_kg, s.leaves_kg) + s.week_kg * weeks_since_reference;
}

DrainedReading read_drained(Litres dose, Litres drained, double bypass_share) {
    const double bypassed = bypass_share * litres(dose);
    return {litres(dose) - litres(drained), std::min(bypassed, litres(drained)),
            std::max(0.0, litres(drained) - bypassed), litres(drained) <= bypassed};
}

std::vector<bool> poured_members(const std::string& pot, const std::string& round, double followed, int n) {
    const std::vector<int> order = scattered_order(fnv1a(pot + "/" + round) + 1, std::size_t(n));
    std::vector<bool> poured(std::size_t(n), true);
    const int without = int(std::floor((1 - std::clamp(followed, 0.0, 1.0)) * n + 0.5));
    for (int i = 0; i < without; ++i) poured[std::size_t(order[std::size_t(i)])] = false;
    return poured;
}

Followed add(Followed counts, double share) {
    counts.done += share;
    counts.undone += 1 - share;
    const double sum = counts.done + counts.undone;
    const double scale = sum > 50 ? 50 / sum : 1;
    return {counts.done * scale, counts.undone * scale};
}

Followed followed(std::span<const RoundAnswered> rounds, Instant before) {
    Followed counts;
    for (const RoundAnswered& r : rounds)
        if (r.share && r.at < before) counts = add(counts, *r.share);
    return counts;
}

}  // namespace tubgrove
