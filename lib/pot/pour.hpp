#pragma once
// What becomes of a pour: what runs past dry particles, what the ball and the medium take up.
#include "pot/exponential.hpp"

namespace tubgrove {

// Share of a pour that runs past: b = s (0.13 + 0.23/N) d^x, x = 1.9 + 1.164 (1 - 1/N), at most 0.6.
// scale s: 1 coarse bark, 0.5 other media; dose_over_deficit d = I/D, 0..1; passes N at least 30 minutes apart.
// Source: fitted to the six efficiencies of [LAM] within 0.035; optimistic about few passes against [FARE]
template <class Real>
TUBGROVE_LANES Real bypassed_share_of(Real scale, Real dose_over_deficit, int passes) {
    const double x = 1.9 + 1.164 * (1 - 1.0 / passes);
    const Real d = greater(dose_over_deficit, each<Real>(1e-300));
    return lesser(scale * (0.13 + 0.23 / passes) * exponential_of(x * logarithm_of(d)), each<Real>(0.6));
}
inline double bypassed_share(double scale, double dose_over_deficit, int passes) {
    return bypassed_share_of(scale, dose_over_deficit, passes);
}

// Share of a pour that lands outside the ball's part of the top. Own assumption
inline constexpr double missed_share = 0.3;

}  // namespace tubgrove
