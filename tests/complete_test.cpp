// From readings to complete days: the ladder and its marks, calendars with odd days, gaps, far latitudes.
#include "climate/complete.hpp"
#include "climate/bay.hpp"
#include "climate/radiation.hpp"
#include "climate/vapour.hpp"
#include "climate/wind.hpp"
#include "weather_scenes.hpp"

#include <rapidcheck.h>

using namespace tubgrove;
using namespace tubgrove::scenes;

namespace {

double sum_of_hours(const DayRecord& record) {
    double sum = 0;
    for (const HourWeather& hour : record.hours) sum += hour.et0_mm;
    return sum;
}

bool same(const DayRecord& a, const DayRecord& b) {
    if (a.hours.size() != b.hours.size() || std::fabs(a.et0_mm - b.et0_mm) > 1e-12 || a.notes != b.notes)
        return false;
    for (std::size_t i = 0; i < a.hours.size(); ++i)
        if (std::fabs(a.hours[i].et0_mm - b.hours[i].et0_mm) > 1e-12 ||
            std::fabs(a.hours[i].rain_mm - b.hours[i].rain_mm) > 1e-12 ||
            std::fabs(a.hours[i].air_temp_degC - b.hours[i].air_temp_degC) > 1e-9)
            return false;
    return a.air_temp_max_degC.how == b.air_temp_max_degC.how && a.guess_share == b.guess_share &&
           a.source == b.source;
}

}  // namespace

TEST_CASE("a whole day of own hours is hourly, measured and complete") {
    const SiteClimate site = inland();
    const auto readings = some_hours(site.zone.start_of(midsummer - days(2)), 72);
    const DayRecord record = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    CHECK(record.hours.size() == 24);
    CHECK(record.hourly);
    CHECK(record.complete);
    CHECK(record.rung == Rung::own_readings);
    CHECK(record.source == "station");
    CHECK(record.air_temp_max_degC.origin == Origin::measured);
    CHECK(record.air_temp_max_degC.how == "hourly");
    CHECK(record.vapour_pressure_kPa.how == "hourly");
    CHECK(record.wind_2m_m_s.origin == Origin::measured);
    CHECK(record.radiation_MJ_m2.how == "temperature-range");
    CHECK(record.radiation_MJ_m2.origin == Origin::estimated);
    CHECK(record.guessed.radiation);
    CHECK_FALSE(record.guessed.wind);
    CHECK_THAT(record.guess_share, WithinAbs(0.1, 0.005));
    CHECK_THAT(record.et0_mm, WithinAbs(sum_of_hours(record), 1e-12));
    CHECK(record.et0_mm > 3);
    CHECK(record.notes.empty());
    CHECK(record.rain_mm.how == "hourly");
}

TEST_CASE("the hour of a day's highest gust is known where a reading of hours or minutes tells it") {
    const SiteClimate site = inland();
    const Instant midnight = site.zone.start_of(midsummer);
    auto readings = some_hours(midnight - days(2), 72);
    const auto gust_of = [&](const std::vector<Observation>& told) { return one(site, {{own(), told}}, midsummer, site.zone.end_of(midsummer)); };
    CHECK_FALSE(gust_of(readings).gust_m_s);
    CHECK_FALSE(gust_of(readings).gust_when);
    // By the hour: the first of two equal ones.
    for (auto& reading : readings) reading[Channel::wind_speed_of_gust_max] = reading.starts == midnight + hours(2) || reading.starts == midnight + hours(9) ? 18.4 : 6;
    const auto by_hour = gust_of(readings);
    CHECK(by_hour.gust_m_s.value().value == 18.4);
    CHECK(by_hour.gust_when.value().starts == midnight + hours(2));
    CHECK(by_hour.gust_when.value().ends == midnight + hours(3));
    // By ten minutes.
    std::vector<Observation> minutes;
    for (Instant t = midnight - days(2); t < midnight + days(1); t += std::chrono::minutes(10)) {
        Observation reading(t, t + std::chrono::minutes(10));
        reading[Channel::air_temperature_mean] = 20;
        reading[Channel::wind_speed_of_gust_max] = t == midnight + hours(3) ? 18.4 : 6;
        minutes.push_back(reading);
    }
    const auto by_minutes = gust_of(minutes);
    CHECK(by_minutes.gust_m_s.value().value == 18.4);
    CHECK(by_minutes.gust_when.value().ends == midnight + hours(3) + std::chrono::minutes(10));
    // A day's figure has no hour, even beside hours that saw less.
    auto mixed = readings;
    Observation whole = a_day(site.zone, midsummer, 27, 14);
    whole[Channel::wind_speed_of_gust_max] = 22;
    mixed.push_back(whole);
    CHECK(gust_of(mixed).gust_m_s.value().value == 22);
    CHECK_FALSE(gust_of(mixed).gust_when);
    CHECK_FALSE(gust_of({whole}).gust_when);
}

