#pragma once
// The weather that each member believes in: ET0 of its own bay, its own error of the weather, its own rain.
#include "ensemble/belief.hpp"
#include "ensemble/ensemble.hpp"

#include <span>
#include <vector>

namespace tubgrove {

// One day for all members: row h holds the members' values of the day's hour h.
struct MemberDay {
    std::size_t members = 0;
    std::vector<double> et0_mm;             // hours x members
    std::vector<double> rain_mm;            // hours x members; empty where no rain falls all day
    std::vector<unsigned char> rains;       // per hour: any rain
    std::vector<double> day_et0_mm;         // members
    std::span<const double> et0(std::size_t hour) const { return std::span(et0_mm).subspan(hour * members, members); }
    std::span<const double> rain(std::size_t hour) const {
        return rains[hour] ? std::span(rain_mm).subspan(hour * members, members) : std::span<const double>();
    }
};

// A day that has been lived through, or lies ahead.
struct Ahead {
    int days = 0;                           // 0: lived through; 1: the first day of the forecast, …
    bool several = false;                   // real forecast members: their spread stands for the forecast's error
};

// What each member's bay does with the weather; it changes with the scores only.
struct MemberPlace {
    std::vector<double> light, wind, heat;
    std::optional<RoomAir> room;            // of a bay indoors
};
MemberPlace member_place(const Ensemble&, const Belief&);
MemberDay member_day(const Ensemble&, const MemberPlace&, const Priors&, const DayRecord&, const Ahead& = {});

}  // namespace tubgrove
