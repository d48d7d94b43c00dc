#pragma once
// The site's days as care needs them, made once for all pots: extremes, wind, gusts, what a day meant for each disease, and
// the running sums. Beyond the readings and the forecast stand the month's usual days, so that windows can be told ahead.
#include "calendar.hpp"
#include "climate/day_record.hpp"

#include <limits>
#include <span>
#include <vector>

namespace tubgrove {

struct CareDay {
    LocalDay day{};
    double max_degC = 0, min_degC = 0, mean_degC = 0;
    double rain_mm = 0;
    double wind_m_s = std::numeric_limits<double>::quiet_NaN();   // day's mean at 10 m; NaN: not known
    double gust_m_s = std::numeric_limits<double>::quiet_NaN();   // at the open site
    bool gust_estimated = false;             // from the mean wind
    std::optional<GustSpan> gust_when = {};  // of the reading that had it, where one tells
    double daylight_h = 12;
    bool known = false;                      // from readings, forecast or by hand; false: the month's usual day
    bool by_hours = false;
    bool calm_and_clear = true;
    // What the day was for diseases at the open site; NaN: nothing can be said.
    double scab_leaves = std::numeric_limits<double>::quiet_NaN();   // 0 none, 1 light or possible, 2, 3 severe
    double scab_hours = 0, scab_degC = 0;    // of the spell that ended on it
    double curl = std::numeric_limits<double>::quiet_NaN();          // 1: could have infected shoots
    double degree_hours = 0;                 // above 18.3 degC
    bool wet = false;                        // rain or dew
};

struct CarePlace {
    double latitude_deg = 0, longitude_deg = 0, elevation_m = 0;
    std::chrono::seconds standard_offset{0}; // of the site's clock without summer time
    const Zone* zone = nullptr;              // of the clock in reasons; null: they name days only
};

class CareSite {
public:
    // `today` is the day that jobs are asked for. Records in order of days, without gaps.
    CareSite(const CarePlace& place, std::span<const DayRecord> records, LocalDay today);

    const CarePlace& place() const { return place_; }
    bool south() const { return place_.latitude_deg < 0; }
    bool tropics() const { return place_.latitude_deg > -23.5 && place_.latitude_deg < 23.5; }
    LocalDay today() const { return today_; }
    LocalDay first_day() const { return days_.front().day; }
    LocalDay last_day() const { return days_.back().day; }
    // Days with readings or a forecast around today; none: rules that need weather are silent.
    bool has_weather() const { return has_weather_; }
    // The nearest day that there is.
    const CareDay& on(LocalDay day) const { return days_[place_of(day)]; }
    std::span<const CareDay> all() const { return days_; }
    std::size_t place_of(LocalDay day) const;

    // Over days [from, to], both included and clipped to what there is.
    double mean_degC(LocalDay from, LocalDay to) const;
    double lowest_mean_degC(LocalDay from, LocalDay to) const;
    double highest_degC(LocalDay from, LocalDay to) const;
    double lowest_degC(LocalDay from, LocalDay to) const;
    double rain_mm(LocalDay from, LocalDay to) const;
    double dd10(LocalDay from, LocalDay to) const;        // average method, of days after `from`
    double moth_dd(LocalDay from, LocalDay to) const;     // sine, 10 and 31.1 degC, of days after `from`
    // First day of a usual year's autumn with a minimum of 0 degC, by the months' usual days; empty: frost-free.
    std::optional<LocalDay> first_frost_after(LocalDay longest) const;

private:
    void extend(LocalDay first, LocalDay last, std::span<const DayRecord> records);
    void judge_wetness(std::span<const DayRecord> records);
    double sum_between(const std::vector<double>& sums, LocalDay from, LocalDay to) const;

    CarePlace place_;
    LocalDay today_;
    bool has_weather_ = false;
    std::vector<CareDay> days_;
    std::vector<double> mean_sum_, rain_sum_, dd10_sum_, moth_sum_;   // up to and with each day
    std::vector<double> usual_min_;                                   // by month of the usual year, mid-month
};

}  // namespace tubgrove
