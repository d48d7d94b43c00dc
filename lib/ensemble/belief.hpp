#pragma once
// What is believed of one pot before anything was seen: the fixed shape, a prior for each unknown, and the canopy of
// each day. Built from a setup and the tables (belief_of); tests and trials may build it by hand.
#include "calendar.hpp"
#include "climate/bay.hpp"
#include "climate/day_record.hpp"
#include "ensemble/points.hpp"
#include "ensemble/priors.hpp"
#include "pot/balance.hpp"
#include "prior.hpp"

#include <array>
#include <chrono>
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

struct DripTimes {
    double each_l = 0;
    std::vector<std::chrono::minutes> at;   // local clock
    int every_days = 1;
    LocalDay first{};
};

struct Belief {
    std::string bay;                        // seeds the unknowns that all pots of a bay share
    Member shape;                           // geometry and medium; each member overwrites the unknown constants
    std::array<Prior, std::size_t(dim_count)> of;   // leaf_area: a factor of median 1; threshold and lower limit in kPa; …
    Prior heat;                             // factor of paving and walls on ET0; follows the score of et0_error
    Prior rain_share;                       // of the open rain that reaches the pot's place; follows rain_error
    std::optional<RoomAir> room;            // the air of a pot that stands indoors; empty: the site's
    double crown_share = 0.43;              // crown follows leaf area as factor^share
    LocalDay in_this_pot_since{};           // roots grow from here
    bool water_in = false;                  // planted on the day this begins: start from start_planted
    bool drains = true;                     // false: water was seen standing, so that none runs through
    std::optional<DripTimes> drip;
    std::vector<std::string> because;       // codes of what was never measured, for the list's reasons
    const Prior& operator[](Dim d) const { return of[std::size_t(d)]; }
    Prior& operator[](Dim d) { return of[std::size_t(d)]; }
};

// All trees of the pot on one day, medians.
struct Canopy {
    double leaf_m2 = 0;                     // effective leaf area L_e times the season's share
    double crown_m2 = 0;                    // projected
    double cap = 1.2;                       // largest transpiration, mm on the crown per mm of ET0 (FAO-56 eq. 105)
    std::optional<LocalDay> full_bloom;     // the latest of its trees' this season, as the heat sums have it
};

// One day of a pot's life: its weather and its canopy.
struct DayCourse {
    const DayRecord* record = nullptr;
    Canopy canopy;
};

}  // namespace tubgrove
