#pragma once
// How much water a medium holds at a suction.
#include "units.hpp"

namespace tubgrove {

// 1 kPa of suction as centimetres of water column (water of 1 kg/L, g = 9.80665 m s-2: 10.197 cm).
inline constexpr double cm_per_kPa = 10.197;

// A retention curve: theta(h) = theta_r + (theta_s - theta_r) (1 + (alpha h)^n)^-m, m = 1 - 1/n, saturated for h <= 0.
// Water contents are volume by volume. theta_s > theta_r >= 0, alpha > 0, n > 1.
// Source: [VG1980] eq. 3 and 8
struct Retention {
    double theta_r = 0;
    double theta_s = 0;
    double alpha_per_cm = 0;
    double n = 0;
};

double theta_at(const Retention&, Kilopascals suction);

// The same at a suction in cm of water; below 0: standing water.
double theta_at_cm(const Retention&, double suction_cm);

// The suction at a water content strictly between theta_r and theta_s; 0 at or above theta_s.
double suction_cm_at(const Retention&, double theta);

}  // namespace tubgrove
