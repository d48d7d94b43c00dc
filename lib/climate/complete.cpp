#include "climate/complete.hpp"

#include "climate/bay.hpp"
#include "climate/ladder.hpp"
#include "climate/marks.hpp"
#include "climate/rain.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tubgrove {

namespace {

constexpr int days_before = 9;   // the quality rules look back a week, the carried cloudiness 36 h
constexpr int days_warming = 2;  // completed before the span, so that cloudiness is carried into it
constexpr int longest_bridge_h = 3;
constexpr double low_sun_rad = 0.3;                   // 17 degrees. Source: [ASCE2005] Appendix B
constexpr auto carried_for = std::chrono::hours(36);  // a past noon says something of tonight; own assumption
constexpr double unknown_cloud_ratio = 0.6;           // no past cloudiness and no light to tell; own assumption

// What an hour's temperature stands on.
enum class Basis : unsigned char { daily, hourly, bridged };
struct HourAirTemp {
    Basis basis = Basis::daily;
    Found t;
    const SeriesTable* table = nullptr;  // of an hourly basis
};

// Hours since solar 15 h as an angle: the air is warmest there and coldest half a day away.
double warmth(double hour_angle_rad) { return std::cos(hour_angle_rad - std::numbers::pi / 4); }

struct Carried {
    double ratio = unknown_cloud_ratio;
    Instant when = Instant::min();
};

// Everything that the steps of one completion share.
struct Completion {
    Weather weather;
    const Findings& findings;
    std::vector<HourAirTemp> temps;  // of every hour of the calendar
    Carried carried;

