#pragma once
// A garden for tests of care: invented or real days, pots with a tree, entries, and a grower who answers in his own way.
#include "care/jobs.hpp"
#include "climate/sun.hpp"
#include "intake/tables.hpp"

#include <cmath>
#include <functional>
#include <list>
#include <map>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

namespace care_world {

using namespace tubgrove;

inline LocalDay date(int y, unsigned m, unsigned d) {
    return LocalDay{std::chrono::year_month_day{std::chrono::year(y), std::chrono::month(m), std::chrono::day(d)}};
}

inline const Tables& tables() {
    static const auto read = read_tables();
    if (!read.ok()) throw std::runtime_error(format(read.complaints.front()));
    return read.value;
}

struct Climate {
    CarePlace place{47, 10, 300, std::chrono::hours(1)};
    double mean_degC = 10, swing_K = 9;      // of the year, to either side
    double day_K = 5;                        // of the day, to either side
    int rain_every_d = 4;
    double rain_mm = 6;
    int gale_every_d = 97;
};

// One day of a smooth year with some weather on it, the same on every run.
inline DayRecord day_of(const Climate& c, LocalDay day) {
    DayRecord r;
    r.day = day;
    const auto n = (day - date(2000, 1, 1)).count();
    const double phase = 2 * std::numbers::pi * (day_of_year(day) + (c.place.latitude_deg < 0 ? 183 : 0)) / 365.25;
    const double spell = 4 * std::sin(double(n) / 5.3) + 2.5 * std::sin(double(n) / 2.1);
    const double mean = c.mean_degC - c.swing_K * std::cos(phase - 0.36) + spell;
    r.air_temp_max_degC = {mean + c.day_K, Origin::measured, "daily"};
    r.air_temp_min_degC = {mean - c.day_K, Origin::measured, "daily"};
    r.mean_temp_degC = mean;
    r.rain_mm = {n % c.rain_every_d == 0 ? c.rain_mm : 0, Origin::measured, "block"};
    r.wind_2m_m_s = {1.5, Origin::measured, "daily"};
    r.gust_m_s = Marked{n % c.gale_every_d == 0 ? 28.0 : 6.0, Origin::measured, "daily"};
    r.vapour_pressure_kPa = {0.6108 * std::exp(17.27 * (mean - c.day_K) / (mean - c.day_K + 237.3)), Origin::estimated, "tmin-dew"};
    r.guessed.humidity = true;
    r.daylight_h = daylight_h(Degrees(c.place.latitude_deg), day_of_year(day));
    r.radiation_MJ_m2 = {15, Origin::measured, "daily"};
    r.clear_sky_MJ_m2 = 20;
    return r;
}

inline std::vector<DayRecord> days_of(const Climate& c, LocalDay first, LocalDay last) {
    std::vector<DayRecord> all;
    for (LocalDay day = first; day <= last; day += std::chrono::days(1)) all.push_back(day_of(c, day));
    return all;
}

// Climates of smooth years, and the site that lives in one.
inline Climate temperate() { return {}; }
inline Climate southern() { return {.place = {-41, 173, 60, std::chrono::hours(12)}, .mean_degC = 12, .swing_K = 7}; }
inline Climate cool() { return {.place = {60, 25, 20, std::chrono::hours(2)}, .mean_degC = 6, .swing_K = 13, .day_K = 4, .rain_every_d = 3}; }
inline Climate hot() { return {.place = {32, -111, 700, std::chrono::hours(-7)}, .mean_degC = 20, .swing_K = 9, .day_K = 8, .rain_every_d = 19, .rain_mm = 10}; }
inline CareSite site_at(const Climate& c, LocalDay today) { return CareSite(c.place, days_of(c, today - std::chrono::days(400), today + std::chrono::days(10)), today); }

struct TreeWords {
    std::string species = "apple", stock = "M.9", vigour = {};
    std::optional<LocalDay> planted = {}, grafted = {};
    std::optional<bool> taken = {};
    Stake stake = Stake::unknown;
};

// Pots that keep what they point to.
class Pots {
public:
    PotCare& add(const std::string& id, const TreeWords& words, LocalDay added, double volume_l = 40) {
        PotCare& pot = pots_.emplace_back();
        pot.id = pot.label = id;
        pot.bay = "terrace";
        pot.order = int(pots_.size());
        pot.place = "ground";
        pot.ground = "paving";
        pot.volume_l = volume_l;
        pot.added = pot.mulched = added;
        pot.setup.id = id;
        pot.setup.in_this_pot_since = added;
        pot.setup.container.size = Litres(volume_l);
        TreeCare tree;
        tree.tree.id = "a";
        tree.tree.species = words.species;
        tree.tree.planted = words.planted;
        tree.tree.grafted = words.grafted;
        tree.tree.graft_taken = words.taken;
        tree.tree.stake = words.stake;
        tree.species = tables().one_species(words.species);
        tree.care = tables().care.one_species(words.species);
        const auto* stock = words.stock.empty() ? nullptr : tables().rootstock(words.stock);
        const auto vigour = !words.vigour.empty() ? words.vigour : tree.species->vigour;
        tree.stock = stock ? *stock : *tables().vigour(vigour);
        tree.stock_name = words.stock;
        pot.trees.push_back(tree);
        return pot;
    }
    PotCare& one(const std::string& id) {
        for (auto& pot : pots_)
            if (pot.id == id) return pot;
        throw std::runtime_error("no pot " + id);
    }
    // Every pot at a site: the trees' years are made here, once a species.
    std::vector<PotCare> at(const CareSite& site) {
        std::vector<PotCare> all(pots_.begin(), pots_.end());
        for (auto& pot : all)
            for (auto& tree : pot.trees) tree.years = years(site, tree);
        return all;
    }
    void note(const std::string& pot, LocalDay day, const std::string& action, const std::string& word = {},
              std::map<std::string, std::string> values = {}) {
        one(pot).entries.push_back({++entries_, day, action, word, {}, std::move(values)});
    }
    void strike(std::int64_t id) {
        for (auto& pot : pots_) std::erase_if(pot.entries, [&](const CareEntry& e) { return e.id == id; });
    }
    std::int64_t newest() const { return entries_; }
    void forget_years() { years_.clear(); }

private:
    const TreeYears* years(const CareSite& site, const TreeCare& tree) {
        const auto key = std::pair(tree.species->key, site.today());
        auto found = years_.find(key);
        if (found == years_.end())
            found = years_.emplace(key, tree_years(site, *tree.species, tree.care ? tree.care->harvest_d : 0, {})).first;
        return &found->second;
    }

    std::list<PotCare> pots_;
    std::map<std::pair<std::string, LocalDay>, TreeYears> years_;
    std::int64_t entries_ = 0;
};

}  // namespace care_world
