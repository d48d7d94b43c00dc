#pragma once
// The members of each pot at a moment: from its history, the weather and the tables, continued from a kept state where
// nothing before that state has changed.
#include "ensemble/ensemble.hpp"
#include "garden/heat_now.hpp"
#include "garden/history.hpp"
#include "garden/weather_seen.hpp"
#include "plan/tables.hpp"
#include "store/store.hpp"

#include <map>
#include <string>
#include <vector>

namespace tubgrove {

// One pot as it stands: what was believed of it, its course of days in every forecast member, and its members now.
struct PotNow {
    const PotLife* life = nullptr;
    PotHistory history;
    std::vector<Belief> beliefs;                    // one a setup
    std::vector<std::vector<DayCourse>> courses;    // one a forecast member, over the days of the weather seen
    Ensemble ensemble;

    const PotSetup& setup() const { return history.setups.back().setup; }
    const Belief& belief() const { return beliefs[ensemble.setup]; }
};

// How far ahead a list looks.
inline constexpr std::chrono::days outlook_days{11};

// What all pots of one question share.
struct GardenNow {
    GardenPast past;
    WeatherSeen weather;
    std::vector<std::uint64_t> day_prints;          // of weather.members.front()
    LocalDay first_day{};
    Instant now{};
    std::chrono::days ahead = outlook_days;
    std::vector<HeatEpisode> heat;                  // episodes that are not over
    std::vector<HeatEpisode> heat_told_before;      // those of a forecast that is too old (weather.too_old)
    InputMark inputs;                               // taken before anything was read
};

// How long before the present an estimate begins at most: what was poured a year ago no longer shows in a pot.
inline constexpr std::chrono::days longest_memory{400};

// `days`: how far the weather ahead is seen.
GardenNow garden_now(const Store& store, const View& view, const Configuration& configuration, const Zone& zone,
                     ForecastKnowledge& knowledge, std::chrono::days days = outlook_days);

// Kept states live `here` for this process, some hundred at most, and in the store's cache for later ones.
struct KeptStates {
    Store& store;
    std::string tables;                             // digest
    std::map<std::string, std::string> here;        // key -> bytes
    std::vector<CachedState> fresh;                 // to be put into the store's cache
};

// A question about one pot on its way to the answer. Of the steps only `live` takes long; it reads what all pots share and
// changes its own pot only, so that several pots can live at once.
struct PotAsked {
    PotNow pot;
    struct Place {
        LocalDay day{};
        std::string key;
    };
    std::vector<Place> places;                      // of a kept state, newest first; empty: none is kept
    std::optional<Place> found;
    std::string bytes;                              // of the state found
    std::optional<CachedState> fresh;               // the newest place's state, where it was not found
    bool answerable() const { return !pot.beliefs.empty(); }
};
PotAsked ask(const GardenNow&, const PotLife&, const Configuration&, const Tables&, const Zone&, const std::string& tables_digest);
void look_up(PotAsked&, const KeptStates&);
void live(PotAsked&, const GardenNow&, const Configuration&, const Tables&, const Zone&);
void keep(PotAsked&, KeptStates&);

// The pot's days from the present on, in every forecast member, and how far a list looks along them.
std::vector<std::vector<DayCourse>> days_ahead(const PotNow& pot, const Zone& zone);
Instant outlook_end(const GardenNow& garden, const Zone& zone);

// All steps for one pot.
PotNow pot_now(const GardenNow& garden, const PotLife& life, const Configuration& configuration, const Tables& tables,
               const Zone& zone, KeptStates& kept);

}  // namespace tubgrove
