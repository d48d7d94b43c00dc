#pragma once
// The weather as a view may see it: complete local days from the store's readings.
#include "climate/complete.hpp"
#include "garden/answers.hpp"
#include "garden/forecast_members.hpp"
#include "garden/forecast_record.hpp"
#include "intake/configuration.hpp"
#include "store/store.hpp"

#include <string_view>
#include <vector>

namespace tubgrove {

// Days from the first wanted one to the last, in every member of the forecasts that the view may see (garden/forecast_members.hpp).
// The first member is the middle one and stands for the present and the past, which all members share; the others hold the days from
// the present on.
struct WeatherSeen {
    std::vector<std::vector<DayRecord>> members;   // at least one
    std::string from;                              // in words, for the list: "own readings", "own readings, then forecast of …"
    bool has_forecast = false;                     // one that reaches the present
    std::optional<ForecastsDiffer> differ;
    std::optional<Instant> too_old;                // no forecast speaks of what lies ahead; the newest that would was issued then
    std::optional<Instant> newest_reading;         // end of the newest observation that is not a forecast
    std::optional<Instant> first_reading;
};

// The source under which rain that a person read off a gauge is kept.
inline constexpr std::string_view gauge_by_hand = "gauge read by hand";

enum class WeatherMembers : unsigned char { all, middle };   // the middle: the first member alone

// A day's highest, degC: the median over the members that have the day; NaN: none has.
double middle_highest(const WeatherSeen&, LocalDay);

WeatherSeen weather_seen(const Store& store, const View& view, const Configuration& configuration, const Zone& zone,
                         const DaySpan& span, ForecastKnowledge& knowledge, WeatherMembers which = WeatherMembers::all);

}  // namespace tubgrove
