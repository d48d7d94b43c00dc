// Bad, doubled, lumped and displaced readings on their way to complete days: what is refused, what is told, what
// falls where.
#include "climate/complete.hpp"
#include "weather_scenes.hpp"

using namespace tubgrove;
using namespace tubgrove::scenes;

TEST_CASE("an interval reported twice counts once and is told") {
    const SiteClimate site = inland();
    auto readings = some_hours(site.zone.start_of(midsummer - days(1)), 48);
    readings[40][Channel::precipitation_amount_sum] = 4;
    readings.push_back(readings[40]);
    const DayRecord record = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    CHECK_THAT(record.rain_mm.value, WithinAbs(4, 1e-12));
    CHECK(says(record, "reported twice"));
    readings.back().ends = readings.back().starts - hours(2);
    CHECK(says(one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer)), "ends before it starts"));
}

TEST_CASE("daily rain falls in one block at 15 h; hours of the same gauge are not counted twice") {
    const SiteClimate site = inland();
    Observation gauge(site.zone.start_of(midsummer), site.zone.end_of(midsummer));
    gauge[Channel::precipitation_amount_sum] = 9;
    auto readings = some_hours(site.zone.start_of(midsummer - days(1)), 48);
    for (Observation& o : readings) o[Channel::precipitation_amount_sum] = NAN;
    readings.push_back(gauge);
    const DayRecord block = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    CHECK(block.rain_mm.how == "block");
    CHECK(block.rain_mm.origin == Origin::derived);
    CHECK(block.hours[15].rain_mm == 9);
    for (int i = 24; i < 34; ++i) readings[i][Channel::precipitation_amount_sum] = 0.5;
    const DayRecord mixed = one(site, {{own(), readings}}, midsummer, site.zone.end_of(midsummer));
    CHECK_THAT(mixed.rain_mm.value, WithinAbs(9, 1e-12));
    CHECK_THAT(mixed.hours[15].rain_mm, WithinAbs(4, 1e-12));
}

TEST_CASE("rejected values are missing and named, suspect ones are used and named") {
    const SiteClimate site = inland();
    const Instant now = site.zone.end_of(midsummer);
    const auto clean = some_hours(site.zone.start_of(midsummer - days(3)), 96);
    auto bad = clean;
    const auto record = [&] { return one(site, {{own(), bad}}, midsummer, now); };
    bad[84][Channel::air_temperature_mean] = 85;
    CHECK(says(record(), "air_temperature rejected"));
    CHECK(record().air_temp_max_degC.value < 40);
    CHECK(record().air_temp_max_degC.how == "hourly+bridged");
    bad = clean;
    bad[84][Channel::relative_humidity_mean] = 130;
    CHECK(says(record(), "relative_humidity rejected"));
    CHECK(record().vapour_pressure_kPa.value < 3);
    bad = clean;
    bad[84][Channel::wind_speed_mean] = 30;
    CHECK(says(record(), "wind_speed suspect, used: above 25 m/s, at 12:00"));
    CHECK(record().wind_2m_m_s.value > 2.5);
    bad = clean;
    for (std::size_t i = 0; i < bad.size(); ++i) bad[i][Channel::wind_speed_mean] = 0.7;
    CHECK(says(record(), "wind_speed rejected, taken as missing: no change for 48 hours or more, 24 hours, the first at 00:00"));
    CHECK(record().wind_2m_m_s.how == "no-wind");
    bad = clean;
    bad[84][Channel::precipitation_amount_sum] = -3;
    CHECK(record().rain_mm.value == 0);
    CHECK(says(record(), "precipitation_amount rejected"));
    bad = {a_day(site.zone, midsummer, 12, 20)};
    CHECK(record().rung == Rung::normals);
    CHECK(says(record(), "out of order"));
    bad = {a_day(site.zone, midsummer, 30, 15)};
    bad[0][Channel::surface_downwelling_shortwave_flux_in_air_mean] = 3000;
    CHECK(record().radiation_MJ_m2.how == "temperature-range");
    CHECK(says(record(), "shortwave radiation rejected"));
    bad[0][Channel::dew_point_temperature_mean] = 31;
    CHECK(record().vapour_pressure_kPa.how == "tmin-dew");
    CHECK(says(record(), "dew point rejected"));
}

