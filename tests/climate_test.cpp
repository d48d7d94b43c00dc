// The climate room's own values: a second program's recomputations, degenerate cases, quality rules, invariants.
// No work stands behind these numbers.
#include "catch.h"
#include "climate/aridity.hpp"
#include "climate/bay.hpp"
#include "climate/et0.hpp"
#include "climate/quality.hpp"
#include "climate/sun.hpp"
#include "climate/vapour.hpp"
#include "climate/wind.hpp"
#include "climate_rows.hpp"

#include <rapidcheck.h>
#include <cmath>
#include <numbers>
#include <set>

using namespace tubgrove;

TEST_CASE("[computed] recomputations, degenerate cases and quality rules") {
    const auto all = rows::read("climate_computed.tsv");
    std::set<std::string> ids;
    for (const rows::Row& row : all) {
        rows::check(row);
        ids.insert(row.id);
    }
    CHECK(ids.size() == 110);
    CHECK(rows::read("fao56.tsv").size() + rows::read("asce.tsv").size() + all.size() == 920);
}

namespace {

double number(double low, double high) { return low + (high - low) * double(*rc::gen::inRange(0, 1000001)) / 1e6; }

Degrees any_latitude() { return Degrees(number(-90, 90)); }
int any_day() { return *rc::gen::inRange(1, 367); }

DayAir any_day_air() {
    DayAir air;
    air.air_temp_min_degC = number(-20, 30);
    air.air_temp_max_degC = air.air_temp_min_degC + number(1, 20);
    air.vapour_pressure_kPa = number(0.1, 1) * kPa(saturation_vapour_pressure(Celsius(air.air_temp_min_degC)));
    air.wind_2m_m_s = number(0, 8);
    air.rs_MJ_m2 = number(0, 32);
    air.rs_over_rso = number(0.2, 1);
    air.pressure_kPa = number(70, 102);
    return air;
}

}  // namespace

TEST_CASE("the hours of a day sum to the day's radiation at any latitude and longitude") {
    CHECK(rc::check("24 hours of eq. 28 are eq. 21", [] {
        const Degrees latitude = any_latitude(), longitude(number(-180, 180));
        const int j = any_day();
        double sum = 0;
        for (int h = 0; h < 24; ++h)
            sum += MJ_per_m2(extraterrestrial_period(latitude, j, {hour_angle_rad(h + 0.5, longitude, j), 1}));
        RC_ASSERT(std::fabs(sum - MJ_per_m2(extraterrestrial_day(latitude, j))) < 1e-9);
    }));
    for (double latitude : {-43.5, 0.0, 50.8, 65.5, 69.65, 90.0, -90.0})
        for (int j : {1, 80, 172, 173, 266, 355, 366}) {
            double sum = 0;
            for (int half = 0; half < 48; ++half)
                sum += MJ_per_m2(extraterrestrial_period(Degrees(latitude), j,
                                                         {hour_angle_rad(half / 2.0 + 0.25, Degrees(17), j), 0.5}));
            CHECK_THAT(sum, WithinAbs(MJ_per_m2(extraterrestrial_day(Degrees(latitude), j)), 1e-9));
        }
}

TEST_CASE("the sun treats both hemispheres alike") {
    CHECK(rc::check("N(phi) + N(-phi) = 24", [] {
        const Degrees north = any_latitude(), south(-degrees(north));
        const int j = any_day();
        RC_ASSERT(std::fabs(daylight_h(north, j) + daylight_h(south, j) - 24) < 1e-9);
    }));
    CHECK(rc::check("Ra is never negative nor above a day of noons", [] {
        const double ra = MJ_per_m2(extraterrestrial_day(any_latitude(), any_day()));
        RC_ASSERT(ra >= 0);
        RC_ASSERT(ra < 48);
    }));
    CHECK(daylight_h(Degrees(90), 172) == 24);
    CHECK(daylight_h(Degrees(-90), 172) == 0);
}

