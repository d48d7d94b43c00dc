// Any bytes as weather CSV, our own and foreign: counts agree, and every observation is finite or missing and has a length.
#include "intake/weather_reader.hpp"

#include <cmath>
#include <cstdlib>
#include <sstream>

namespace {

void check(const tubgrove::WeatherTaken& taken, long seen) {
    if (taken.taken != seen || taken.rows != taken.taken + taken.refused) std::abort();
}

tubgrove::Mapping station() {
    tubgrove::Mapping m;
    m.name = "station";
    m.time = "Time";
    m.time_format = "%d.%m.%Y %H:%M";
    m.separator = ';';
    m.missing = {"--", "-9999"};
    m.columns = {{"Temp", tubgrove::Channel::air_temperature_mean, "degF", false},
                 {"Rain", tubgrove::Channel::precipitation_amount_sum, "mm", true}};
    return m;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace tubgrove;
    static const Zone zone = *Zone::find("Europe/Madrid");
    static const Mapping mapping = station();
    long seen = 0;
    auto sink = [&](std::span<const Observation> batch) {
        for (const auto& observation : batch) {
            ++seen;
            if (observation.ends <= observation.starts) std::abort();
            for (double value : observation.values)
                if (std::isinf(value)) std::abort();
        }
    };
    const std::string text(reinterpret_cast<const char*>(data), size);
    std::istringstream own(text), foreign(text);
    check(read_weather_csv(own, "fuzz.csv", zone, sink), seen);
    seen = 0;
    check(read_weather(foreign, "fuzz.csv", mapping, zone, sink), seen);
    return 0;
}
