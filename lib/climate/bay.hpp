#pragma once
// A bay's reference evapotranspiration from the open site's weather: light and wind are the bay's, air is the site's.
// The ensemble asks for each member of each hour, so both stand for several members side by side (lib/lanes.hpp).
#include "climate/day_record.hpp"
#include "lanes.hpp"

namespace tubgrove {

namespace et0_constants {
inline constexpr double albedo = 0.23;               // of the reference grass. Source: [FAO56] eq. 38
inline constexpr double mm_per_MJ_m2 = 0.408;        // 1/2.45 MJ/kg. Source: [FAO56] eq. 20
inline constexpr double cd_day_step = 0.34;          // rs 70 s/m. Source: [FAO56] eq. 6
inline constexpr double cd_hour_bright = 0.24;       // rs 50 s/m. Source: [ASCE2005] table 1
inline constexpr double cd_hour_dark = 0.96;         // rs 200 s/m, where Rn < 0. Source: [ASCE2005] table 1
inline constexpr double soil_bright = 0.1;           // G/Rn. Source: [FAO56] eq. 45
inline constexpr double soil_dark = 0.5;             // G/Rn, where Rn < 0. Source: [FAO56] eq. 46
inline constexpr double cloud_factor_least = 0.055;  // at Rs/Rso 0.3. Source: [ASCE2005] eq. 18
inline constexpr double calm_m_s = 0.5;              // least wind of a daily step. Source: [FAO56] chapter 3
}  // namespace et0_constants

// Net radiation in a bay (MJ m-2 of the hour, or of the day for a daily basis): Rns - Rnl.
// Walls and trees that keep sunlight out also replace cold sky, so the longwave loss scales with the bay's own
// Rs/Rso, by night as well. `radiation_share`: the bay's part of the site's shortwave, 0 and above. Source: [FAO56]
// eq. 38 to 40; held to Rs/Rso 0.3..1 as in [ASCE2005] eq. 18
template <class Real>
TUBGROVE_LANES Real net_radiation_of(const Et0Terms& site, Real radiation_share) {
    const Real straight = 1.35 * site.rs_over_rso * radiation_share - 0.35;
    const Real above = greater(straight, each<Real>(et0_constants::cloud_factor_least));
    const Real cloud_factor = lesser(above, each<Real>(1));
    return (1 - et0_constants::albedo) * site.rs_MJ_m2 * radiation_share - site.longwave_MJ_m2 * cloud_factor;
}
inline double net_radiation_MJ_m2(const Et0Terms& site, double radiation_share) {
    return net_radiation_of(site, radiation_share);
}

// ET0 in a bay, mm of the hour, not below 0: what condenses at night does not water a pot.
//   ET0 = (0.408 Delta (Rn - G) + gamma Cn/(T + 273) u2 (es - ea)) / (Delta + gamma (1 + Cd u2))
// `radiation_share` and `wind_factor`: the bay's part of the site's shortwave and wind, 0 and above; 1 and 1 give the
// open site. A daily basis gives its hour the share `site.share` of the bay's day; its wind is at least 0.5 m/s.
// Source: [FAO56] eq. 6 (day); [ASCE2005] eq. 1 (hour)
template <class Real>
TUBGROVE_LANES Real et0_of(const Et0Terms& site, Real radiation_share, Real wind_factor) {
    namespace c = et0_constants;
    const double kept_bright = site.hourly ? 1 - c::soil_bright : 1.0,
                 kept_dark = site.hourly ? 1 - c::soil_dark : 1.0;
    const double cd_bright = site.hourly ? c::cd_hour_bright : c::cd_day_step;
    const double cd_dark = site.hourly ? c::cd_hour_dark : c::cd_day_step;
    const double calm = site.hourly ? 0.0 : c::calm_m_s;

    const Real rn = net_radiation_of(site, radiation_share);
    const Real kept = select(rn < 0.0, each<Real>(kept_dark), each<Real>(kept_bright));
    const Real cd = select(rn < 0.0, each<Real>(cd_dark), each<Real>(cd_bright));
    const Real u2 = greater(site.wind_2m_m_s * wind_factor, each<Real>(calm));
    const Real et0 = (c::mm_per_MJ_m2 * site.delta_kPa_K * rn * kept + site.aerodynamic * u2) /
                       (site.delta_kPa_K + site.gamma_kPa_K * (1 + cd * u2));
    return greater(et0, each<Real>(0)) * site.share;
}
inline double et0_mm(const Et0Terms& site, double radiation_share, double wind_factor) {
    return et0_of(site, radiation_share, wind_factor);
}

// The air and light of one hour at the open site.
struct HourAir {
    double air_temp_degC = 0;        // mean of the hour, above -237
    double vapour_pressure_kPa = 0;  // 0 and above
    double wind_2m_m_s = 0;
    double rs_MJ_m2 = 0;          // of this hour
    double rs_over_rso = 0.6;     // carried through the night
    double pressure_kPa = 101.3;  // at the station
    double length_h = 1;
};
// Source: [ASCE2005] eq. 1 with Cn 37, short reference, hourly
Et0Terms et0_terms(const HourAir& air);

// The air and light of one day at the open site.
struct DayAir {
    double air_temp_max_degC = 0, air_temp_min_degC = 0;  // max not below min, min above -237
    double vapour_pressure_kPa = 0;
    double wind_2m_m_s = 0;
    double rs_MJ_m2 = 0;  // of the day
    double rs_over_rso = 0.6;
    double pressure_kPa = 101.3;
};
// Terms whose share is 1: the whole day. An hour of it has the same terms and its own share (hour_shares in sun.hpp).
// Source: [FAO56] eq. 6
Et0Terms et0_terms(const DayAir& air);

// The air of a room that is kept between two temperatures. low_degC is not above high_degC.
struct RoomAir {
    double low_degC = 0, high_degC = 0;
    double held(double outside_degC) const { return outside_degC < low_degC ? low_degC : outside_degC > high_degC ? high_degC : outside_degC; }
};
// The day's hours as such a room has them: its temperatures, and the terms of ET0 for that air. It holds the water vapour of the air
// outside, at most its own saturation. An hour whose air the room leaves as it is keeps its terms; light, wind and rain are not
// the room's matter but the bay's shares.
// Source: [ASCE2005] eq. 1 and [FAO56] eq. 6 on the room's air; that its vapour is the outside's: own assumption
std::vector<HourWeather> hours_in(const RoomAir&, const DayRecord&);

}  // namespace tubgrove
