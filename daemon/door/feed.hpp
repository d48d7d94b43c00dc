#pragma once
// A garden's walks and windows of care as a calendar that programs subscribe to. Source: [RFC5545].
#include "garden/answers.hpp"

#include <string>
#include <string_view>

namespace tubgrove {

inline constexpr std::string_view calendar_type = "text/calendar; charset=utf-8";

struct FeedAsk {
    std::string_view link;              // where the page is; empty: none is named
    bool walks = true, care = true;     // what of both is wanted
};

// The same answer gives the same bytes. Throws std::runtime_error where the calendar library is not on this machine.
std::string calendar_feed(const CalendarAnswer& answer, const Zone& zone, const FeedAsk& ask);

}  // namespace tubgrove
