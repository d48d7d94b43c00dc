#pragma once
// A species: a row of config/species.yaml.
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

struct Species {
    std::string key;                  // apple
    std::string name;                 // for people
    std::vector<std::string> also;    // other names that a grower may give it, kept as given: lemon for citrus
    bool evergreen = false;
    double leaf_factor = 2.6;         // k LAI: effective leaf area per crown area, median
    double threshold_factor = 1;      // on the medium's threshold suction
    double stomatal_factor = 1;       // Fr of FAO-56 eq. 102, in the cap of a lone crown
    double height_over_width = 1;     // of a crown that nobody measured
    std::string vigour;               // class taken when neither stock nor vigour is stated

    // Heat sums from midwinter above `base_degC` (daily average method); empty: no rule, the grower's dates count.
    double base_degC = 5;
    std::optional<double> green_tip_dd, first_leaf_dd, full_bloom_dd, petal_fall_dd;
    double stage_sd_dd = 50;

    std::string source;               // of leaf and threshold factors
    std::string stage_source;         // of the heat sums
    std::string note;
};

}  // namespace tubgrove