TEST_CASE("days of 23, 24, 25 and 24.5 hours have that many hours, and their ET0 is whole") {
    struct Odd {
        const char *zone, *date;
        double length_h;
    };
    for (const Odd& odd : {Odd{"Europe/Vienna", "2026-03-29", 23}, Odd{"Europe/Vienna", "2026-10-25", 25},
                           Odd{"Europe/Vienna", "2026-05-01", 24}, Odd{"Australia/Lord_Howe", "2026-04-05", 24.5},
                           Odd{"Australia/Lord_Howe", "2026-10-04", 23.5}, Odd{"Asia/Kolkata", "2026-05-01", 24}}) {
        INFO(odd.zone << " " << odd.date);
        const SiteClimate site = site_at(20, 15, odd.zone);
        const LocalDay d = day(odd.date);
        const auto hourly = some_hours(std::chrono::floor<hours>(site.zone.start_of(d)) - hours(24), 73);
        const DayRecord by_hour = one(site, {{own(), hourly}}, d, site.zone.end_of(d));
        double length_h = 0;
        for (const HourWeather& hour : by_hour.hours) length_h += hour.length_h;
        CHECK(length_h == odd.length_h);
        CHECK(by_hour.hours.front().starts == site.zone.start_of(d));
        CHECK(by_hour.ends == site.zone.end_of(d));
        CHECK(by_hour.hourly);

        const std::vector<Observation> daily{a_day(site.zone, d, 27, 14)};
        const DayRecord by_day = one(site, {{own(), daily}}, d, site.zone.end_of(d));
        CHECK(by_day.hours.size() == by_hour.hours.size());
        double share = 0;
        for (const HourWeather& hour : by_day.hours) share += hour.et0.share;
        CHECK_THAT(share, WithinAbs(1, 1e-12));
    }
}

TEST_CASE("daily weather is eq. 6 with every substitute named") {
    const SiteClimate site = inland();
    const std::vector<Observation> daily{a_day(site.zone, midsummer, 29, 15)};
    const DayRecord record = one(site, {{own(), daily}}, midsummer, site.zone.end_of(midsummer));
    CHECK_FALSE(record.hourly);
    CHECK(record.complete);
    CHECK(record.air_temp_max_degC.value == 29);
    CHECK(record.air_temp_min_degC.value == 15);
    CHECK(record.air_temp_max_degC.how == "daily");
    CHECK(record.vapour_pressure_kPa.how == "tmin-dew");
    CHECK(record.wind_2m_m_s.how == "no-wind");
    CHECK(record.wind_2m_m_s.value == 2);
    CHECK(record.radiation_MJ_m2.how == "temperature-range");
    CHECK(record.rain_mm.how == "none-known");
    CHECK((record.guessed.humidity && record.guessed.wind && record.guessed.radiation && record.guessed.rain));
    CHECK_FALSE(record.guessed.air_temperature);
    CHECK_THAT(record.guess_share, WithinAbs(1, 1e-12));
    const double rs = 0.16 * std::sqrt(14.0) * record.extraterrestrial_MJ_m2;
    const DayAir air{.air_temp_max_degC = 29,
                     .air_temp_min_degC = 15,
                     .vapour_pressure_kPa = kPa(saturation_vapour_pressure(Celsius(15))),
                     .wind_2m_m_s = 2,
                     .rs_MJ_m2 = rs,
                     .rs_over_rso = rs / record.clear_sky_MJ_m2,
                     .pressure_kPa = kPa(air_pressure(site.elevation))};
    CHECK_THAT(record.et0_mm, WithinAbs(et0_mm(et0_terms(air), 1, 1), 1e-9));
    CHECK(record.hours[12].origin == Origin::estimated);
    // Solar noon is at 13:05 summer time here: the air is warmest three hours later, ET0 greatest one hour later.
    const auto by_temp = [](const HourWeather& a, const HourWeather& b) { return a.air_temp_degC < b.air_temp_degC; };
    const auto by_et0 = [](const HourWeather& a, const HourWeather& b) { return a.et0_mm < b.et0_mm; };
    const auto warmest = std::max_element(record.hours.begin(), record.hours.end(), by_temp);
    const auto thirstiest = std::max_element(record.hours.begin(), record.hours.end(), by_et0);
    CHECK(format_clock(site.zone.local(warmest->starts)) == "16:00");
    CHECK(format_clock(site.zone.local(thirstiest->starts)) == "14:00");
}

