#pragma once
// Rules of the calendar that hold on both halves of the earth, and what stands in for weather that nobody knows.
#include "calendar.hpp"

#include <optional>

namespace tubgrove {

// The longest day of a year at a latitude: 21 June north, 21 December south; the rule dates count from it.
LocalDay longest_day(int year, bool south);
// A month of a northern source for the south, 1..12: (m + 5) mod 12 + 1. Empty within the tropics, where nothing is mirrored
// and the grower's own dates count. Own assumption
std::optional<int> month_here(int northern_month, double latitude_deg);

// When feeding ends: 45 days after the longest day, or 56 days before the first frost of a usual year, whichever is earlier.
// Source: [FEEDIL] for the reason; dates own assumption
LocalDay feed_stop(LocalDay longest, std::optional<LocalDay> first_frost);

// Fruit thinning after full bloom, days: opens, closes, and two weeks of grace. Source: [THINOSU]; grace own assumption
inline constexpr int thin_opens_d = 21, thin_closes_d = 35, thin_grace_d = 14;

// Days until a sum is reached at a steady rate. Source: [DDNS]
inline double days_until(double sum_dd, double so_far_dd, double per_day_dd) { return (sum_dd - so_far_dd) / per_day_dd; }
// Degrees days Fahrenheit as Celsius.
inline constexpr double celsius_days(double fahrenheit_days) { return fahrenheit_days / 1.8; }

}  // namespace tubgrove
