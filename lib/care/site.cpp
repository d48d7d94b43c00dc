#include "care/site.hpp"

#include "care/infection.hpp"
#include "care/wind.hpp"
#include "climate/normals.hpp"
#include "climate/sun.hpp"
#include "climate/vapour.hpp"
#include "tree/degree_days.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tubgrove {
namespace {

using std::chrono::days;
using std::chrono::year_month_day;

constexpr double wind_10m_per_2m = 1 / 0.748;   // Source: [FAO56] eq. 47
constexpr double dew_humidity_pct = 95;         // of a day known by its extremes: leaves are wet. Own assumption
constexpr double wet_humidity_pct = 90;         // of an hour. From memory

struct Extremes2 {
    double max_degC = 0, min_degC = 0;
    int days = 0;
};
using UsualYear = std::array<Extremes2, 12>;

unsigned month_index(LocalDay day) { return unsigned(year_month_day(day).month()) - 1; }

// Each month's usual extremes: of its known days where there are ten, else a guess from latitude and height.
UsualYear usual_year(const CarePlace& place, std::span<const DayRecord> records) {
    UsualYear year;
    for (const auto& r : records) {
        if (r.rung == Rung::normals) continue;
        auto& month = year[month_index(r.day)];
        month.max_degC += r.air_temp_max_degC.value;
        month.min_degC += r.air_temp_min_degC.value;
        ++month.days;
    }
    for (unsigned m = 0; m < 12; ++m) {
        auto& month = year[m];
        if (month.days >= 10) {
            month.max_degC /= month.days;
            month.min_degC /= month.days;
            continue;
        }
        const auto guess = guessed_normals(Degrees(place.latitude_deg), Metres(place.elevation_m), m + 1);
        month = {guess.air_temp_max_degC, guess.air_temp_min_degC, 0};
    }
    return year;
}

// A straight line from one month's middle to the next.
Extremes2 usual_on(const UsualYear& year, LocalDay day) {
    const double at = month_index(day) + (double(unsigned(year_month_day(day).day())) - 15) / 30.4;
    const int before = at < 0 ? 11 : int(at) % 12, after = at < 0 ? 0 : (before + 1) % 12;
    const double share = at < 0 ? at + 1 : at - std::floor(at);
    const auto& a = year[std::size_t(before)];
    const auto& b = year[std::size_t(after)];
    return {a.max_degC + share * (b.max_degC - a.max_degC), a.min_degC + share * (b.min_degC - a.min_degC), 0};
}

double mean_wind_10m(const DayRecord& r) {
    return r.guessed.wind || r.rung == Rung::normals ? std::numeric_limits<double>::quiet_NaN() : r.wind_2m_m_s.value * wind_10m_per_2m;
}

void set_gust(CareDay& d, const DayRecord& r) {
    if (r.gust_m_s) {
        d.gust_m_s = r.gust_m_s->value;
        d.gust_when = r.gust_when;
        return;
    }
    if (std::isnan(d.wind_m_s)) return;
    double strongest = 0;
    if (r.hourly)
        for (const auto& hour : r.hours) strongest = std::max(strongest, hour.et0.wind_2m_m_s * wind_10m_per_2m);
    d.gust_m_s = r.hourly && !r.hours.empty() ? gust_from_hour_m_s(strongest) : gust_from_day_m_s(d.wind_m_s);
    d.gust_estimated = true;
}

double degree_hours_of(const DayRecord& r) {
    if (!r.hourly) return degree_hours_of_day(r.air_temp_max_degC.value, r.air_temp_min_degC.value, blight_base_degC);
    double sum = 0;
    for (const auto& hour : r.hours) sum += hour.length_h * std::max(0.0, hour.air_temp_degC - blight_base_degC);
    return sum;
}

double humidity_pct(const DayRecord& r, double air_degC) {
    const double saturated = kPa(saturation_vapour_pressure(Celsius(air_degC)));
    return 100 * r.vapour_pressure_kPa.value / saturated;
}

CareDay care_day(const DayRecord& r) {
    CareDay d{.day = r.day, .max_degC = r.air_temp_max_degC.value, .min_degC = r.air_temp_min_degC.value, .mean_degC = r.mean_temp_degC,
              .rain_mm = r.rain_mm.value};
    d.daylight_h = r.daylight_h;
    d.known = r.rung != Rung::normals;
    d.by_hours = r.hourly;
    d.wind_m_s = mean_wind_10m(r);
    if (!d.known) return d;
    set_gust(d, r);
    const bool cloudy = r.clear_sky_MJ_m2 > 0 && r.radiation_MJ_m2.value < 0.6 * r.clear_sky_MJ_m2;
    d.calm_and_clear = !cloudy && !(d.wind_m_s > 2 * wind_10m_per_2m);
    d.degree_hours = degree_hours_of(r);
    d.wet = d.rain_mm >= 0.25 || (!r.guessed.humidity && humidity_pct(r, d.min_degC) >= dew_humidity_pct);
    return d;
}

// One spell of wet leaves, with the gaps shorter than eight hours left out.
struct Spell {
    double begins_h = 0, ends_h = 0;   // of day numbers: 24 an hour after midnight of day 1, standard time
    double wet_h = 0, degC_h = 0, rain_mm = 0;
    bool open = false;
};

double counted(const Spell& s) {
    const double through = s.ends_h - s.begins_h;
    const double by_day = counted_wet_h(s.begins_h, s.ends_h, Spores::from_leaves);
    return std::max(0.0, s.wet_h - (through - by_day));
}

void end_spell(Spell& s, CareDay& d) {
    const double mean = s.degC_h / s.wet_h, hours = counted(s);
    const auto grade = scab_infection(hours, mean, Spores::from_leaves);
    if (grade && !(d.scab_leaves >= double(int(*grade)))) {
        d.scab_leaves = double(int(*grade));
        d.scab_hours = hours;
        d.scab_degC = mean;
    }
    if (curl_possible_on_shoots({s.rain_mm, s.wet_h, mean})) d.curl = 1;
    s = {};
}

}  // namespace

