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

// Each member's law of run-through in its present state: depletion, share at which water shows (its lasting error and
// that of this pour included) and spread.
struct OnsetLaws {
    std::vector<double> depletion_l, share, sd_ln;
};
OnsetLaws onset_laws(const Ensemble&, const Belief&, const Priors&);
// The same in two steps: the shares change with the members only, depletion and spread with their state.
std::vector<double> onset_shares(const Ensemble&, std::span<const double> bypass_scale, const Priors&);
OnsetLaws onset_laws(const PotState&, std::span<const double> shares, const Priors&);

// Litres at which a gardener who stops when water shows has given, all passes together, without a ceiling.
std::vector<double> litres_until_run_through(const Members&, const OnsetLaws&, const Priors&, int passes);

struct MemberPour {
    std::vector<double> pour_l;      // what each member gets
    std::vector<double> drained_l;   // what of it runs out below
    int passes = 1;
};
// `scatter`: standard normal score of this pour for each member; empty: none. `ignores`: members whose gardener pours
// the whole ceiling although told to stop; empty: none.
MemberPour pour_of(const Manner&, const Members&, const OnsetLaws&, const Priors&,
                   std::span<const double> scatter, const std::vector<bool>& ignores);
// The first half of it, where nobody asks what runs out.
std::vector<double> poured_l(const Manner&, const Members&, const OnsetLaws&, const Priors&,
                             std::span<const double> scatter, const std::vector<bool>& ignores);

// Deterministic scores and choices of one event.
std::vector<double> event_scores(const std::string& pot, const std::string& event, std::size_t members);
std::vector<bool> event_choice(const std::string& pot, const std::string& event, double chance, std::size_t members);

}  // namespace tubgrove