TEST_CASE("hour shares sum to one, also without any sun") {
    CHECK(rc::check("shares", [] {
        const Place place{any_latitude(), Degrees(number(-180, 180))};
        const Instant midnight{std::chrono::sys_days{std::chrono::year(2026) / 1 / 1} +
                               std::chrono::days(any_day() - 1)};
        std::vector<Stretch> hours;
        const int count = *rc::gen::inRange(23, 26);
        for (int h = 0; h < count; ++h) hours.push_back({midnight + std::chrono::hours(h), 1});
        double sum = 0;
        for (double share : hour_shares(place, any_day(), hours)) {
            RC_ASSERT(share >= 0);
            sum += share;
        }
        RC_ASSERT(std::fabs(sum - 1) < 1e-12);
    }));
}

TEST_CASE("a day's ET0 moves the way the air does") {
    CHECK(rc::check("drier air at fixed Rn: more", [] {
        CombinationInputs in{.air_temp = Celsius(number(-5, 40)),
                             .slope_kPa_K = 0.15,
                             .gamma_kPa_K = 0.066,
                             .net = Radiation(number(-2, 20)),
                             .wind_2m = MetresPerSecond(number(0.5, 8)),
                             .deficit = Kilopascals(number(0, 3))};
        const Millimetres before = reference_et(in, fao_day);
        in.deficit = in.deficit + Kilopascals(0.1);
        RC_ASSERT(reference_et(in, fao_day) > before);
    }));
    CHECK(rc::check("linear in Rn - G", [] {
        CombinationInputs in{.air_temp = Celsius(20),
                             .slope_kPa_K = 0.145,
                             .gamma_kPa_K = 0.066,
                             .net = Radiation(0),
                             .wind_2m = MetresPerSecond(number(0, 8)),
                             .deficit = Kilopascals(number(0, 3))};
        const double none = mm(reference_et(in, fao_day)), step = number(0.1, 15);
        in.net = Radiation(step);
        const double one = mm(reference_et(in, fao_day)) - none;
        in.net = Radiation(2 * step);
        RC_ASSERT(std::fabs(mm(reference_et(in, fao_day)) - none - 2 * one) < 1e-12);
    }));
    CHECK(rc::check("a bay's ET0 is never negative, and calm air counts as 0.5 m/s", [] {
        const Et0Terms site = et0_terms(any_day_air());
        const double share = number(0, 1.3), wind = number(0, 2);
        RC_ASSERT(et0_mm(site, share, wind) >= 0);
        RC_ASSERT(et0_mm(site, share, 0) == et0_mm(site, share, 0.4 / std::max(0.4, site.wind_2m_m_s * 2)));
    }));
}

TEST_CASE("not a property: net radiation does not always grow with sunlight") {
    // 52 N in January under a clear cold sky: Rs 1.7, 3.4, 5.7 MJ m-2 of 5.7 possible.
    const double rso = 5.7;
    const auto net = [&](double rs) {
        const Et0Terms terms = et0_terms(DayAir{.air_temp_max_degC = 2,
                                                .air_temp_min_degC = -6,
                                                .vapour_pressure_kPa = 0.35,
                                                .wind_2m_m_s = 2,
                                                .rs_MJ_m2 = rs,
                                                .rs_over_rso = rs / rso});
        return net_radiation_MJ_m2(terms, 1);
    };
    CHECK(net(1.7) > net(3.4));
    CHECK(net(3.4) > net(5.7));
}

TEST_CASE("humidity is taken from the first source that the order names") {
    const DayTemps t{Celsius(25), Celsius(18)};
    const Kilopascals p(100);
    HumiditySources has;
    CHECK(day_humidity(has, t, p, 0).how == "tmin-dew");
    CHECK(day_humidity(has, t, p, 2).vapour_pressure < day_humidity(has, t, p, 0).vapour_pressure);
    has.rh_mean_pct = 68;
    CHECK(day_humidity(has, t, p, 0).how == "rh-mean");
    has.rh_max_pct = 82;
    CHECK(day_humidity(has, t, p, 0).how == "rh-max");
    has.rh_min_pct = 54;
    CHECK(day_humidity(has, t, p, 0).how == "rh-max-min");
    has.wet_bulb = Celsius(17);
    CHECK(day_humidity(has, t, p, 0).how == "rh-max-min");  // a wet bulb without its dry bulb says nothing
    has.dry_bulb = Celsius(21);
    CHECK(day_humidity(has, t, p, 0).how == "wet-bulb");
    has.dew_point = Celsius(15);
    CHECK(day_humidity(has, t, p, 0).how == "dew-point");
    has.hours_mean = Kilopascals(1.6);
    CHECK(day_humidity(has, t, p, 0).how == "hourly");
}

