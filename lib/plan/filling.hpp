#pragma once
// Filling a pot, and whether it then gets through to the next walk: one rule each, for the list, the days ahead, help in heat and absences.
#include "ensemble/outlook.hpp"

#include <span>
#include <vector>

namespace tubgrove {

struct Pouring {
    double mark_l = 0.5;                     // of the can, above 0
    int passes = 2;
    double due_chance = 0.2;                 // a walk waters where more members would be dry before the next one
};

// The manner that fills a pot; pour_l is what every face calls "most". Where nothing drains: an amount in one pass, the median need,
// none where nothing is missing. Else until it runs through, in all the passes that its gardener gives: a ceiling at what nine of ten
// members miss, in whole marks, a mark a pass at least; fewer passes where there are fewer marks.
Manner filling(const Outlook&, const Outlook::Run&, const Pouring&);
// The same of some members, by their weights, sum 1.
Manner filling(const Outlook&, const Outlook::Run&, const Pouring&, const Weights&);

// The hours by which no more than `chance` of the members' weight has come to its moment; infinity: not within the outlook. No
// straight line between members, which would pass over an infinity.
double hours_until(std::span<const double> after_h, const Weights&, double chance);

// A pot filled at a walk gets through to the next one surely when no more than `due_chance` of its members run dry on the way, hardly when
// more than half of them do. Hours told beside it are those that it is judged by.
enum class Through : unsigned char { surely, perhaps, hardly };
struct FilledLasts {
    std::vector<double> after_h;             // each member's hours from the filling until it runs dry; infinity: not within the outlook
    double surely_h = 0;                     // so long it lasts in all but `due_chance` of the members
    double likely_h = 0;                     // in half of them
    Through through(double until_next_h) const {
        return surely_h >= until_next_h ? Through::surely : likely_h >= until_next_h ? Through::perhaps : Through::hardly;
    }
};
FilledLasts filled_lasts(const Outlook&, Outlook::Run filled, const Pouring&);

}  // namespace tubgrove
