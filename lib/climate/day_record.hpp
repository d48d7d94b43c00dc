#pragma once
// One local day's weather made complete, every value marked with where it came from; and its hours.
#include "calendar.hpp"
#include "weather.hpp"

#include <string>
#include <vector>

namespace tubgrove {

enum class Origin : unsigned char { measured, derived, estimated };

// A value of a day record with its mark and, in one word, the step that made it ("rh-max-min", "tmin-dew",
// "sunshine", "temperature-range", "normals", …). Words are listed in climate/complete.hpp.
struct Marked {
    double value = 0;
    Origin origin = Origin::measured;
    std::string how;
};

// What makes an hour's ET0 in any bay: the site's weather reduced to terms that a bay's share of radiation and
// wind act on. Hourly weather: the ASCE-EWRI hourly form. Daily weather: FAO-56 eq. 6 for the bay's day, of which
// the hour has `share`. All energies in MJ m-2 of the hour (of the day for a daily basis).
struct Et0Terms {
    double share = 1;           // of the day's ET0 that falls in this hour; 1 for hourly weather
    bool hourly = true;         // selects 0.24/0.96 and G by day and night; a daily basis has Cd 0.34 and G 0
    double rs_MJ_m2 = 0;        // at the open site
    double rs_over_rso = 0.6;   // at the open site, for the cloud factor; carried through the night
    double longwave_MJ_m2 = 0;  // net outgoing longwave at a cloud factor of 1
    double delta_kPa_K = 0, gamma_kPa_K = 0;
    double aerodynamic =
        0;  // gamma Cn/(T + 273) (es - ea), Cn 37 an hour or 900 a day: times u2 it is the numerator's wind part
    double wind_2m_m_s = 0;  // at the open site
};

struct HourWeather {
    Instant starts{};
    double length_h = 1;  // 1, or 0.5 where a zone changes by half an hour
    double air_temp_degC = 0;
    double rain_mm = 0;  // over the open site
    bool rain_guessed = false;  // by the month's usual rain: nobody told of this hour
    Et0Terms et0;
    double et0_mm = 0;  // at the open site, not below 0
    Origin origin = Origin::measured;
};

// Which inputs of a day's ET0 (and its rain) were not measured but guessed, in at least one hour: humidity from the
// night's minimum, radiation from the temperature range, 2 m/s wind, anything from normals.
struct Guessed {
    bool air_temperature = false, humidity = false, radiation = false, wind = false, rain = false;
};

// From when to when the reading lasted that had a day's highest gust: the gust itself lasted some seconds of it.
struct GustSpan {
    Instant starts{}, ends{};
};

struct DayRecord {
    LocalDay day{};
    Instant starts{}, ends{};
    Rung rung = Rung::own_readings;  // of the air temperature
    std::string source;              // series that gave the air temperature
    Marked air_temp_max_degC, air_temp_min_degC;
    Marked vapour_pressure_kPa;
    Marked wind_2m_m_s;
    Marked radiation_MJ_m2;
    Marked rain_mm;
    Rung rain_rung = Rung::own_readings;  // the lowest of those that gave the day's rain
    std::optional<Marked> gust_m_s;
    std::optional<GustSpan> gust_when = {};  // empty: only the day's highest is known
    double mean_temp_degC = 0;  // mean of the hours
    double clear_sky_MJ_m2 = 0, extraterrestrial_MJ_m2 = 0, daylight_h = 0;
    double et0_mm = 0;     // sum of the hours, or eq. 6
    bool hourly = false;   // ET0 from hourly weather
    bool complete = true;  // false: part of the day comes from a lower rung or lies ahead
    Guessed guessed;
    // How much of this day's ET0 stands on guesses, 0..1. Guessed weather errs low in heat: a day whose humidity,
    // radiation and wind are all guessed (1) came out 13 % low in a temperate heat wave, 27 % in a hot desert and 31
    // % in a dry wind, and 10 to 34 % high in humid or overcast weather. Widen upward by this share when the air is
    // hot.
    double guess_share = 0;
    std::vector<HourWeather> hours;
    std::vector<std::string> notes;  // quality findings in words: "wind below 0.5 m/s all week: …"
};

}  // namespace tubgrove
