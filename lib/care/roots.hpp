#pragma once
// Roots in a pot: what cold and heat do to them, and how warm the medium is where nobody measured.
#include "care/frost.hpp"

#include <span>
#include <string_view>

namespace tubgrove {

// Where half of ungrafted, dormant, hardened plants die, degC. Source: [ROOTCOLD]
struct RootKill {
    std::string_view rootstock;
    double from_degC, to_degC;  // as printed: the first figure first
};
std::span<const RootKill> root_kills();
// What to plan with: the warmer of the published figures; NaN for a stock without any.
double root_plan_degC(std::string_view rootstock);

// Medium at which a pot of unknown stock is to be protected: half way between freezing and the warmest published figure.
// Common practice, no source
inline constexpr double root_alarm_degC = -5;

// Medium at or below it is taken to be frozen: no pour soaks in and no root drinks. Salts and latent heat are left out, so it is told early
// rather than late. Own assumption
inline constexpr double freezing_degC = 0;

enum class RootHeat : unsigned char { fine, warn, injury };
// By the medium's temperature and how long it was held on a day: 38 degC is the first mark at which hours were counted
// in containers, 40 degC for five hours hurts. Source: [POTCOLOUR], [ROOTHEAT]
RootHeat root_heat(double medium_degC, double hours);
// Of an elm at 42 degC for six hours a day over twelve weeks, %; and half an hour's lethal band of a magnolia.
// Source: [ROOTELM], [ROOTMAG]
inline constexpr double elm_loss_at_42_pct = 50;
inline constexpr Band roots_killed_in_half_an_hour_degC{52.5, 54.0};

// Hours by which a pot's medium lags behind the air: 8 (V/20 L)^(2/3), 1.5 times that when wrapped. Own assumption
double medium_lag_h(double volume_l, bool wrapped = false);
// The medium after so many hours in air of one temperature: the exact step of dT/dt = (T_air - T)/tau. No latent heat: it
// alarms early in a moist pot. Own assumption
struct Cooling {
    double start_degC, air_degC, hours, lag_h;
};
double medium_after_degC(const Cooling&);

}  // namespace tubgrove
