#include "ensemble/points.hpp"

#include "ensemble/order.hpp"
#include "pot/exponential.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tubgrove {

double radical_inverse(std::uint64_t index, int base) {
    double value = 0, place = 1.0 / base;
    for (; index; index /= std::uint64_t(base), place /= base) value += double(index % std::uint64_t(base)) * place;
    return value;
}

std::uint64_t fnv1a(std::string_view text) {
    std::uint64_t hash = 0xcbf29ce484222325u;
    for (unsigned char c : text) hash = (hash ^ c) * 0x100000001b3u;
    return hash;
}

std::uint64_t splitmix64(std::uint64_t x) {
    x += 0x9e3779b97f4a7c15u;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

double unit_interval(std::uint64_t bits) { return double(bits >> 11) * 0x1.0p-53; }

double rotation(std::uint64_t hash, int dimension) { return unit_interval(splitmix64(hash + std::uint64_t(dimension))); }

double point(std::uint64_t hash, int dimension, int base, int member) {
    const double p = radical_inverse(leap * std::uint64_t(member), base) + rotation(hash, dimension);
    return p < 1 ? p : p - 1;
}

std::vector<double> points(std::string_view id, Dim dimension, int n) {
    const std::uint64_t hash = fnv1a(id);
    const int j = int(dimension);
    std::vector<double> all(std::size_t(n), 0.0);
    for (int i = 0; i < n; ++i) all[std::size_t(i)] = point(hash, j, primes[std::size_t(j)], i + 1);
    return all;
}

std::vector<int> scattered_order(std::uint64_t hash, std::size_t n) {
    std::vector<std::uint64_t> keys(n);
    for (std::size_t i = 0; i < n; ++i) keys[i] = splitmix64(hash + i);
    return rising_order(std::span<const std::uint64_t>(keys), [n](std::uint64_t key) { return unit_interval(key) * double(n); });
}

namespace {

// Starting value of the quantile, relative error about 1e-9. Source: rational approximation by Acklam, from memory
double quantile_start(double p) {
    constexpr double a[] = {-3.969683028665376e+01, 2.209460984245205e+02, -2.759285104469687e+02,
                            1.383577518672690e+02, -3.066479806614716e+01, 2.506628277459239e+00};
    constexpr double b[] = {-5.447609879822406e+01, 1.615858368580409e+02, -1.556989798598866e+02,
                            6.680131188771972e+01, -1.328068155288572e+01};
    constexpr double c[] = {-7.784894002430293e-03, -3.223964580411365e-01, -2.400758277161838e+00,
                            -2.549732539343734e+00, 4.374664141464968e+00, 2.938163982698783e+00};
    constexpr double d[] = {7.784695709041462e-03, 3.224671290700398e-01, 2.445134137142996e+00, 3.754408661907416e+00};
    if (p > 1 - 0.02425) return -quantile_start(1 - p);
    if (p < 0.02425) {
        const double q = std::sqrt(-2 * logarithm(p));
        return (((((c[0] * q + c[1]) * q + c[2]) * q + c[3]) * q + c[4]) * q + c[5])
               / ((((d[0] * q + d[1]) * q + d[2]) * q + d[3]) * q + 1);
    }
    const double q = p - 0.5, r = q * q;
    return (((((a[0] * r + a[1]) * r + a[2]) * r + a[3]) * r + a[4]) * r + a[5]) * q
           / (((((b[0] * r + b[1]) * r + b[2]) * r + b[3]) * r + b[4]) * r + 1);
}

}  // namespace

double normal_cdf(double z) {
    const double x = std::abs(z), falling = exponential(-x * x / 2);
    double tail = 0;
    if (x < 7.07106781186547) {
        const double above = ((((((3.52624965998911e-02 * x + 0.700383064443688) * x + 6.37396220353165) * x + 33.912866078383) * x
                                + 112.079291497871) * x + 221.213596169931) * x + 220.206867912376);
        const double below = (((((((8.83883476483184e-02 * x + 1.75566716318264) * x + 16.064177579207) * x + 86.7807322029461) * x
                                 + 296.564248779674) * x + 637.333633378831) * x + 793.826512519948) * x + 440.413735824752);
        tail = falling * above / below;
    } else {
        tail = falling / (x + 1 / (x + 2 / (x + 3 / (x + 4 / (x + 0.65))))) / std::sqrt(2 * std::numbers::pi);
    }
    return z > 0 ? 1 - tail : tail;
}

double normal_quantile(double p) {
    p = std::clamp(p, 1e-9, 1 - 1e-9);
    const double z = quantile_start(p);
    const double e = (normal_cdf(z) - p) * std::sqrt(2 * std::numbers::pi) * exponential(z * z / 2);
    return z - e / (1 + z * e / 2);
}

double triangular_quantile(double p, double low, double mode, double high) {
    if (high <= low) return low;
    const double turn = (mode - low) / (high - low);
    if (p < turn) return low + std::sqrt(p * (high - low) * (mode - low));
    return high - std::sqrt((1 - p) * (high - low) * (high - mode));
}

}  // namespace tubgrove
