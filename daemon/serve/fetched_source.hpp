#pragma once
// One source that is fetched by the courier whenever it is due.
#include "serve/errands.hpp"
#include "serve/fetch_plan.hpp"
#include "serve/source_state.hpp"

namespace tubgrove {

class FetchedSource {
public:
    FetchedSource(Intake intake, Errands& errands, const Site& site, const Mapping& mapping);
    const SourceState& state() const { return state_; }

private:
    void fetch();
    void fetch_in(std::chrono::milliseconds wait);
    void take(const Brought& brought);
    void wait(const Pace& pace);
    void failed(const std::string& why, Pace pace);

    Intake intake_;
    Errands& errands_;
    Site site_;
    Mapping mapping_;
    FetchMemory memory_;
    SourceState state_;
    LoopTimer timer_;
    std::shared_ptr<bool> here_ = std::make_shared<bool>(true);  // what comes back later asks whether anyone is
};

}  // namespace tubgrove
