#pragma once
// What happened to a pot, applied to its members: water is booked, what was seen weighs them.
#include "ensemble/ensemble.hpp"
#include "ensemble/member_weather.hpp"
#include "ensemble/pouring.hpp"

#include <functional>

namespace tubgrove {

// One moment in the run of a pot: the members with all that a step needs.
struct Moment {
    Ensemble& e;
    std::reference_wrapper<const Belief> belief;
    const Priors& priors;
    const DayCourse* day;     // being lived
    Members members;          // of e's scores; rebuilt when they change
    MemberPlace place;        // the same
    std::vector<double> onset;  // the same: the share of what is missing at which water shows
    MemberDay weather;        // the same
    Fluxes* booked = nullptr; // what crossed the pot's border, when somebody asks
};

void apply(Moment&, const Happened&);
// Water from a drip line: known litres, nobody needed.
void apply_drip(Moment&, double each_l);

// Rebuilds constants and weather after scores changed; depletions are kept inside their stores.
void rebuild(Moment&);
// Copies members by their weights and shakes them a little, when few are left.
void resample_if_needed(Moment&);
void resample(Moment&);

}  // namespace tubgrove
