#include "climate/screen.hpp"

#include "climate/bay.hpp"
#include "climate/quality.hpp"
#include "climate/radiation.hpp"
#include "climate/vapour.hpp"
#include "climate/wind.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tubgrove {

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double MJ_of_an_hour = 0.0036;  // of 1 W m-2. Source: [FAO56] annex 1

// One series under the rules: where a finding belongs, and how it reads.
struct Bench {
    SeriesTable& table;
    const SiteClimate& site;
    const Calendar& calendar;
    const Sky& sky;
    Findings& findings;

    void note(int place, const std::string& what) {
        findings.add(calendar.day_of[place], table.series.source, calendar.hours[place].starts, what);
    }
    void note_day(int day, const std::string& what) { findings.add(day, table.series.source, Instant{}, what); }
    bool instrument() const { return table.series.rung == Rung::own_readings && !table.series.issued; }
    double previous(int place, Channel c) const { return place > 0 ? table.hour(place - 1, c) : nan; }
};

// Takes the verdict's consequence on a cell and tells it.
void act(Bench& bench, int place, Channel c, Verdict verdict, double clipped_to, const std::string& why) {
    double* cell = bench.table.hour_cell(place, c);
    const std::string what(channel_names[std::size_t(c)].quantity);
    if (verdict == Verdict::reject) {
        *cell = nan;
        bench.note(place, what + " rejected, taken as missing: " + why);
    } else if (verdict == Verdict::suspect) {
        bench.note(place, what + " suspect, used: " + why);
    } else if (verdict == Verdict::clip) {
        *cell = clipped_to;
    }
}

// The values of up to so many hours that end with `place`.
std::vector<double> run_up_to(const Bench& bench, int place, Channel c, int hours = 48) {
    std::vector<double> values;
    for (int at = std::max(place - hours + 1, bench.table.first_hour); at <= place; ++at)
        values.push_back(bench.table.hour(at, c));
    return values;
}

// Rejecting a stuck value must not break the run that convicts the next one, so stuck cells are emptied at the end.
struct Stuck {
    int place;
    Channel channel;
    Verdict verdict;
};

void find_stuck(const Bench& bench, int place, Channel c, double within, std::vector<Stuck>& stuck) {
    const double value = bench.table.hour(place, c), before = bench.previous(place, c);
    if (std::isnan(value) || !(std::fabs(value - before) <= within)) return;
    const Verdict verdict = check_stuck(run_up_to(bench, place, c), within);
    if (verdict != Verdict::pass) stuck.push_back({place, c, verdict});
}

// Cups that stand still while the thermometer of their station lives: a sheltered mast has whole days below what they turn at, and
// 2 m/s in their stead would be hard on such a garden. What blows is not known, so it gets what FAO-56 takes in a calm.
bool still_air(const Bench& bench, const Stuck& cell) {
    if (cell.channel != Channel::wind_speed_mean || cell.verdict != Verdict::reject) return false;
    const auto air = run_up_to(bench, cell.place, Channel::air_temperature_mean);
    return !std::isnan(air.back()) && check_stuck(air, stuck_temperature_K) == Verdict::pass &&
           may_be_calm(run_up_to(bench, cell.place, cell.channel, longest_calm_h), stuck_wind_m_s);
}

void screen_temperatures(Bench& bench, int place) {
    const double before = bench.previous(place, Channel::air_temperature_mean);
    for (Channel c : {Channel::air_temperature_mean, Channel::air_temperature_max, Channel::air_temperature_min}) {
        const double value = bench.table.hour(place, c);
        if (!std::isnan(value)) act(bench, place, c, check_temperature(Celsius(value)), nan, "outside -60..60 degC");
    }
    const double value = bench.table.hour(place, Channel::air_temperature_mean);
    if (!std::isnan(value - before))
        act(bench, place, Channel::air_temperature_mean, check_temperature_step(value - before), nan,
            "jumps by more than 8 K in an hour");
}

