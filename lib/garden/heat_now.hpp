#pragma once
// Heat as the garden sees it coming, and which days get an evening walk because of it. Private to this room.
#include "ahead/heat.hpp"
#include "garden/walks.hpp"
#include "garden/weather_seen.hpp"

namespace tubgrove {

// Days before the present that an episode may have begun in.
inline constexpr std::chrono::days heat_looked_back{10};

// Episodes that are not over, from the days around the present in all members of the weather seen. Without a forecast none is told.
std::vector<HeatEpisode> heat_now(ForecastKnowledge&, const WeatherSeen&, const Store&, const View&, const Site&, const Zone&);

// Episodes that are not over of which a forecast spoke that is too old by now.
std::vector<HeatEpisode> heat_told_before(const WeatherSeen&, const Store&, const View&, const Configuration&, const Zone&, const Figures&);

// An evening walk: where much evaporates, on the days of an episode, and on the evening before one.
IsHot hot_days(const WeatherSeen&, std::vector<HeatEpisode>, const Prices&);

}  // namespace tubgrove
