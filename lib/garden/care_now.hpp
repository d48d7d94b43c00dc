#pragma once
// A garden as care sees it at a moment: the site's days, each tree's years, each pot with its entries.
#include "care/jobs.hpp"
#include "garden/water_now.hpp"

#include <list>
#include <map>
#include <string>
#include <vector>

namespace tubgrove {

struct CareNow {
    CareSite site;
    std::list<TreeYears> years;                              // what the pots' trees point to
    std::vector<PotCare> pots;                               // in walking order
    std::map<std::string, std::vector<LocalDay>> shown;      // mornings of issued lists, by job
    std::chrono::weekday care_day;

    CareAsk ask(const Tables& tables) const { return {.tables = tables.care, .site = site, .pots = pots, .shown = shown, .care_day = care_day}; }
    std::vector<Job> jobs(const Tables& tables) const { return jobs_of(ask(tables)); }
};

// What is missing from each pot, of what its tree takes up freely; a pot that is not named is not known.
using DryShares = std::map<std::string, double>;
DryShares dry_shares(const Round& round);

// `day`: for which jobs are asked, at most as far ahead as the weather seen. Entries and lists later than the garden's moment are
// not part of it.
CareNow care_now(const GardenNow& garden, const Configuration& configuration, const Tables& tables, const Zone& zone, LocalDay day,
                 const DryShares& dry);

// Adds to the lines of pots whose medium is taken to be frozen on the round's day when to pour, and one notice for all of them.
void tell_frozen(Round& round, const CareNow& care);

}  // namespace tubgrove
