#pragma once
// Exponential, logarithm and power made of sums and products only, so that every machine gives the same digits (the C
// library's differ between versions) and a loop over members is vectorised. Checked against the C library in tests.
#include <bit>
#include <cstdint>

namespace tubgrove {

// e^x with a relative error below 1e-14 for -708 <= x <= 709; below that range e^-708, which is 0 for any water.
// x = k ln 2 + r with |r| <= 0.35; e^r by its Taylor polynomial; 2^k through the exponent's bits.
inline double exponential(double x) {
    constexpr double shift = 0x1.8p52;                      // adding it rounds to a whole number, kept in the low bits
    constexpr double ln2_high = 0x1.62e42fee00000p-1, ln2_low = 0x1.a39ef35793c76p-33;
    const double bounded = x > -708.0 ? x : -708.0;
    const double shifted = bounded * 0x1.71547652b82fep0 + shift;   // 1/ln 2
    const double k = shifted - shift;
    const double r = (bounded - k * ln2_high) - k * ln2_low;
    double p = 1.0 / 479001600;
    p = p * r + 1.0 / 39916800;
    p = p * r + 1.0 / 3628800;
    p = p * r + 1.0 / 362880;
    p = p * r + 1.0 / 40320;
    p = p * r + 1.0 / 5040;
    p = p * r + 1.0 / 720;
    p = p * r + 1.0 / 120;
    p = p * r + 1.0 / 24;
    p = p * r + 1.0 / 6;
    p = p * r + 0.5;
    p = p * r + 1.0;
    p = p * r + 1.0;
    const std::uint64_t power = (std::bit_cast<std::uint64_t>(shifted) << 52) + 0x3ff0000000000000u;
    return p * std::bit_cast<double>(power);
}

// ln x with an absolute error below 1e-14 (relative, where |ln x| > 1) for normal x > 0.
// x = 2^k m with m about 1; ln m = 2 atanh((m - 1)/(m + 1)) by its series.
inline double logarithm(double x) {
    constexpr double ln2_high = 0x1.62e42fee00000p-1, ln2_low = 0x1.a39ef35793c76p-33;
    constexpr std::uint64_t root_half = 0x3fe6a09e667f3bcdu;   // bits of 2^-1/2
    const std::uint64_t bits = std::bit_cast<std::uint64_t>(x);
    const std::uint64_t raised = bits - root_half + 0x3ff0000000000000u;   // its exponent is k + 1023
    const double k = std::bit_cast<double>((raised >> 52) | 0x4330000000000000u) - (0x1p52 + 1023.0);
    const std::uint64_t whole = (raised & 0xfff0000000000000u) - 0x3ff0000000000000u;
    const double m = std::bit_cast<double>(bits - whole);
    const double s = (m - 1.0) / (m + 1.0), z = s * s;
    double p = 1.0 / 21;
    p = p * z + 1.0 / 19;
    p = p * z + 1.0 / 17;
    p = p * z + 1.0 / 15;
    p = p * z + 1.0 / 13;
    p = p * z + 1.0 / 11;
    p = p * z + 1.0 / 9;
    p = p * z + 1.0 / 7;
    p = p * z + 1.0 / 5;
    p = p * z + 1.0 / 3;
    return k * ln2_high + (k * ln2_low + (2.0 * s + 2.0 * s * z * p));
}

// x^y for x > 0.
inline double power_of(double x, double y) { return exponential(y * logarithm(x)); }

}  // namespace tubgrove
