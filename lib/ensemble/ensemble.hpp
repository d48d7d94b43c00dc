#pragma once
// A pot's members: what is still believed of it. A plain value: it can be copied, kept as bytes and continued from.
// The same inputs give the same members to the last digit.
#include "ensemble/belief.hpp"
#include "ensemble/history.hpp"
#include "ensemble/weights.hpp"

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// A silent round whose truth no observation has settled yet: which members got it.
struct OpenRound {
    std::string round;
    std::vector<unsigned char> poured;
};
// What an observation made of a silent round: the weight of the members that got the pour (for the garden's counts).
struct SettledRound {
    std::string round;
    double share = 0;
};
// An observation that no member can explain: kept, not used, and asked about.
struct Doubt {
    std::int64_t entry = 0;
    Instant at{};
    double observed = 0, expected = 0, sd = 0;   // in the observation's unit
};

struct Ensemble {
    std::string pot;
    Instant until{};                        // the state holds for this moment; events at it are still to come
    LocalDay day{};                         // begun
    std::uint32_t setup = 0;                // of PotHistory::setups in force
    std::uint32_t events = 0;               // of PotHistory::events applied
    std::uint32_t resamplings = 0;
    std::array<std::vector<double>, std::size_t(dim_count)> score;   // standard normal score of each unknown
    Weights weights;
    PotState state{0};
    std::vector<double> reference_kg;       // drained weight that each member believes in; empty: never weighed
    Instant reference_at{};
    std::vector<double> last_pour_l, last_drained_l;   // of the newest pour, for what is then measured below
    std::vector<OpenRound> open;
    std::vector<SettledRound> settled;
    std::vector<Doubt> doubts;
    double warm_rate = 0;                   // of the day begun, for the next midnight

    std::size_t size() const { return weights.size(); }
    const std::vector<double>& operator[](Dim d) const { return score[std::size_t(d)]; }
    std::vector<double>& operator[](Dim d) { return score[std::size_t(d)]; }
};

// All that stays the same while one pot is run: a belief for each of its setups, the days, the events.
struct PotRun {
    const PotHistory& history;
    std::span<const Belief> beliefs;        // one a setup
    std::span<const DayCourse> days;        // consecutive, covering what is run
    const Priors& priors;
    const Zone& zone;
};

// The members before anything was seen, at history.starts.
Ensemble begin(const PotRun&, int members = member_count);

// Runs weather and events up to `until`; an event at `until` itself is left for the next call. Stops early where the days end.
// Checkpoints at local midnights continue to the same digits as one long run.
// `booked`: what crossed each member's border is added to it, when given.
void advance(Ensemble&, const PotRun&, Instant until, Fluxes* booked = nullptr);

// The drip line's times on a day.
std::vector<Instant> drip_times(const Belief&, const DayRecord&, const Zone&);

// The constants of the members, from their scores.
Members members_of(const Ensemble&, const Belief&);
// An unknown's value at a score.
double value_at(const Prior&, double score);
std::vector<double> values_at(const Prior&, std::span<const double> scores);
std::vector<double> values_of(const Ensemble&, const Belief&, Dim);

// Each member's transpiration per mm of ET0 and its crown, from the day's median canopy.
void member_canopy(const Ensemble&, const Belief&, const Canopy&, std::span<double> demand_l_mm, std::span<double> crown_m2);

// Total depletion D_r + D_u and available water A_r + A_u of each member, litres.
std::vector<double> depletion_l(const PotState&);
std::vector<double> available_l(const PotState&);

struct Percentiles {
    double low = 0, median = 0, high = 0;   // 10, 50, 90 %
};
Percentiles percentiles(std::span<const double> values, std::span<const double> weights);

// The whole value as bytes (little-endian, versioned), and back; empty when the bytes are not such a value.
std::string to_bytes(const Ensemble&);
std::optional<Ensemble> ensemble_from_bytes(std::string_view bytes);

}  // namespace tubgrove
