#pragma once
// Members are drawn without a random number: a low-discrepancy sequence, rotated by the pot's id. Equal inputs give
// equal members on every machine.
#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

namespace tubgrove {

inline constexpr int member_count = 128;

// One unknown of a pot, in the order of the sequence's prime bases. The last five stand beside the reference's fourteen.
enum class Dim : unsigned char {
    leaf_area, capacity, threshold, lower_limit, surface_exposure, mulch, wall, rain_capture, bypass, wind,
    start, ball, front, exchange,
    radiation, et0_error, rain_error, forecast, onset,
    count_
};
inline constexpr int dim_count = int(Dim::count_);
inline constexpr std::array<int, 19> primes{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67};
inline constexpr std::uint64_t leap = 563;

// Radical inverse of `index` in `base`: its digits mirrored behind the point, 0..1.
// Source: [analytic], Halton's sequence
double radical_inverse(std::uint64_t index, int base);

// FNV-1a, 64 bits, of the bytes of a text.
std::uint64_t fnv1a(std::string_view text);
// One step of splitmix64.
std::uint64_t splitmix64(std::uint64_t x);
// The top 53 bits as a number 0..1.
double unit_interval(std::uint64_t bits);

// Rotation of one dimension by an id: splitmix64(hash + dimension), dimension from 0.
double rotation(std::uint64_t hash, int dimension);

// Points of one dimension, 0..1, for members 1..n: Halton of leap times the member, rotated.
// `id` is the pot's, or the bay's for what all pots of a bay share.
std::vector<double> points(std::string_view id, Dim dimension, int n = member_count);
double point(std::uint64_t hash, int dimension, int base, int member);

// 0..n-1 in rising order of splitmix64(hash + index): a shuffle without a random number.
std::vector<int> scattered_order(std::uint64_t hash, std::size_t n);

// Standard normal: the quantile of 0 < p < 1 (held to 1e-9 from the ends), and the distribution function.
// Sums and products only (pot/exponential.hpp), so that every machine gives the same digits.
// Source: [analytic]; the function by Hart's rational approximation, from memory, error below 1e-14 against the C library's;
// the quantile by a rational start polished with one Halley step
double normal_quantile(double p);
double normal_cdf(double z);

// Quantile of a triangular distribution with low <= mode <= high.
double triangular_quantile(double p, double low, double mode, double high);

}  // namespace tubgrove
