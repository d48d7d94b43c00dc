#pragma once
// Weather files as text, what reading them gives, and a station's mapping.
#include "catch.h"
#include "intake/weather_reader.hpp"
#include "intake/weather_time.hpp"

#include <sstream>
#include <string>
#include <vector>

namespace tubgrove::files {

using Texts = std::vector<std::string>;

struct Taken {
    WeatherTaken told;
    std::vector<Observation> rows;
    Texts messages;
};

inline const Zone zone = *Zone::find("Europe/Budapest");

inline Taken told(Taken taken) {
    for (const auto& c : taken.told.complaints) taken.messages.push_back(format(c));
    return taken;
}
inline Taken csv(const std::string& text) {
    Taken taken;
    std::istringstream in(text);
    taken.told = read_weather_csv(in, "w.csv", zone, [&](auto batch) { taken.rows.insert(taken.rows.end(), batch.begin(), batch.end()); });
    return told(std::move(taken));
}
inline Taken mapped(const Mapping& mapping, const std::string& text) {
    Taken taken;
    std::istringstream in(text);
    taken.told = read_weather(in, "w", mapping, zone, [&](auto batch) { taken.rows.insert(taken.rows.end(), batch.begin(), batch.end()); });
    return told(std::move(taken));
}
inline std::string at(Instant t) { return format_rfc3339(t, Zone::utc()); }

inline Mapping station() {
    Mapping m;
    m.name = "station";
    m.time = "Time";
    m.time_format = "%d.%m.%Y %H:%M";
    m.span = std::chrono::minutes(10);
    m.separator = ';';
    m.missing = {"--", "-9999"};
    m.columns = {{"Temp", Channel::air_temperature_mean, "degF", false}, {"Rain", Channel::precipitation_amount_sum, "mm", true}};
    return m;
}
inline constexpr auto T = Channel::air_temperature_mean;
inline constexpr auto rain = Channel::precipitation_amount_sum;

}  // namespace tubgrove::files
