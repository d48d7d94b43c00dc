#pragma once
// Weather as JSON through a mapping: an array of rows streams; a document of columns (arrays of equal length), or of one row, is read whole.
#include "intake/weather_reader.hpp"
#include "intake/weather_time.hpp"

namespace tubgrove {

void read_weather_json(std::istream& in, std::string_view file, const Mapping& mapping, const TimeRule& time, const ObservationSink& sink,
                       const WeatherProgress& progress, WeatherTaken& taken);

// When a forecast says that it was issued, at a JSON pointer: RFC 3339, or seconds since 1970. Without an offset it is of the zone.
Parsed<Instant> issued_in(std::string_view json, std::string_view pointer, const Zone& zone);

}  // namespace tubgrove