TEST_CASE("without humidity arid air is drier, without radiation the coast is brighter") {
    SiteClimate site = inland();
    const std::vector<Observation> daily{a_day(site.zone, midsummer, 29, 15)};
    const auto record = [&] { return one(site, {{own(), daily}}, midsummer, site.zone.end_of(midsummer)); };
    const DayRecord humid = record();
    site.arid = true;
    const DayRecord arid = record();
    CHECK_THAT(arid.vapour_pressure_kPa.value, WithinAbs(kPa(saturation_vapour_pressure(Celsius(13))), 1e-12));
    CHECK(arid.et0_mm > humid.et0_mm);
    site.coastal = true;
    CHECK(record().radiation_MJ_m2.value > arid.radiation_MJ_m2.value);
}

TEST_CASE("measured radiation is preferred to sunshine, sunshine to the temperature range") {
    const SiteClimate site = inland();
    Observation o = a_day(site.zone, midsummer, 29, 15);
    o[Channel::duration_of_sunshine_sum] = 10;
    std::vector<Observation> daily{o};
    const DayRecord sunny = one(site, {{own(), daily}}, midsummer, site.zone.end_of(midsummer));
    CHECK(sunny.radiation_MJ_m2.how == "sunshine");
    CHECK(sunny.radiation_MJ_m2.origin == Origin::derived);
    CHECK_FALSE(sunny.guessed.radiation);
    CHECK_THAT(sunny.radiation_MJ_m2.value,
               WithinAbs((0.25 + 0.5 * 10 / sunny.daylight_h) * sunny.extraterrestrial_MJ_m2, 1e-9));
    daily[0][Channel::surface_downwelling_shortwave_flux_in_air_mean] = 250;
    const DayRecord measured = one(site, {{own(), daily}}, midsummer, site.zone.end_of(midsummer));
    CHECK(measured.radiation_MJ_m2.how == "daily");
    CHECK(measured.radiation_MJ_m2.origin == Origin::measured);
    CHECK_THAT(measured.radiation_MJ_m2.value, WithinAbs(21.6, 1e-9));
}

TEST_CASE("no temperature range means an overcast sky, and says so") {
    const SiteClimate site = inland();
    const std::vector<Observation> daily{a_day(site.zone, midsummer, 16, 16)};
    const DayRecord record = one(site, {{own(), daily}}, midsummer, site.zone.end_of(midsummer));
    CHECK(record.radiation_MJ_m2.how == "overcast");
    CHECK_THAT(record.radiation_MJ_m2.value, WithinAbs(0.25 * record.extraterrestrial_MJ_m2, 1e-9));
    CHECK(says(record, "range of 0"));
}

