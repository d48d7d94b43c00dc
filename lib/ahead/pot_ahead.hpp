#pragma once
// One pot's days ahead: its members run on under the forecast, without water and with the walks that they would call for.
#include "ahead/range.hpp"
#include "plan/figures.hpp"
#include "plan/filling.hpp"

#include <span>
#include <vector>

namespace tubgrove {

// A chance to water, and the one after it.
struct WalkAhead {
    Instant at{}, next{};
};

struct PotDayAhead {
    Instant starts{}, ends{};
    Range80 demand_l;                        // leaves, surface and wall, if it is watered as planned
    Range80 rain_l;                          // rain that reaches the medium
    double dry_chance = 0;                   // to have run dry by the day's end if nobody waters from now on
    double dry_planned_chance = 0;           // of an hour dry on this day although the walks are done
};
struct PlannedPour {
    std::size_t walk = 0;                    // of the walks given
    Manner manner;                           // its litres are the most
    Range80 pour_l;                          // what it likely takes
    Range80 so_far_l;                        // all pours up to this one, summed by member
    double dry_before_chance = 0;            // to be dry before the next walk without it
};
struct PotAhead {
    std::vector<PotDayAhead> days;
    std::vector<PlannedPour> pours;
    Range80 total_l;                         // of all planned pours
    Range80 dry_after_h;                     // hours from now until it runs dry without water; infinity: not within the outlook
    std::vector<double> total_by_member;     // with their weights, to add up a garden
};

// `listed`: what the list of the first walk says of this pot, no litres where it rests; null: that walk has no list yet.
// Source: pot-water model 9.3, the "when" rule; the decision of a list weighs more than this
PotAhead look_ahead(const Outlook&, std::span<const WalkAhead>, std::span<const Instant> midnights, const Pouring&, const Manner* listed = nullptr);

// What was really poured on a past walk ahead of a moment looked back at.
struct GivenPour {
    Instant at{};
    Manner manner;
};
// The chance of an hour dry on each of the days between the midnights, had these pours been known: what a forecast cannot know is left out
// of the comparison with what came. The first midnight begins the first day; pours in order.
std::vector<double> dry_chances(const Outlook&, std::span<const GivenPour>, std::span<const Instant> midnights);
// What a pot uses on each of these days if water is free.
std::vector<Range80> demand_by_day(const Outlook&, std::span<const Instant> midnights);

// Hours from the run's moment until each member comes to harm: its rooted store `harmed_share` of the way from running dry
// to no water left; infinity: not within the outlook. Own assumption on the share
// `enough`: once more than this weight of the members has come to harm nobody asks for the others, and they stand at infinity, too; all that are
// told have come to harm before them.
std::vector<double> harmed_after_h(const Outlook&, Outlook::Run, double harmed_share, double enough = 1);

// The members' use until `until` if water is free: ET0 times demand, without stress; litres.
Range80 use_l(const Outlook&, const Outlook::Run& from, Instant until);

Range80 range80(std::span<const double> values, const Weights&);
// What a pour likely comes to: what the members take until it runs through; of a told amount, that amount.
Range80 likely_l(const Manner&, std::span<const double> poured_l, const Weights&);

}  // namespace tubgrove
