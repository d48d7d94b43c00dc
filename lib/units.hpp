#pragma once
// Strong types for the quantities that pass a public door, one type a unit.
// Two quantities of unlike unit neither add nor compare; crossing units is a named function.
// Inside an equation the paper's symbols are plain doubles with the unit in the name.
#include <compare>

namespace tubgrove {

template <class Unit>
class Quantity {
public:
    constexpr explicit Quantity(double number) : number_(number) {}
    friend constexpr auto operator<=>(Quantity, Quantity) = default;
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.number_ + b.number_); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.number_ - b.number_); }
    friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.number_ * k); }
    friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(a.number_ * k); }
    friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.number_ / k); }
    friend constexpr double operator/(Quantity a, Quantity b) { return a.number_ / b.number_; }
    friend constexpr double number_of(Quantity q) { return q.number_; }  // for the named getters below only

private:
    double number_;
};

using Millimetres = Quantity<struct MillimetresUnit>;              // water depth; 1 mm on 1 m2 = 1 L
using Litres = Quantity<struct LitresUnit>;
using SquareMetres = Quantity<struct SquareMetresUnit>;
using Centimetres = Quantity<struct CentimetresUnit>;              // lengths of pots and crowns
using Metres = Quantity<struct MetresUnit>;                        // elevation, instrument height
using Kilopascals = Quantity<struct KilopascalsUnit>;
using MetresPerSecond = Quantity<struct MetresPerSecondUnit>;
using MegajoulesPerSquareMetre = Quantity<struct MegajoulesPerSquareMetreUnit>;  // of the interval named beside it
using Kilograms = Quantity<struct KilogramsUnit>;
using Degrees = Quantity<struct DegreesUnit>;                      // of latitude or longitude, north and east positive

// A temperature is a point: two of them subtract to kelvins, none add.
class Celsius {
public:
    constexpr explicit Celsius(double number) : number_(number) {}
    friend constexpr auto operator<=>(Celsius, Celsius) = default;
    friend constexpr double kelvins_between(Celsius warm, Celsius cold) { return warm.number_ - cold.number_; }
    friend constexpr double degC(Celsius t) { return t.number_; }

private:
    double number_;
};

constexpr double mm(Millimetres q) { return number_of(q); }
constexpr double litres(Litres q) { return number_of(q); }
constexpr double m2(SquareMetres q) { return number_of(q); }
constexpr double cm(Centimetres q) { return number_of(q); }
constexpr double metres(Metres q) { return number_of(q); }
constexpr double kPa(Kilopascals q) { return number_of(q); }
constexpr double m_per_s(MetresPerSecond q) { return number_of(q); }
constexpr double MJ_per_m2(MegajoulesPerSquareMetre q) { return number_of(q); }
constexpr double kg(Kilograms q) { return number_of(q); }
constexpr double degrees(Degrees q) { return number_of(q); }

constexpr Litres litres_on(Millimetres depth, SquareMetres area) { return Litres(mm(depth) * m2(area)); }

}  // namespace tubgrove