TEST_CASE("a morning of readings and a forecast for the rest make one day") {
    const SiteClimate site = inland();
    const Instant now = site.zone.at(LocalTime(midsummer) + hours(7));
    const auto readings = some_hours(now - hours(48), 48);
    SECTION("the forecast by the hour") {
        const auto ahead = some_hours(now - hours(3), 60, 24);
        const DayRecord record = one(site, {{own(), readings}, {service(now - hours(2)), ahead}}, midsummer, now);
        CHECK(record.hourly);
        CHECK_FALSE(record.complete);
        CHECK(record.air_temp_max_degC.how == "hourly+forecast:hourly");
        CHECK(record.air_temp_max_degC.origin == Origin::estimated);
        CHECK(record.rung == Rung::published);               // most of the hours
        CHECK(record.hours[3].origin == Origin::estimated);  // its radiation is a guess
        CHECK_THAT(record.hours[6].air_temp_degC, WithinAbs(readings[47][Channel::air_temperature_mean], 1e-12));
        CHECK_THAT(record.hours[7].air_temp_degC, WithinAbs(ahead[3][Channel::air_temperature_mean], 1e-12));
    }
    SECTION("the forecast by the day") {
        Observation tomorrow = a_day(site.zone, midsummer, 33, 16);
        tomorrow[Channel::precipitation_amount_sum] = 12;
        const std::vector<Observation> ahead{tomorrow};
        const DayRecord record = one(site, {{own(), readings}, {service(now), ahead}}, midsummer, now);
        CHECK_FALSE(record.hourly);
        CHECK(record.air_temp_max_degC.value == 33);
        CHECK(record.hours[3].et0.hourly);
        CHECK_FALSE(record.hours[13].et0.hourly);
        CHECK_THAT(record.et0_mm, WithinAbs(sum_of_hours(record), 1e-12));
        CHECK(record.rain_mm.how == "hourly+forecast:block");
        CHECK_THAT(record.rain_mm.value, WithinAbs(12.0 * 17 / 24, 1e-9));  // seven dry hours are known
        CHECK(record.hours[15].rain_mm == record.rain_mm.value);
        CHECK_FALSE(record.guessed.rain);
    }
    SECTION("a total from the garden itself, told by hand: what its own dry hours leave of it is all of it") {
        Observation told(site.zone.start_of(midsummer), site.zone.end_of(midsummer));
        told[Channel::precipitation_amount_sum] = 12;
        const std::vector<Observation> noted{told};
        CHECK_THAT(one(site, {{own(), readings}, {by_hand(), noted}}, midsummer, now).rain_mm.value, WithinAbs(12, 1e-9));
        auto wet = readings;
        for (Observation& hour : wet) hour[Channel::precipitation_amount_sum] = 2;
        CHECK_THAT(one(site, {{own(), wet}, {by_hand(), noted}}, midsummer, now).rain_mm.value, WithinAbs(14, 1e-9));  // seven hours' own
    }
    SECTION("no forecast at all: the rest is a guess, and nothing is silent") {
        const DayRecord record = one(site, {{own(), readings}}, midsummer, now);
        CHECK(record.air_temp_max_degC.how == "hourly+days-near");
        CHECK(record.guessed.air_temperature);
        CHECK(record.guess_share > 0.9);
        CHECK(record.rain_mm.how == "hourly+none-known");
    }
}

TEST_CASE("rain is known by whom it was seen, whoever told the temperature") {
    const SiteClimate site = inland();
    const Instant after = site.zone.end_of(midsummer) + hours(24);
    Observation air = a_day(site.zone, midsummer, 30, 15), gauge(site.zone.start_of(midsummer), site.zone.end_of(midsummer));
    air[Channel::precipitation_amount_sum] = NAN;
    gauge[Channel::precipitation_amount_sum] = 8;
    const std::vector<Observation> aired{air}, gauged{gauge};
    const Series published{.source = "service", .rung = Rung::published};
    const DayRecord seen = one(site, {{published, aired}, {own(), gauged}}, midsummer, after);
    CHECK(seen.rung == Rung::published);
    CHECK(seen.rain_rung == Rung::own_readings);
    CHECK(seen.rain_mm.value == 8);
    const DayRecord told = one(site, {{published, aired}, {by_hand(), gauged}}, midsummer, after);
    CHECK(told.rain_rung == Rung::by_hand);
    const DayRecord nobody = one(site, {{published, aired}}, midsummer, after);
    CHECK(nobody.rain_rung == Rung::normals);
}

TEST_CASE("the ladder goes down rung by rung") {
    SiteClimate site = inland();
    const Instant now = site.zone.end_of(midsummer);
    const std::vector<Observation> mine{a_day(site.zone, midsummer, 30, 15)},
        theirs{a_day(site.zone, midsummer, 31, 16)}, noted{a_day(site.zone, midsummer, 32, 17)};
    std::vector<SeriesReadings> readings{{by_hand(), noted}, {service(now - hours(30)), theirs}, {own(), mine}};
    CHECK(one(site, readings, midsummer, now).air_temp_max_degC.value == 30);
    readings.pop_back();
    const DayRecord published = one(site, readings, midsummer, now);
    CHECK(published.air_temp_max_degC.value == 31);
    CHECK(published.air_temp_max_degC.how == "forecast:daily");
    CHECK_FALSE(published.complete);
    readings.pop_back();
    const DayRecord hand = one(site, readings, midsummer, now);
    CHECK(hand.air_temp_max_degC.value == 32);
    CHECK(hand.air_temp_max_degC.how == "by-hand");
    CHECK(hand.rung == Rung::by_hand);
    readings.pop_back();
    const DayRecord guess = one(site, readings, midsummer, now);
    CHECK(guess.rung == Rung::normals);
    CHECK(guess.source == "normals");
    CHECK(guess.air_temp_max_degC.how == "guess");
    YearNormals normals{};
    normals[6] = {27, 14, 93};
    site.normals = normals;
    const DayRecord usual = one(site, readings, midsummer, now);
    CHECK(usual.air_temp_max_degC.value == 27);
    CHECK(usual.air_temp_max_degC.how == "normals");
    CHECK_THAT(usual.rain_mm.value, WithinAbs(3, 1e-12));
    CHECK(usual.guessed.rain);
    site.feel[midsummer] = Feel::hot;
    const DayRecord hot = one(site, readings, midsummer, now);
    CHECK(hot.air_temp_max_degC.value == 30);
    CHECK(hot.rain_mm.value == 0);
    CHECK(hot.et0_mm > usual.et0_mm);
    site.feel[midsummer] = Feel::cool;
    CHECK(one(site, readings, midsummer, now).air_temp_max_degC.value == 24);
}

