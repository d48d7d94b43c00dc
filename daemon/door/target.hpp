#pragma once
// The target of a request, "/api/v1/pots/7?retired=yes", taken apart.
#include "intake/complaint.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace tubgrove {

inline constexpr std::size_t longest_target_bytes = 2048;

struct Target {
    std::vector<std::string> segments;                        // decoded; the root has none
    std::vector<std::pair<std::string, std::string>> query;  // decoded, in order
    std::optional<std::string> value(std::string_view name) const;
};

// Refused: what is no path, a step up or in place, an empty step, a bad escape, control characters, bytes that are no UTF-8.
Parsed<Target> read_target(std::string_view text);

}  // namespace tubgrove
