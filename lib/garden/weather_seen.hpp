#pragma once
// The weather as a view may see it: complete local days from the store's readings.
#include "climate/complete.hpp"
#include "garden/answers.hpp"
#include "garden/forecast_record.hpp"
#include "intake/configuration.hpp"
#include "store/store.hpp"

#include <string_view>
#include <vector>

namespace tubgrove {

// Days from the first wanted one to the last, in every member of the forecasts that the view may see. The first member
// stands for the present and the past, which all members share; the others hold the days from the present on. A single
// forecast becomes several members by how far its source has erred here (ahead/spread.hpp), of which the first is the middle.
struct WeatherSeen {
    std::vector<std::vector<DayRecord>> members;   // at least one
    std::string from;                              // in words, for the list: "own readings", "own readings, then forecast of …"
    bool has_forecast = false;                     // one that reaches the present
    std::optional<Instant> newest_reading;         // end of the newest observation that is not a forecast
    std::optional<Instant> first_reading;
};

// The source under which rain that a person read off a gauge is kept.
inline constexpr std::string_view gauge_by_hand = "gauge read by hand";

enum class WeatherMembers : unsigned char { all, middle };   // the middle: the first member alone

WeatherSeen weather_seen(const Store& store, const View& view, const Configuration& configuration, const Zone& zone,
                         const DaySpan& span, ForecastKnowledge& knowledge, WeatherMembers which = WeatherMembers::all);

}  // namespace tubgrove