TEST_CASE("of two forecasts the later issued speaks, and an analysis before both") {
    const SiteClimate site = inland();
    const Instant now = site.zone.start_of(midsummer);
    const std::vector<Observation> old{a_day(site.zone, midsummer, 25, 12)},
        fresh{a_day(site.zone, midsummer, 28, 13)}, analysis{a_day(site.zone, midsummer, 26, 11)};
    std::vector<SeriesReadings> readings{{service(now - hours(24)), old}, {service(now - hours(6)), fresh}};
    CHECK(one(site, readings, midsummer, now).air_temp_max_degC.value == 28);
    readings.push_back({Series{.source = "analysis", .rung = Rung::published}, analysis});
    CHECK(one(site, readings, midsummer, now).air_temp_max_degC.value == 26);
}

TEST_CASE("one extreme, or only a mean, is used with the usual range and marked") {
    SiteClimate site = inland();
    YearNormals normals{};
    normals[6] = {27, 15, 90};
    site.normals = normals;
    Observation o(site.zone.start_of(midsummer), site.zone.end_of(midsummer));
    o[Channel::air_temperature_max] = 33;
    std::vector<Observation> noted{o};
    const DayRecord record = one(site, {{by_hand(), noted}}, midsummer, site.zone.end_of(midsummer));
    CHECK(record.air_temp_max_degC.value == 33);
    CHECK(record.air_temp_min_degC.value == 21);
    CHECK(record.air_temp_max_degC.how == "one-extreme");
    CHECK(record.guessed.air_temperature);
    noted[0] = Observation(o.starts, o.ends);
    noted[0][Channel::air_temperature_mean] = 22;
    const DayRecord mean = one(site, {{by_hand(), noted}}, midsummer, site.zone.end_of(midsummer));
    CHECK(mean.air_temp_max_degC.value == 28);
    CHECK(mean.air_temp_max_degC.how == "mean-only");
}

TEST_CASE("normals come from the garden's own month when nobody gave any") {
    const SiteClimate site = inland();
    std::vector<Observation> last_year;
    for (int i = 0; i < 12; ++i) {
        last_year.push_back(a_day(site.zone, day("2025-07-05") + days(i), 25 + i % 2, 13));
        last_year.back()[Channel::precipitation_amount_sum] = 2;
    }
    const Instant now = site.zone.start_of(midsummer);
    const DayRecord record = one(site, {{own(), last_year}}, midsummer, now);
    CHECK(record.air_temp_max_degC.how == "normals");
    CHECK_THAT(record.air_temp_max_degC.value, WithinAbs(25.5, 1e-12));
    CHECK_THAT(record.rain_mm.value, WithinAbs(2 * 30.4 / 31, 1e-9));
    last_year.erase(last_year.begin() + 9, last_year.end());
    CHECK(one(site, {{own(), last_year}}, midsummer, now).air_temp_max_degC.how == "guess");
}

