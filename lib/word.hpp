#pragma once
// What the words of a bay and a pot mean in numbers: rows of config/words.yaml.
#include <string>

namespace tubgrove {

// About light: share of the site's radiation. About shelter: the bay's wind over the site's at 2 m. About rain: share of
// the open rain. About place: factor on the wind beside the shelter's. About ground: factor on ET0 by what the pots stand on.
// About colour: kelvins of a wall in sun over the air.
struct Word {
    std::string about;                // light, shelter, rain, place, ground, colour
    std::string word;                 // full, half, shade; open, usual, sheltered; …
    double middle = 0;                // mode of a triangle
    double low = 0, high = 0;         // its support
    std::string unit;                 // "1" or "K"
    std::string source;
    std::string note;
};

}  // namespace tubgrove
