#include "pot/geometry.hpp"

#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>

namespace tubgrove {
namespace {

constexpr double pi = std::numbers::pi;

// What a form usually looks like, as shares of the long top side. Common practice, no source
struct Proportion {
    double base, height, across;
};
Proportion usual(Form form) {
    switch (form) {
    case Form::bag: return {1.0, 0.7, 1.0};
    case Form::oblong: return {0.9, 0.3, 1.0 / 3};
    case Form::oval: return {0.8, 0.6, 1.0 / 1.5};
    case Form::round:
    case Form::square: break;
    }
    return {0.75, 0.92, 1.0};
}

bool two_sided(Form form) { return form == Form::oblong || form == Form::oval; }

constexpr double filled = 0.9;                       // medium over the brim-full volume. Common practice, no source
constexpr double least_l = 0.3, most_l = 2000;       // of a vessel for a tree
constexpr double least_cm = 3, most_cm = 300;
constexpr double least_taper = 0.3, most_taper = 1.5;   // base over top
constexpr double rim_tolerance = 1.5;                // rim litres against lengths

std::string number(double x) {
    char text[32];
    const bool whole = std::fabs(x) >= 100;
    const auto format = whole ? std::chars_format::fixed : std::chars_format::general;
    return {text, std::to_chars(text, text + sizeof text, x, format, whole ? 0 : 3).ptr};
}

Body body_of(Form form, const Proportion& p, double top_cm) {
    Body b;
    b.elliptic = form == Form::round || form == Form::oval || form == Form::bag;
    b.top_cm = top_cm;
    b.base_cm = p.base * top_cm;
    b.top_across_cm = p.across * top_cm;
    b.base_across_cm = p.base * p.across * top_cm;
    b.height_cm = p.height * top_cm;
    return b;
}

// Every stated length that no vessel has.
std::optional<ImpossibleContainer> bad_length(const Container& c) {
    struct Named {
        const char* name;
        const std::optional<Centimetres>& length;
    };
    for (const Named& n : {Named{"top", c.top}, Named{"base", c.base}, Named{"top across", c.top_across},
                           Named{"base across", c.base_across}, Named{"height", c.height}})
        if (n.length && !(cm(*n.length) >= least_cm && cm(*n.length) <= most_cm))
            return ImpossibleContainer{std::string(n.name) + " of " + number(cm(*n.length)) + " cm",
                                       "a length from 3 cm to 300 cm"};
    if (c.size && !(litres(*c.size) >= least_l && litres(*c.size) <= most_l))
        return ImpossibleContainer{"a container of " + number(litres(*c.size)) + " L", "a size from 0.3 L to 2000 L"};
    if (c.drainage_layer && !(cm(*c.drainage_layer) >= 0 && cm(*c.drainage_layer) <= most_cm))
        return ImpossibleContainer{"a drainage layer of " + number(cm(*c.drainage_layer)) + " cm", "a depth of 0 cm or more"};
    return {};
}

std::optional<ImpossibleContainer> bad_taper(const Body& b) {
    const double taper = b.base_cm / b.top_cm, across = b.base_across_cm / b.top_across_cm;
    if (taper < least_taper || taper > most_taper || across < least_taper || across > most_taper)
        return ImpossibleContainer{"a base of " + number(b.base_cm) + " cm under a top of " + number(b.top_cm) + " cm",
                                   "a base from 0.3 to 1.5 of the top"};
    return {};
}

// Stated lengths over the usual proportions; lengths still missing are scaled so that the rim litres come out.
Body lengths_of(const Container& c) {
    const Proportion p = usual(c.form);
    const double top = c.top ? cm(*c.top) : c.base ? cm(*c.base) / p.base : c.height ? cm(*c.height) / p.height : 30;
    Body b = body_of(c.form, p, top);
    if (c.base) b.base_cm = cm(*c.base);
    if (!c.base && c.top_across && two_sided(c.form)) b.base_cm = p.base * b.top_cm;
    if (two_sided(c.form)) {
        if (c.top_across) b.top_across_cm = cm(*c.top_across);
        b.base_across_cm = c.base_across ? cm(*c.base_across) : b.top_across_cm * b.base_cm / b.top_cm;
    } else {
        b.base_across_cm = b.base_cm;
    }
    if (c.height) b.height_cm = cm(*c.height);
    if (!c.size) return b;
    const double short_of = litres(*c.size) / litres(volume(b));
    if (!c.top && !c.base && !c.height) {            // all guessed: the same shape, larger or smaller
        const double k = std::cbrt(short_of);
        return body_of(c.form, p, b.top_cm * k);
    }
    if (!c.height) b.height_cm *= short_of;
    else if (!c.top && !c.base) {                    // height known: sides follow
        const double k = std::sqrt(short_of);
        for (double* side : {&b.top_cm, &b.base_cm, &b.top_across_cm, &b.base_across_cm}) *side *= k;
    }
    return b;
}

}  // namespace

Body round_body(Centimetres base, Centimetres top, Centimetres height) {
    return {true, cm(base), cm(top), cm(base), cm(top), cm(height)};
}
Body square_body(Centimetres base, Centimetres top, Centimetres height) {
    return {false, cm(base), cm(top), cm(base), cm(top), cm(height)};
}

double section_cm2(const Body& b, double z_cm) {
    const double up = z_cm / b.height_cm;
    const double a = b.base_cm + (b.top_cm - b.base_cm) * up;
    const double across = b.base_across_cm + (b.top_across_cm - b.base_across_cm) * up;
    return (b.elliptic ? pi / 4 : 1.0) * a * across;
}

Litres volume(const Body& b) {
    const double sum = section_cm2(b, 0) + 4 * section_cm2(b, b.height_cm / 2) + section_cm2(b, b.height_cm);
    return Litres(b.height_cm * sum / 6 / 1000);
}

SquareMetres top_area(const Body& b) { return SquareMetres(section_cm2(b, b.height_cm) / 1e4); }

SquareMetres wall_area(const Body& b) {
    const double h = b.height_cm, lean = (b.top_cm - b.base_cm) / 2, lean_across = (b.top_across_cm - b.base_across_cm) / 2;
    if (!b.elliptic)
        return SquareMetres(((b.base_cm + b.top_cm) * std::hypot(h, lean_across)
                             + (b.base_across_cm + b.top_across_cm) * std::hypot(h, lean)) / 1e4);
    const double p = (b.base_cm + b.top_cm) / 4, q = (b.base_across_cm + b.top_across_cm) / 4;   // half axes at half height
    const double girth = pi * (3 * (p + q) - std::sqrt((3 * p + q) * (p + 3 * q)));
    return SquareMetres(girth * (std::hypot(h, lean) + std::hypot(h, lean_across)) / 2 / 1e4);
}

Body above_layer(const Body& b, Centimetres layer) {
    const double up = cm(layer) / b.height_cm;
    Body rest = b;
    rest.base_cm += (b.top_cm - b.base_cm) * up;
    rest.base_across_cm += (b.top_across_cm - b.base_across_cm) * up;
    rest.height_cm -= cm(layer);
    return rest;
}

namespace {

Body cut_at(const Body& b, double up) {
    Body part = b;
    part.top_cm = b.base_cm + (b.top_cm - b.base_cm) * up;
    part.top_across_cm = b.base_across_cm + (b.top_across_cm - b.base_across_cm) * up;
    part.height_cm = b.height_cm * up;
    return part;
}

}  // namespace

Body filled_to(const Body& b, double share) {
    const double wanted = share * litres(volume(b));
    double low = 0, high = 1;
    for (int i = 0; i < 60; ++i) {   // halving sixty times leaves less than the last digit of a double
        const double middle = (low + high) / 2;
        (litres(volume(cut_at(b, middle))) < wanted ? low : high) = middle;
    }
    return cut_at(b, high);
}

std::variant<Vessel, ImpossibleContainer> vessel_of(const Container& c) {
    if (auto bad = bad_length(c)) return *bad;
    if (!c.size && !(c.top && c.height))
        return ImpossibleContainer{"no size", "litres as on the rim, or top and height (and base)"};
    const Body brim = lengths_of(c);
    if (auto bad = bad_taper(brim)) return *bad;
    const double held_l = litres(volume(brim));
    if (c.size && (held_l > rim_tolerance * litres(*c.size) || held_l * rim_tolerance < litres(*c.size)))
        return ImpossibleContainer{"lengths that give " + number(held_l) + " L where the rim says "
                                       + number(litres(*c.size)) + " L",
                                   "inner lengths, or the size alone"};
    if (held_l < least_l || held_l > most_l)
        return ImpossibleContainer{"lengths that give " + number(held_l) + " L", "a container of 0.3 L to 2000 L"};
    const Body lower = filled_to(brim, filled);
    const double layer = c.drainage_layer ? cm(*c.drainage_layer) : 0;
    if (layer > 0.7 * lower.height_cm)
        return ImpossibleContainer{"a drainage layer of " + number(layer) + " cm under " + number(lower.height_cm) + " cm of filling",
                                   "a layer that leaves room for the medium"};
    return Vessel{brim, above_layer(lower, Centimetres(layer)), !c.top || !c.height};
}

}  // namespace tubgrove
