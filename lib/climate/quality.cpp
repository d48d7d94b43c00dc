#include "climate/quality.hpp"

#include "climate/bay.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tubgrove {

namespace {

// How many values, counted from the last backwards, stay within a band of the given width.
std::size_t unchanged_at_end(std::span<const double> hours, double within) {
    std::size_t count = 0;
    double low = 0, high = 0;
    for (auto value = hours.rbegin(); value != hours.rend() && !std::isnan(*value); ++value, ++count) {
        low = count == 0 ? *value : std::min(low, *value);
        high = count == 0 ? *value : std::max(high, *value);
        if (high - low > within) break;
    }
    return count;
}

}  // namespace

Verdict check_temperature(Celsius air_temp) {
    return degC(air_temp) >= -60 && degC(air_temp) <= 60 ? Verdict::pass : Verdict::reject;
}

Verdict check_day_temperatures(const DayTemperatures& t) {
    const bool believable = check_temperature(t.max) == Verdict::pass && check_temperature(t.min) == Verdict::pass;
    if (!believable || t.min > t.max) return Verdict::reject;
    if (t.mean && (*t.mean < t.min || *t.mean > t.max)) return Verdict::reject;
    const double range_K = kelvins_between(t.max, t.min);
    return range_K > 35 || range_K == 0 ? Verdict::suspect : Verdict::pass;
}

Verdict check_humidity(double rh_pct) {
    if (!(rh_pct >= 0 && rh_pct <= 105)) return Verdict::reject;
    return rh_pct > 100 ? Verdict::clip : Verdict::pass;
}

Verdict check_dew_point(Celsius dew_point, DayTemperatures t) {
    if (!(dew_point <= t.max)) return Verdict::reject;
    return kelvins_between(dew_point, t.min) > 2 ? Verdict::suspect : Verdict::pass;
}

Verdict check_day_radiation(Radiation shortwave, SkyLimits limits) {
    const double rs = MJ_per_m2(shortwave);
    if (!(rs >= -0.1) || (limits.extraterrestrial && shortwave > *limits.extraterrestrial)) return Verdict::reject;
    if (limits.clear_sky && shortwave > *limits.clear_sky * 1.05) return Verdict::suspect;
    if (limits.extraterrestrial && shortwave < *limits.extraterrestrial * 0.03) return Verdict::suspect;
    return rs < 0 ? Verdict::clip : Verdict::pass;
}

Verdict check_hour_radiation(Radiation shortwave, const HourSky& sky) {
    const double rs = MJ_per_m2(shortwave);
    const bool high_sun = sky.sun_elevation_rad > 0.3;  // 17 degrees
    const bool night = sky.sun_elevation_rad < -0.105;  // 6 degrees under the horizon
    if (!(rs >= -0.1)) return Verdict::reject;
    if (high_sun && rs > 1.5 * MJ_per_m2(sky.extraterrestrial) + 0.1) return Verdict::reject;
    if ((high_sun && rs > 1.2 * MJ_per_m2(sky.clear_sky)) || (night && rs > 0.02)) return Verdict::suspect;
    return rs < 0 ? Verdict::clip : Verdict::pass;
}

Verdict check_wind(MetresPerSecond wind) {
    const double u = m_per_s(wind);
    if (!(u >= 0 && u <= 60)) return Verdict::reject;
    return u > 25 ? Verdict::suspect : Verdict::pass;
}

Verdict check_stuck(std::span<const double> hours, double within) {
    const std::size_t unchanged = unchanged_at_end(hours, within);
    return unchanged >= 48 ? Verdict::reject : unchanged >= 12 ? Verdict::suspect : Verdict::pass;
}

bool may_be_calm(std::span<const double> hours, double within) {
    return !hours.empty() && hours.back() < et0_constants::calm_m_s && unchanged_at_end(hours, within) < std::size_t(longest_calm_h);
}

Verdict check_temperature_step(double change_K) {
    const double step = std::fabs(change_K);
    return step > 20 ? Verdict::reject : step > 8 ? Verdict::suspect : Verdict::pass;
}

Verdict check_humidity_step(double change_pct) {
    return std::fabs(change_pct) > 50 ? Verdict::suspect : Verdict::pass;
}

Verdict check_dew_point_step(double change_K) { return std::fabs(change_K) > 8 ? Verdict::suspect : Verdict::pass; }

Verdict check_week_humidity(std::span<const double> rh_max_pct) {
    const bool all_low = std::all_of(rh_max_pct.begin(), rh_max_pct.end(), [](double rh) { return rh < 80; });
    return rh_max_pct.size() >= 7 && all_low ? Verdict::suspect : Verdict::pass;
}

Verdict check_week_wind(std::span<const double> wind_m_s) {
    if (wind_m_s.size() < 7) return Verdict::pass;
    const double mean = std::accumulate(wind_m_s.begin(), wind_m_s.end(), 0.0) / double(wind_m_s.size());
    return mean < 0.5 ? Verdict::suspect : Verdict::pass;
}

}  // namespace tubgrove
