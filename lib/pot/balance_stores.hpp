#pragma once
// Inside the balance only: the stores of the day, set at midnight and again where drying moves the capacity.
#include "pot/balance.hpp"

namespace tubgrove {

// A_r, A_u and R_r of every member from its constants, rooted share and dryness.
void set_stores(const Members&, PotState&);

}  // namespace tubgrove
