#pragma once
// Exponential, logarithm and power made of sums and products only, so that every machine gives the same digits (the C
// library's differ between versions) and members side by side are worked on together. Checked against the C library in tests.
#include "lanes.hpp"

#include <cstdint>

namespace tubgrove {

// e^x with a relative error below 1e-14 for -708 <= x <= 709; below that range e^-708, which is 0 for any water.
// x = k ln 2 + r with |r| <= 0.35; e^r by its Taylor polynomial; 2^k through the exponent's bits.
template <class Real>
TUBGROVE_LANES Real exponential_of(Real x) {
    constexpr double shift = 0x1.8p52;                      // adding it rounds to a whole number, kept in the low bits
    constexpr double ln2_high = 0x1.62e42fee00000p-1, ln2_low = 0x1.a39ef35793c76p-33;
    const Real bounded = greater(x, each<Real>(-708.0));
    const Real shifted = bounded * 0x1.71547652b82fep0 + shift;   // 1/ln 2
    const Real k = shifted - shift;
    const Real r = (bounded - k * ln2_high) - k * ln2_low;
    // The polynomial by halves, so that a step does not wait for all the terms before it.
    const Real r2 = r * r, r4 = r2 * r2, r8 = r4 * r4;
    const Real low = r2 * (0.5 + r * (1.0 / 6)) + r4 * ((1.0 / 24 + r * (1.0 / 120)) + r2 * (1.0 / 720 + r * (1.0 / 5040)));
    const Real high = ((1.0 / 40320 + r * (1.0 / 362880)) + r2 * (1.0 / 3628800 + r * (1.0 / 39916800))) + r4 * (1.0 / 479001600);
    const Real p = 1.0 + (r + (low + r8 * high));
    const BitsOf<Real> power = (same_bits<BitsOf<Real>>(shifted) << 52) + 0x3ff0000000000000u;
    return p * same_bits<Real>(power);
}
inline double exponential(double x) { return exponential_of(x); }

// ln x with an absolute error below 1e-14 (relative, where |ln x| > 1) for normal x > 0.
// x = 2^k m with m about 1; ln m = 2 atanh((m - 1)/(m + 1)) by its series.
template <class Real>
TUBGROVE_LANES Real logarithm_of(Real x) {
    constexpr double ln2_high = 0x1.62e42fee00000p-1, ln2_low = 0x1.a39ef35793c76p-33;
    constexpr std::uint64_t root_half = 0x3fe6a09e667f3bcdu;   // bits of 2^-1/2
    const BitsOf<Real> bits = same_bits<BitsOf<Real>>(x);
    const BitsOf<Real> raised = bits - root_half + 0x3ff0000000000000u;   // its exponent is k + 1023
    const Real k = same_bits<Real>((raised >> 52) | 0x4330000000000000u) - (0x1p52 + 1023.0);
    const BitsOf<Real> whole = (raised & 0xfff0000000000000u) - 0x3ff0000000000000u;
    const Real m = same_bits<Real>(bits - whole);
    const Real s = (m - 1.0) / (m + 1.0), z = s * s;
    const Real z2 = z * z, z4 = z2 * z2;
    const Real low = (1.0 / 3 + z * (1.0 / 5)) + z2 * (1.0 / 7 + z * (1.0 / 9));
    const Real high = ((1.0 / 11 + z * (1.0 / 13)) + z2 * (1.0 / 15 + z * (1.0 / 17))) + z4 * (1.0 / 19 + z * (1.0 / 21));
    const Real p = low + z4 * high;
    return k * ln2_high + (k * ln2_low + (2.0 * s + 2.0 * s * z * p));
}
inline double logarithm(double x) { return logarithm_of(x); }

// x^y for x > 0.
template <class Real>
TUBGROVE_LANES Real power_to(Real x, Real y) {
    return exponential_of(y * logarithm_of(x));
}
inline double power_of(double x, double y) { return power_to(x, y); }

}  // namespace tubgrove
