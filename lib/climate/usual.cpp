// The lowest rung: what a month is usually like here.
#include "climate/ladder.hpp"

#include <algorithm>
#include <map>

namespace tubgrove {

namespace {

constexpr int days_that_make_a_month = 10;  // own records of fewer days say too little of a month; own assumption
constexpr double feel_K = 3;                // of a day called cool or hot; own assumption
constexpr int days_around = 7;              // known days so near to a day without a word of it correct the guess; own assumption
constexpr double guess_counts_days = 1;     // the guess counts as so many days beside them; own assumption

unsigned month_of(LocalDay day) { return unsigned(std::chrono::year_month_day(day).month()); }

int days_of_month(LocalDay day) {
    const std::chrono::year_month_day ymd(day);
    return int(unsigned((ymd.year() / ymd.month() / std::chrono::last).day()));
}

// One day of the garden's own record.
struct OwnDay {
    double max_degC = -1000, min_degC = 1000, rain_mm = 0;
    double seen_h = 0;
    bool has_rain = false;
    double rain_by_hour_mm = 0;  // a gauge that reports both hours and days must not count twice
};

void take(OwnDay& day, const Observation& observation) {
    bool has_temperature = false;   // hours of rain alone say nothing of a day's extremes
    for (Channel c : {Channel::air_temperature_mean, Channel::air_temperature_max, Channel::air_temperature_min}) {
        const double t = observation[c];
        if (!(t >= -60 && t <= 60)) continue;
        has_temperature = true;
        day.max_degC = std::max(day.max_degC, t);
        day.min_degC = std::min(day.min_degC, t);
    }
    const double length_h = double((observation.ends - observation.starts).count()) / 3600;
    if (has_temperature) day.seen_h += length_h;
    const double rain_mm = observation[Channel::precipitation_amount_sum];
    if (!(rain_mm >= 0)) return;
    (length_h > 6 ? day.rain_mm : day.rain_by_hour_mm) += rain_mm;
    day.has_rain = true;
}

// What the series of a rung tell of each day before now; no forecasts.
std::map<LocalDay, OwnDay> days_told(const Weather& weather, Rung rung) {
    std::map<LocalDay, OwnDay> days;
    for (const SeriesReadings& part : weather.readings) {
        if (part.series.rung != rung || part.series.issued) continue;
        for (const Observation& observation : part.observations) {
            const bool of_a_day = observation.ends - observation.starts <= std::chrono::hours(36);
            if (observation.ends > weather.now || !of_a_day) continue;
            take(days[weather.site.zone.day_of(observation.starts + (observation.ends - observation.starts) / 2)], observation);
        }
    }
    return days;
}

bool has_extremes(const OwnDay& day) { return day.seen_h >= 20 && day.max_degC > day.min_degC; }

// Of so many days and more the mean, else nothing.
template <class Counts>
std::optional<MonthNormals> mean_of(const std::map<LocalDay, OwnDay>& all, Counts counts) {
    MonthNormals sum;
    int days = 0, rain_days = 0;
    for (const auto& [day, own] : all) {
        if (!has_extremes(own) || !counts(day)) continue;
        sum.air_temp_max_degC += own.max_degC;
        sum.air_temp_min_degC += own.min_degC;
        ++days;
        if (own.has_rain) sum.rain_mm += std::max(own.rain_mm, own.rain_by_hour_mm), ++rain_days;
    }
    if (days < days_that_make_a_month) return std::nullopt;
    return MonthNormals{sum.air_temp_max_degC / days, sum.air_temp_min_degC / days,
                        rain_days > 0 ? sum.rain_mm / rain_days * 30.4 : 0};
}

// What is usual comes from other years than the one that is judged by it: a hot July is not usual for its own heat. Only a garden
// without another year has nothing else than the month's own days.
std::optional<MonthNormals> own_month(const Weather& weather, const std::map<LocalDay, OwnDay>& own, unsigned month) {
    const auto year = std::chrono::year_month_day(weather.site.zone.day_of(weather.now)).year();
    const auto others = mean_of(own, [&](LocalDay day) { return month_of(day) == month && std::chrono::year_month_day(day).year() != year; });
    return others ? others : mean_of(own, [&](LocalDay day) { return month_of(day) == month; });
}

}  // namespace

struct DaysTold {
    std::map<LocalDay, OwnDay> own;
    std::map<LocalDay, OwnDay> best;                        // of each day what its best rung tells of both extremes
    std::array<std::optional<MonthNormals>, 12> own_months;
};

namespace {

std::shared_ptr<const DaysTold> all_told(const Weather& weather) {
    DaysTold told{.own = days_told(weather, Rung::own_readings), .best = {}, .own_months = {}};
    for (unsigned month = 1; month <= 12; ++month) told.own_months[month - 1] = own_month(weather, told.own, month);
    const auto add = [&](const std::map<LocalDay, OwnDay>& days) {
        for (const auto& [day, seen] : days)
            if (has_extremes(seen)) told.best.emplace(day, seen);
    };
    add(told.own);
    add(days_told(weather, Rung::published));
    add(days_told(weather, Rung::by_hand));
    return std::make_shared<const DaysTold>(std::move(told));
}

// By how much the days within a week of a day lie above what is guessed of them; for a day to come, those of the last week. The guess
// knows no coast, no town and no weather, which a few days of record do. Empty: no such day was told.
std::optional<MonthNormals> off_the_guess(const Weather& weather, const DaysTold& told, LocalDay day) {
    const LocalDay middle = std::min(day, weather.site.zone.day_of(weather.now));
    MonthNormals sum;
    int days = 0;
    for (auto near = told.best.lower_bound(middle - std::chrono::days(days_around));
         near != told.best.end() && near->first <= middle + std::chrono::days(days_around); ++near) {
        const MonthNormals guess = guessed_normals(weather.site.latitude, weather.site.elevation, month_of(near->first));
        sum.air_temp_max_degC += near->second.max_degC - guess.air_temp_max_degC;
        sum.air_temp_min_degC += near->second.min_degC - guess.air_temp_min_degC;
        ++days;
    }
    if (days == 0) return std::nullopt;
    return MonthNormals{sum.air_temp_max_degC / (days + guess_counts_days), sum.air_temp_min_degC / (days + guess_counts_days), 0};
}

struct Usual {
    MonthNormals month;
    std::string_view how;
};
Usual usual(const Weather& weather, int day) {
    const LocalDay local = weather.calendar.days[day];
    const unsigned month = month_of(local);
    if (weather.site.normals) return {(*weather.site.normals)[month - 1], "normals"};
    if (!weather.told) weather.told = all_told(weather);
    if (const auto& own = weather.told->own_months[month - 1]) return {*own, "normals"};
    MonthNormals guess = guessed_normals(weather.site.latitude, weather.site.elevation, month);
    const auto off = off_the_guess(weather, *weather.told, local);
    if (!off) return {guess, "guess"};
    guess.air_temp_max_degC += off->air_temp_max_degC;
    guess.air_temp_min_degC += off->air_temp_min_degC;
    return {guess, "days-near"};
}

Feel feel_of(const Weather& weather, int day) {
    const auto said = weather.site.feel.find(weather.calendar.days[day]);
    return said == weather.site.feel.end() ? Feel::usual : said->second;
}

}  // namespace

Extremes usual_extremes(const Weather& weather, int day) {
    const Usual u = usual(weather, day);
    const Feel feel = feel_of(weather, day);
    const double shift_K = feel == Feel::hot ? feel_K : feel == Feel::cool ? -feel_K : 0;
    return {u.month.air_temp_max_degC + shift_K,
            u.month.air_temp_min_degC + shift_K,
            u.how,
            Origin::estimated,
            nullptr,
            true};
}

// A hot day is taken as a dry one: counting on rain that does not come costs more than one pour too many.
Found usual_rain_mm(const Weather& weather, int day) {
    const Usual u = usual(weather, day);
    if (u.how != "normals") return {0, "none-known", Origin::estimated, false, true};
    if (feel_of(weather, day) == Feel::hot) return {0, "normals", Origin::estimated, false, true};
    return {u.month.rain_mm / days_of_month(weather.calendar.days[day]), "normals", Origin::estimated, false, true};
}

}  // namespace tubgrove
