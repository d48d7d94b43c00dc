#pragma once
// Where the sun stands, and how much would reach the ground without air. Angles in radians; south negative.
#include "calendar.hpp"
#include "units.hpp"

#include <span>
#include <vector>

namespace tubgrove {

double radians(Degrees angle);  // Source: [FAO56] eq. 22

// Inverse relative distance Earth to sun. Day of year 1..366, 366 used as it is. Source: [FAO56] eq. 23
double inverse_distance(int day_of_year);
double declination_rad(int day_of_year);  // Source: [FAO56] eq. 24

// Half the day as an angle: 0 in polar night, pi in polar day, at the poles too. Source: [FAO56] eq. 25, clamped
double sunset_hour_angle_rad(Degrees latitude, int day_of_year);
double daylight_h(Degrees latitude, int day_of_year);  // 0..24. Source: [FAO56] eq. 34

// Difference of the sundial to mean time, h. Source: [FAO56] eq. 32, 33
double seasonal_correction_h(int day_of_year);

// Hour angle, -pi..pi, 0 at solar noon, of a moment given as hours of UTC (may be below 0 or above 24). It needs no
// time zone: eq. 31 with its standard clock taken as Greenwich. Source: [FAO56] eq. 31
double hour_angle_rad(double utc_h, Degrees longitude, int day_of_year);

// Elevation of the sun above the horizon, -pi/2..pi/2. Source: [FAO56] eq. 3-15
double sun_elevation_rad(Degrees latitude, int day_of_year, double hour_angle_rad);

// Radiation above the air on a level surface, of a day. Source: [FAO56] eq. 21
MegajoulesPerSquareMetre extraterrestrial_day(Degrees latitude, int day_of_year);

// A period of the day: hour angle of its middle, and its length up to 24 h.
struct SolarPeriod {
    double mid_hour_angle_rad = 0;
    double length_h = 1;
};
// The same of a period: the part of it with the sun above the horizon, so that the periods of a day sum to eq. 21.
// A period around solar midnight has both its ends in the light where the sun hardly sets.
// Source: [FAO56] eq. 28 to 30; clipped to sunset as in [ASCE2005] eq. 55, here also at the angles 2 pi away
MegajoulesPerSquareMetre extraterrestrial_period(Degrees latitude, int day_of_year, SolarPeriod);

// The sun at one place through a stretch of time; day_of_year is the local day's, for all its hours.
struct Place {
    Degrees latitude, longitude;
};
SolarPeriod solar_period(Instant starts, double length_h, Degrees longitude, int day_of_year);

// What part of a day's ET0 falls in each of its hours (sums to 1): the clear-sky curve one hour later, since the air
// is driest after noon. Without any sun, the hours' lengths. Against 24 hours of [FAO56] eq. 53 the running sum
// strays by 3 to 5 % of the day, without the delay by 8 to 14 %. Source: [POTWATER]
struct Stretch {
    Instant starts;
    double length_h;
};
std::vector<double> hour_shares(Place, int day_of_year, std::span<const Stretch> hours);

}  // namespace tubgrove