TEST_CASE("there is no dew point without vapour, and no negative deficit") {
    CHECK_FALSE(dew_point(Kilopascals(0)));
    CHECK_FALSE(dew_point(Kilopascals(-1)));
    CHECK_FALSE(dew_point(Kilopascals(NAN)));
    CHECK_FALSE(dew_point_rounded(Kilopascals(0)));
    CHECK(kPa(vapour_deficit(Kilopascals(1), Kilopascals(1.2))) == 0);
    for (double t = -30; t < 45; t += 1.5)
        CHECK_THAT(degC(*dew_point(saturation_vapour_pressure(Celsius(t)))), WithinAbs(t, 1e-9));
}

TEST_CASE("ea from specific humidity is the inverse of the mixing definition") {
    const Kilopascals p(95);
    for (double ea : {0.2, 1.0, 3.0}) {
        const double q = 0.622 * ea / (95 - 0.378 * ea);
        CHECK_THAT(kPa(vapour_pressure_from_specific_humidity(q, p)), WithinAbs(ea, 1e-12));
    }
}

TEST_CASE("unbelievable values are refused") {
    const auto day = [](double min, double max) { return check_day_temperatures({Celsius(max), Celsius(min), {}}); };
    CHECK(day(21, 14) == Verdict::reject);
    CHECK(day(-61, 10) == Verdict::reject);
    CHECK(day(10, 61) == Verdict::reject);
    CHECK(day(NAN, 20) == Verdict::reject);
    CHECK(day(10, INFINITY) == Verdict::reject);
    CHECK(day(12, 12) == Verdict::suspect);
    CHECK(day(-2, 34) == Verdict::suspect);
    CHECK(day(10, 20) == Verdict::pass);
    CHECK(check_humidity(-1) == Verdict::reject);
    CHECK(check_humidity(NAN) == Verdict::reject);
    CHECK(check_humidity(105) == Verdict::clip);
    CHECK(check_humidity(105.1) == Verdict::reject);
    CHECK(check_humidity(100) == Verdict::pass);
    CHECK(check_wind(MetresPerSecond(-0.1)) == Verdict::reject);
    CHECK(check_wind(MetresPerSecond(61)) == Verdict::reject);
    CHECK(check_wind(MetresPerSecond(26)) == Verdict::suspect);
    CHECK(check_dew_point(Celsius(22), {Celsius(21), Celsius(10), {}}) == Verdict::reject);
    CHECK(check_temperature_step(-20.5) == Verdict::reject);
    CHECK(check_temperature_step(9) == Verdict::suspect);
    CHECK(check_humidity_step(51) == Verdict::suspect);
    CHECK(check_dew_point_step(-9) == Verdict::suspect);
    CHECK(check_stuck(std::vector<double>(48, 3.0), stuck_wind_m_s) == Verdict::reject);
    CHECK(check_stuck(std::vector<double>(11, 3.0), stuck_wind_m_s) == Verdict::pass);
    CHECK(check_week_humidity(std::vector<double>(6, 60.0)) == Verdict::pass);
    CHECK(check_week_wind(std::vector<double>(7, 0.2)) == Verdict::suspect);
    const HourSky noon{Radiation(2.7), Radiation(3.5), 0.9}, midnight{Radiation(0), Radiation(0), -0.5};
    CHECK(check_hour_radiation(Radiation(5.4), noon) == Verdict::reject);
    CHECK(check_hour_radiation(Radiation(3.3), noon) == Verdict::suspect);
    CHECK(check_hour_radiation(Radiation(2.0), noon) == Verdict::pass);
    CHECK(check_hour_radiation(Radiation(0.5), midnight) == Verdict::suspect);
    CHECK(check_hour_radiation(Radiation(-0.01), midnight) == Verdict::clip);
    CHECK(check_hour_radiation(Radiation(-0.2), midnight) == Verdict::reject);
    CHECK(check_day_radiation(Radiation(-0.2), {}) == Verdict::reject);
}