TEST_CASE("cups that stand still for days are a calm while the station lives; a week without a turn is a broken instrument") {
    const SiteClimate site = inland();
    const Instant now = site.zone.end_of(midsummer);
    const auto still = [&](int count) {
        auto readings = some_hours(site.zone.start_of(midsummer - days(9)), 240);
        for (std::size_t i = readings.size() - std::size_t(count); i < readings.size(); ++i) readings[i][Channel::wind_speed_mean] = 0.0;
        return readings;
    };
    const std::string calm = "wind_speed below what cups turn at for 48 hours or more, taken as a calm of 0.5 m/s at 2 m, 24 hours, the first at 00:00";
    const auto record = one(site, {{own(), still(72)}}, midsummer, now);
    CHECK(says(record, calm));
    CHECK(record.wind_2m_m_s.how == "hourly");
    CHECK_THAT(record.wind_2m_m_s.value, WithinAbs(0.5, 1e-9));
    Series high = own();
    high.wind_height_m = 10;
    CHECK_THAT(one(site, {{high, still(72)}}, midsummer, now).wind_2m_m_s.value, WithinAbs(0.5, 1e-9));
    // A day and a half is used as it is.
    CHECK(one(site, {{own(), still(36)}}, midsummer, now).wind_2m_m_s.value == 0);
    // Never a turn in a week, or all of the station stands still.
    const auto broken = one(site, {{own(), still(240)}}, midsummer, now);
    CHECK_FALSE(says(broken, "calm"));
    CHECK(says(broken, "wind_speed rejected"));
    CHECK(broken.wind_2m_m_s.how == "no-wind");
    auto dead = still(72);
    for (Observation& o : dead) o[Channel::air_temperature_mean] = 20;
    CHECK_FALSE(says(one(site, {{own(), dead}}, midsummer, now), "calm"));
    // Hardly moving at 0.5 m/s and more is no calm.
    auto slow = still(72);
    for (Observation& o : slow) o[Channel::wind_speed_mean] = 0.55;
    CHECK(says(one(site, {{own(), slow}}, midsummer, now), "wind_speed rejected"));
}

TEST_CASE("a source an hour off, and a sensor in the sun, are noticed") {
    const SiteClimate site = inland();
    auto readings = some_hours(site.zone.start_of(midsummer - days(6)), 24 * 7);
    for (Observation& o : readings) {
        const auto period = std::chrono::floor<hours>(o.starts);
        const double h = double(period.time_since_epoch().count() % 24) + 0.5 + 15.4 / 15 - 12 + 2;  // two hours late
        o[Channel::surface_downwelling_shortwave_flux_in_air_mean] = std::max(0.0, 900 * std::cos(h * 0.2));
        if (std::fabs(h) > 7.5) o[Channel::surface_downwelling_shortwave_flux_in_air_mean] = 0;
    }
    const Instant now = site.zone.end_of(midsummer);
    CHECK(says(one(site, {{own(), readings}}, midsummer, now), "time zone or summer time"));
    const auto hot = some_hours(site.zone.start_of(midsummer - days(1)), 48, 27),
               mild = some_hours(site.zone.start_of(midsummer - days(1)), 48, 20);
    const std::vector<SeriesReadings> two{{own(), hot}, {service(now - hours(48)), mild}};
    CHECK(says(one(site, two, midsummer, now), "sun on the sensor"));
}

TEST_CASE("a gauge read once a week shares its rain among its days") {
    const SiteClimate site = inland();
    Observation week(site.zone.start_of(midsummer - days(6)), site.zone.end_of(midsummer));
    week[Channel::precipitation_amount_sum] = 21;
    week[Channel::air_temperature_max] = 38;
    const std::vector<Observation> gauge{week};
    double total = 0;
    for (const DayRecord& record : complete_days(site, std::vector<SeriesReadings>{{own(), gauge}},
                                                 {midsummer - days(6), midsummer}, site.zone.end_of(midsummer))) {
        CHECK_THAT(record.rain_mm.value, WithinAbs(3, 1e-9));
        CHECK(record.rung == Rung::normals);  // the week's highest temperature is no day's
        total += record.rain_mm.value;
    }
    CHECK_THAT(total, WithinAbs(21, 1e-9));
}

TEST_CASE("a forecast that repeats itself is no stuck instrument; readings ahead of the clock are told") {
    const SiteClimate site = inland();
    auto still = some_hours(site.zone.start_of(midsummer - days(3)), 96);
    for (Observation& o : still) o[Channel::wind_speed_mean] = 2.5;
    const Instant now = site.zone.end_of(midsummer);
    CHECK(one(site, {{service(now - hours(90)), still}}, midsummer, now).wind_2m_m_s.how == "forecast:hourly");
    CHECK(one(site, {{own(), still}}, midsummer, now).wind_2m_m_s.how == "no-wind");
    CHECK(says(one(site, {{own(), still}}, midsummer, now - hours(5)), "ahead of the clock"));
    CHECK_FALSE(says(one(site, {{own(), still}}, midsummer, now), "ahead of the clock"));
}
