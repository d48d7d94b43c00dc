#pragma once
// The quality rules run over the tables of a completion: rejected values leave the tables, and what was found is kept
// in words for the day's notes. Used by complete.cpp.
#include "climate/hours.hpp"

#include <map>
#include <string>
#include <vector>

namespace tubgrove {

// The sun over every hour and day of a calendar, at one site.
struct Sky {
    std::vector<double> ra_MJ_m2, rso_MJ_m2, elevation_rad;           // an hour
    std::vector<double> day_ra_MJ_m2, day_rso_MJ_m2, day_daylight_h;  // a day
    std::vector<int> day_of_year;                                     // a day
};
Sky sky_over(const SiteClimate&, const Calendar&);

// Findings of a day, the same finding in several hours told once with its count.
class Findings {
public:
    void add(int day, const std::string& about, Instant when, const std::string& what);
    std::vector<std::string> of_day(int day, const Zone&) const;

private:
    struct Told {
        Instant first;
        int hours = 0;
    };
    std::map<int, std::map<std::string, Told>> by_day_;
};

// What only an instrument can show (stuck values, a wrong clock, a week too dry or too calm) is looked for in own
// readings alone: forecasts repeat a value for hours and mean nothing by it.
void screen(SeriesTable&, const SiteClimate&, const Calendar&, const Sky&, Findings&);

}  // namespace tubgrove
