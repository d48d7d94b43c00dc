#include "pot/balance.hpp"

#include "pot/balance_block.hpp"

namespace tubgrove {

void run_hours(const Members& k, std::span<const Hour> hours, PotState& s, Fluxes& flux) {
    side_by_side(balance::Hours{k, hours, s, flux}, s.size());
}

void hour_step(const Members& k, const Hour& hour, PotState& s, Fluxes& flux) { run_hours(k, std::span(&hour, 1), s, flux); }

}  // namespace tubgrove
