#include "care/roots.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tubgrove {
namespace {

constexpr std::array table{
    RootKill{"M.26", -12, -14},     RootKill{"P.2", -12, -14}, RootKill{"B.9", -13, -13},    RootKill{"G.30", -13.4, -14.6},
    RootKill{"G.11", -12, -12},     RootKill{"G.41", -8, -15}, RootKill{"G.935", -16, -19},
};

}  // namespace

std::span<const RootKill> root_kills() { return table; }

double root_plan_degC(std::string_view rootstock) {
    auto found = std::ranges::find(table, rootstock, &RootKill::rootstock);
    return found == table.end() ? std::numeric_limits<double>::quiet_NaN() : std::max(found->from_degC, found->to_degC);
}

RootHeat root_heat(double medium_degC, double hours) {
    if (medium_degC >= 40 && hours >= 5) return RootHeat::injury;
    return medium_degC >= 38 && hours > 0 ? RootHeat::warn : RootHeat::fine;
}

double medium_lag_h(double volume_l, bool wrapped) { return 8 * std::pow(volume_l / 20, 2.0 / 3) * (wrapped ? 1.5 : 1); }

double medium_after_degC(const Cooling& c) { return c.air_degC + (c.start_degC - c.air_degC) * std::exp(-c.hours / c.lag_h); }

}  // namespace tubgrove
