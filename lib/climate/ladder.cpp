#include "climate/ladder.hpp"

#include "climate/radiation.hpp"
#include "climate/vapour.hpp"
#include "climate/wind.hpp"

#include <algorithm>

namespace tubgrove {

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double arid_drop_K = 2;         // Source: [FAO56] eq. 6-6, lower end of 2 to 3 K
constexpr int hours_that_make_air = 3;    // vapour pressure is nearly level through a day of one air mass
constexpr int hours_that_make_wind = 12;  // wind is not: nights are calmer than days

bool is_forecast(const SeriesTable& table) { return table.series.issued.has_value(); }

int last_hour_of(const Weather& weather, int day) { return weather.calendar.first_hour[day + 1] - 1; }

Found found(double value, std::string_view how, Origin origin, const SeriesTable& table) {
    return {value, how, origin, is_forecast(table), false};
}

const std::vector<const SeriesTable*>& speakers(const Weather& weather, int place) {
    return weather.of_day[weather.calendar.day_of[place]];
}

// Vapour pressure of an hour from one series, in [ASCE2005] order: dew point, wet bulb, relative humidity. Humidity
// belongs to the air that it was measured in, so the series' own temperature is used where it has one.
double vapour_in_hour(const SeriesTable& table, int place, double air_temp_degC, double pressure_kPa) {
    const double own = table.hour(place, Channel::air_temperature_mean);
    const Celsius t(std::isnan(own) ? air_temp_degC : own);
    const double dew = table.hour(place, Channel::dew_point_temperature_mean);
    if (!std::isnan(dew)) return kPa(vapour_pressure_from_dew_point(Celsius(dew)));
    const double wet = table.hour(place, Channel::wet_bulb_temperature_mean);
    if (!std::isnan(wet))
        return kPa(vapour_pressure_from_wet_bulb(Celsius(wet), t, Kilopascals(pressure_kPa), Psychrometer::natural));
    const double rh = table.hour(place, Channel::relative_humidity_mean);
    if (!std::isnan(rh)) return kPa(vapour_pressure_from_rh(t, rh));
    const double high = table.hour(place, Channel::relative_humidity_max),
                 low = table.hour(place, Channel::relative_humidity_min);
    if (!std::isnan(high) && !std::isnan(low)) return kPa(vapour_pressure_from_rh(t, (high + low) / 2));
    return nan;
}

// Mean vapour pressure of the hours that one series has of a day; NaN under `hours_that_make_air`.
double vapour_of_hours(const SeriesTable& table, const Weather& weather, int day, double mean_degC,
                       double pressure_kPa) {
    double sum = 0;
    int count = 0;
    for (int place = weather.calendar.first_hour[day]; place < weather.calendar.first_hour[day + 1]; ++place) {
        const double ea = vapour_in_hour(table, place, mean_degC, pressure_kPa);
        if (!std::isnan(ea)) sum += ea, ++count;
    }
    return count >= hours_that_make_air ? sum / count : nan;
}

std::optional<double> if_known(double value) { return std::isnan(value) ? std::nullopt : std::optional(value); }
std::optional<Celsius> celsius_if_known(double value) {
    return std::isnan(value) ? std::nullopt : std::optional(Celsius(value));
}

HumiditySources humidity_sources(const SeriesTable& table, const Weather& weather, int day, DayTemps t,
                                 double pressure_kPa) {
    const double mean_degC = (degC(t.max) + degC(t.min)) / 2;
    HumiditySources has;
    const double of_hours = vapour_of_hours(table, weather, day, mean_degC, pressure_kPa);
    if (!std::isnan(of_hours)) has.hours_mean = Kilopascals(of_hours);
    has.dew_point = celsius_if_known(table.day(day, Channel::dew_point_temperature_mean));
    has.wet_bulb = celsius_if_known(table.day(day, Channel::wet_bulb_temperature_mean));
    const double dry = table.day(day, Channel::air_temperature_mean);
    has.dry_bulb = Celsius(std::isnan(dry) ? mean_degC : dry);
    has.rh_max_pct = if_known(table.day(day, Channel::relative_humidity_max));
    has.rh_min_pct = if_known(table.day(day, Channel::relative_humidity_min));
    has.rh_mean_pct = if_known(table.day(day, Channel::relative_humidity_mean));
    return has;
}

DayTemps temps_of(const SeriesTable& table, int day, const Extremes& extremes) {
    const double max = table.day(day, Channel::air_temperature_max),
                 min = table.day(day, Channel::air_temperature_min);
    if (std::isnan(max) || std::isnan(min)) return {Celsius(extremes.max_degC), Celsius(extremes.min_degC)};
    return {Celsius(max), Celsius(min)};
}

// Shortwave of one series in an hour, MJ m-2: measured, else from the sunshine of the hour.
struct HourRadiation {
    double MJ_m2 = nan;
    bool from_sunshine = false;
};
HourRadiation radiation_in_hour(const SeriesTable& table, const Weather& weather, int place) {
    const double length_h = weather.calendar.hours[place].length_h;
    const double flux = table.hour(place, Channel::surface_downwelling_shortwave_flux_in_air_mean);
    if (!std::isnan(flux)) return {flux * 0.0036 * length_h, false};
    const double sunshine_h = table.hour(place, Channel::duration_of_sunshine_sum);
    if (std::isnan(sunshine_h)) return {};
    const Radiation ra(weather.sky.ra_MJ_m2[place]);
    return {MJ_per_m2(shortwave_from_sunshine(ra, sunshine_h / length_h)), true};
}

// The day's shortwave from those hours that one series has, if they hold at least half of the day's light.
HourRadiation radiation_of_hours(const SeriesTable& table, const Weather& weather, int day) {
    double rs = 0, ra = 0;
    bool from_sunshine = false;
    for (int place = weather.calendar.first_hour[day]; place < weather.calendar.first_hour[day + 1]; ++place) {
        const HourRadiation hour = radiation_in_hour(table, weather, place);
        if (std::isnan(hour.MJ_m2) || weather.sky.ra_MJ_m2[place] <= 0) continue;
        rs += hour.MJ_m2;
        ra += weather.sky.ra_MJ_m2[place];
        from_sunshine = from_sunshine || hour.from_sunshine;
    }
    const double day_ra = weather.sky.day_ra_MJ_m2[day];
    if (ra <= 0 || ra < 0.5 * day_ra) return {};
    return {rs / ra * day_ra, from_sunshine};
}

double relative_sunshine(double sunshine_h, double daylight) { return daylight > 0 ? sunshine_h / daylight : 0; }

// Shortwave from the day's temperature range, at most a clear sky; without a range a wholly overcast quarter of Ra.
Found radiation_from_range(const Weather& weather, int day, const Extremes& t) {
    const Radiation ra(weather.sky.day_ra_MJ_m2[day]), rso(weather.sky.day_rso_MJ_m2[day]);
    const double coefficient = weather.site.coastal ? range_coefficient_coast : range_coefficient_inland;
    const double range_K = t.max_degC - t.min_degC;
    if (range_K <= 0) return {0.25 * MJ_per_m2(ra), "overcast", Origin::estimated, false, true};
    const Radiation rs = std::min(shortwave_from_range(ra, range_K, coefficient), rso);
    return {MJ_per_m2(rs), "temperature-range", Origin::estimated, false, true};
}

double mean_of_hours(const SeriesTable& table, const Weather& weather, int day, Channel c, int least) {
    double sum = 0;
    int count = 0;
    for (int place = weather.calendar.first_hour[day]; place < weather.calendar.first_hour[day + 1]; ++place)
        if (const double value = table.hour(place, c); !std::isnan(value)) sum += value, ++count;
    return count >= least ? sum / count : nan;
}

}  // namespace

