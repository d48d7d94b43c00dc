#pragma once
// The shipped tables, read without the intake room: tests of the model rooms need them before any face exists.
#include "plan/tables.hpp"

#include <yaml-cpp/yaml.h>

#include <stdexcept>
#include <string>

namespace trial {

using namespace tubgrove;

inline YAML::Node list(const std::string& file, const std::string& key) {
    return YAML::LoadFile(std::string(PROJECT_ROOT) + "/config/" + file)[key];
}

template <class T>
void take(const YAML::Node& row, const char* key, T& into) {
    if (row[key]) into = row[key].as<T>();
}
inline void take(const YAML::Node& row, const char* key, std::optional<double>& into) {
    if (row[key]) into = row[key].as<double>();
}

inline PriorRow prior_row(const YAML::Node& row) {
    PriorRow p;
    const std::string shape = row["shape"].as<std::string>();
    p.spread = shape == "fixed" ? Spread::fixed : shape == "lognormal" ? Spread::lognormal : Spread::triangular;
    take(row, "median", p.median), take(row, "sd_ln", p.sd_ln);
    take(row, "low", p.low), take(row, "mode", p.mode), take(row, "high", p.high);
    take(row, "unit", p.unit), take(row, "source", p.source);
    p.set = true;
    return p;
}

inline void read_priors(Priors& priors) {
    for (const YAML::Node& row : list("priors.yaml", "priors")) {
        const std::string key = row["key"].as<std::string>();
        const auto k = prior_key(key);
        if (!k) throw std::runtime_error("priors.yaml: no such key " + key);
        priors[*k] = prior_row(row);
        if (const std::string wrong = complaint(*k, priors[*k]); !wrong.empty()) throw std::runtime_error(key + ": " + wrong);
    }
}

inline void read_prices(Prices& prices) {
    for (const YAML::Node& row : list("prices.yaml", "prices")) {
        const std::string key = row["key"].as<std::string>();
        const auto k = price_key(key);
        if (!k) throw std::runtime_error("prices.yaml: no such key " + key);
        prices.row(*k) = {row["value"].as<double>(), row["unit"].as<std::string>(), row["source"].as<std::string>(), true};
    }
}

inline Medium medium(const YAML::Node& row) {
    Medium m;
    take(row, "key", m.key);
    take(row, "theta_r", m.retention.theta_r), take(row, "theta_s", m.retention.theta_s);
    take(row, "alpha_per_cm", m.retention.alpha_per_cm), take(row, "n", m.retention.n);
    take(row, "threshold_kPa", m.threshold_kPa), take(row, "lower_limit_kPa", m.lower_limit_kPa);
    take(row, "mineral", m.mineral), take(row, "coarse_bark", m.coarse_bark), take(row, "dried_loss", m.dried_loss);
    return m;
}

inline Species species(const YAML::Node& row) {
    Species s;
    take(row, "key", s.key), take(row, "evergreen", s.evergreen), take(row, "leaf_factor", s.leaf_factor);
    take(row, "threshold_factor", s.threshold_factor), take(row, "stomatal_factor", s.stomatal_factor);
    take(row, "height_over_width", s.height_over_width), take(row, "vigour", s.vigour), take(row, "base_degC", s.base_degC);
    take(row, "green_tip_dd", s.green_tip_dd), take(row, "first_leaf_dd", s.first_leaf_dd);
    take(row, "full_bloom_dd", s.full_bloom_dd), take(row, "petal_fall_dd", s.petal_fall_dd), take(row, "stage_sd_dd", s.stage_sd_dd);
    return s;
}

inline Rootstock stock(const YAML::Node& row) {
    Rootstock r;
    take(row, "key", r.key), take(row, "species", r.species), take(row, "vigour", r.vigour);
    take(row, "crown_max_m2", r.crown_max_m2), take(row, "crown_rate_per_y", r.crown_rate_per_y), take(row, "crown_half_y", r.crown_half_y);
    take(row, "leaf_factor", r.leaf_factor), take(row, "threshold_factor", r.threshold_factor);
    take(row, "root_front_factor", r.root_front_factor);
    return r;
}

inline Tables tables() {
    Tables t;
    read_priors(t.priors);
    read_prices(t.prices);
    for (const YAML::Node& row : list("media.yaml", "media")) t.media.push_back(medium(row));
    for (const YAML::Node& row : list("species.yaml", "species")) t.species.push_back(species(row));
    const YAML::Node stocks = YAML::LoadFile(std::string(PROJECT_ROOT) + "/config/rootstocks.yaml");
    for (const YAML::Node& row : stocks["rootstocks"]) t.rootstocks.push_back(stock(row));
    for (const YAML::Node& row : stocks["vigours"]) t.vigours.push_back(stock(row));
    for (const YAML::Node& row : list("words.yaml", "words"))
        t.words.push_back({row["about"].as<std::string>(), row["word"].as<std::string>(), row["middle"].as<double>(),
                           row["low"].as<double>(), row["high"].as<double>(), row["unit"].as<std::string>(), {}, {}});
    return t;
}

}  // namespace trial
