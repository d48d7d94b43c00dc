#pragma once
// Tells issued lists through the channels of the configuration, each at most once a channel, from a queue in the store that
// outlives restarts. Each has its own turn and its own pause after a failure, so none waits for another.
#include "serve/errands.hpp"
#include "serve/event_loop.hpp"
#include "serve/faring.hpp"
#include "serve/garden_bench.hpp"
#include "serve/notice_plan.hpp"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// Its way: mail, webhook, broker.
struct ChannelState : Faring {
    std::string waiting = {};             // the list that is to be told next; empty: none
    long told = 0, failed = 0, unsure = 0;  // since the start: lists, tries, lists
};

Response channels_response(std::span<const ChannelState> states, const Zone& zone);

class NoticesOut {
public:
    NoticesOut(EventLoop& loop, GardenBench& bench, std::filesystem::path courier);
    ~NoticesOut();  // ends what is under way
    NoticesOut(const NoticesOut&) = delete;
    NoticesOut& operator=(const NoticesOut&) = delete;

    // These channels from now on; what waits is tried at once.
    void take(const Configuration& configuration);
    // A list may have been issued, or the clock was set.
    void look();
    std::vector<ChannelState> states() const;
    // Begins nothing more, and calls when nothing is under way, or after some seconds.
    void stop(std::function<void()> stopped);

private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

}  // namespace tubgrove
