#pragma once
// Weather as JSON through a mapping: an array of rows streams; a document of columns (arrays of equal length) is read whole.
#include "intake/weather_reader.hpp"
#include "intake/weather_time.hpp"

namespace tubgrove {

void read_weather_json(std::istream& in, std::string_view file, const Mapping& mapping, const TimeRule& time, const ObservationSink& sink,
                       const WeatherProgress& progress, WeatherTaken& taken);

}  // namespace tubgrove
