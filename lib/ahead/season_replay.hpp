#pragma once
// A season lived through again by rule: the same weather and members with and without a change.
#include "ahead/pot_ahead.hpp"

#include <functional>
#include <vector>

namespace tubgrove {

// Over a season; each with its range over the members.
struct SeasonSum {
    Range80 poured_l, dry_h, used_l;
    Range80 walks;                           // on which it was watered, in whole ones
    std::vector<double> poured_by_member, dry_by_member, walks_by_member;
};
// Each member is a pot of its own, watered by somebody who knows it: filled at a walk when it would be dry before the next one. Filled
// together by a share of the members, those below the share would stand dry through weeks in which nobody would leave them so. The outlook
// reaches over the season; `walks` are the chances in order.
SeasonSum live_by_rule(const Outlook&, std::span<const WalkAhead> walks, const Pouring&);

struct Difference {
    Range80 litres, dry_h, walks;            // with the change less without, member by member
    bool worth_having = false;
};
Difference difference_of(const SeasonSum& without, const SeasonSum& with, const Weights&, const Figures&);

}  // namespace tubgrove
