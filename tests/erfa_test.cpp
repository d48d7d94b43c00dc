// The sun of [FAO56] against the positions of [ERFA]. The simple formulas take the Earth's year as a circle walked at
// even speed and of 365 days; what that leaves out bounds the differences, which are reasoned at each case.
#include "catch.h"
#include "climate/sun.hpp"

#include <erfa.h>
#include <algorithm>
#include <cmath>
#include <numbers>

using namespace tubgrove;

namespace {

constexpr double pi = std::numbers::pi;

struct Sun {
    double declination_rad, right_ascension_rad, distance_au, greenwich_sidereal_rad;
};

// Geocentric sun of date. TT runs some 69 s before UTC, and aberration is 0.006 degrees: both far below what is
// compared.
Sun sun_at(double julian_date_utc) {
    const double day = std::floor(julian_date_utc), part = julian_date_utc - day, tt = part + 69.2 / 86400;
    double heliocentric[2][3], barycentric[2][3], matrix[3][3], of_date[3];
    eraEpv00(day, tt, heliocentric, barycentric);
    double sun[3];
    for (int i = 0; i < 3; ++i) sun[i] = -heliocentric[0][i];
    eraPnm06a(day, tt, matrix);
    eraRxp(matrix, sun, of_date);
    double right_ascension, declination, distance;
    eraP2s(of_date, &right_ascension, &declination, &distance);
    return {declination, right_ascension, distance, eraGst06a(day, part, day, tt)};
}

// Noon UTC of a day of a year.
double noon(int year, int day_of_year) {
    double whole, modified;
    eraCal2jd(year, 1, 1, &whole, &modified);
    return whole + modified + day_of_year - 1 + 0.5;
}

// Largest difference over four years, one of them a leap year.
template <class Difference>
double largest(Difference difference) {
    double most = 0;
    for (int year = 2024; year < 2028; ++year)
        for (int j = 1; j <= (year == 2024 ? 366 : 365); ++j)
            most = std::max(most, std::fabs(difference(noon(year, j), j)));
    return most;
}

double hour_angle_of(const Sun& sun, double longitude_rad) {
    return std::remainder(sun.greenwich_sidereal_rad + longitude_rad - sun.right_ascension_rad, 2 * pi);
}

}  // namespace

TEST_CASE(
    "declination: the uneven year moves the sun by up to 1.9 degrees along its path, 0.8 of them north or south") {
    // Leap days add up to 0.75 day at 0.4 degrees a day.
    const double most = largest([](double jd, int j) { return declination_rad(j) - sun_at(jd).declination_rad; });
    INFO("largest difference, degrees: " << most * 180 / pi);
    CHECK(most < (0.8 + 0.3 + 0.4) * pi / 180);
    CHECK(most > 0.2 * pi / 180);  // and it is not the other way round: the formula is the simple one
}

TEST_CASE("distance: the perihelion is days after New Year, and the orbit's second term is left out") {
    // 2 e sin(phase) with the perihelion 3 to 4 days after New Year and 0.75 day of leap drift: 0.033 x sin 4.7
    // degrees = 0.0027; 2 e is 0.0334, not 0.033: 0.0004; terms in e squared: up to 3 e^2 = 0.0008.
    const double most = largest([](double jd, int j) {
        const double au = sun_at(jd).distance_au;
        return inverse_distance(j) - 1 / (au * au);
    });
    INFO("largest difference: " << most);
    CHECK(most < 0.0039);
}

TEST_CASE("sundial: eq. 32 is within a minute and a half of the sun") {
    // Two waves instead of the orbit: a third wave of some 20 s is missing, the rest is the drift of leap days (30 s
    // a day).
    const double most =
        largest([](double jd, int j) { return hour_angle_rad(12, Degrees(0), j) - hour_angle_of(sun_at(jd), 0); });
    INFO("largest difference, minutes: " << most * 12 / pi * 60);
    CHECK(most * 12 / pi * 60 < 1.5);
}

TEST_CASE("elevation through the day follows from those, at any place") {
    for (double latitude : {-43.5, 0.0, 28.0, 47.1, 65.0})
        for (double longitude : {-120.0, 15.4, 172.6})
            for (int hour = 0; hour < 24; hour += 4) {
                const double most = largest([&](double jd, int j) {
                    if (j % 24) return 0.0;  // enough days to meet every season
                    const Sun sun = sun_at(jd + (hour - 12) / 24.0);
                    const double w = hour_angle_of(sun, longitude * pi / 180), phi = latitude * pi / 180;
                    const double real = std::asin(std::sin(phi) * std::sin(sun.declination_rad) +
                                                  std::cos(phi) * std::cos(sun.declination_rad) * std::cos(w));
                    return sun_elevation_rad(Degrees(latitude), j, hour_angle_rad(hour, Degrees(longitude), j)) -
                           real;
                });
                INFO(latitude << " " << longitude << " " << hour << ": " << most * 180 / pi << " degrees");
                // 1.5 degrees of declination, half a day's change of it (0.2), and 1.5 minutes of time (0.4).
                CHECK(most < 2.1 * pi / 180);
            }
}

TEST_CASE("the day's length follows from the declination") {
    for (double latitude : {0.0, 30.0, 47.1, 60.0}) {
        const double phi = latitude * pi / 180;
        const double most = largest([&](double jd, int j) {
            const double real =
                24 / pi * std::acos(std::clamp(-std::tan(phi) * std::tan(sun_at(jd).declination_rad), -1.0, 1.0));
            return daylight_h(Degrees(latitude), j) - real;
        });
        INFO(latitude << ": " << most * 60 << " minutes");
        // dN/dd = 24/pi tan(phi)/(cos^2 d sin ws); at 60 degrees and the solstice 24/pi x 1.73 x 1.19/0.66.
        const double declination_error = 1.5 * pi / 180,
                     worst_slope = 24 / pi * std::tan(phi) * 1.19 / std::sin(std::acos(std::tan(phi) * 0.4338));
        CHECK(most <= declination_error * worst_slope + 1e-9);
    }
}
