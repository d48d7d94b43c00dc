#pragma once
// Numbers as words take them: plain decimals without trailing zeros.
#include "calendar.hpp"

#include <string>

namespace tubgrove {

// At most `decimals` places: 2.50 -> "2.5", 3.00 -> "3".
std::string plain(double number, int decimals = 1);
// "2.5 L", "1 L".
std::string litres_text(double litres);
// Hours as people say them: "6 hours", "1 hour", "3 days".
std::string hours_text(double hours);

}  // namespace tubgrove
