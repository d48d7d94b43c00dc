#pragma once
// The garden file: YAML, a way to write many entries. Read to pots with dated facts, and written back from them.
#include "intake/facts.hpp"

namespace tubgrove {

struct GardenPot {
    std::string id;
    std::optional<LocalDay> since;   // facts hold from here
    std::vector<Fact> facts;         // canonical, in the file's order
    std::vector<std::string> refused = {};   // keys that were there with a value that is none; each was complained of
    int line = 0, column = 0;        // of the id
};

// Every pot that was understood, with all complaints: unknown keys with the nearest known one, ids given twice, …
Read<std::vector<GardenPot>> read_garden(std::string_view file, std::string_view yaml, const Names& names);

// YAML that read_garden takes back to the same facts, keys in a fixed order.
std::string write_garden(std::span<const GardenPot> pots);

}  // namespace tubgrove