Origin origin_of(const SeriesTable& table, const Weather& weather, int place) {
    const bool ahead = ends_of(weather.calendar.hours[place]) > weather.now;
    return is_forecast(table) || ahead ? Origin::estimated : Origin::measured;
}

Found hour_temperature(const Weather& weather, const SeriesTable& table, int place) {
    double t = table.hour(place, Channel::air_temperature_mean);
    if (std::isnan(t))
        t = (table.hour(place, Channel::air_temperature_max) + table.hour(place, Channel::air_temperature_min)) / 2;
    return found(t, "hourly", origin_of(table, weather, place), table);
}

std::optional<Extremes> day_extremes(const Weather& weather, int day) {
    const int last = last_hour_of(weather, day);
    for (const SeriesTable* table : weather.of_day[day]) {
        const double max = table->day(day, Channel::air_temperature_max),
                     min = table->day(day, Channel::air_temperature_min);
        if (std::isnan(max) || std::isnan(min)) continue;
        const bool by_hand = table->series.rung == Rung::by_hand;
        return Extremes{max, min, by_hand ? "by-hand" : "daily", origin_of(*table, weather, last), table, false};
    }
    const Extremes usual = usual_extremes(weather, day);
    const double range_K = usual.max_degC - usual.min_degC;
    for (const SeriesTable* table : weather.of_day[day]) {
        const double max = table->day(day, Channel::air_temperature_max),
                     min = table->day(day, Channel::air_temperature_min);
        const double mean = table->day(day, Channel::air_temperature_mean);
        if (!std::isnan(max)) return Extremes{max, max - range_K, "one-extreme", Origin::estimated, table, true};
        if (!std::isnan(min)) return Extremes{min + range_K, min, "one-extreme", Origin::estimated, table, true};
        if (!std::isnan(mean))
            return Extremes{mean + range_K / 2, mean - range_K / 2, "mean-only", Origin::estimated, table, true};
    }
    return std::nullopt;
}

