#pragma once
// Gardens with a hidden truth, for asking whether the advice beats a habit: weather, pots, and what really happens in them.
#include "ensemble/learning.hpp"
#include "ensemble/outlook.hpp"
#include "plan/beliefs.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace advice {

using namespace tubgrove;

// Numbers that depend on nothing but their names, so that every rule meets the same weather and the same hands.
double uniform(const std::string& name);
double normal(const std::string& name);

struct Climate {
    std::string name;
    double latitude_deg = 50;
    double warm_degC = 17, swing_K = 4;      // mean of July, and how much colder May is
    double range_K = 11;                     // of a day
    double wet_after_dry = 0.25, wet_after_wet = 0.5, rain_mm = 5;
    double dew_gap_K = 1;                    // of the dew point below the night's minimum
    double wind_m_s = 2.2, sun = 0.6;        // share of the radiation above the air on a dry day
    double height_m = 150;
};
extern const std::vector<Climate> climates;

// Everything about one garden that is no pot.
struct World {
    Climate climate;
    Zone zone = Zone::utc();
    std::string name;
    LocalDay first{};
    std::vector<DayRecord> truth;                    // from midwinter on; `season` is the index of the first simulated day
    std::vector<DayRecord> seen;                     // as the list learns it afterwards
    std::vector<std::vector<DayRecord>> forecast;    // by simulated day: that day and the next two, as foretold at five
    std::size_t season = 0;
    int days = 0;
    Instant walk(int day) const { return truth[season + std::size_t(day)].starts + std::chrono::hours(7); }
    Instant midnight(int day) const { return truth[season + std::size_t(day)].starts; }
};
World make_world(const std::string& name, const Climate&, int days);
// The same in a year of real weather: four years of Seattle in the table seattle-weather.csv of the package vega-datasets
// (highest, lowest, rain and wind of each day; wind taken as m/s). `year`: 2012 to 2015.
World make_real_world(const std::string& name, const std::string& csv, int year, int days);

// One pot as it is stated, and as it is.
struct Pot {
    PotSetup setup;
    double rim_l = 0;
    Belief believed, real;
    std::vector<DayCourse> believed_course, real_course;   // over World::seen and World::truth
    PotHistory real_history;                               // starts only
    std::optional<Ensemble> real_start;
    double held_days = 0;                                  // free water over a day's use at ET0 6 mm
    bool young = false;                                    // roots do not fill the pot yet
};
// `truth`: the tables around whose spreads the hidden numbers are drawn.
Pot make_pot(const World&, const Tables&, const Tables& truth, const std::string& name);

// The truth under one rule.
class Truth {
public:
    Truth(const World&, const Pot&, const Priors&);
    void to(Instant);
    // Gives water by hand at the present moment; returns the litres that were really given. `hand`: standard normal score of
    // the hand (or of where water shows); `ignores`: pours the whole ceiling though told to stop.
    struct Hand {
        double score = 0;
        bool ignores = false;
    };
    struct Given {
        double pour_l = 0;
        bool ran_through = false;
    };
    Given pour(const Manner&, Hand);
    double missing_l() const { return depletion_l(e_.state)[0]; }
    double available_l() const { return tubgrove::available_l(e_.state)[0]; }
    const Ensemble& state() const { return e_; }
    Fluxes booked{1};

private:
    const World& world_;
    const Pot& pot_;
    const Priors& priors_;
    PotHistory history_;
    Ensemble e_;
};

}  // namespace advice
