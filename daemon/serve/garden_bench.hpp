#pragma once
// The garden on a thread of its own. Two of them stand side by side, so that writing down a pour never waits behind the
// reckoning of a list; each has its own connection to the store.
#include "opened.hpp"
#include "serve/event_loop.hpp"
#include "serve/give_back.hpp"

#include <functional>
#include <memory>

namespace tubgrove {

class GardenBench {
public:
    GardenBench(Opened opened, std::size_t longest_queue)
        : opened_(std::make_shared<Opened>(std::move(opened))), bench_(longest_queue, give_back_memory) {}

    // False when too many wait already.
    [[nodiscard]] bool post(std::function<void(Opened&)> call) {
        return bench_.post([this, call = std::move(call)] { call(*opened_); });
    }
    // From the next call on; false when too many wait.
    [[nodiscard]] bool replace(Opened opened) {
        auto fresh = std::make_shared<Opened>(std::move(opened));
        return bench_.post([this, fresh] { opened_ = fresh; });
    }

private:
    std::shared_ptr<Opened> opened_;  // touched by the bench's thread only
    WorkBench bench_;
};

}  // namespace tubgrove
