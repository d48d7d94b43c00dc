#pragma once
// Water at hand against water needed. Private to this room.
#include "garden/answers_ahead.hpp"
#include "intake/configuration.hpp"

#include <span>
#include <vector>

namespace tubgrove {

// What a pot of a bay takes on a day; where it is known of all days together, the part by which that grows.
struct Draw {
    LocalDay day{};
    std::string bay;
    Range80 likely_l;
};
// Each butt or tank of which is known what it holds; `draws` in order of their days.
std::vector<StockLine> stocks_of(const Carry&, std::span<const Draw> draws);

// The tap whose water does not end, the first of them; empty: all hold so much and no more.
std::string tap_without_end(const Carry&);

// Of each butt from which a list takes more than it holds when full; what is in it on the day nobody tells.
std::vector<Notice> butt_notices(const Round&, const Carry&);

}  // namespace tubgrove
