#pragma once
// Wind on pots, stakes and covers.
#include <optional>

namespace tubgrove {

// Beaufort number of the ten-minute mean at 10 m over flat land, 0..12. A gust has no number. Source: [BEAUFORT]
int beaufort_force(double mean_m_s);
// The middle of a force, m/s: 0.836 B^1.5. Source: [WMOWIND], from memory
double beaufort_middle_m_s(int force);

// From this gust on, stake and ties are looked at: 40 mph, when twigs begin to break. Common practice, no source
inline constexpr double gale_gust_m_s = 17.9;

// The day's gust where none was reported: 1.5 times the highest hourly mean, or 2.2 times the day's mean. Own assumption
inline double gust_from_hour_m_s(double mean_m_s) { return 1.5 * mean_m_s; }
inline double gust_from_day_m_s(double mean_m_s) { return 2.2 * mean_m_s; }

// The gust at which a pot that stands free falls: sqrt(2 m g r/(rho Cd A h)), m/s. Order of magnitude only.
// mass kg, base radius m, area of pot and crown against the wind m2, height of its middle m; Cd 0.5 in leaf and half of it
// when bare; air 1.225 kg m-3. Own assumption
struct Standing {
    double mass_kg, base_radius_m, frontal_m2, centre_height_m;
    double drag = 0.5, air_kg_m3 = 1.225;
};
double topple_gust_m_s(const Standing&);

// How much girth a stem gained, mm: pi times the gain in thickness. A tie without slack cuts in long before.
double girth_growth_mm(double before_mm, double after_mm);

// Between stem and stake of a very dwarfing stock, cm: 1 to 3 in. Source: [STAKEASK]
inline constexpr double stake_gap_low_cm = 2.54, stake_gap_high_cm = 7.62;

}  // namespace tubgrove
