#pragma once
// What each member gets of a pour: stated litres with their doubt, or water until it shows below.
#include "ensemble/ensemble.hpp"
#include "ensemble/observations.hpp"

#include <span>
#include <vector>

namespace tubgrove {

// How a walk gives water to one pot; pour_l counts all passes together and is a ceiling with run_through.
struct Manner {
    double pour_l = 0;
    int passes = 1;
    Until until = Until::amount;
};

// Bypass share of a dose by the absorption law: b = s (0.13 + 0.23/N) d^x, d = dose over deficit up to 1, N passes,
// x = 1.9 + 1.164 (1 - 1/N), b up to 0.6. Nothing missing: d = 1.
// Source: [lam], fitted
double bypass_share(double bypass_scale, double dose_over_deficit, int passes);

// Each member's law of run-through in its present state: depletion, share at which water shows (its lasting error and
// that of this pour included) and spread.
struct OnsetLaws {
    std::vector<double> depletion_l, share, sd_ln;
};
OnsetLaws onset_laws(const Ensemble&, const Belief&, const Priors&);

struct MemberPour {
    std::vector<double> pour_l;      // what each member gets
    std::vector<double> drained_l;   // what of it runs out below
    int passes = 1;
};
// `scatter`: standard normal score of this pour for each member; empty: none. `ignores`: members whose gardener pours
// the whole ceiling although told to stop; empty: none.
MemberPour pour_of(const Manner&, const PotState&, const Members&, const OnsetLaws&, const Priors&,
                   std::span<const double> scatter, const std::vector<bool>& ignores);

// Deterministic scores and choices of one event.
std::vector<double> event_scores(const std::string& pot, const std::string& event, std::size_t members);
std::vector<bool> event_choice(const std::string& pot, const std::string& event, double chance, std::size_t members);

}  // namespace tubgrove
