#pragma once
// Members in one register: an equation of the balance is written once, for a Real that is a double, a pair or four of
// them. Each lane is worked on as a double alone would be, so a member has the same digits whatever it lies beside.
// Pairs are what every 64-bit processor has; four at once only run where the processor says that it has them.
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <span>

// The functions below are inlined whole; what they would hand to each other otherwise is nobody's ABI.
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic ignored "-Wpsabi"
#endif
// Everything with a Real is inlined into the one function that says which processor it is for.
#define TUBGROVE_LANES [[gnu::always_inline]] inline

namespace tubgrove {

using Pair = double __attribute__((vector_size(16)));
using Four = double __attribute__((vector_size(32)));

template <class Real>
inline constexpr std::size_t lanes = sizeof(Real) / sizeof(double);

namespace lanes_of {
template <class Real>
struct Bits;
template <>
struct Bits<double> {
    using type = std::uint64_t;
};
template <>
struct Bits<Pair> {
    using type = std::uint64_t __attribute__((vector_size(16)));
};
template <>
struct Bits<Four> {
    using type = std::uint64_t __attribute__((vector_size(32)));
};
}  // namespace lanes_of
template <class Real>
using BitsOf = typename lanes_of::Bits<Real>::type;

// The same bits read as something else. (std::bit_cast is a function that a compiler may leave as one.)
template <class To, class From>
TUBGROVE_LANES To same_bits(From from) {
    static_assert(sizeof(To) == sizeof(From));
    To to;
    std::memcpy(&to, &from, sizeof to);
    return to;
}
template <class Real>
TUBGROVE_LANES Real load(const double* from) {
    Real x;
    std::memcpy(&x, from, sizeof x);
    return x;
}
template <class Real>
TUBGROVE_LANES void store(double* to, Real x) {
    std::memcpy(to, &x, sizeof x);
}
// The lanes of a list from `at` on.
template <class Real>
TUBGROVE_LANES Real load(std::span<const double> list, std::size_t at) {
    return load<Real>(list.data() + at);
}
template <class Real>
TUBGROVE_LANES void store(std::span<double> list, std::size_t at, Real x) {
    store(list.data() + at, x);
}
// The same number for every lane.
template <class Real>
TUBGROVE_LANES Real each(double x) {
    if constexpr (lanes<Real> == 1) return x;
    else return Real{} + x;
}
// a where the mask holds, else b. A mask is what a comparison of two Reals gives.
template <class Mask, class Real>
TUBGROVE_LANES Real select(Mask mask, Real a, Real b) {
    return mask ? a : b;
}
template <class Mask>
TUBGROVE_LANES bool any(Mask mask) {
    if constexpr (sizeof(Mask) <= sizeof(double)) return mask;
    else if constexpr (sizeof(Mask) == sizeof(Pair)) return (mask[0] | mask[1]) != 0;
    else return (mask[0] | mask[1] | mask[2] | mask[3]) != 0;
}
template <class Real>
TUBGROVE_LANES Real lesser(Real a, Real b) {
    return select(a < b, a, b);
}
template <class Real>
TUBGROVE_LANES Real greater(Real a, Real b) {
    return select(a > b, a, b);
}

// A job has a function  template <class Real> void run(std::size_t at) const  for the members `at` and following, marked
// TUBGROVE_LANES. Each of these does the members from the first on and returns where the next one is.
template <class Real, class Job>
TUBGROVE_LANES std::size_t in_steps(const Job& job, std::size_t at, std::size_t count) {
    for (; at + lanes<Real> <= count; at += lanes<Real>) job.template run<Real>(at);
    return at;
}
template <class Job>
std::size_t in_pairs(const Job& job, std::size_t count) {
    return in_steps<Pair>(job, 0, count);
}
#if defined(__x86_64__)
template <class Job>
[[gnu::target("avx2")]] std::size_t in_fours(const Job& job, std::size_t count) {
    return in_steps<Four>(job, 0, count);
}
inline bool has_fours() { return __builtin_cpu_supports("avx2"); }
#else
template <class Job>
std::size_t in_fours(const Job& job, std::size_t count) {
    return in_pairs(job, count);
}
inline bool has_fours() { return false; }
#endif

// Does a job for all members, as many at once as this processor can.
template <class Job>
void side_by_side(const Job& job, std::size_t count) {
    const std::size_t done = has_fours() ? in_fours(job, count) : in_pairs(job, count);
    in_steps<double>(job, done, count);
}

}  // namespace tubgrove
