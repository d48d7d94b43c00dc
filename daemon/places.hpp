#pragma once
// Where configuration and data lie.
#include "command_line.hpp"

#include <filesystem>

namespace tubgrove {

struct Places {
    std::filesystem::path configuration;     // a file, which may not exist yet
    std::filesystem::path data;              // a folder
    std::filesystem::path demo;              // the folder with the demo garden, as shipped; may be missing
    std::filesystem::path demo_garden = {};  // where the demo garden is planted unless told otherwise
};

// Options first, then TUBGROVE_CONFIG and TUBGROVE_DATA, then the person's own folders by the XDG base directories,
// then the system's: /etc/tubgrove and /var/lib/tubgrove are taken where a configuration stands there and the person
// has none.
Places places_of(const Asked& asked);

}  // namespace tubgrove
