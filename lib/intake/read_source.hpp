#pragma once
// How weather reaches the service, as the configuration says it: fetched, as messages, from a folder; and the recipes of public
// services that are part of the program.
#include "intake/configuration.hpp"
#include "intake/section.hpp"

#include <span>

namespace tubgrove {

struct RecipeText {
    std::string name;   // "open-meteo"
    std::string yaml;
};

// The files of config/weather/ as they were when the program was built.
std::span<const RecipeText> shipped_recipes();

// What a public service sends and how it is asked, ready to be named by a configuration.
struct Recipe {
    std::string name, service, documentation, licence;
    bool asks_contact = false;   // the service wants to be told who asks
    YamlNode layout;             // a mapping's keys; the reader of mappings turns them into
    Mapping mapping;             // this
};
Parsed<Recipe> find_recipe(std::string_view name);

// fetch, broker and issued of a mapping. Complaints of single values come at once, those of how they fit from check_reach.
void read_reach(Section& s, Mapping& mapping);
void check_reach(const YamlNode& node, const Desk& desk, const Mapping& mapping);

// What every section has that says how something is reached over the network.
void read_path(Section& s, std::string_view key, std::string& into);   // from the root on
void read_line(Section& s, std::string_view key, std::string& into);   // of at most 500 bytes
Parsed<std::string> proxy_address(std::string_view written);
Parsed<std::string> machine_name(std::string_view written);
// All of a broker but its topic.
void read_broker_reach(Section& s, Broker& broker);

void read_drop_folder(Section& top, std::string& folder);

// Names in braces within an address: "latitude", "day+1". Empty: each is known.
std::string unknown_in_address(std::string_view url);

}  // namespace tubgrove
