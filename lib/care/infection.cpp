#include "care/infection.hpp"

#include "tree/degree_days.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tubgrove {
namespace {

constexpr double unstated = std::numeric_limits<double>::quiet_NaN();

constexpr std::array table{
    ScabRow{1, 1, 40, 69, 93, 37, unstated},        ScabRow{2, 2, 34, 69, 93, 33, unstated},
    ScabRow{3, 3, 30, 52, 65, 30, unstated},        ScabRow{4, 4, 27, 42, 57, 26, unstated},
    ScabRow{5, 5, 21, 34, 50, 23, unstated},        ScabRow{6, 6, 18, 27, 44, 20, 17},
    ScabRow{7, 7, 15, 23, 37, 17, 17},              ScabRow{8, 8, 13, 21, 34, 15, 17},
    ScabRow{9, 9, 12, 17, 27, 13, 17},              ScabRow{10, 10, 11, 16, 26, 10, 16},
    ScabRow{11, 11, 9, 14, 22, 9.5, 15},            ScabRow{12, 13, 8, 12, 20, 9, 14},
    ScabRow{14, 15, 7, 11, 19, 9, 13},              ScabRow{15.5, 15.5, 6.5, 10, 17, 9, 11},
    ScabRow{16, 24, 6, 9, 16, 9, 10},               ScabRow{24.1, 24.9, 6.5, 9, 16, 11, unstated},
    ScabRow{25, 25, 8, 11, 18, 11, unstated},       ScabRow{25.5, 25.5, 10, 14, 23, 13, unstated},
};

constexpr std::array wvu{
    ScabHours{34, 1.1, 41},  ScabHours{36, 2.2, 35},  ScabHours{37, 2.8, 30},  ScabHours{39, 3.9, 28}, ScabHours{41, 5.0, 21},
    ScabHours{43, 6.1, 18},  ScabHours{45, 7.2, 15},  ScabHours{46, 7.8, 13},  ScabHours{48, 8.9, 12}, ScabHours{50, 10.0, 11},
    ScabHours{52, 11.1, 9},  ScabHours{54, 12.2, 8},  ScabHours{55, 12.8, 8},  ScabHours{57, 13.9, 7}, ScabHours{59, 15.0, 7},
    ScabHours{61, 16.1, 6},  ScabHours{75, 23.9, 6},  ScabHours{77, 25.0, 8},  ScabHours{79, 26.1, 11},
};

double distance(const ScabRow& row, double t) { return std::max({0.0, row.from_degC - t, t - row.to_degC}); }

}  // namespace

std::span<const ScabRow> scab_rows() { return table; }
std::span<const ScabHours> scab_hours_wvu() { return wvu; }

const ScabRow* scab_row(double air_degC) {
    if (!(air_degC >= 1 && air_degC <= 26)) return nullptr;
    return &*std::ranges::min_element(table, {}, [&](const ScabRow& row) { return distance(row, air_degC); });
}

std::optional<Infection> scab_infection(double wet_h, double air_degC, Spores spores) {
    const ScabRow* row = scab_row(air_degC);
    if (!row) return std::nullopt;
    if (spores == Spores::from_lesions) return wet_h >= row->conidia_h ? Infection::light : Infection::none;
    if (wet_h >= row->severe_h) return Infection::severe;
    if (wet_h >= row->moderate_h) return Infection::moderate;
    return wet_h >= row->light_h ? Infection::light : Infection::none;
}

double counted_wet_h(double begins_h, double ends_h, Spores spores) {
    if (spores == Spores::from_lesions) return ends_h - begins_h;
    constexpr double spores_fly_h = 7, dusk_h = 19;
    const double hour = std::fmod(begins_h, 24), midnight = begins_h - hour;
    double from = begins_h;
    if (hour < spores_fly_h) from = midnight + spores_fly_h;
    if (hour >= dusk_h) from = midnight + 24 + spores_fly_h;
    return std::max(0.0, ends_h - from);
}

DailyScab scab_by_days(double rain_mm, double mean_degC, int wet_days_running) {
    if (rain_mm < wet_hour_rain_mm) return DailyScab::unlikely;
    const ScabRow* row = scab_row(mean_degC);
    if (!row) return DailyScab::silent;
    return row->light_h <= 24.0 * std::max(1, wet_days_running) ? DailyScab::possible : DailyScab::unlikely;
}

bool curl_possible_on_shoots(const Wetting& w) { return w.rain_mm >= 3 && w.wet_h >= 12.5 && w.air_degC < 16; }
bool curl_possible_on_fruit(const Wetting& w, double longest_gap_h) {
    return w.rain_mm >= 12 && w.wet_h >= 24 && longest_gap_h <= 4 && w.air_degC <= 16;
}

Blight blight(const BlightDay& d) {
    const bool warm = d.degree_hours >= blight_degree_hours && d.mean_degC >= blight_day_mean_degC;
    if (!d.open_flowers || !warm) return Blight::none;
    return d.wet ? Blight::warning : Blight::one_rain_away;
}

double degree_hours_of_day(double max_degC, double min_degC, double base_degC) {
    constexpr double no_upper_degC = 1000;
    return 24 * degree_days_sine({max_degC, min_degC}, base_degC, no_upper_degC);
}

Band litter_cut_pct(double cleared_share) {
    if (cleared_share >= 1) return {80, 90};
    return cleared_share >= 0.65 ? Band{50, 65} : Band{0, 50};
}

}  // namespace tubgrove
