#pragma once
// All ways that weather comes in, as the configuration tells them.
#include "serve/broker_source.hpp"
#include "serve/drop_folder.hpp"
#include "serve/fetched_source.hpp"

#include <filesystem>
#include <list>
#include <memory>

namespace tubgrove {

class WeatherIn {
public:
    WeatherIn(EventLoop& loop, GardenBench& bench, Errands& errands, std::filesystem::path data);
    // Begins anew with these sources; called again when the configuration was read again.
    void take(const Configuration& configuration);
    std::vector<SourceState> states() const;

private:
    Intake intake_;
    Errands& errands_;
    std::filesystem::path data_;
    std::list<FetchedSource> fetched_;
    std::list<BrokerSource> brokers_;
    std::unique_ptr<DropFolder> folder_;
};

}  // namespace tubgrove
