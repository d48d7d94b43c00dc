#pragma once
// What a monitor is told of the running service at /metrics: the process, the clock, the newest list, how weather comes in and lists go out.
#include "calendar.hpp"
#include "plan/round.hpp"
#include "serve/notices_out.hpp"
#include "serve/source_state.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

struct Measures {
    std::string version, model;
    bool clock_believed = true;
    std::optional<Instant> next_issue = {};
    std::optional<Round> round = {};              // the newest that was issued
    std::vector<SourceState> sources = {};
    std::vector<ChannelState> channels = {};
    std::map<int, long> answered = {};            // requests by the status of their answer
};

Response metrics_response(const Measures& measures);

}  // namespace tubgrove
