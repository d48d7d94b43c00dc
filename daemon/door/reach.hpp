#pragma once
// How a phone reaches the service, by its configured doors.
#include "intake/configuration.hpp"

#include <string>

namespace tubgrove {

struct Reach {
    std::string link;             // without a slash at its end; empty: no door
    bool from_elsewhere = true;   // false: this machine only
};
Reach reach_of(const Doors&);

// Told where phones cannot come.
inline constexpr const char* only_here = "the service listens for this machine only; `doors: listen:` or a proxy before `doors: socket:` lets "
                                         "phones reach it";

}  // namespace tubgrove
