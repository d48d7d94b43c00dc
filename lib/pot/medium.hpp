#pragma once
// A growing medium: a row of config/media.yaml.
#include "pot/retention.hpp"

#include <string>

namespace tubgrove {

struct Medium {
    std::string key;                  // peat_perlite
    std::string name;                 // for people: "peat and perlite, 70 to 30"
    Retention retention;
    double dry_bulk_kg_l = 0.2;
    double threshold_kPa = 8;         // suction at which free uptake ends at 5 mm a day, before species and stock
    double lower_limit_kPa = 100;     // suction at which uptake ends
    bool mineral = false;             // loam-based or soil: its lower limit is known far less well
    bool coarse_bark = false;         // much of a pour runs past dry particles
    double dried_loss = 0;            // share of the capacity lost once dried out, until soaked
    std::string source;               // citation keys, 'own assumption' or 'common practice, no source'
    std::string note;
};

// The key that stands for a medium nobody named.
inline constexpr const char* unnamed_medium = "shop_mix";

}  // namespace tubgrove