TEST_CASE("a day of which nobody told is guessed from the known days near it; the guess by latitude counts as one day beside them") {
    const SiteClimate site = inland();
    std::vector<Observation> near;
    for (int i = 1; i <= 3; ++i) near.push_back(a_day(site.zone, midsummer - days(i), 22, 11));
    const Instant now = site.zone.start_of(midsummer);
    const DayRecord guess = one(site, {}, midsummer, now);
    for (const Rung rung : {Rung::own_readings, Rung::published, Rung::by_hand}) {
        const std::vector<SeriesReadings> readings{{Series{.source = "near", .rung = rung}, near}};
        const DayRecord record = one(site, readings, midsummer, now);
        CHECK(record.air_temp_max_degC.how == "days-near");
        CHECK(record.rung == Rung::normals);
        CHECK_THAT(record.air_temp_max_degC.value, WithinAbs((guess.air_temp_max_degC.value + 3 * 22) / 4, 1e-9));
        CHECK_THAT(record.air_temp_min_degC.value, WithinAbs((guess.air_temp_min_degC.value + 3 * 11) / 4, 1e-9));
        CHECK(record.rain_mm.how == "none-known");
        // However far ahead: the last week before the present is what is known.
        CHECK_THAT(one(site, readings, midsummer + days(12), now).air_temp_max_degC.value, WithinAbs(record.air_temp_max_degC.value, 1e-9));
        // A day long past is not judged by another season.
        CHECK(one(site, readings, midsummer - days(20), now).air_temp_max_degC.how == "guess");
        // A day between them takes those on both sides.
        CHECK(one(site, readings, midsummer - days(5), now).air_temp_max_degC.how == "days-near");
    }
    // Nor is a day of which only the night and the morning were read, though a gauge told its rain for each hour.
    std::vector<Observation> holed;
    for (int h = 0; h < 24; ++h) {
        const Instant starts = site.zone.start_of(midsummer - days(1)) + hours(h);
        Observation hour(starts, starts + hours(1));
        hour[Channel::precipitation_amount_sum] = 0;
        if (h < 9 || h > 17) hour[Channel::air_temperature_mean] = 12;
        if (h == 8) hour[Channel::air_temperature_mean] = 15;
        holed.push_back(hour);
    }
    CHECK(one(site, {{Series{.source = "near", .rung = Rung::own_readings}, holed}}, midsummer, now).air_temp_max_degC.how == "guess");
    // What was only forecast of them is not known.
    CHECK(one(site, {{service(now - hours(96)), near}}, midsummer, now).air_temp_max_degC.how == "guess");
}

TEST_CASE("what is usual comes from another year than the hot one that is judged by it; without another year from its own days") {
    const SiteClimate site = inland();
    std::vector<Observation> all;
    for (int i = 0; i < 12; ++i) all.push_back(a_day(site.zone, midsummer - days(i + 1), 38, 20));
    const Instant now = site.zone.start_of(midsummer);
    CHECK(one(site, {{own(), all}}, midsummer, now).air_temp_max_degC.value == 38);
    std::vector<Observation> both;
    for (int i = 0; i < 12; ++i) both.push_back(a_day(site.zone, midsummer - days(366 + i), 25, 13));
    std::ranges::reverse(both);
    std::ranges::reverse(all);
    both.insert(both.end(), all.begin(), all.end());
    CHECK(one(site, {{own(), both}}, midsummer, now).air_temp_max_degC.value == 25);
    // Nine days of another year say too little of a month.
    both.erase(both.begin(), both.begin() + 3);
    CHECK(one(site, {{own(), both}}, midsummer, now).air_temp_max_degC.value > 30);
}

TEST_CASE("a short gap is bridged, a long one is not") {
    const SiteClimate site = inland();
    auto readings = some_hours(site.zone.start_of(midsummer - days(1)), 48);
    const auto full = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    readings.erase(readings.begin() + 34, readings.begin() + 37);
    const auto bridged = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    CHECK(bridged.air_temp_max_degC.how == "hourly+bridged");
    CHECK(bridged.air_temp_max_degC.origin == Origin::derived);
    CHECK(bridged.hourly);
    CHECK_THAT(bridged.et0_mm, WithinAbs(full.et0_mm, 0.1));
    readings.erase(readings.begin() + 34);
    const auto open = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    CHECK(open.air_temp_max_degC.how == "hourly+days-near");
    CHECK_FALSE(open.complete);
}

TEST_CASE("readings in any order, in parts, or of half hours give the same day") {
    const SiteClimate site = inland();
    const Instant now = site.zone.end_of(midsummer);
    const auto readings = some_hours(site.zone.start_of(midsummer - days(3)), 96);
    const DayRecord whole = one(site, {{own(), readings}}, midsummer, now);
    CHECK(rc::check("order and parts", [&] {
        auto shuffled = readings;
        const int turns = *rc::gen::inRange(1, 200);
        for (int i = 0; i < turns; ++i)
            std::swap(shuffled[*rc::gen::inRange(0, 96)], shuffled[*rc::gen::inRange(0, 96)]);
        const int cut = *rc::gen::inRange(0, 97);
        const std::span<const Observation> all(shuffled);
        const std::vector<SeriesReadings> parts{{own(), all.subspan(cut)}, {own(), all.first(cut)}};
        RC_ASSERT(same(whole, one(site, parts, midsummer, now)));
    }));
    std::vector<Observation> halves;
    for (const Observation& o : readings)
        for (int half : {0, 1}) {
            Observation part = o;
            part.starts = o.starts + std::chrono::minutes(30 * half);
            part.ends = part.starts + std::chrono::minutes(30);
            part[Channel::precipitation_amount_sum] = o[Channel::precipitation_amount_sum] / 2;
            halves.push_back(part);
        }
    CHECK(same(whole, one(site, {{own(), halves}}, midsummer, now)));
}

