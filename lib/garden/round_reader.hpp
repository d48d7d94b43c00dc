#pragma once
// An issued round as it was stored, read back from its JSON.
#include "plan/round.hpp"

#include <string_view>

namespace tubgrove {

// `json` is what to_json(RoundAnswer) wrote, by this or an older version; a key that is missing keeps its default.
// Throws std::runtime_error when it is not JSON or not a round: the store's content is damaged.
Round round_from_json(std::string_view json);
// The same with no more than a garden's past asks of a list: name, time of issue, what each pour told to give, in order of
// the pots' ids, and the jobs.
Round round_lines_from_json(std::string_view json);

}  // namespace tubgrove
