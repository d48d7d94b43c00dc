#pragma once
// One source whose readings come as messages. A message is acknowledged only after its readings are in the store: a daemon that
// dies in between gets it again, and the same readings twice are one.
#include "serve/source_state.hpp"

#include <memory>

namespace tubgrove {

class BrokerSource {
public:
    // `id` is told to the broker, which keeps messages for it while the daemon is away; the same in every run.
    BrokerSource(Intake intake, const Mapping& mapping, std::string id);
    ~BrokerSource();
    BrokerSource(const BrokerSource&) = delete;
    BrokerSource& operator=(const BrokerSource&) = delete;
    SourceState state() const;

private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

}  // namespace tubgrove