TEST_CASE("a span asked for in parts gives the same records") {
    const SiteClimate site = inland();
    const auto readings = some_hours(site.zone.start_of(midsummer - days(12)), 24 * 15);
    const std::vector<SeriesReadings> all{{own(), readings}};
    const Instant now = site.zone.end_of(midsummer);
    const auto whole = complete_days(site, all, {midsummer - days(9), midsummer}, now);
    REQUIRE(whole.size() == 10);
    for (int i = 0; i < 10; ++i) CHECK(same(whole[i], one(site, all, midsummer - days(9 - i), now)));
    CHECK(complete_days(site, all, {midsummer, midsummer - days(1)}, now).empty());
}

TEST_CASE("hours and the day made of them give generally the same ET0") {
    // The two forms were made to agree over 24 hours on average; a single day strays by some per cent.
    for (const double latitude : {-35.0, 12.0, 47.1, 58.0}) {
        SiteClimate site = site_at(latitude, 15.4, "Europe/Vienna");
        const LocalDay d = latitude < 0 ? day("2026-01-14") : midsummer;
        auto hourly = some_hours(site.zone.start_of(d - days(2)), 72);
        const DayRecord first = one(site, {{own(), hourly}}, d, site.zone.end_of(d));
        Observation daily = a_day(site.zone, d, first.air_temp_max_degC.value, first.air_temp_min_degC.value);
        daily[Channel::dew_point_temperature_mean] = degC(*dew_point(Kilopascals(first.vapour_pressure_kPa.value)));
        daily[Channel::wind_speed_mean] = first.wind_2m_m_s.value / wind_factor(Metres(2));
        daily[Channel::surface_downwelling_shortwave_flux_in_air_mean] = first.radiation_MJ_m2.value / 0.0864;
        const std::vector<Observation> as_day{daily};
        const DayRecord second = one(site, {{own(), as_day}}, d, site.zone.end_of(d));
        INFO(latitude << ": hours " << first.et0_mm << " mm, day " << second.et0_mm << " mm");
        CHECK_THAT(first.et0_mm, WithinRel(second.et0_mm, 0.10));
    }
}

TEST_CASE("polar night and polar day are complete") {
    const SiteClimate site = site_at(69.65, 18.96, "Europe/Oslo");
    for (const char* date : {"2026-12-21", "2026-06-21"}) {
        INFO(date);
        const LocalDay d = day(date);
        const auto hourly = some_hours(site.zone.start_of(d - days(2)), 72, -3);
        const DayRecord by_hour = one(site, {{own(), hourly}}, d, site.zone.end_of(d));
        const std::vector<Observation> extremes{a_day(site.zone, d, 1, -5)};
        const DayRecord by_day = one(site, {{own(), extremes}}, d, site.zone.end_of(d));
        for (const DayRecord* record : {&by_hour, &by_day}) {
            CHECK(std::isfinite(record->et0_mm));
            CHECK(record->et0_mm >= 0);
            for (const HourWeather& hour : record->hours) CHECK((std::isfinite(hour.et0_mm) && hour.et0_mm >= 0));
        }
        const bool dark = d == day("2026-12-21");
        CHECK(by_hour.daylight_h == (dark ? 0 : 24));
        CHECK((by_hour.radiation_MJ_m2.how == "no-sun") == dark);
    }
}

TEST_CASE("the southern summer is in January") {
    const SiteClimate site = site_at(-43.5, 172.6, "Pacific/Auckland");
    const auto at = [&](const char* date) {
        const std::vector<Observation> daily{a_day(site.zone, day(date), 22, 11)};
        return one(site, {{own(), daily}}, day(date), site.zone.end_of(day(date)));
    };
    CHECK(at("2026-01-10").et0_mm > 2 * at("2026-07-10").et0_mm);
    CHECK(at("2026-01-10").daylight_h > 14);
    const auto thirstiest = [](const DayRecord& r) {
        return std::max_element(r.hours.begin(), r.hours.end(), [](auto& a, auto& b) { return a.et0_mm < b.et0_mm; })
            ->starts;
    };
    CHECK(format_clock(site.zone.local(thirstiest(at("2026-01-10")))) == "14:00");  // solar noon is near 13:30 there
    const std::vector<SeriesReadings> nothing;
    const Instant now = site.zone.start_of(day("2026-01-10"));
    CHECK(one(site, nothing, day("2026-01-10"), now).air_temp_max_degC.value >
          one(site, nothing, day("2026-07-10"), now).air_temp_max_degC.value + 10);
}