void screen_humidity(Bench& bench, int place) {
    for (Channel c :
         {Channel::relative_humidity_mean, Channel::relative_humidity_max, Channel::relative_humidity_min}) {
        const double value = bench.table.hour(place, c);
        if (!std::isnan(value)) act(bench, place, c, check_humidity(value), 100, "outside 0..105 %");
    }
    const double step = bench.table.hour(place, Channel::relative_humidity_mean) -
                        bench.previous(place, Channel::relative_humidity_mean);
    if (!std::isnan(step))
        act(bench, place, Channel::relative_humidity_mean, check_humidity_step(step), nan,
            "jumps by more than 50 points in an hour");
    for (Channel c : {Channel::dew_point_temperature_mean, Channel::wet_bulb_temperature_mean}) {
        const double value = bench.table.hour(place, c);
        if (std::isnan(value)) continue;
        act(bench, place, c, check_temperature(Celsius(value)), nan, "outside -60..60 degC");
        if (!std::isnan(value - bench.previous(place, c)))
            act(bench, place, c, check_dew_point_step(value - bench.previous(place, c)), nan,
                "jumps by more than 8 K in an hour");
    }
}

void screen_wind(Bench& bench, int place) {
    const double value = bench.table.hour(place, Channel::wind_speed_mean);
    if (!std::isnan(value))
        act(bench, place, Channel::wind_speed_mean, check_wind(MetresPerSecond(value)), nan,
            value > 25 && value <= 60 ? "above 25 m/s" : "outside 0..60 m/s");
}

void screen_radiation(Bench& bench, int place) {
    const Channel c = Channel::surface_downwelling_shortwave_flux_in_air_mean;
    const double value = bench.table.hour(place, c);
    if (std::isnan(value)) return;
    const Sky& sky = bench.sky;
    const Radiation shortwave(value * MJ_of_an_hour * bench.calendar.hours[place].length_h);
    const HourSky limits{Radiation(sky.rso_MJ_m2[place]), Radiation(sky.ra_MJ_m2[place]), sky.elevation_rad[place]};
    act(bench, place, c, check_hour_radiation(shortwave, limits), 0,
        "does not fit the sun's height (unit, clock or offset?)");
}

void screen_rain(Bench& bench, int place) {
    const double value = bench.table.hour(place, Channel::precipitation_amount_sum);
    if (value < 0 || value > 400)  // the greatest hour on record is near 300 mm; common practice, no source
        act(bench, place, Channel::precipitation_amount_sum, Verdict::reject, nan, "outside 0..400 mm in an hour");
}

void screen_hours(Bench& bench) {
    const SeriesTable& table = bench.table;
    std::vector<Stuck> stuck;
    for (int place = table.first_hour; place < table.first_hour + int(table.hours.size()); ++place) {
        screen_temperatures(bench, place);
        screen_humidity(bench, place);
        screen_wind(bench, place);
        screen_radiation(bench, place);
        screen_rain(bench, place);
        if (!bench.instrument()) continue;
        find_stuck(bench, place, Channel::air_temperature_mean, stuck_temperature_K, stuck);
        find_stuck(bench, place, Channel::wind_speed_mean, stuck_wind_m_s, stuck);
    }
    std::vector<int> still;
    for (const Stuck& cell : stuck)
        if (still_air(bench, cell)) still.push_back(cell.place);
    const double calm_m_s = et0_constants::calm_m_s / wind_factor(Metres(table.series.wind_height_m));   // where the cups are
    for (const Stuck& cell : stuck) {
        if (std::ranges::binary_search(still, cell.place) && cell.channel == Channel::wind_speed_mean) {
            *bench.table.hour_cell(cell.place, cell.channel) = calm_m_s;
            bench.note(cell.place, "wind_speed below what cups turn at for 48 hours or more, taken as a calm of 0.5 m/s at 2 m");
            continue;
        }
        act(bench, cell.place, cell.channel, cell.verdict, nan,
            cell.verdict == Verdict::reject ? "no change for 48 hours or more" : "no change for 12 hours or more");
    }
}

