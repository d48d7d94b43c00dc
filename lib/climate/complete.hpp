#pragma once
// From what the weather sources said to complete local days: every hour has every quantity, every gap is filled from
// the next rung of the ladder and marked. The same readings in any order, or the same days asked for in parts, give
// the same records.
#include "climate/day_record.hpp"
#include "climate/normals.hpp"
#include "units.hpp"
#include "weather.hpp"

#include <map>
#include <optional>
#include <span>
#include <vector>

namespace tubgrove {

// What one series reported; the observations may come in any order. They must outlive the call.
// An interval of up to 6 h speaks for the hours it overlaps; a longer one for the local day around its middle; one of
// more than 36 h shares its sums among its days and gives each its means.
// The same interval twice in one series: the mean of the two, and a note.
struct SeriesReadings {
    Series series;
    std::span<const Observation> observations;
    int preference = 0;                  // among forecasts of one rung the lower is asked first, whenever it was issued
};

// What the gardener says of a day that no source speaks of: 3 K under, at, or 3 K over the month's normals.
enum class Feel : unsigned char { cool, usual, hot };

struct SiteClimate {
    Degrees latitude{0}, longitude{0};  // -90..90 north; -180..180 east
    Metres elevation{0};
    Zone zone = Zone::utc();
    bool arid = false;                   // no humidity: dew point 2 K under the night's minimum
    bool coastal = false;                // radiation from the temperature range with 0.19 instead of 0.16
    std::optional<YearNormals> normals;  // empty: from own readings of that month, else a guess from latitude that known days near correct
    std::map<LocalDay, Feel> feel;       // a day without a word is usual
};

struct DaySpan {
    LocalDay first, last;  // both included
};

// Complete records of each local day of the span, in order.
// For each hour and quantity the first of these that speaks: own readings, published ones (an analysis before a
// forecast, the preferred forecast first, then a later one before an earlier one), values by hand, the month's normals. The forecasts given are
// taken as one member: the caller picks which. `now` divides what happened from what lies ahead.
//   - Hours with hourly temperature: [ASCE2005] hourly form. Hours that only a day's extremes speak for: [FAO56]
//     eq. 6 for the day, of which the hour has its share by the lagged clear-sky curve.
//   - Gaps of up to 3 h inside an hourly series are bridged in a straight line before a rung below `published` is
//   asked.
//   - A day's rain known only as a total falls in one block at 15 h local time; where part of the day was recorded by
//     the hour, the rest has what that leaves of a total from this garden, of another's the part by hours.
//   - Cloudiness under a low sun (below 0.3 rad) is the last one above it, carried for at most 36 h.
//   - Values that the quality rules reject are treated as missing, suspect ones are used; both are named in `notes`.
// Words in `how`: temperature "hourly", "daily", "bridged", "one-extreme", "mean-only", "by-hand", "normals",
// "guess", "days-near" (the guess, moved by the days within a week that are known); humidity "hourly", "dew-point", "wet-bulb", "rh-max-min", "rh-max", "rh-mean", "tmin-dew"; wind "hourly",
// "daily", "no-wind" (2 m/s); radiation "hourly", "daily", "sunshine", "temperature-range", "overcast" (no range: a
// quarter of Ra); rain "hourly", "block", "normals", "none-known". A value from a forecast has "forecast:" before its
// word; several words of one day are joined by "+". Origins: measured (a reading, also one converted to vapour
// pressure or to 2 m wind), derived (sunshine, bridged, an hour out of a day), estimated (forecasts, guesses,
// normals).
std::vector<DayRecord> complete_days(const SiteClimate&, std::span<const SeriesReadings>, DaySpan, Instant now);

}  // namespace tubgrove