TEST_CASE("a station over dry ground is corrected only beyond its usual gap") {
    const DryAir same = over_watered_ground({Celsius(25), Celsius(12), Celsius(11)}, 2);
    CHECK(degC(same.max) == 25);
    CHECK(degC(same.dew_point) == 11);
    CHECK_THAT(aridity_index(Millimetres(6.3), Millimetres(6)), WithinAbs(0.05, 1e-12));
}

TEST_CASE("wind heights below a metre are taken as a metre") {
    CHECK(wind_factor(Metres(0.01)) == wind_factor(Metres(1)));
    CHECK(wind_factor(Metres(10)) < wind_factor(Metres(2)));
}

namespace {

// One hour of a day, with the day's own extremes and vapour pressure.
DayRecord one_hour(const HourAir& air) {
    DayRecord day;
    day.air_temp_max_degC.value = day.air_temp_min_degC.value = air.air_temp_degC;
    day.vapour_pressure_kPa.value = air.vapour_pressure_kPa;
    day.hours = {{.starts = {}, .length_h = 1, .air_temp_degC = air.air_temp_degC, .rain_mm = 0, .et0 = et0_terms(air), .et0_mm = 0}};
    return day;
}

}  // namespace

TEST_CASE("a room's air is held between two temperatures, and dries a pot as such air does") {
    const RoomAir room{10, 30};
    HourAir air;
    air.vapour_pressure_kPa = 0.4;
    air.air_temp_degC = -5;
    const auto cold = hours_in(room, one_hour(air)).front();
    CHECK(cold.air_temp_degC == 10);
    // [FAO56] Annex 2 table 2.3 prints 1.228 kPa at 10 degC; [ASCE2005] eq. 1 with Cn 37.
    CHECK_THAT(cold.et0.aerodynamic, WithinAbs(cold.et0.gamma_kPa_K * 37 / 283 * (1.228 - 0.4), cold.et0.gamma_kPa_K * 37 / 283 * 0.0005));
    HourAir as_warm = air;
    as_warm.air_temp_degC = 10;
    CHECK(cold.et0.delta_kPa_K == et0_terms(as_warm).delta_kPa_K);

    air.air_temp_degC = 22;
    const auto mild = one_hour(air);
    CHECK(hours_in(room, mild).front().et0.aerodynamic == mild.hours.front().et0.aerodynamic);   // left as it is

    // Outside 38 degC with more vapour than air of 30 degC can hold (table 2.3: 4.243 kPa): nothing dries by wind.
    air.air_temp_degC = 38;
    air.vapour_pressure_kPa = 5;
    CHECK(hours_in(room, one_hour(air)).front().et0.aerodynamic == 0);

    // A day of 5 and 35 degC becomes one of 10 and 30: es is the mean of 1.228 and 4.243 (table 2.3), the mean temperature 20.
    DayAir whole{.air_temp_max_degC = 35, .air_temp_min_degC = 5, .vapour_pressure_kPa = 0.8};
    DayRecord day;
    day.air_temp_max_degC.value = 35, day.air_temp_min_degC.value = 5, day.vapour_pressure_kPa.value = 0.8;
    day.hours = {{.starts = {}, .length_h = 1, .air_temp_degC = 20, .rain_mm = 0, .et0 = et0_terms(whole), .et0_mm = 0}};
    const auto held = hours_in(room, day).front().et0;
    CHECK_THAT(held.aerodynamic, WithinAbs(held.gamma_kPa_K * 900 / 293 * ((1.228 + 4.243) / 2 - 0.8), held.gamma_kPa_K * 900 / 293 * 0.0005));
}
