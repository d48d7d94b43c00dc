#pragma once
// The medium's body: what shape a container gives it, and its areas and volume.
#include "ensemble/setup.hpp"
#include "units.hpp"

#include <string>
#include <variant>

namespace tubgrove {

// A body whose cross-section's two sides change linearly with height: rectangles and ellipses, so squares and circles too.
// Lengths in cm; z counts from the drainage level at the bottom of the medium.
struct Body {
    bool elliptic = true;
    double base_cm = 0, top_cm = 0;                 // diameter or side; the long one
    double base_across_cm = 0, top_across_cm = 0;   // the short one; equal to the long one for circles and squares
    double height_cm = 0;
};

// A round or square body.
Body round_body(Centimetres base, Centimetres top, Centimetres height);
Body square_body(Centimetres base, Centimetres top, Centimetres height);

double section_cm2(const Body&, double z_cm);   // horizontal section at height z
Litres volume(const Body&);                     // exact: Simpson's rule is exact for a quadratic section
SquareMetres top_area(const Body&);
// Side wall; exact but for an ellipse, whose girth is taken at half height after Ramanujan.
SquareMetres wall_area(const Body&);
// The same body without its lowest `layer`: a coarse drainage layer holds nothing for the tree.
// Source: direction of [ROWE]; 0 <= layer < height
Body above_layer(const Body&, Centimetres layer);
// The body's lower part that holds `share` (0..1] of its volume.
Body filled_to(const Body&, double share);

struct ImpossibleContainer {
    std::string what;    // "a pot 30 cm wide and 2 cm high holds 1.3 L, its rim says 40 L"
    std::string right;   // what would be right
};

// Medium and vessel of a container as stated. Only the rim litres: base 0.75 of the top and height 0.92 of the top (a bag:
// straight, 0.7; a trough: three times as long as wide, 0.9 as high as wide, base 0.9; an oval: 1.5 times as long).
// One missing length follows from the litres. The medium fills 0.9 of the vessel, above a drainage layer.
// Proportions and fill: common practice, no source.
struct Vessel {
    Body brim;           // the whole inside
    Body medium;
    bool rim_only = false;   // shape guessed from the litres
};
std::variant<Vessel, ImpossibleContainer> vessel_of(const Container&);

}  // namespace tubgrove