CareSite::CareSite(const CarePlace& place, std::span<const DayRecord> records, LocalDay today) : place_(place), today_(today) {
    // From the midwinter before the first day, a year and a quarter ahead: every window that is open now has both its ends.
    LocalDay first = records.empty() ? today : std::min(records.front().day, today);
    first -= days(366);
    const LocalDay last = std::max(records.empty() ? today : records.back().day, today + days(460));
    for (const auto& r : records) has_weather_ = has_weather_ || (r.rung != Rung::normals && r.day >= today - days(3));
    extend(first, last, records);
    judge_wetness(records);
    double mean = 0, rain = 0, dd10 = 0, moth = 0;
    for (const auto& d : days_) {
        mean_sum_.push_back(mean += d.mean_degC);
        rain_sum_.push_back(rain += d.rain_mm);
        dd10_sum_.push_back(dd10 += degree_days_average({d.max_degC, d.min_degC}, 10));
        moth_sum_.push_back(moth += degree_days_sine({d.max_degC, d.min_degC}, moth_base_degC, moth_upper_degC));
    }
}

void CareSite::extend(LocalDay first, LocalDay last, std::span<const DayRecord> records) {
    const auto usual = usual_year(place_, records);
    for (const auto& month : usual) usual_min_.push_back(month.min_degC);
    auto record = records.begin();
    days_.reserve(std::size_t((last - first).count()) + 1);
    for (LocalDay day = first; day <= last; day += days(1)) {
        while (record != records.end() && record->day < day) ++record;
        if (record != records.end() && record->day == day) {
            days_.push_back(care_day(*record));
            continue;
        }
        const auto u = usual_on(usual, day);
        CareDay d{.day = day, .max_degC = u.max_degC, .min_degC = u.min_degC, .mean_degC = (u.max_degC + u.min_degC) / 2};
        d.daylight_h = daylight_h(Degrees(place_.latitude_deg), day_of_year(day));
        days_.push_back(d);
    }
}

