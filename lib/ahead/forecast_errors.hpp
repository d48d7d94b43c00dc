#pragma once
// How far a source's forecasts err at this site, by quantity and by day of lead, and how well they are known: a prior of the
// table config/ahead.yaml, which the site's own record of forecasts and later readings takes over from.
#include "calendar.hpp"
#include "plan/figures.hpp"
#include "weather.hpp"

#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// What is compared day by day. Errors are forecast less reading: kelvins, percentage points, and natural logarithms of the
// ratio for wind and radiation. Rain has errors of its own kind (RainErrors).
enum class Foreseen : unsigned char { warmest, coldest, dew_point, humidity, wind, radiation, rain, count_ };
inline constexpr std::size_t foreseen_count = std::size_t(Foreseen::count_);
inline constexpr int leads = 11;               // days of lead 0..10; later ones count as the last

// One local day as a series reports it; NaN: not reported. degC, degC, degC, %, m/s, W m-2, mm.
using DayValues = std::array<double, foreseen_count>;
inline constexpr DayValues no_values{NAN, NAN, NAN, NAN, NAN, NAN, NAN};

// The days of a series. Hours make a day's value from 20 of them on (radiation and rain: of 22 on); longer intervals speak for
// the local day around their middle, up to 36 h.
std::map<LocalDay, DayValues> days_of(std::span<const Observation>, const Zone&);

// A forecast day and what came.
struct Compared {
    int lead = 0;                              // days from the day of issue
    LocalDay day{};
    DayValues forecast = no_values, came = no_values;
};

struct LeadErrors {
    int days = 0;                              // compared
    double bias = 0, sd = 0;                   // in the quantity's unit; of what is used: prior and record together
};
struct RainErrors {
    int wet_days = 0, dry_days = 0;            // compared, by what was forecast
    double missed = 0, unforeseen = 0;         // chances
    double bias_ln = 0, sd_ln = 0;             // of ln(came/forecast), where both were wet
    double unforeseen_ln_mm = 0, unforeseen_sd_ln = 0;
};
struct ForecastErrors {
    std::array<std::array<LeadErrors, leads>, foreseen_count> of;   // rain's row is not used
    std::array<RainErrors, leads> rain;
    const LeadErrors& at(Foreseen q, int lead) const { return of[std::size_t(q)][std::size_t(std::min(std::max(lead, 0), leads - 1))]; }
    const RainErrors& rain_at(int lead) const { return rain[std::size_t(std::min(std::max(lead, 0), leads - 1))]; }
};

// The prior alone where nothing was compared. The prior counts as `forecast_trust_days` days of record with no bias:
//   bias = sum e/(n + n0),  sd^2 = (n0 sd0^2 + sum (e - bias)^2)/(n + n0)
// Own construction; the weighted mean of two variances
ForecastErrors learn(std::span<const Compared>, const Figures&);

// The error of one quantity as it is counted above; NaN where either side is silent.
double error_of(Foreseen, double forecast, double came);
// What a forecast value becomes at an error: value - error, or value x exp(-error).
double corrected(Foreseen, double forecast, double error);

// A forecast's range for one quantity from the 10th to the 90th percentile.
struct Span80 {
    double low = 0, high = 0;
};
Span80 range_of(Foreseen, double forecast, const LeadErrors&);

// Rain as it is believed once a forecast is known: dry with a chance, else lognormal.
struct RainBelief {
    double wet_chance = 0, ln_mm = 0, sd_ln = 0;
    // Chance of less than or up to so much (mm); at 0 mm: of a dry day.
    double chance_up_to(double mm) const;
    double quantile(double p) const;
};
RainBelief rain_belief(double forecast_mm, const RainErrors&, double wet_from_mm);

}  // namespace tubgrove
