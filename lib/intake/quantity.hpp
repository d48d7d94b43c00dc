#pragma once
// Numbers with units, as people write them: "45 cm", "18 in", "2.5L", "15 US_liquid_gallon", "31degC", "60 %".
// Units are UDUNITS-2 spellings; the common ones come from a small table so that UDUNITS' own tables are read
// (about 10 ms) only when someone uses an uncommon one.
#include "intake/complaint.hpp"

#include <string>
#include <string_view>

namespace tubgrove {

// converted = number * scale + offset.
struct Conversion {
    double scale = 1;
    double offset = 0;
    double operator()(double number) const { return number * scale + offset; }
    friend bool operator==(const Conversion&, const Conversion&) = default;
};

// From one unit spelling to another. A water depth may be given as mass on area (kg m-2 is mm), as CF does.
// Faults: unknown spelling, another dimension, and spellings that mean several things (gal, C, F …).
Parsed<Conversion> conversion(std::string_view from, std::string_view to);

// What a quantity must be.
struct Wanted {
    std::string_view unit;      // UDUNITS spelling in which the number is returned: cm, L, kg, mm, degC, %, h, m, d …
    double low, high;           // in that unit, both ends allowed
    std::string_view example;   // for the message: "45 cm"
    bool decimal_comma = false; // "2,5L" is taken as 2.5 L: only for what a person types beside the pots
};

// The number in wanted.unit. Faults: no number, no unit, unknown unit, other dimension, out of range, not finite,
// decimal comma.
Parsed<double> parse_quantity(std::string_view text, const Wanted& wanted);

// A plain decimal number within [low, high]; with a decimal point, no unit, finite.
Parsed<double> parse_number(std::string_view text, double low, double high);
Parsed<long> parse_count(std::string_view text, long low, long high);

// The shortest decimal that is the number rounded to nine significant digits: 45.72, 0.5, -3, never 1e+06.
std::string decimal(double number);

}  // namespace tubgrove