Found hour_vapour_kPa(const Weather& weather, int place, double air_temp_degC, double pressure_kPa) {
    for (const SeriesTable* table : speakers(weather, place)) {
        const double ea = vapour_in_hour(*table, place, air_temp_degC, pressure_kPa);
        if (!std::isnan(ea)) return found(ea, "hourly", origin_of(*table, weather, place), *table);
    }
    return {};
}

Found day_vapour_kPa(const Weather& weather, int day, const Extremes& extremes, double pressure_kPa) {
    for (const SeriesTable* table : weather.of_day[day]) {
        const DayTemps t = temps_of(*table, day, extremes);
        const Humidity humidity =
            day_humidity(humidity_sources(*table, weather, day, t, pressure_kPa), t, Kilopascals(pressure_kPa), 0);
        if (humidity.how == "tmin-dew") continue;
        return found(kPa(humidity.vapour_pressure), humidity.how,
                     origin_of(*table, weather, last_hour_of(weather, day)), *table);
    }
    const double drop_K = weather.site.arid ? arid_drop_K : 0;
    const Kilopascals ea = vapour_pressure_from_night_minimum(Celsius(extremes.min_degC), drop_K);
    return {kPa(ea), "tmin-dew", Origin::estimated, false, true};
}

Found hour_wind_m_s(const Weather& weather, int place) {
    for (const SeriesTable* table : speakers(weather, place)) {
        const double u = table->hour(place, Channel::wind_speed_mean);
        if (std::isnan(u)) continue;
        const MetresPerSecond u2 = wind_at_2m(MetresPerSecond(u), Metres(table->series.wind_height_m));
        return found(m_per_s(u2), "hourly", origin_of(*table, weather, place), *table);
    }
    return {};
}

Found day_wind_m_s(const Weather& weather, int day) {
    const int last = last_hour_of(weather, day);
    for (const SeriesTable* table : weather.of_day[day]) {
        const double of_hours = mean_of_hours(*table, weather, day, Channel::wind_speed_mean, hours_that_make_wind);
        const double u = std::isnan(of_hours) ? table->day(day, Channel::wind_speed_mean) : of_hours;
        if (std::isnan(u)) continue;
        const MetresPerSecond u2 = wind_at_2m(MetresPerSecond(u), Metres(table->series.wind_height_m));
        return found(m_per_s(u2), std::isnan(of_hours) ? "daily" : "hourly", origin_of(*table, weather, last),
                     *table);
    }
    return {m_per_s(unknown_wind), "no-wind", Origin::estimated, false, true};
}