TEST_CASE("cloudiness is carried through the night, and forgotten after 36 hours") {
    const SiteClimate site = inland();
    auto readings = some_hours(site.zone.start_of(midsummer - days(2)), 72);
    for (Observation& o : readings) o[Channel::surface_downwelling_shortwave_flux_in_air_mean] = 60;  // a dull day
    for (Observation& o : readings)
        if (const auto h = o.starts.time_since_epoch().count() / 3600 % 24; h < 4 || h > 18)
            o[Channel::surface_downwelling_shortwave_flux_in_air_mean] = 0;
    const DayRecord record = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    const double before_dusk = record.hours[17].et0.rs_over_rso, at_night = record.hours[23].et0.rs_over_rso;
    CHECK(before_dusk < 0.4);
    CHECK(at_night < 0.5);
    CHECK(record.hours[22].et0.rs_over_rso == at_night);
    // Far north in December the sun is never above 17 degrees: no cloudiness to carry.
    const SiteClimate north = site_at(60, 25, "Europe/Helsinki");
    const LocalDay dark = day("2026-12-21");
    const auto winter = some_hours(north.zone.start_of(dark - days(2)), 72, 0);
    const DayRecord december = one(north, {{own(), winter}}, dark, north.zone.end_of(dark));
    CHECK(december.hours[2].et0.rs_over_rso == december.hours[22].et0.rs_over_rso);
}

TEST_CASE("wind is brought to 2 m from the source's own height, and pressure from the station is used") {
    const SiteClimate site = inland();
    const auto readings = some_hours(site.zone.start_of(midsummer - days(1)), 48);
    const Instant now = site.zone.end_of(midsummer);
    const DayRecord low = one(site, {{own(), readings}}, midsummer, now);
    Series mast = own();
    mast.wind_height_m = 10;
    const DayRecord high = one(site, {{mast, readings}}, midsummer, now);
    CHECK_THAT(high.wind_2m_m_s.value / low.wind_2m_m_s.value,
               WithinAbs(wind_factor(Metres(10)) / wind_factor(Metres(2)), 1e-9));
    auto thin = readings;
    for (Observation& o : thin) o[Channel::air_pressure_mean] = 80;
    const DayRecord thin_air = one(site, {{own(), thin}}, midsummer, now);
    CHECK_THAT(thin_air.hours[12].et0.gamma_kPa_K, WithinAbs(0.665e-3 * 80, 1e-12));
    for (Observation& o : thin) o[Channel::air_pressure_mean] = 1013;  // hPa given as kPa is no pressure
    CHECK(one(site, {{own(), thin}}, midsummer, now).hours[12].et0.gamma_kPa_K == low.hours[12].et0.gamma_kPa_K);
}

TEST_CASE("every hour of every record is whole, whatever is missing") {
    const SiteClimate site = inland();
    const auto full = some_hours(site.zone.start_of(midsummer - days(4)), 24 * 6);
    CHECK(rc::check("random holes", [&] {
        std::vector<Observation> holed = full;
        const int holes = *rc::gen::inRange(0, 1500);
        for (int i = 0; i < holes; ++i)
            holed[*rc::gen::inRange(0, int(full.size()))].values[*rc::gen::inRange(0, int(channel_count))] = NAN;
        const Instant now = site.zone.start_of(midsummer) + hours(*rc::gen::inRange(0, 24));
        const std::vector<SeriesReadings> readings{{own(), holed}};
        for (const DayRecord& record :
             complete_days(site, readings, {midsummer - days(2), midsummer + days(2)}, now)) {
            RC_ASSERT(record.hours.size() == 24u);
            RC_ASSERT(record.air_temp_max_degC.value >= record.air_temp_min_degC.value);
            RC_ASSERT(record.guess_share >= 0);
            RC_ASSERT(record.guess_share <= 1 + 1e-12);
            RC_ASSERT(!record.rain_mm.how.empty() && !record.wind_2m_m_s.how.empty() &&
                      !record.radiation_MJ_m2.how.empty());
            for (const HourWeather& hour : record.hours)
                RC_ASSERT(std::isfinite(hour.et0_mm) && std::isfinite(hour.air_temp_degC) &&
                          std::isfinite(hour.rain_mm) && hour.et0_mm >= 0 && hour.et0_mm == et0_mm(hour.et0, 1, 1));
        }
    }));
}
