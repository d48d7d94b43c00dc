// Any bytes as weather JSON, in rows and in columns: counts agree, and every observation has a length.
#include "intake/weather_reader.hpp"

#include <cstdlib>
#include <sstream>

namespace {

tubgrove::Mapping service(const char* rows, const char* at, const char* t) {
    tubgrove::Mapping m;
    m.name = "service";
    m.format = "json";
    m.time_format = "epoch";
    m.rows = rows;
    m.time = at;
    m.columns = {{t, tubgrove::Channel::air_temperature_mean, "degC", false}};
    return m;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace tubgrove;
    static const Zone zone = *Zone::find("Europe/Madrid");
    static const Mapping rows = service("/data", "/at", "/air/t"), columns = service("", "/h/time", "/h/t");
    const std::string text(reinterpret_cast<const char*>(data), size);
    for (const auto* mapping : {&rows, &columns}) {
        long seen = 0;
        std::istringstream in(text);
        auto taken = read_weather(in, "fuzz.json", *mapping, zone, [&](std::span<const Observation> batch) {
            for (const auto& observation : batch)
                if (++seen; observation.ends <= observation.starts) std::abort();
        });
        if (taken.taken != seen || taken.rows != taken.taken + taken.refused) std::abort();
    }
    return 0;
}
