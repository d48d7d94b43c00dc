#pragma once
// For loops over members that lie side by side: says to the compiler that they do not touch one another, which it
// cannot know, so that it works on several at once.
#if defined(__clang__)
#define SIDE_BY_SIDE _Pragma("clang loop vectorize(assume_safety)")
#else
#define SIDE_BY_SIDE _Pragma("GCC ivdep")
#endif

namespace tubgrove {

inline double lesser(double a, double b) { return a < b ? a : b; }
inline double greater(double a, double b) { return a > b ? a : b; }

}  // namespace tubgrove
