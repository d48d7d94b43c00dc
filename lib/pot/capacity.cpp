#include "pot/capacity.hpp"

namespace tubgrove {

Litres water_held(const Body& body, const Retention& medium, HeightRange range, double base_suction_cm) {
    constexpr int panels = 200;
    const double step = (range.to_cm - range.from_cm) / panels;
    const auto at = [&](int i) {
        const double z = range.from_cm + step * i;
        return section_cm2(body, z) * theta_at_cm(medium, z + base_suction_cm);
    };
    double sum = at(0) + at(panels);
    for (int i = 1; i < panels; ++i) sum += (i % 2 == 1 ? 4 : 2) * at(i);
    return Litres(sum * step / 3 / 1000);
}

Litres container_capacity(const Body& body, const Retention& medium, double base_suction_cm) {
    return water_held(body, medium, {0, body.height_cm}, base_suction_cm);
}

}  // namespace tubgrove