// An hourly day whose shortwave sums to more than reaches the top of the air is no measurement at all.
void screen_radiation_of_days(Bench& bench) {
    const Channel c = Channel::surface_downwelling_shortwave_flux_in_air_mean;
    int above_clear_sky = 0;
    for (int day = 0; day < int(bench.calendar.days.size()); ++day) {
        double sum = 0;
        bool whole = true;
        for (int place = bench.calendar.first_hour[day]; place < bench.calendar.first_hour[day + 1]; ++place) {
            const double value = bench.table.hour(place, c);
            if (std::isnan(value))
                whole = whole && bench.sky.ra_MJ_m2[place] <= 0;
            else
                sum += value * MJ_of_an_hour * bench.calendar.hours[place].length_h;
        }
        if (!whole || bench.sky.day_ra_MJ_m2[day] <= 0) {
            above_clear_sky = 0;
            continue;
        }
        const Radiation rso(bench.sky.day_rso_MJ_m2[day]), ra(bench.sky.day_ra_MJ_m2[day]);
        const Verdict verdict = check_day_radiation(Radiation(sum), {rso, ra});
        above_clear_sky = Radiation(sum) > rso * 1.05 ? above_clear_sky + 1 : 0;
        if (verdict == Verdict::reject) {
            bench.note_day(day,
                           "shortwave radiation rejected, taken as missing: the day sums to more than reaches the "
                           "air (W m-2 or MJ?)");
            for (int place = bench.calendar.first_hour[day]; place < bench.calendar.first_hour[day + 1]; ++place)
                if (double* cell = bench.table.hour_cell(place, c)) *cell = nan;
        } else if (above_clear_sky >= 3) {
            bench.note_day(
                day,
                "shortwave radiation suspect, used: above a clear sky for three days, the calibration may be off");
        } else if (verdict == Verdict::suspect) {
            bench.note_day(
                day, "shortwave radiation suspect, used: the day lies above a clear sky or under 3 % of the sun");
        }
    }
}

void screen_day_temperatures(Bench& bench, int day, Values& values) {
    double& max = values[std::size_t(Channel::air_temperature_max)];
    double& min = values[std::size_t(Channel::air_temperature_min)];
    double& mean = values[std::size_t(Channel::air_temperature_mean)];
    for (double* t : {&max, &min, &mean})
        if (!std::isnan(*t) && check_temperature(Celsius(*t)) == Verdict::reject) {
            *t = nan;
            bench.note_day(day, "air_temperature rejected, taken as missing: outside -60..60 degC");
        }
    if (std::isnan(max) || std::isnan(min)) return;
    DayTemperatures t{Celsius(max), Celsius(min), {}};
    if (!std::isnan(mean)) t.mean = Celsius(mean);
    const Verdict verdict = check_day_temperatures(t);
    if (verdict == Verdict::reject) {
        max = min = mean = nan;
        bench.note_day(
            day, "air_temperature of the day rejected, taken as missing: minimum, mean and maximum are out of order");
    } else if (verdict == Verdict::suspect) {
        bench.note_day(day, "air_temperature of the day suspect, used: a range of 0 or above 35 K");
    }
}

void screen_day_humidity(Bench& bench, int day, Values& values) {
    for (Channel c :
         {Channel::relative_humidity_mean, Channel::relative_humidity_max, Channel::relative_humidity_min}) {
        double& value = values[std::size_t(c)];
        const Verdict verdict = std::isnan(value) ? Verdict::pass : check_humidity(value);
        if (verdict == Verdict::reject)
            value = nan, bench.note_day(day, "relative_humidity rejected, taken as missing: outside 0..105 %");
        if (verdict == Verdict::clip) value = 100;
    }
    double& dew = values[std::size_t(Channel::dew_point_temperature_mean)];
    const double max = values[std::size_t(Channel::air_temperature_max)],
                 min = values[std::size_t(Channel::air_temperature_min)];
    if (std::isnan(dew) || std::isnan(max) || std::isnan(min)) return;
    const Verdict verdict = check_dew_point(Celsius(dew), {Celsius(max), Celsius(min), {}});
    if (verdict == Verdict::reject)
        dew = nan, bench.note_day(day, "dew point rejected, taken as missing: above the day's maximum");
    if (verdict == Verdict::suspect)
        bench.note_day(day, "dew point suspect, used: more than 2 K above the night's minimum");
}

