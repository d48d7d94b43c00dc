#include "ensemble/weights.hpp"
#include "ensemble/order.hpp"
#include "pot/exponential.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

namespace tubgrove {

double effective_size(const Weights& weights) {
    double squares = 0;
    for (double w : weights) squares += w * w;
    return squares > 0 ? 1 / squares : 0;
}

bool reweigh(Weights& weights, std::span<const double> likelihood, double power) {
    assert(weights.size() == likelihood.size());
    Weights next(weights.size());
    double sum = 0;
    for (std::size_t i = 0; i < weights.size(); ++i) {
        if (!(likelihood[i] > 1e-300)) continue;   // impossible, or no number
        next[i] = weights[i] * (power == 1 ? likelihood[i] : power_of(likelihood[i], power));
        sum += next[i];
    }
    if (!(sum > 0) || !std::isfinite(sum)) return false;
    for (std::size_t i = 0; i < weights.size(); ++i) weights[i] = next[i] / sum;
    return true;
}

std::vector<int> systematic_resampling(const Weights& weights) {
    const std::size_t n = weights.size();
    std::vector<int> source(n);
    double reached = weights.empty() ? 0 : weights[0];
    std::size_t k = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const double mark = (double(i) + 0.5) / double(n);
        while (reached < mark && k + 1 < n) reached += weights[++k];
        source[i] = int(k);
    }
    return source;
}

std::vector<double> quantiles(std::span<const double> values, std::span<const double> weights, std::span<const double> p) {
    assert(!values.empty() && values.size() == weights.size());
    const std::vector<int> order = rising_order(values);
    std::vector<double> place(order.size(), 0.0);
    for (std::size_t i = 1; i < order.size(); ++i)
        place[i] = place[i - 1] + (weights[std::size_t(order[i - 1])] + weights[std::size_t(order[i])]) / 2;
    std::vector<double> found;
    for (double q : p) {
        const double mark = q * place.back();
        const auto above = std::lower_bound(place.begin(), place.end(), mark);
        const std::size_t hi = std::size_t(std::min<std::ptrdiff_t>(above - place.begin(), std::ptrdiff_t(order.size()) - 1));
        const std::size_t lo = hi ? hi - 1 : 0;
        const double gap = place[hi] - place[lo];
        const double a = values[std::size_t(order[lo])], b = values[std::size_t(order[hi])];
        if (std::isinf(b) && b > a) {   // "never" is no place on a line: the mark is on one side of the step or the other
            found.push_back(mark > (place[lo] + place[hi]) / 2 ? b : a);
            continue;
        }
        found.push_back(gap > 0 && a != b ? a + (b - a) * std::clamp((mark - place[lo]) / gap, 0.0, 1.0) : b);
    }
    return found;
}

double quantile(std::span<const double> values, std::span<const double> weights, double p) {
    return quantiles(values, weights, std::span(&p, 1)).front();
}

double mean(std::span<const double> values, std::span<const double> weights) {
    double sum = 0;
    for (std::size_t i = 0; i < values.size(); ++i) sum += values[i] * weights[i];
    return sum;
}

SquareRootGain filter(std::span<const double> predicted, double observed, double variance, std::span<std::vector<double>*> moved) {
    assert(variance > 0 && predicted.size() > 1);
    const double n = double(predicted.size());
    const std::vector<double> before(predicted.begin(), predicted.end());   // `predicted` may be one of the moved
    const double centre = std::accumulate(before.begin(), before.end(), 0.0) / n;
    double spread = 0;
    for (double x : before) spread += (x - centre) * (x - centre);
    spread /= n - 1;
    const double total = spread + variance, a = 1 / (1 + std::sqrt(variance / total));
    for (std::vector<double>* quantity : moved) {
        const double middle = std::accumulate(quantity->begin(), quantity->end(), 0.0) / n;
        double covariance = 0;
        for (std::size_t i = 0; i < before.size(); ++i) covariance += ((*quantity)[i] - middle) * (before[i] - centre);
        const double gain = covariance / (n - 1) / total;
        for (std::size_t i = 0; i < before.size(); ++i)
            (*quantity)[i] += gain * (observed - centre) - a * gain * (before[i] - centre);
    }
    return {spread / total, 1 - a * spread / total};
}

}  // namespace tubgrove
