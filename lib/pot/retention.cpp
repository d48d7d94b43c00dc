#include "pot/retention.hpp"

#include "pot/exponential.hpp"

namespace tubgrove {

double theta_at_cm(const Retention& r, double suction_cm) {
    if (suction_cm <= 0) return r.theta_s;
    const double m = 1 - 1 / r.n;
    return r.theta_r + (r.theta_s - r.theta_r) * power_of(1 + power_of(r.alpha_per_cm * suction_cm, r.n), -m);
}

double theta_at(const Retention& r, Kilopascals suction) { return theta_at_cm(r, kPa(suction) * cm_per_kPa); }

double suction_cm_at(const Retention& r, double theta) {
    if (theta >= r.theta_s) return 0;
    const double m = 1 - 1 / r.n;
    const double filled = power_of((r.theta_s - r.theta_r) / (theta - r.theta_r), 1 / m);
    return power_of(filled - 1, 1 / r.n) / r.alpha_per_cm;
}

}  // namespace tubgrove