Found hour_radiation_MJ_m2(const Weather& weather, int place) {
    for (const SeriesTable* table : speakers(weather, place)) {
        const HourRadiation hour = radiation_in_hour(*table, weather, place);
        if (std::isnan(hour.MJ_m2)) continue;
        const Origin origin = origin_of(*table, weather, place);
        if (!hour.from_sunshine) return found(hour.MJ_m2, "hourly", origin, *table);
        return found(hour.MJ_m2, "sunshine", std::max(origin, Origin::derived), *table);
    }
    return {};
}

Found day_radiation_MJ_m2(const Weather& weather, int day, const Extremes& extremes) {
    const Radiation ra(weather.sky.day_ra_MJ_m2[day]);
    for (const SeriesTable* table : weather.of_day[day]) {
        const Origin origin = origin_of(*table, weather, last_hour_of(weather, day));
        const HourRadiation hours = radiation_of_hours(*table, weather, day);
        if (!std::isnan(hours.MJ_m2))
            return hours.from_sunshine ? found(hours.MJ_m2, "sunshine", std::max(origin, Origin::derived), *table)
                                       : found(hours.MJ_m2, "hourly", origin, *table);
        const double flux = table->day(day, Channel::surface_downwelling_shortwave_flux_in_air_mean);
        if (!std::isnan(flux))
            return found(flux * 0.0864 * weather.calendar.hours_in(day) / 24, "daily", origin, *table);
        const double sunshine_h = table->day(day, Channel::duration_of_sunshine_sum);
        if (std::isnan(sunshine_h)) continue;
        const double relative = relative_sunshine(sunshine_h, weather.sky.day_daylight_h[day]);
        return found(MJ_per_m2(shortwave_from_sunshine(ra, relative)), "sunshine", std::max(origin, Origin::derived),
                     *table);
    }
    return radiation_from_range(weather, day, extremes);
}

double hour_pressure_kPa(const Weather& weather, int place, double otherwise_kPa) {
    for (const SeriesTable* table : speakers(weather, place)) {
        const double p = table->hour(place, Channel::air_pressure_mean);
        if (p > 30 && p < 115) return p;
    }
    return otherwise_kPa;
}

double day_pressure_kPa(const Weather& weather, int day) {
    for (const SeriesTable* table : weather.of_day[day]) {
        const double of_hours = mean_of_hours(*table, weather, day, Channel::air_pressure_mean, hours_that_make_air);
        const double p = std::isnan(of_hours) ? table->day(day, Channel::air_pressure_mean) : of_hours;
        if (p > 30 && p < 115) return p;
    }
    return kPa(air_pressure(weather.site.elevation));
}

FoundGust day_gust(const Weather& weather, int day) {
    for (const SeriesTable* table : weather.of_day[day]) {
        double gust = table->day(day, Channel::wind_speed_of_gust_max);
        for (int place = weather.calendar.first_hour[day]; place <= last_hour_of(weather, day); ++place) {
            const double of_hour = table->hour(place, Channel::wind_speed_of_gust_max);
            if (!std::isnan(of_hour)) gust = std::isnan(gust) ? of_hour : std::max(gust, of_hour);
        }
        if (std::isnan(gust)) continue;
        FoundGust told{found(gust, "hourly", origin_of(*table, weather, last_hour_of(weather, day)), *table), {}};
        // A day's total may know of a stronger gust than its hours do, and hours that were hardly seen do not count.
        if (const auto seen = table->gusts.find(day); seen != table->gusts.end() && seen->second.m_s == gust) told.when = seen->second.when;
        return told;
    }
    return {};
}

}  // namespace tubgrove
