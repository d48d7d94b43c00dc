#pragma once
// Observations of any interval brought onto the hours and days of a civil calendar, a table a series.
// Used by complete.cpp; callers outside the room want complete.hpp.
#include "climate/complete.hpp"
#include "climate/sun.hpp"

#include <array>
#include <map>
#include <vector>

namespace tubgrove {

// The hours of a run of local days. Hour and day numbers below are places in these lists.
struct Calendar {
    std::vector<LocalDay> days;
    std::vector<int> first_hour;  // of each day, and one more at the end
    std::vector<Stretch> hours;
    std::vector<int> day_of;  // each hour's day

    int hours_in(int day) const { return first_hour[day + 1] - first_hour[day]; }
    Instant starts(int day) const { return hours[first_hour[day]].starts; }
    Instant ends() const;
};
Calendar calendar_of(const Zone& zone, DaySpan days);
Instant ends_of(const Stretch& hour);

using Values = std::array<double, channel_count>;  // in the order of Channel; NaN: not reported

// The highest gust of a day among readings of six hours at most, and the first reading that had it.
struct GustSeen {
    double m_s = 0;
    GustSpan when;
};

struct SeriesTable {
    Series series;
    int first_hour = 0;  // place of hours[0] in the calendar
    std::vector<Values> hours;
    std::map<int, Values> days;    // of intervals longer than 6 h
    std::map<int, GustSeen> gusts; // by day
    std::vector<int> doubled;      // days with an interval reported twice
    std::vector<int> upside_down;  // days with an interval that ends before it starts; dropped

    // NaN outside the table.
    double hour(int place, Channel c) const {
        const int at = place - first_hour;
        return at < 0 || at >= int(hours.size()) ? std::numeric_limits<double>::quiet_NaN()
                                                 : hours[at][std::size_t(c)];
    }
    double* hour_cell(int place, Channel c) {
        const int at = place - first_hour;
        return at < 0 || at >= int(hours.size()) ? nullptr : &hours[at][std::size_t(c)];
    }
    double day(int place, Channel c) const {
        const auto found = days.find(place);
        return found == days.end() ? std::numeric_limits<double>::quiet_NaN() : found->second[std::size_t(c)];
    }
    bool touches(const Calendar&, int day) const;
};

// One table a series, best rung first: within a rung what was not forecast before forecasts, these by preference, later
// issued before earlier, then by name and member. A series given in several parts becomes one table.
std::vector<SeriesTable> tables_of(std::span<const SeriesReadings>, const Calendar&);

}  // namespace tubgrove
