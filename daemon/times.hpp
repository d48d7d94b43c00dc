#pragma once
// Days and times as people type them.
#include "calendar.hpp"
#include "intake/complaint.hpp"

#include <string>

namespace tubgrove {

struct Seen {
    Instant now;
    const Zone& zone;
};

// 2026-07-14, today, yesterday, tomorrow.
Parsed<LocalDay> read_day(const std::string& text, const Seen& seen);

// RFC 3339; 2026-07-14T07:30 or "2026-07-14 07:30" on the garden's clock; 07:30 today; "yesterday 18:30". A time that
// the garden's zone skips when clocks are put forward is refused.
Parsed<Instant> read_time(const std::string& text, const Seen& seen);

}  // namespace tubgrove
