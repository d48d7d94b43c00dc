#pragma once
// Labels for the pots: id, name, and a code that opens the pot's page on a phone.
#include "door/reach.hpp"
#include "garden/garden.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

struct PotLabel {
    std::string pot, label, trees, bay;
    std::string link = {};        // what the code says
    int code_modules = 0;         // its side
    std::string code_path = {};   // its dark modules as the `d` of an SVG path, a unit a module
};
struct LabelsAnswer {
    std::string link;             // of the page
    bool from_elsewhere = true;   // false: phones cannot come there
    std::vector<PotLabel> labels; // in walking order
};

// Of these pots, or of all that are in the garden. `link`: where phones find the page; empty: as the doors say.
// Refused: an unknown pot, a link that is none, no door at all.
Outcome<LabelsAnswer> labels_of(Garden&, const View&, std::span<const std::string> pots, std::string_view link);

std::string to_json(const LabelsAnswer&, const Zone&);
// A page of its own that prints them, two to a row, on A4 and Letter.
std::string labels_page(const LabelsAnswer&);

}  // namespace tubgrove