    const Calendar& calendar() const { return weather.calendar; }
    int first(int day) const { return calendar().first_hour[day]; }
    int beyond(int day) const { return calendar().first_hour[day + 1]; }
};

// --- Temperature ---

// The first series that speaks of the hour decides: by the hour, or only by the day's extremes.
HourAirTemp first_to_speak(const Weather& weather, int place) {
    const int day = weather.calendar.day_of[place];
    for (const SeriesTable* table : weather.of_day[day]) {
        if (const Found t = hour_temperature(weather, *table, place)) return {Basis::hourly, t, table};
        const bool whole_day = !std::isnan(table->day(day, Channel::air_temperature_max)) &&
                               !std::isnan(table->day(day, Channel::air_temperature_min));
        if (whole_day) return {Basis::daily, {}, table};
    }
    return {};
}

void bridge(std::vector<HourAirTemp>& temps, int from, int to) {
    const HourAirTemp &before = temps[from - 1], &after = temps[to];
    for (int place = from; place < to; ++place) {
        const double share = double(place - from + 1) / (to - from + 1);
        Found t = before.t;
        t.value = before.t.value + share * (after.t.value - before.t.value);
        t.how = "bridged";
        t.origin = std::max({Origin::derived, before.t.origin, after.t.origin});
        t.forecast = before.t.forecast || after.t.forecast;
        temps[place] = {Basis::bridged, t, before.table};
    }
}

std::vector<HourAirTemp> hour_temperatures(const Weather& weather) {
    std::vector<HourAirTemp> temps;
    const int count = int(weather.calendar.hours.size());
    for (int place = 0; place < count; ++place) temps.push_back(first_to_speak(weather, place));
    for (int from = 1; from < count;) {
        int to = from;
        while (to < count && temps[to].basis == Basis::daily) ++to;
        const bool short_gap = to > from && to < count && to - from <= longest_bridge_h;
        if (short_gap && temps[from - 1].basis == Basis::hourly) bridge(temps, from, to);
        from = std::max(to, from) + 1;
    }
    return temps;
}

// Fills the hours that only a day's extremes speak for with the curve between them.
void spread_extremes(Completion& completion, int day, const Extremes& extremes) {
    const Weather& weather = completion.weather;
    const bool forecast = extremes.table && extremes.table->series.issued;
    for (int place = completion.first(day); place < completion.beyond(day); ++place) {
        HourAirTemp& hour = completion.temps[place];
        if (hour.basis != Basis::daily) continue;
        const Stretch& stretch = weather.calendar.hours[place];
        const SolarPeriod period =
            solar_period(stretch.starts, stretch.length_h, weather.site.longitude, weather.sky.day_of_year[day]);
        const double middle = (extremes.max_degC + extremes.min_degC) / 2;
        const double half_range_K = (extremes.max_degC - extremes.min_degC) / 2;
        hour.t = {middle + half_range_K * warmth(period.mid_hour_angle_rad), extremes.how, extremes.origin, forecast,
                  extremes.guessed};
        hour.table = extremes.table;
    }
}

// Extremes of a whole day: of its hours; a daily part gives its own extreme where it holds the warmest or coldest
// hour.
Extremes record_extremes(const Completion& completion, int day, const std::optional<Extremes>& daily) {
    Extremes record{-1000, 1000, "hourly", Origin::measured, nullptr, false};
    int warmest = completion.first(day), coldest = warmest;
    const auto warmth_at = [&](int place) {
        const Stretch& stretch = completion.calendar().hours[place];
        return warmth(solar_period(stretch.starts, stretch.length_h, completion.weather.site.longitude,
                                   completion.weather.sky.day_of_year[day])
                          .mid_hour_angle_rad);
    };
    for (int place = completion.first(day); place < completion.beyond(day); ++place) {
        const HourAirTemp& hour = completion.temps[place];
        double high = hour.t.value, low = hour.t.value;
        if (hour.basis == Basis::hourly) {
            high = std::fmax(high, hour.table->hour(place, Channel::air_temperature_max));
            low = std::fmin(low, hour.table->hour(place, Channel::air_temperature_min));
        }
        record.max_degC = std::max(record.max_degC, high);
        record.min_degC = std::min(record.min_degC, low);
        if (warmth_at(place) > warmth_at(warmest)) warmest = place;
        if (warmth_at(place) < warmth_at(coldest)) coldest = place;
    }
    if (!daily) return record;
    if (completion.temps[warmest].basis == Basis::daily) record.max_degC = std::max(record.max_degC, daily->max_degC);
    if (completion.temps[coldest].basis == Basis::daily) record.min_degC = std::min(record.min_degC, daily->min_degC);
    return record;
}

// --- The rest of the air, and ET0 ---

// The day's values that its hours fall back on, looked up once.
struct DayAirFound {
    Extremes record;                // of the whole day
    std::optional<Extremes> daily;  // of the series behind the daily hours
    double pressure_kPa = 0;
    Found vapour, wind, radiation;
};

// What one hour came out as, beside its HourWeather.
struct HourFound {
    Found t, vapour, wind, radiation;
    double rs_MJ_m2 = 0;      // of this hour, also for a daily basis
    double guessed_part = 0;  // 0..1
};

// How much of an hour's ET0 is guessed: wind and humidity weigh alike, radiation from the range little. The weights
// follow what each guess did to ET0 in heat waves, deserts and dry wind; normals are guesses through and through.
double guessed_part(const HourFound& f, bool lit) {
    if (f.t.how == "normals" || f.t.how == "guess" || f.t.how == "days-near") return 1;
    const double of_air = 0.45 * f.vapour.guessed + 0.45 * f.wind.guessed + (lit ? 0.1 : 0.0) * f.radiation.guessed;
    return std::min(1.0, of_air + (f.t.guessed ? 0.3 : 0.0));
}

double ratio_of_day(const Weather& weather, int day, double rs_MJ_m2) {
    const double rso = weather.sky.day_rso_MJ_m2[day];
    return rso > 0 ? std::min(1.0, rs_MJ_m2 / rso) : 1.0;
}

// Cloudiness of an hour: its own where the sun stands high enough, else the last one that was.
double cloud_ratio(Completion& completion, int place, double rs_MJ_m2, double day_rs_MJ_m2) {
    const Weather& weather = completion.weather;
    const Instant starts = weather.calendar.hours[place].starts;
    const int day = weather.calendar.day_of[place];
    if (weather.sky.elevation_rad[place] > low_sun_rad && weather.sky.rso_MJ_m2[place] > 0) {
        completion.carried = {std::min(1.0, rs_MJ_m2 / weather.sky.rso_MJ_m2[place]), starts};
        return completion.carried.ratio;
    }
    if (completion.carried.when != Instant::min() && starts - completion.carried.when <= carried_for)
        return completion.carried.ratio;
    const bool enough_light = weather.sky.day_rso_MJ_m2[day] > 0.5;
    return enough_light ? ratio_of_day(weather, day, day_rs_MJ_m2) : unknown_cloud_ratio;
}

HourFound find_hour(const Completion& completion, int place, const DayAirFound& of_day, double pressure_kPa) {
    const Weather& weather = completion.weather;
    const int day = weather.calendar.day_of[place];
    HourFound f;
    f.t = completion.temps[place].t;
    const bool daily = completion.temps[place].basis == Basis::daily;
    if (!daily) {
        f.vapour = hour_vapour_kPa(weather, place, f.t.value, pressure_kPa);
        f.wind = hour_wind_m_s(weather, place);
        f.radiation = hour_radiation_MJ_m2(weather, place);
    }
    const double ra = weather.sky.ra_MJ_m2[place], day_ra = weather.sky.day_ra_MJ_m2[day];
    if (!f.vapour) f.vapour = of_day.vapour;
    if (!f.wind) f.wind = of_day.wind;
    if (!f.radiation) {
        f.radiation = of_day.radiation;
        f.radiation.value = day_ra > 0 ? of_day.radiation.value * ra / day_ra : 0;
    }
    f.rs_MJ_m2 = f.radiation.value;
    f.guessed_part = guessed_part(f, ra > 0 || daily);
    return f;
}

DayAirFound find_day(const Completion& completion, int day, const std::optional<Extremes>& daily) {
    DayAirFound of_day;
    of_day.record = record_extremes(completion, day, daily);
    of_day.daily = daily;
    of_day.pressure_kPa = day_pressure_kPa(completion.weather, day);
    of_day.vapour = day_vapour_kPa(completion.weather, day, of_day.record, of_day.pressure_kPa);
    of_day.wind = day_wind_m_s(completion.weather, day);
    of_day.radiation = day_radiation_MJ_m2(completion.weather, day, of_day.record);
    return of_day;
}

Et0Terms daily_terms(const Weather& weather, int day, const DayAirFound& of_day) {
    return et0_terms(DayAir{.air_temp_max_degC = of_day.daily->max_degC,
                            .air_temp_min_degC = of_day.daily->min_degC,
                            .vapour_pressure_kPa = of_day.vapour.value,
                            .wind_2m_m_s = of_day.wind.value,
                            .rs_MJ_m2 = of_day.radiation.value,
                            .rs_over_rso = ratio_of_day(weather, day, of_day.radiation.value),
                            .pressure_kPa = of_day.pressure_kPa});
}

// The hours' weather and what each was found from.
struct DayHours {
    std::vector<HourWeather> hours;
    std::vector<HourFound> found;
};

DayHours complete_hours(Completion& completion, int day, const DayAirFound& of_day) {
    const Weather& weather = completion.weather;
    const auto stretches =
        std::span(weather.calendar.hours).subspan(completion.first(day), weather.calendar.hours_in(day));
    const auto shares =
        hour_shares({weather.site.latitude, weather.site.longitude}, weather.sky.day_of_year[day], stretches);
    std::optional<Et0Terms> daily;
    if (of_day.daily) daily = daily_terms(weather, day, of_day);
    DayHours result;
    for (int place = completion.first(day); place < completion.beyond(day); ++place) {
        const bool on_day = completion.temps[place].basis == Basis::daily;
        const double pressure_kPa =
            on_day ? of_day.pressure_kPa : hour_pressure_kPa(weather, place, of_day.pressure_kPa);
        const HourFound f = find_hour(completion, place, of_day, pressure_kPa);
        const double ratio = cloud_ratio(completion, place, f.rs_MJ_m2, of_day.radiation.value);
        HourWeather hour;
        hour.starts = weather.calendar.hours[place].starts;
        hour.length_h = weather.calendar.hours[place].length_h;
        hour.air_temp_degC = f.t.value;
        if (on_day) {
            hour.et0 = *daily;
            hour.et0.share = shares[place - completion.first(day)];
        } else {
            hour.et0 = et0_terms(HourAir{.air_temp_degC = f.t.value,
                                         .vapour_pressure_kPa = f.vapour.value,
                                         .wind_2m_m_s = f.wind.value,
                                         .rs_MJ_m2 = f.rs_MJ_m2,
                                         .rs_over_rso = ratio,
                                         .pressure_kPa = pressure_kPa,
                                         .length_h = hour.length_h});
        }
        hour.et0_mm = et0_mm(hour.et0, 1, 1);
        hour.origin = std::max({f.t.origin, f.vapour.origin, f.wind.origin, f.radiation.origin});
        if (on_day) hour.origin = std::max(hour.origin, Origin::derived);
        result.hours.push_back(hour);
        result.found.push_back(f);
    }
    return result;
}

// --- The record ---

void mark_air(DayRecord& record, const Completion& completion, int day, const DayHours& of) {
    Mark t, vapour, wind, radiation;
    double ea = 0, u2 = 0, rs = 0, temp = 0, total_h = 0;
    bool any_light = false;
    for (std::size_t i = 0; i < of.found.size(); ++i) {
        const HourFound& f = of.found[i];
        const double length_h = of.hours[i].length_h;
        t.add(f.t), vapour.add(f.vapour), wind.add(f.wind);
        const bool lit = completion.weather.sky.ra_MJ_m2[completion.first(day) + int(i)] > 0;
        if (lit) radiation.add(f.radiation);
        any_light = any_light || lit;
        ea += f.vapour.value * length_h, u2 += f.wind.value * length_h, temp += f.t.value * length_h,
            total_h += length_h;
        rs += f.rs_MJ_m2;
        record.guessed.air_temperature |= f.t.guessed;
        record.guessed.humidity |= f.vapour.guessed;
        record.guessed.wind |= f.wind.guessed;
        record.guessed.radiation |= lit && f.radiation.guessed;
    }
    if (!any_light) radiation.add({0, "no-sun", Origin::derived, false, false});
    record.vapour_pressure_kPa = vapour.of(ea / total_h);
    record.wind_2m_m_s = wind.of(u2 / total_h);
    record.radiation_MJ_m2 = radiation.of(rs);
    record.mean_temp_degC = temp / total_h;
    record.air_temp_max_degC = t.of(0);
    record.air_temp_min_degC = t.of(0);
}

// The rung and source that most of the day's hours took their temperature from; the better one on a tie.
void name_source(DayRecord& record, const Completion& completion, int day) {
    std::map<std::pair<Rung, std::string>, int> hours;
    bool forecast = false;
    for (int place = completion.first(day); place < completion.beyond(day); ++place) {
        const SeriesTable* table = completion.temps[place].table;
        ++hours[table ? std::pair(table->series.rung, table->series.source)
                      : std::pair(Rung::normals, std::string("normals"))];
        forecast = forecast || (table && table->series.issued);
    }
    const auto most = std::max_element(hours.begin(), hours.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    record.rung = most->first.first;
    record.source = most->first.second;
    const bool one_rung =
        std::all_of(hours.begin(), hours.end(), [&](const auto& h) { return h.first.first == record.rung; });
    record.complete = one_rung && !forecast && record.rung != Rung::normals && record.ends <= completion.weather.now;
}

double guess_share(const DayHours& of) {
    double guessed = 0, total = 0, plain = 0;
    for (std::size_t i = 0; i < of.hours.size(); ++i) {
        guessed += of.found[i].guessed_part * of.hours[i].et0_mm;
        total += of.hours[i].et0_mm;
        plain += of.found[i].guessed_part;
    }
    return total > 0 ? guessed / total : plain / double(of.hours.size());
}

void note_own_against_published(DayRecord& record, const Weather& weather, int day) {
    std::array<double, 2> highest{NAN, NAN};
    for (const SeriesTable* table : weather.of_day[day]) {
        if (table->series.rung > Rung::published) break;
        double& of_rung = highest[std::size_t(table->series.rung)];
        if (!std::isnan(of_rung)) continue;
        double high = table->day(day, Channel::air_temperature_max);
        int hours = 0;
        for (int place = weather.calendar.first_hour[day]; place < weather.calendar.first_hour[day + 1]; ++place)
            if (const Found t = hour_temperature(weather, *table, place)) high = std::fmax(high, t.value), ++hours;
        if (hours >= 20 || !std::isnan(table->day(day, Channel::air_temperature_max))) of_rung = high;
    }
    if (std::fabs(highest[0] - highest[1]) > 5)
        record.notes.push_back("own and published maxima are more than 5 K apart: sun on the sensor?");
}

// A reading cannot lie ahead of the clock: one of the two is wrong.
void note_readings_ahead(DayRecord& record, const Completion& completion, int day) {
    for (int place = completion.first(day); place < completion.beyond(day); ++place) {
        const HourAirTemp& hour = completion.temps[place];
        const bool own = hour.basis == Basis::hourly && hour.table->series.rung == Rung::own_readings &&
                         !hour.table->series.issued;
        if (!own || ends_of(completion.calendar().hours[place]) <= completion.weather.now + std::chrono::hours(1))
            continue;
        record.notes.push_back("own readings lie ahead of the clock: is the clock right, or the station's?");
        return;
    }
}

DayRecord complete_day(Completion& completion, int day) {
    const Weather& weather = completion.weather;
    const auto is_daily = [](const HourAirTemp& hour) { return hour.basis == Basis::daily; };
    const auto begin = completion.temps.begin();
    const bool any_daily = std::any_of(begin + completion.first(day), begin + completion.beyond(day), is_daily);
    std::optional<Extremes> daily;
    if (any_daily) {
        daily = day_extremes(weather, day);
        if (!daily) daily = usual_extremes(weather, day);
        spread_extremes(completion, day, *daily);
    }
    const DayAirFound of_day = find_day(completion, day, daily);
    DayHours of = complete_hours(completion, day, of_day);

    DayRecord record;
    record.day = weather.calendar.days[day];
    record.starts = weather.calendar.starts(day);
    record.ends = ends_of(weather.calendar.hours[completion.beyond(day) - 1]);
    const RainOfDay rain = complete_rain(weather, day, of.hours);
    record.rain_mm = rain.mm, record.rain_rung = rain.rung, record.guessed.rain = rain.guessed;
    mark_air(record, completion, day, of);
    record.air_temp_max_degC.value = of_day.record.max_degC;
    record.air_temp_min_degC.value = of_day.record.min_degC;
    if (const FoundGust gust = day_gust(weather, day); gust.m_s) {
        Mark mark;
        mark.add(gust.m_s);
        record.gust_m_s = mark.of(gust.m_s.value);
        record.gust_when = gust.when;
    }
    record.clear_sky_MJ_m2 = weather.sky.day_rso_MJ_m2[day];
    record.extraterrestrial_MJ_m2 = weather.sky.day_ra_MJ_m2[day];
    record.daylight_h = weather.sky.day_daylight_h[day];
    for (const HourWeather& hour : of.hours) record.et0_mm += hour.et0_mm;
    record.hourly = !any_daily;
    name_source(record, completion, day);
    record.guess_share = guess_share(of);
    record.hours = std::move(of.hours);
    record.notes = completion.findings.of_day(day, weather.site.zone);
    note_own_against_published(record, weather, day);
    note_readings_ahead(record, completion, day);
    return record;
}

Weather gather(const SiteClimate& site, const Calendar& calendar, const Sky& sky,
               const std::vector<SeriesTable>& tables, std::span<const SeriesReadings> readings, Instant now) {
    Weather weather{site, calendar, sky, tables, {}, now, readings};
    weather.of_day.resize(calendar.days.size());
    for (int day = 0; day < int(calendar.days.size()); ++day)
        for (const SeriesTable& table : tables)
            if (table.touches(calendar, day)) weather.of_day[day].push_back(&table);
    return weather;
}

}  // namespace

std::vector<DayRecord> complete_days(const SiteClimate& site, std::span<const SeriesReadings> readings, DaySpan span,
                                     Instant now) {
    std::vector<DayRecord> records;
    if (span.last < span.first) return records;
    const Calendar calendar =
        calendar_of(site.zone, {span.first - std::chrono::days(days_before), span.last + std::chrono::days(1)});
    const Sky sky = sky_over(site, calendar);
    std::vector<SeriesTable> tables = tables_of(readings, calendar);
    Findings findings;
    for (SeriesTable& table : tables) screen(table, site, calendar, sky, findings);

    Completion completion{gather(site, calendar, sky, tables, readings, now), findings, {}, {}};
    completion.temps = hour_temperatures(completion.weather);
    for (int day = days_before - days_warming; day + 1 < int(calendar.days.size()); ++day) {
        DayRecord record = complete_day(completion, day);
        if (day >= days_before) records.push_back(std::move(record));
    }
    return records;
}

}  // namespace tubgrove
