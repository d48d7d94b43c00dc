#pragma once
// Evaporation from the top of a pot: what mulch leaves of it.

namespace tubgrove {

// mu of a mulch: 1 - saving * cover * min(1, depth/3 cm). cover 0..1; `full_cover` is mu at full cover and 3 cm or more, 0.5.
// Source: [FAO56] chapter 11 (evaporation falls by 5 % for each 10 % covered); the rise with depth is an own assumption
inline double mulch_factor(double cover, double depth_cm, double full_cover = 0.5) {
    const double deep = depth_cm < 3 ? depth_cm / 3 : 1;
    return 1 - (1 - full_cover) * cover * (deep > 0 ? deep : 0);
}

}  // namespace tubgrove
