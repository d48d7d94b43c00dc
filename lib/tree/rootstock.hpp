#pragma once
// A rootstock, or a class of vigour standing for one: a row of config/rootstocks.yaml.
#include "ensemble/setup.hpp"

#include <string>

namespace tubgrove {

struct Rootstock {
    std::string key;                  // M.27; of a class: very-dwarfing
    std::string species;              // of the scion, empty for a class
    std::string vigour;               // its class; of a class: itself
    // Projected crown by age a in years since planting: crown_max / (1 + exp(-crown_rate (a - crown_half_y))), m2.
    double crown_max_m2 = 3.5;
    double crown_rate_per_y = 1.1;
    double crown_half_y = 2.5;
    double leaf_factor = 1;           // on k LAI
    double threshold_factor = 1;      // on the threshold suction
    double root_front_factor = 1;     // on the speed at which roots enter the medium
    Stake stake = Stake::permanent;   // permanent, temporary (stake_years), none (after repotting only)
    int stake_years = 0;              // temporary: until this age
    double height_low_m = 0, height_high_m = 0;   // of a grown tree; 0: not stated
    bool keep_clear = false;          // suffers from weeds and grass: nothing planted below
    std::string source;
    std::string note;
};

}  // namespace tubgrove
