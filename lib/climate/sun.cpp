#include "climate/sun.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tubgrove {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double solar_constant_MJ_m2_h = 60 * 0.0820;  // Source: [FAO56] eq. 21

// Share of a solar day's geometry in the hour angles w1..w2, both above the horizon.
double lit(Degrees latitude, double d, double w1, double w2) {
    const double phi = radians(latitude);
    return (w2 - w1) * std::sin(phi) * std::sin(d) + std::cos(phi) * std::cos(d) * (std::sin(w2) - std::sin(w1));
}

// The part of w1..w2 within -ws..ws around the noon at `noon`.
double lit_around(Degrees latitude, int day_of_year, double w1, double w2, double noon) {
    const double ws = sunset_hour_angle_rad(latitude, day_of_year);
    const double from = std::clamp(w1 - noon, -ws, ws), to = std::clamp(w2 - noon, -ws, ws);
    return to > from ? lit(latitude, declination_rad(day_of_year), from, to) : 0.0;
}

}  // namespace

double radians(Degrees angle) { return pi / 180 * degrees(angle); }

double inverse_distance(int day_of_year) { return 1 + 0.033 * std::cos(2 * pi / 365 * day_of_year); }

double declination_rad(int day_of_year) { return 0.409 * std::sin(2 * pi / 365 * day_of_year - 1.39); }

double sunset_hour_angle_rad(Degrees latitude, int day_of_year) {
    const double cosine = -std::tan(radians(latitude)) * std::tan(declination_rad(day_of_year));
    return std::acos(std::clamp(cosine, -1.0, 1.0));
}

double daylight_h(Degrees latitude, int day_of_year) {
    return 24 / pi * sunset_hour_angle_rad(latitude, day_of_year);
}

double seasonal_correction_h(int day_of_year) {
    const double b = 2 * pi * (day_of_year - 81) / 364;
    return 0.1645 * std::sin(2 * b) - 0.1255 * std::cos(b) - 0.025 * std::sin(b);
}

double hour_angle_rad(double utc_h, Degrees longitude, int day_of_year) {
    const double solar_h = utc_h + degrees(longitude) / 15 + seasonal_correction_h(day_of_year);
    return std::remainder(pi / 12 * (solar_h - 12), 2 * pi);
}

double sun_elevation_rad(Degrees latitude, int day_of_year, double hour_angle) {
    const double phi = radians(latitude), d = declination_rad(day_of_year);
    const double sine = std::sin(phi) * std::sin(d) + std::cos(phi) * std::cos(d) * std::cos(hour_angle);
    return std::asin(std::clamp(sine, -1.0, 1.0));
}

MegajoulesPerSquareMetre extraterrestrial_day(Degrees latitude, int day_of_year) {
    const double phi = radians(latitude), d = declination_rad(day_of_year);
    const double ws = sunset_hour_angle_rad(latitude, day_of_year);
    const double geometry = ws * std::sin(phi) * std::sin(d) + std::cos(phi) * std::cos(d) * std::sin(ws);
    return MegajoulesPerSquareMetre(24 / pi * solar_constant_MJ_m2_h * inverse_distance(day_of_year) *
                                    std::max(0.0, geometry));
}

MegajoulesPerSquareMetre extraterrestrial_period(Degrees latitude, int day_of_year, SolarPeriod period) {
    const double half = pi / 24 * period.length_h;
    const double w1 = period.mid_hour_angle_rad - half, w2 = period.mid_hour_angle_rad + half;
    const double geometry = lit_around(latitude, day_of_year, w1, w2, 0) +
                            lit_around(latitude, day_of_year, w1, w2, 2 * pi) +
                            lit_around(latitude, day_of_year, w1, w2, -2 * pi);
    return MegajoulesPerSquareMetre(12 / pi * solar_constant_MJ_m2_h * inverse_distance(day_of_year) *
                                    std::max(0.0, geometry));
}

SolarPeriod solar_period(Instant starts, double length_h, Degrees longitude, int day_of_year) {
    const auto day = std::chrono::floor<std::chrono::days>(starts);
    const double utc_h = double((starts - day).count()) / 3600 + length_h / 2;
    return {hour_angle_rad(utc_h, longitude, day_of_year), length_h};
}

std::vector<double> hour_shares(Place place, int day_of_year, std::span<const Stretch> hours) {
    std::vector<double> shares;
    double total = 0, total_h = 0;
    for (const Stretch& hour : hours) {
        const auto an_hour_before = hour.starts - std::chrono::hours(1);
        shares.push_back(MJ_per_m2(extraterrestrial_period(
            place.latitude, day_of_year, solar_period(an_hour_before, hour.length_h, place.longitude, day_of_year))));
        total += shares.back();
        total_h += hour.length_h;
    }
    for (std::size_t i = 0; i < shares.size(); ++i)
        shares[i] = total > 0 ? shares[i] / total : hours[i].length_h / total_h;
    return shares;
}

}  // namespace tubgrove