void screen_day_rest(Bench& bench, int day, Values& values) {
    double& wind = values[std::size_t(Channel::wind_speed_mean)];
    const Verdict of_wind = std::isnan(wind) ? Verdict::pass : check_wind(MetresPerSecond(wind));
    if (of_wind == Verdict::reject)
        wind = nan, bench.note_day(day, "wind_speed rejected, taken as missing: not within 0..60 m/s");
    if (of_wind == Verdict::suspect) bench.note_day(day, "wind_speed suspect, used: above 25 m/s");

    double& flux = values[std::size_t(Channel::surface_downwelling_shortwave_flux_in_air_mean)];
    if (!std::isnan(flux)) {
        const Radiation rs(flux * 0.0864 * bench.calendar.hours_in(day) / 24);
        const SkyLimits limits{Radiation(bench.sky.day_rso_MJ_m2[day]), Radiation(bench.sky.day_ra_MJ_m2[day])};
        const Verdict verdict = check_day_radiation(rs, limits);
        if (verdict == Verdict::reject)
            flux = nan,
            bench.note_day(
                day, "shortwave radiation rejected, taken as missing: more than reaches the air, or below 0 (unit?)");
        if (verdict == Verdict::suspect)
            bench.note_day(day, "shortwave radiation suspect, used: above a clear sky or under 3 % of the sun");
        if (verdict == Verdict::clip) flux = 0;
    }
    double& rain = values[std::size_t(Channel::precipitation_amount_sum)];
    if (rain < 0 || rain > 2000)
        rain = nan,
        bench.note_day(day, "precipitation_amount rejected, taken as missing: outside 0..2000 mm in a day");
}

// Solar noon of the radiation against the sun's own, over the clear days of the week that ends with `day`.
void check_clock(Bench& bench, int day) {
    const Channel c = Channel::surface_downwelling_shortwave_flux_in_air_mean;
    double offset_h = 0;
    int clear_days = 0;
    for (int d = std::max(0, day - 6); d <= day; ++d) {
        double sum = 0, moment_rs = 0, moment_ra = 0, ra_sum = 0;
        for (int place = bench.calendar.first_hour[d]; place < bench.calendar.first_hour[d + 1]; ++place) {
            const double value = bench.table.hour(place, c), at = place - bench.calendar.first_hour[d];
            if (std::isnan(value)) continue;
            sum += value * MJ_of_an_hour, moment_rs += value * MJ_of_an_hour * at;
            ra_sum += bench.sky.ra_MJ_m2[place], moment_ra += bench.sky.ra_MJ_m2[place] * at;
        }
        if (sum <= 0 || sum < 0.9 * bench.sky.day_rso_MJ_m2[d]) continue;
        offset_h += moment_rs / sum - moment_ra / ra_sum;
        ++clear_days;
    }
    if (clear_days >= 3 && std::fabs(offset_h / clear_days) > 1)
        bench.note_day(
            day,
            "the sun culminates more than an hour off in the radiation: time zone or summer time of the station?");
}

