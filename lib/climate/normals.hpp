#pragma once
// What a month is usually like, for days that nobody measured or forecast.
#include "units.hpp"

#include <array>

namespace tubgrove {

struct MonthNormals {
    double air_temp_max_degC = 0;  // mean of the days' maxima
    double air_temp_min_degC = 0;  // mean of the days' minima
    double rain_mm = 0;            // of the month
};
using YearNormals = std::array<MonthNormals, 12>;  // January first

// A guess from latitude and elevation alone, for a garden without any records; some 5 K of error is usual, rain is
// not guessed (0). Sea-level yearly mean 27.5 - 0.0072 lat^2 degC, half the yearly swing 0.25 K per degree of
// latitude, warmest 28 days after the summer solstice, a daily range of 10 K, 6.5 K colder per km of height. Source:
// own assumption, shaped after the well known zonal means; not from a work.
MonthNormals guessed_normals(Degrees latitude, Metres elevation, unsigned month);  // month 1..12

}  // namespace tubgrove
