#include "garden/weather_told.hpp"

#include "intake/quantity.hpp"

#include <fmt/format.h>

namespace tubgrove {

std::optional<std::string> highest_below_lowest(const Store& store, std::string_view source, Instant from, Instant to) {
    constexpr auto max = Channel::air_temperature_max, min = Channel::air_temperature_min;
    const ReadingsQuery query{.from = from, .to = to, .learned_until = {}, .issued_until = {}, .forecasts = Forecasts::none};
    for (const auto& readings : store.readings(query)) {
        if (readings.series.source != source) continue;
        for (const auto& day : readings.observations)
            if (day.starts == from && day.ends == to && day.has(max) && day.has(min) && day[max] < day[min])
                return fmt::format("the highest, {} °C, now lies below the lowest, {} °C, so that neither counts; note the wrong one again",
                                   decimal(day[max]), decimal(day[min]));
    }
    return std::nullopt;
}

}  // namespace tubgrove
