#include "serve/weather_in.hpp"

#include "opened.hpp"

#include <unistd.h>

#include <array>

namespace tubgrove {
namespace {

// Of this garden on this machine, and at most 23 letters and digits, which every broker takes. Source: [MQTT311] 3.1.3.1.
std::string client_id(const std::filesystem::path& data, const std::string& source) {
    std::array<char, 256> host{};
    ::gethostname(host.data(), host.size() - 1);
    std::error_code none;
    const auto place = std::filesystem::weakly_canonical(data, none).string();
    return "tubgrove" + sha256(std::string(host.data()) + '\n' + place + '\n' + source).substr(0, 15);
}

}  // namespace

WeatherIn::WeatherIn(EventLoop& loop, GardenBench& bench, Errands& errands, std::filesystem::path data)
    : intake_{.loop = loop, .bench = bench, .view = [] { return View{.now = clock_now()}; }}, errands_(errands), data_(std::move(data)) {}

void WeatherIn::take(const Configuration& configuration) {
    fetched_.clear();
    brokers_.clear();
    folder_.reset();
    std::vector<std::string> names;
    for (const auto& mapping : configuration.mappings) {
        names.push_back(mapping.name);
        if (mapping.fetch) fetched_.emplace_back(intake_, errands_, configuration.site, mapping);
        if (mapping.broker) brokers_.emplace_back(intake_, mapping, client_id(data_, mapping.name));
    }
    if (!configuration.drop_folder.empty()) folder_ = std::make_unique<DropFolder>(intake_, configuration.drop_folder, std::move(names));
}

std::vector<SourceState> WeatherIn::states() const {
    std::vector<SourceState> states;
    for (const auto& source : fetched_) states.push_back(source.state());
    for (const auto& source : brokers_) states.push_back(source.state());
    if (folder_) states.push_back(folder_->state());
    return states;
}

}  // namespace tubgrove
