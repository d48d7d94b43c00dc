#pragma once
// What a grower does and sees, as likelihoods: run-through, feel, weight, drainage, wilting, unanswered rounds.
#include "ensemble/history.hpp"
#include "ensemble/points.hpp"
#include "pot/exponential.hpp"
#include "units.hpp"

#include <string>
#include <vector>

namespace tubgrove {

// Share of the depletion at which a pour begins to show below: the dose at which 0.082 of the depletion has drained,
// d = min(1, (0.082/(0.36 s))^(1/2.9)). `bypass_scale` s: 1 coarse bark, 0.5 moist peat; above 0.
// Source: [lam], onset after half to two thirds of the deficit; the rest is an assumption
template <class Real>
TUBGROVE_LANES Real onset_share_of(Real bypass_scale) {
    return lesser(power_to(0.082 / (0.36 * bypass_scale), each<Real>(1 / 2.9)), each<Real>(1));
}
double onset_share(double bypass_scale);

// What a run-through after X litres says of a depletion D: the density of ln X about ln(D d).
// `sd_ln`: 0.25, or 0.5 while the roots fill less than 0.9 of the medium.
struct OnsetLaw {
    double depletion_l = 0;
    double share = 1;          // onset_share, with the pot's lasting factor
    double sd_ln = 0.25;
};
double ran_through_likelihood(Litres poured, const OnsetLaw& law);
// Poured X litres and nothing ran: 1 - Phi((ln X - ln(D d))/sd).
double held_likelihood(Litres poured, const OnsetLaw& law);

// Depletion as a share of the available water that a class of feel means: the middles of the quarters.
// Source: [feel]
double depletion_share(Moisture moisture);
// Chance of naming this class at a share of depletion D/A, with a hand of that spread; "wet" takes all that is wetter,
// "dry" all that is drier.
double feel_likelihood(Moisture moisture, double share, double sd_share);

// Spread of a depletion read from two weights. Source: own assumption; [weigh] for the method
struct WeighingSpread {
    double scale_kg = 0.1, growth_kg = 0.15, leaves_kg = 0.1, week_kg = 0.05;
};
double weighing_sd_l(const WeighingSpread& spread, double weeks_since_reference);

// Depletion before a dose of which some drained, by mass balance. Where less drained than passed by unused, the pot need
// not be full and the depletion is only at least this.
struct DrainedReading {
    double depletion_before_l = 0, bypassed_l = 0, overfill_l = 0;
    bool at_least = false;
};
DrainedReading read_drained(Litres dose, Litres drained, double bypass_share);

// Which members got the pour of a round that nobody answered: all but the floor((1 - q) n + 0.5) with the smallest
// unit_interval(splitmix64(FNV-1a("pot/round") + member)).
std::vector<bool> poured_members(const std::string& pot, const std::string& round, double followed, int n = member_count);

}  // namespace tubgrove
