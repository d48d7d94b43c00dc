#pragma once
// What a rule may ask of one tree in its pot on a day.
#include "care/frost.hpp"
#include "care/marks.hpp"
#include "care/rule.hpp"
#include "care/site.hpp"
#include "ensemble/setup.hpp"
#include "tree/rootstock.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

// An entry of the pot as care needs it. `word` is the first word of what followed the action: "blight" of `saw blight`.
struct CareEntry {
    std::int64_t id = 0;
    LocalDay day{};
    std::string action, word, tree;
    std::map<std::string, std::string> values = {};
};

struct TreeCare {
    Tree tree;
    const Species* species = nullptr;
    const CareSpecies* care = nullptr;       // null: a species without a row
    Rootstock stock;                         // its stock's row, or that of its class of vigour
    std::string stock_name;                  // as stated, for published figures
    const TreeYears* years = nullptr;
    bool partner_here = false;               // another tree of its kind in the garden
};

// Where a pot stands: the bay's shares, at their most likely, and its words.
struct PotPlace {
    double wind = 0.7, light = 1, rain = 1;
    std::string place = {}, ground = {};
    bool operator==(const PotPlace&) const = default;
};
struct PotStood {
    LocalDay until{};                        // the day of the move, which counts here
    PotPlace at;
};

struct PotCare : PotPlace {
    std::string id, label, bay;
    int order = 0;                           // in the walk
    std::vector<PotStood> stood;             // places that it was moved away from, oldest first
    const PotPlace& place_on(LocalDay day) const {
        for (const auto& s : stood)
            if (day <= s.until) return s.at;
        return *this;
    }
    std::string to_bay;                      // the most sheltered bay, for a pot that is moved; empty: its own is as sheltered
    std::string out_bay;                     // the bay outdoors that it stood in last, else the most sheltered one; empty: there is none
    PotSetup setup;
    double volume_l = 0;
    double wet_kg_l = 1.1;                   // of the medium, drained
    LocalDay added{};                        // first day in the garden
    LocalDay mulched{};                      // day of the mulch fact
    std::optional<double> dry_share;         // what is missing today, of what the tree takes up freely
    std::vector<TreeCare> trees;
    std::vector<CareEntry> entries;          // oldest first
};

// Mulch wears: 4 cm are 3 cm after 120 days. Own assumption
double worn_mulch_cm(double laid_cm, double days);

inline constexpr double never_d = 100'000;

// The medium's lowest and highest of each day of the site.
struct MediumCourse {
    std::vector<float> min_degC, max_degC;
};

// The coming night against the stage that it would find: the tenderer of today's and tomorrow's.
struct FlowerNight {
    double min_degC = 0, margin_K = 0;       // as forecast; how much colder it may be at the flower
    const BudKill* stage = nullptr;          // what decides
    bool tomorrow = false;                   // it is not reached yet
    double spare_K() const { return min_degC - margin_K - stage->kill10_degC(); }
};

// A pot and one of its trees. The medium's temperature of every known day is worked out once, on first need.
class Situation {
public:
    Situation(const CareSite& site, const PotCare& pot, const TreeCare& tree) : site_(site), pot_(pot), tree_(tree) {}

    // The tree's entries of a word, "saw" or "saw:blight", oldest first. They are looked up once a word.
    const std::vector<const CareEntry*>& entries_of(std::string_view word) const;
    // Days since the newest entry of the word, not after `day`; never_d when there is none.
    double days_since(std::string_view word, LocalDay day) const;
    // `done`: when the rule in question was last done, for dd10_since_done.
    double value(CareValue, std::string_view entry, LocalDay day, std::optional<LocalDay> done = {}) const;
    bool holds(const Condition&, LocalDay day, std::optional<LocalDay> done = {}) const;
    bool all(const std::vector<Condition>&, LocalDay day, std::optional<LocalDay> done = {}) const;
    const Condition* any(const std::vector<Condition>&, LocalDay day, std::optional<LocalDay> done = {}) const;

    const CareSite& site() const { return site_; }
    const PotCare& pot() const { return pot_; }
    const TreeCare& tree() const { return tree_; }
    // When a graft can begin to move: the day of grafting; of a bud set in summer, which sleeps until spring, the next green tip. Empty:
    // none is noted, or that spring is further off than the days known.
    std::optional<LocalDay> graft_awake() const;
    double heavy_kg() const;                 // of the wet pot with its tree
    // Empty: no flower is at stake, the stage rests on usual days, or nothing is forecast.
    std::optional<FlowerNight> flower_night(LocalDay) const;

    // Values that stand for computed ones: for tests of single rules.
    std::map<CareValue, double> stated;

private:
    double weather(CareValue, LocalDay) const;
    double roots(CareValue, LocalDay) const;
    double disease(CareValue, LocalDay) const;
    double tree_year(CareValue, LocalDay) const;
    double tree_life(CareValue, LocalDay) const;
    double pot_state(CareValue, LocalDay) const;
    bool newer(std::string_view word, std::string_view than, LocalDay) const;
    double kept_off_K(LocalDay) const;
    double thaw_after_d(LocalDay) const;
    double blight_of(LocalDay) const;
    bool in_leaf(LocalDay) const;
    LocalDay bloom_of(LocalDay) const;
    bool bearing(LocalDay) const;
    bool fruiting(LocalDay) const;
    double graft_weeks(LocalDay) const;
    double planted_years(LocalDay) const;
    double graft_awake_weeks(LocalDay) const;
    double drained_l(LocalDay from, LocalDay to) const;
    double rain_on_it_mm(LocalDay from, LocalDay to) const;   // in the places in which it stood
    double topple_m_s() const;
    double strongest_stood_m_s(LocalDay) const;
    void warm_medium(MediumCourse&, bool wrapped) const;
    double medium(LocalDay from, LocalDay to, bool lowest) const;

    const CareSite& site_;
    const PotCare& pot_;
    const TreeCare& tree_;
    mutable MediumCourse medium_bare_, medium_wrapped_;   // worked out when first asked for
    mutable std::optional<bool> ever_wrapped_;
    mutable std::map<std::string, std::vector<const CareEntry*>, std::less<>> by_word_;
};

}  // namespace tubgrove
