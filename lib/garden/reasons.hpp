#pragma once
// What a reason of a line is for, so that every face puts the same reason in the same place.
#include "plan/round.hpp"

#include <string_view>

namespace tubgrove {

enum class ReasonKind : unsigned char {
    line,      // the line's own litres, time and manner say it already
    today,     // of this pot on this day
    advice,    // how to pour, or what helps this pot more than a pour: belongs to the line itself
    range,     // what is not known, so that the range is wide
};

// By its code. One that is not known here is of today when it carries values, else it widens the range.
ReasonKind kind_of(const Remark&);
// "line", "today", "advice", "range": in answers.
std::string_view kind_word(ReasonKind);

// Whether a notice of the list tells the same for all of its pots.
bool told_by_notice(const Remark&, const Round&);

}  // namespace tubgrove
