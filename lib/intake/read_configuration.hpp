#pragma once
// The configuration file to values.
#include "intake/complaint.hpp"
#include "intake/configuration.hpp"

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// All complaints at once. An empty or comment-only file complains of the missing site.
Read<Configuration> read_configuration(std::string_view file, std::string_view yaml);

// Every key that reading this configuration asks for, there or not: site.latitude, weather.fetch.url. Keys below one that is not
// there are not asked for.
std::set<std::string> keys_asked_of(std::string_view yaml);
// Every key that stands in it, written in the same way.
std::set<std::string> keys_in(std::string_view yaml);

// What was understood, a line each, as `check` prints it: "bay south-wall: full light, sheltered, rain from the eaves, …".
std::vector<std::string> describe(const Configuration& configuration);

// `air_temperature:max`, or a bare CF name, which means the first statistic that the quantity has in channel_names.
Parsed<Channel> weather_channel(std::string_view name);

}  // namespace tubgrove
