#include "climate/rain.hpp"

#include "climate/marks.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace tubgrove {

namespace {

// The hour of a day in which a daily total falls: the one of 15 h local time, or the nearest later, else the nearest
// earlier, of those that `open` allows.
int hour_of_block(const Weather& weather, int day, const std::vector<int>& open) {
    const Instant three = weather.site.zone.at(LocalTime(weather.calendar.days[day]) + std::chrono::hours(15));
    for (int place : open)
        if (ends_of(weather.calendar.hours[place]) > three) return place;
    return open.back();
}

// A daily total over the hours that nobody recorded: what the same series' own hours leave of it, or of a total from this garden
// what was recorded here; else the hours' part.
double block_mm(const Weather& weather, int day, const SeriesTable* table, double total_mm, double recorded_mm,
                const std::vector<int>& open) {
    double by_hour_mm = 0, open_h = 0, day_h = 0;
    bool has_hours = false;
    for (int place = weather.calendar.first_hour[day]; place < weather.calendar.first_hour[day + 1]; ++place) {
        const double rain = table ? table->hour(place, Channel::precipitation_amount_sum) : NAN;
        if (!std::isnan(rain)) by_hour_mm += rain, has_hours = true;
        day_h += weather.calendar.hours[place].length_h;
    }
    for (int place : open) open_h += weather.calendar.hours[place].length_h;
    const bool from_here = table && !table->series.issued && table->series.rung != Rung::published;
    if (from_here && !has_hours) return std::max(0.0, total_mm - recorded_mm);
    return has_hours ? std::max(0.0, total_mm - by_hour_mm) : total_mm * open_h / day_h;
}

struct RainSpeaker {
    Found rain;  // of the hour, or of the day where `of_day`
    const SeriesTable* table = nullptr;
    bool of_day = false;
};
RainSpeaker rain_speaker(const Weather& weather, int day, int place) {
    for (const SeriesTable* table : weather.of_day[day]) {
        const bool forecast = table->series.issued.has_value();
        const double hour = table->hour(place, Channel::precipitation_amount_sum);
        if (!std::isnan(hour))
            return {{hour, "hourly", origin_of(*table, weather, place), forecast, false}, table, false};
        const double total = table->day(day, Channel::precipitation_amount_sum);
        const Origin origin = std::max(Origin::derived, origin_of(*table, weather, place));
        if (!std::isnan(total)) return {{total, "block", origin, forecast, false}, table, true};
    }
    return {usual_rain_mm(weather, day), nullptr, true};
}

}  // namespace

RainOfDay complete_rain(const Weather& weather, int day, std::vector<HourWeather>& hours) {
    RainOfDay all;
    Mark mark;
    std::optional<Rung> wet, any;
    std::vector<int> open;
    std::optional<RainSpeaker> daily;
    const int first = weather.calendar.first_hour[day];
    for (int place = first; place < weather.calendar.first_hour[day + 1]; ++place) {
        const RainSpeaker speaker = rain_speaker(weather, day, place);
        mark.add(speaker.rain);
        all.guessed = all.guessed || speaker.rain.guessed;
        const Rung rung = speaker.table ? speaker.table->series.rung : Rung::normals;
        any = std::max(any.value_or(rung), rung);
        if (speaker.rain.value > 0) wet = std::max(wet.value_or(rung), rung);
        hours[place - first].rain_guessed = speaker.rain.guessed;
        if (!speaker.of_day)
            hours[place - first].rain_mm = speaker.rain.value;
        else
            open.push_back(place), daily = speaker;
    }
    if (!open.empty()) {
        double recorded_mm = 0;
        for (const HourWeather& hour : hours) recorded_mm += hour.rain_mm;
        const int place = hour_of_block(weather, day, open);
        hours[place - first].rain_mm = block_mm(weather, day, daily->table, daily->rain.value, recorded_mm, open);
    }
    double total_mm = 0;
    for (const HourWeather& hour : hours) total_mm += hour.rain_mm;
    all.mm = mark.of(total_mm);
    all.rung = wet ? *wet : any.value_or(Rung::normals);
    return all;
}

}  // namespace tubgrove
