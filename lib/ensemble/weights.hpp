#pragma once
// Weights of members, what they imply, and how they are spent: tempering, resampling, percentiles, the square-root filter.
#include <span>
#include <vector>

namespace tubgrove {

using Weights = std::vector<double>;   // sum 1

// Effective number of members: 1/sum w^2 for weights of sum 1.
double effective_size(const Weights& weights);

// Multiplies weights by likelihoods raised to `power` (1: as they are; below 1: trust them less, for the medium and the
// hand are never as modelled) and brings the sum back to 1. When no member is possible at all, the weights stay.
// Returns false in that case.
bool reweigh(Weights& weights, std::span<const double> likelihood, double power);

// Which member each of the n new equal ones is a copy of: systematic, at (i + 0.5)/n, no random number.
// Source: pot-water model, 9.3 (own assumption on the offset); [analytic]
std::vector<int> systematic_resampling(const Weights& weights);

// Quantile 0..1 of weighted values, straight lines between the middles of their weights; for equal weights the lines
// run over the n - 1 gaps.
double quantile(std::span<const double> values, std::span<const double> weights, double p);
// The same for several ascending p in one sort.
std::vector<double> quantiles(std::span<const double> values, std::span<const double> weights, std::span<const double> p);
double mean(std::span<const double> values, std::span<const double> weights);

// Square-root ensemble filter for one scalar observation, equal weights, no perturbed observation: means move by the
// gain, deviations shrink so that the variance comes out as (1 - K) v.
struct SquareRootGain {
    double gain = 0;       // K, of the observed quantity itself
    double shrink = 1;     // factor on the deviations of the observed quantity
};
// `predicted`: each member's value of the observed quantity. `moved`: arrays of the members' quantities, changed in place
// (the observed quantity itself may be among them). `variance`: of the observation, above 0.
// Source: [analytic], serial square-root form after Whitaker and Hamill
SquareRootGain filter(std::span<const double> predicted, double observed, double variance, std::span<std::vector<double>*> moved);

}  // namespace tubgrove