void CareSite::judge_wetness(std::span<const DayRecord> records) {
    Spell spell;
    int wet_days = 0;
    for (const auto& r : records) {
        if (r.rung == Rung::normals || r.day < first_day() || r.day > last_day()) continue;
        auto& d = days_[place_of(r.day)];
        wet_days = d.rain_mm >= wet_hour_rain_mm ? wet_days + 1 : 0;
        if (!r.hourly) {
            const auto scab = scab_by_days(d.rain_mm, d.mean_degC, wet_days);
            d.scab_leaves = scab == DailyScab::silent ? d.scab_leaves : scab == DailyScab::possible ? 1 : 0;
            const bool stays_wet = humidity_pct(r, d.min_degC) >= wet_humidity_pct && !r.guessed.humidity;
            d.curl = d.rain_mm >= 3 && d.mean_degC < 16 && (stays_wet || wet_days > 1) ? 1 : 0;
            continue;
        }
        if (std::isnan(d.scab_leaves)) d.scab_leaves = 0;
        if (std::isnan(d.curl)) d.curl = 0;
        for (const auto& hour : r.hours) {
            const double starts = double((hour.starts.time_since_epoch() + place_.standard_offset).count()) / 3600;
            const bool wet = hour.rain_mm >= wet_hour_rain_mm || (!r.guessed.humidity && humidity_pct(r, hour.air_temp_degC) >= wet_humidity_pct);
            if (spell.open && !wet && starts + hour.length_h - spell.ends_h >= joining_gap_h) end_spell(spell, d);
            if (!wet) continue;
            if (!spell.open) spell = {starts, starts, 0, 0, 0, true};
            spell.ends_h = starts + hour.length_h;
            spell.wet_h += hour.length_h;
            spell.degC_h += hour.length_h * hour.air_temp_degC;
            spell.rain_mm += hour.rain_mm;
        }
    }
    if (spell.open && !records.empty()) end_spell(spell, days_[place_of(records.back().day)]);
}

std::size_t CareSite::place_of(LocalDay day) const {
    const auto at = (day - first_day()).count();
    return std::size_t(std::clamp<long>(long(at), 0, long(days_.size()) - 1));
}

double CareSite::sum_between(const std::vector<double>& sums, LocalDay from, LocalDay to) const {
    if (to < from) return 0;
    const auto last = place_of(to), before = place_of(from);
    return sums[last] - (before == 0 ? 0.0 : sums[before - 1]);
}

double CareSite::mean_degC(LocalDay from, LocalDay to) const {
    const auto n = double(place_of(to) - place_of(from)) + 1;
    return sum_between(mean_sum_, from, to) / n;
}
double CareSite::rain_mm(LocalDay from, LocalDay to) const { return sum_between(rain_sum_, from, to); }
double CareSite::dd10(LocalDay from, LocalDay to) const { return sum_between(dd10_sum_, from + days(1), to); }
double CareSite::moth_dd(LocalDay from, LocalDay to) const { return sum_between(moth_sum_, from + days(1), to); }

double CareSite::lowest_mean_degC(LocalDay from, LocalDay to) const {
    double low = 100;
    for (auto i = place_of(from); i <= place_of(to); ++i) low = std::min(low, days_[i].mean_degC);
    return low;
}
double CareSite::highest_degC(LocalDay from, LocalDay to) const {
    double high = -100;
    for (auto i = place_of(from); i <= place_of(to); ++i) high = std::max(high, days_[i].max_degC);
    return high;
}
double CareSite::lowest_degC(LocalDay from, LocalDay to) const {
    double low = 100;
    for (auto i = place_of(from); i <= place_of(to); ++i) low = std::min(low, days_[i].min_degC);
    return low;
}

std::optional<LocalDay> CareSite::first_frost_after(LocalDay longest) const {
    // A usual night is above the coldest of its month by some 3 K. Own assumption
    constexpr double colder_nights_K = 3;
    for (int d = 40; d < 240; d += 1) {
        const LocalDay day = longest + days(d);
        const double at = month_index(day) + (double(unsigned(year_month_day(day).day())) - 15) / 30.4;
        const auto m = std::size_t((int(std::floor(at)) + 12) % 12);
        const double share = at - std::floor(at);
        if (usual_min_[m] + share * (usual_min_[(m + 1) % 12] - usual_min_[m]) <= colder_nights_K) return day;
    }
    return std::nullopt;
}

}  // namespace tubgrove