void check_week(Bench& bench, int day) {
    std::vector<double> rh_max, wind;
    for (int d = std::max(0, day - 6); d <= day; ++d) {
        double highest = bench.table.day(d, Channel::relative_humidity_max), blown = 0;
        int hours = 0;
        for (int place = bench.calendar.first_hour[d]; place < bench.calendar.first_hour[d + 1]; ++place) {
            const double rh = bench.table.hour(place, Channel::relative_humidity_mean);
            const double u = bench.table.hour(place, Channel::wind_speed_mean);
            if (!std::isnan(rh)) highest = std::isnan(highest) ? rh : std::max(highest, rh);
            if (!std::isnan(u)) blown += u, ++hours;
        }
        if (!std::isnan(highest)) rh_max.push_back(highest);
        if (hours >= 12)
            wind.push_back(blown / hours);
        else if (!std::isnan(bench.table.day(d, Channel::wind_speed_mean)))
            wind.push_back(bench.table.day(d, Channel::wind_speed_mean));
    }
    if (!bench.site.arid && check_week_humidity(rh_max) == Verdict::suspect)
        bench.note_day(day, "relative_humidity suspect, used: never reached 80 % all week (sensor, or a dry site)");
    if (check_week_wind(wind) == Verdict::suspect)
        bench.note_day(day, "wind_speed suspect, used: below 0.5 m/s all week (broken cups, or a sheltered mast)");
}

}  // namespace

Sky sky_over(const SiteClimate& site, const Calendar& calendar) {
    Sky sky;
    for (int day = 0; day < int(calendar.days.size()); ++day) {
        const int j = day_of_year(calendar.days[day]);
        sky.day_of_year.push_back(j);
        const Radiation ra = extraterrestrial_day(site.latitude, j);
        sky.day_ra_MJ_m2.push_back(MJ_per_m2(ra));
        sky.day_rso_MJ_m2.push_back(MJ_per_m2(clear_sky(ra, site.elevation)));
        sky.day_daylight_h.push_back(daylight_h(site.latitude, j));
        for (int place = calendar.first_hour[day]; place < calendar.first_hour[day + 1]; ++place) {
            const Stretch& hour = calendar.hours[place];
            const SolarPeriod period = solar_period(hour.starts, hour.length_h, site.longitude, j);
            const Radiation hour_ra = extraterrestrial_period(site.latitude, j, period);
            sky.ra_MJ_m2.push_back(MJ_per_m2(hour_ra));
            sky.rso_MJ_m2.push_back(MJ_per_m2(clear_sky(hour_ra, site.elevation)));
            sky.elevation_rad.push_back(sun_elevation_rad(site.latitude, j, period.mid_hour_angle_rad));
        }
    }
    return sky;
}

void Findings::add(int day, const std::string& about, Instant when, const std::string& what) {
    Told& told = by_day_[day][about + ": " + what];
    if (told.hours == 0) told.first = when;
    ++told.hours;
}

std::vector<std::string> Findings::of_day(int day, const Zone& zone) const {
    std::vector<std::string> notes;
    const auto found = by_day_.find(day);
    if (found == by_day_.end()) return notes;
    for (const auto& [what, told] : found->second) {
        const bool by_hour = told.first != Instant{};
        const std::string clock = format_clock(zone.local(told.first));
        notes.push_back(!by_hour ? what : told.hours == 1 ? what + ", at " + clock : what + ", " + std::to_string(told.hours) + " hours, the first at " + clock);
    }
    return notes;
}

void screen(SeriesTable& table, const SiteClimate& site, const Calendar& calendar, const Sky& sky,
            Findings& findings) {
    Bench bench{table, site, calendar, sky, findings};
    screen_hours(bench);
    screen_radiation_of_days(bench);
    for (auto& [day, values] : table.days) {
        screen_day_temperatures(bench, day, values);
        screen_day_humidity(bench, day, values);
        screen_day_rest(bench, day, values);
    }
    for (int day = 0; day < int(calendar.days.size()); ++day) {
        if (!bench.instrument() || !table.touches(calendar, day)) continue;
        check_clock(bench, day);
        check_week(bench, day);
    }
    for (int day : table.doubled) bench.note_day(day, "an interval was reported twice; the mean of the two is used");
    for (int day : table.upside_down) bench.note_day(day, "a reading that ends before it starts was dropped");
}

}  // namespace tubgrove
