#pragma once
// The names of the machine's zone database, for a hint to one who mistyped his.
#include <string>
#include <vector>

namespace tubgrove {

std::vector<std::string> zone_names();

}  // namespace tubgrove
