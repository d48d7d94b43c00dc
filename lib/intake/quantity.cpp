#include "intake/quantity.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <udunits2.h>

namespace tubgrove {
namespace {

// Units that gardens use, as a dimension and what one of it is in the dimension's base. Tests compare each row with UDUNITS.
struct Unit {
    std::string_view name;
    char dimension;   // l length m, v volume L, g mass kg, t temperature degC, p pressure kPa, s share %, h time h, w speed m s-1, f flux W m-2
    double scale;
    double offset = 0;
};
constexpr std::array units{
    Unit{"mm", 'l', 0.001},  Unit{"cm", 'l', 0.01},   Unit{"m", 'l', 1},         Unit{"km", 'l', 1000},
    Unit{"in", 'l', 0.0254}, Unit{"inch", 'l', 0.0254}, Unit{"inches", 'l', 0.0254},
    Unit{"ft", 'l', 0.3048}, Unit{"foot", 'l', 0.3048}, Unit{"feet", 'l', 0.3048},
    Unit{"L", 'v', 1},       Unit{"l", 'v', 1},       Unit{"litre", 'v', 1},     Unit{"litres", 'v', 1},
    Unit{"liter", 'v', 1},   Unit{"liters", 'v', 1},  Unit{"mL", 'v', 0.001},    Unit{"ml", 'v', 0.001},
    Unit{"US_liquid_gallon", 'v', 3.785411784},       Unit{"Canadian_liquid_gallon", 'v', 4.54609},
    Unit{"imperial_gallon", 'v', 4.54609},            // our own spelling: UDUNITS has only the Canadian one, which is the same
    Unit{"kg", 'g', 1},      Unit{"g", 'g', 0.001},   Unit{"lb", 'g', 0.45359237},
    Unit{"degC", 't', 1},    Unit{"°C", 't', 1},      Unit{"celsius", 't', 1},
    Unit{"degF", 't', 5.0 / 9, -160.0 / 9},           Unit{"°F", 't', 5.0 / 9, -160.0 / 9},
    Unit{"K", 't', 1, -273.15},
    Unit{"kPa", 'p', 1},     Unit{"hPa", 'p', 0.1},   Unit{"mbar", 'p', 0.1},    Unit{"Pa", 'p', 0.001},
    Unit{"%", 's', 1},       Unit{"percent", 's', 1}, Unit{"1", 's', 100},
    Unit{"s", 'h', 1.0 / 3600}, Unit{"min", 'h', 1.0 / 60}, Unit{"minutes", 'h', 1.0 / 60}, Unit{"h", 'h', 1},
    Unit{"hour", 'h', 1},    Unit{"hours", 'h', 1},   Unit{"d", 'h', 24},        Unit{"day", 'h', 24},
    Unit{"days", 'h', 24},
    Unit{"m s-1", 'w', 1},   Unit{"m/s", 'w', 1},     Unit{"km h-1", 'w', 1 / 3.6}, Unit{"km/h", 'w', 1 / 3.6},
    Unit{"W m-2", 'f', 1},   Unit{"W/m2", 'f', 1},
};

const Unit* find_unit(std::string_view name) {
    auto found = std::ranges::find(units, name, &Unit::name);
    return found == units.end() ? nullptr : &*found;
}

// Spellings that UDUNITS would take for something else, or that mean several things.
struct Doubtful {
    std::string_view name, what, right;
};
constexpr std::string_view us_or_imperial = "may be a US or an imperial measure";
constexpr std::string_view both_gallons = "write US_liquid_gallon (3.785 L) or imperial_gallon (4.546 L)";
constexpr std::string_view in_litres = "write it in L, mL, US_liquid_gallon or imperial_gallon";
constexpr std::array doubtful{
    Doubtful{"gal", us_or_imperial, both_gallons},      Doubtful{"Gal", us_or_imperial, both_gallons},
    Doubtful{"gallon", us_or_imperial, both_gallons},   Doubtful{"gallons", us_or_imperial, both_gallons},
    Doubtful{"liquid_gallon", us_or_imperial, both_gallons}, Doubtful{"gals", us_or_imperial, both_gallons},
    Doubtful{"pint", us_or_imperial, in_litres},        Doubtful{"pints", us_or_imperial, in_litres},
    Doubtful{"pt", us_or_imperial, in_litres},          Doubtful{"quart", us_or_imperial, in_litres},
    Doubtful{"quarts", us_or_imperial, in_litres},      Doubtful{"qt", us_or_imperial, in_litres},
    Doubtful{"floz", us_or_imperial, in_litres},        Doubtful{"fl oz", us_or_imperial, in_litres},
    Doubtful{"fluid_ounce", us_or_imperial, in_litres}, Doubtful{"cup", us_or_imperial, in_litres},
    Doubtful{"oz", "may be a weight or a volume", "write g, kg or mL"},
    Doubtful{"C", "is the coulomb, not a temperature", "write degC"},
    Doubtful{"c", "is not a temperature", "write degC"},
    Doubtful{"F", "is the farad, not a temperature", "write degF"},
    Doubtful{"f", "is not a temperature", "write degF"},
    Doubtful{"deg", "is an angle", "write degC or degF for a temperature"},
    Doubtful{"º", "is not a known one", "write degC or degF for a temperature"},
    Doubtful{"°", "is an angle", "write degC or degF for a temperature"},
    Doubtful{"\"", "is an angle", "write in for inches"},
    Doubtful{"'", "is an angle", "write ft for feet"},
    Doubtful{"M", "is not a known one", "write m for metres"},
    Doubtful{"CM", "is not a known one", "write cm"},
    Doubtful{"Cm", "is not a known one", "write cm"},
    Doubtful{"MM", "is not a known one", "write mm"},
    Doubtful{"KG", "is not a known one", "write kg"},
    Doubtful{"Kg", "is not a known one", "write kg"},
    Doubtful{"lbs", "is not a known one", "write lb"},
    Doubtful{"ltr", "is not a known one", "write L"},
    Doubtful{"lt", "is not a known one", "write L"},
    Doubtful{"lit", "is not a known one", "write L"},
    Doubtful{"hrs", "is not a known one", "write h"},
    Doubtful{"hr", "is not a known one", "write h"},
    Doubtful{"mins", "is not a known one", "write min"},
    Doubtful{"kph", "is not a known one", "write km h-1"},
    Doubtful{"kmh", "is not a known one", "write km h-1"},
    Doubtful{"mph", "is not a known one", "write mile h-1"},
    Doubtful{"kt", "is the kilotonne, not a speed", "write knot"},
    Doubtful{"kn", "is not a known one", "write knot"},
};

struct FreeSystem {
    void operator()(ut_system* system) const { ut_free_system(system); }
};
struct FreeUnit {
    void operator()(ut_unit* unit) const { ut_free(unit); }
};
struct FreeConverter {
    void operator()(cv_converter* converter) const { cv_free(converter); }
};
using UtUnit = std::unique_ptr<ut_unit, FreeUnit>;
using UtConverter = std::unique_ptr<cv_converter, FreeConverter>;

// Read once, when first needed; null where the machine lacks UDUNITS' tables.
const ut_system* udunits() {
    static const std::unique_ptr<ut_system, FreeSystem> system = [] {
        ut_set_error_message_handler(ut_ignore);
        return std::unique_ptr<ut_system, FreeSystem>(ut_read_xml(nullptr));
    }();
    return system.get();
}

bool letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool digit(char c) { return c >= '0' && c <= '9'; }

// A unit's name and its power at the front of a spelling; nothing where there is none. Names are letters, with digits only between
// letters (cmH2O), `%`, and the signs of micro, degree, ohm and angstrom; a power may be written as in m-2, m^2 and m².
struct Factor {
    std::string_view name;
    int power = 1;
};
std::optional<Factor> take_factor(std::string_view& text) {
    constexpr std::array<std::string_view, 6> signs{"µ", "μ", "°", "Ω", "Ω", "Å"};
    constexpr std::array<std::string_view, 10> raised{"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    auto rest = text;
    while (!rest.empty()) {
        const auto sign = std::ranges::find_if(signs, [&](auto s) { return rest.starts_with(s); });
        const auto digits = std::min(rest.find_first_not_of("0123456789"), rest.size());
        const bool inside = digits > 0 && digits < rest.size() && rest.size() < text.size() && letter(rest[digits]);
        if (sign != signs.end()) rest.remove_prefix(sign->size());
        else if (inside) rest.remove_prefix(digits);
        else if (letter(rest[0]) || rest[0] == '_') rest.remove_prefix(1);
        else break;
    }
    if (rest.size() == text.size() && rest.starts_with('%')) rest.remove_prefix(1);
    Factor factor{text.substr(0, text.size() - rest.size())};
    if (factor.name.empty()) return std::nullopt;

    const bool caret = rest.starts_with('^');
    auto power = rest.substr(caret ? 1 : 0);
    const std::string_view minus = power.starts_with("⁻") ? "⁻" : power.starts_with('-') ? "-" : "";
    power.remove_prefix(minus.size());
    int size = 0, figures = 0;
    while (!power.empty() && figures < 3) {
        const auto up = std::ranges::find_if(raised, [&](auto s) { return power.starts_with(s); });
        if (up == raised.end() && !digit(power[0])) break;
        size = 10 * size + (up == raised.end() ? power[0] - '0' : int(up - raised.begin()));
        power.remove_prefix(up == raised.end() ? 1 : up->size());
        ++figures;
    }
    if (figures == 3 || (figures == 0 && caret)) return std::nullopt;
    if (figures > 0) {
        factor.power = minus.empty() ? size : -size;
        rest = power;
    }
    text = rest;
    return factor;
}

// What a separator at the front of a spelling does to the power of the next factor, 1 or -1; nothing where there is none.
std::optional<int> take_separator(std::string_view& text) {
    const auto start = text.size();
    const auto spaces = [&] { text.remove_prefix(std::min(text.find_first_not_of(' '), text.size())); };
    spaces();
    int turn = 1;
    for (std::string_view sign : {".", "*", "·", "-", "/", "per "}) {
        if (!text.starts_with(sign)) continue;
        text.remove_prefix(sign.size());
        turn = sign == "/" || sign == "per " ? -1 : 1;
        spaces();
        break;
    }
    return text.size() < start ? std::optional(turn) : std::nullopt;
}

// A product of powers of unit names. UDUNITS' grammar also knows factors ("2 L"), origins ("K @ 273") and logarithms, which in a
// garden file are slips of the pen; and where its parser gives up in the middle of a text it loses the word it was reading
// (2.2.28). So it is asked for single names, and no text of others reaches it.
std::vector<Factor> factors_of(std::string_view text) {
    std::vector<Factor> factors;
    if (text.size() > 64) return {};
    for (int turn = 1; !text.empty();) {
        auto factor = take_factor(text);
        if (!factor) return {};
        factor->power *= turn;
        factors.push_back(*factor);
        if (text.empty()) break;
        const auto next = take_separator(text);
        if (!next || text.empty()) return {};
        turn = *next;
    }
    return factors;
}

// Null for what is no product of units that UDUNITS knows.
UtUnit parse_unit(std::string_view spelling) {
    const auto dimensionless = [] { return UtUnit(ut_get_dimensionless_unit_one(udunits())); };
    if (spelling == "1") return dimensionless();
    const auto factors = factors_of(spelling);
    UtUnit product;
    for (const auto& factor : factors) {
        const std::string name(factor.name == "imperial_gallon" ? "Canadian_liquid_gallon" : factor.name);
        UtUnit unit(ut_parse(udunits(), name.c_str(), UT_UTF8));
        if (unit && factor.power != 1) unit.reset(ut_raise(unit.get(), factor.power));
        if (unit && product) unit.reset(ut_multiply(product.get(), unit.get()));
        if (!unit) return nullptr;
        product = std::move(unit);
    }
    return product;
}

Fault unknown_unit(std::string_view spelling) {
    std::array<std::string_view, units.size()> names;
    std::ranges::transform(units, names.begin(), &Unit::name);
    auto near = nearest(spelling, names);
    return {fmt::format("{} is not a unit", quoted(spelling)),
            did_you_mean(near, "write a UDUNITS name such as cm, L, kg, degC or m s-1")};
}

std::optional<Conversion> straight(const ut_unit* from, const ut_unit* to) {
    if (!ut_are_convertible(from, to)) return std::nullopt;
    UtConverter converter(ut_get_converter(const_cast<ut_unit*>(from), const_cast<ut_unit*>(to)));
    if (!converter) return std::nullopt;
    double at_0 = cv_convert_double(converter.get(), 0), at_1 = cv_convert_double(converter.get(), 1);
    double at_2 = cv_convert_double(converter.get(), 2);
    Conversion c{at_1 - at_0, at_0};
    bool line = std::isfinite(c.scale) && std::isfinite(c.offset) && c.scale != 0 &&
                std::abs(c(2) - at_2) <= 1e-9 * (std::abs(at_2) + std::abs(at_0));
    return line ? std::optional(c) : std::nullopt;
}

// The library's parser and its status live in variables of their own, so faces that read units on several threads take turns.
std::mutex& turn() {
    static std::mutex mutex;
    return mutex;
}

Parsed<Conversion> by_udunits(std::string_view from, std::string_view to) {
    const std::lock_guard lock(turn());
    if (!udunits())
        return Fault{fmt::format("the unit {} needs UDUNITS' tables, which are not on this machine", quoted(from)),
                     "install them (libudunits2-data), or use a common unit"};
    auto source = parse_unit(from), target = parse_unit(to);
    if (!source) return unknown_unit(from);
    auto found = target ? straight(source.get(), target.get()) : std::nullopt;
    if (!found && to == "mm") {   // a depth of water: 1 kg on 1 m2 is 1 mm
        auto mass_on_area = parse_unit("kg m-2");
        found = straight(source.get(), mass_on_area.get());
    }
    if (!found) return Fault{fmt::format("{} can not be turned into {}", quoted(from), to), fmt::format("write it in {}", to)};
    return *found;
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

bool not_finite_word(std::string_view text) {
    std::string small;
    for (char c : text.substr(0, 12)) small += char(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    std::string_view word = small;
    if (!word.empty() && (word[0] == '-' || word[0] == '+')) word.remove_prefix(1);
    if (!word.empty() && word[0] == '.') word.remove_prefix(1);
    return word.starts_with("nan") || word.starts_with("inf");
}

struct Split {
    double number;
    std::string_view digits, rest;   // as written; the rest is trimmed
};

// A number at the start of `text`, and what follows it.
Parsed<Split> split(std::string_view text, std::string_view example, bool decimal_comma) {
    auto whole = trimmed(text);
    auto right = fmt::format("write it like {}", example);
    if (whole.empty()) return Fault{"there is nothing where a number is wanted", right};
    if (not_finite_word(whole)) return Fault{fmt::format("{} is not a finite number", quoted(whole)), right};
    auto body = whole;
    if (body[0] == '+') body.remove_prefix(1);
    bool starts_well = !body.empty() && (digit(body[0]) || ((body[0] == '-' || body[0] == '.') && body.size() > 1 &&
                                                          (digit(body[1]) || body[1] == '.')));
    if (!starts_well) return Fault{fmt::format("{} does not begin with a number", quoted(whole)), right};
    double number = 0;
    auto [end, error] = std::from_chars(body.data(), body.data() + body.size(), number);
    if (error == std::errc::result_out_of_range) return Fault{fmt::format("{} is too large or too small a number", quoted(whole)), right};
    if (error != std::errc()) return Fault{fmt::format("{} does not begin with a number", quoted(whole)), right};
    auto used = std::size_t(end - body.data());
    auto digits = body.substr(0, used), rest = body.substr(used);
    if (rest.size() < 2 || rest[0] != ',' || !digit(rest[1])) return Split{number, digits, trimmed(rest)};

    std::size_t last = 1;
    while (last < rest.size() && digit(rest[last])) ++last;
    auto decimals = rest.substr(1, last - 1), tail = trimmed(rest.substr(last));
    auto space = tail.empty() ? "" : " ";
    if (decimal_comma && digits.find_first_of(".eE") == std::string_view::npos && decimals.size() != 3) {
        auto joined = fmt::format("{}.{}", digits, decimals);
        std::from_chars(joined.data(), joined.data() + joined.size(), number);
        return Split{number, digits, tail};
    }
    if (decimals.size() == 3)
        return Fault{fmt::format("{} may be read with a decimal comma or with a thousands comma", quoted(whole)),
                     fmt::format("write {}.{}{}{} or {}{}{}{}", digits, decimals, space, tail, digits, decimals, space, tail)};
    return Fault{fmt::format("{} has a decimal comma", quoted(whole)),
                 fmt::format("write {}.{}{}{}", digits, decimals, space, tail)};
}

Fault out_of_range(std::string_view text, double low, double high, std::string_view unit) {
    auto space = unit.empty() ? "" : " ";
    return {fmt::format("{} is out of range", quoted(trimmed(text))),
            fmt::format("{}{}{} to {}{}{} is allowed", decimal(low), space, unit, decimal(high), space, unit)};
}

}  // namespace

Parsed<Conversion> conversion(std::string_view from_text, std::string_view to) {
    auto from = trimmed(from_text);
    if (auto doubt = std::ranges::find(doubtful, from, &Doubtful::name); doubt != doubtful.end())
        return Fault{fmt::format("the unit {} {}", quoted(from), doubt->what), std::string(doubt->right)};
    if (from == to) return Conversion{};
    const auto *source = find_unit(from), *target = find_unit(to);
    if (!source || !target || source->dimension != target->dimension) return by_udunits(from, to);
    if (source->scale == target->scale && source->offset == target->offset) return Conversion{};
    return Conversion{source->scale / target->scale, (source->offset - target->offset) / target->scale};
}

namespace {

// The wanted unit as the example spells it, with or without a space before it, so that it can be typed as it is shown.
std::string unit_as_written(const Wanted& wanted) {
    const auto parts = split(wanted.example, wanted.example, false);
    const auto* part = good(parts);
    const auto same = part && !part->rest.empty() ? conversion(part->rest, wanted.unit) : Parsed<Conversion>(Fault{});
    if (!good(same) || *good(same) != Conversion{}) return fmt::format(" {}", wanted.unit);
    return std::string(wanted.example.substr(wanted.example.find(part->digits) + part->digits.size()));
}

}  // namespace

Parsed<double> parse_quantity(std::string_view text, const Wanted& wanted) {
    auto parts = split(text, wanted.example, wanted.decimal_comma);
    const auto* part = good(parts);
    if (!part) return fault(parts);
    if (part->rest.empty())
        return Fault{fmt::format("{} has no unit", quoted(trimmed(text))),
                     part->number >= wanted.low && part->number <= wanted.high
                         ? fmt::format("write it with its unit, like {}{}", decimal(part->number), unit_as_written(wanted))
                         : fmt::format("write it with its unit, like {}", wanted.example)};
    auto turned = conversion(part->rest, wanted.unit);
    const auto* convert = good(turned);
    if (!convert) return fault(turned);
    double number = (*convert)(part->number);
    // An end of the range given in another unit may miss it by rounding alone.
    double slack = 1e-9 * std::max(std::abs(wanted.low), std::abs(wanted.high));
    if (!(number >= wanted.low - slack && number <= wanted.high + slack))
        return out_of_range(text, wanted.low, wanted.high, wanted.unit);
    return std::clamp(number, wanted.low, wanted.high);
}

Parsed<double> parse_number(std::string_view text, double low, double high) {
    auto example = decimal(low <= 1 && high >= 1 ? 1 : low);
    auto parts = split(text, example, false);
    const auto* part = good(parts);
    if (!part) return fault(parts);
    if (!part->rest.empty())
        return Fault{fmt::format("{} is not a plain number", quoted(trimmed(text))), fmt::format("write it without a unit, like {}", part->digits)};
    if (!(part->number >= low && part->number <= high)) return out_of_range(text, low, high, "");
    return part->number;
}

Parsed<long> parse_count(std::string_view text, long low, long high) {
    auto parsed = parse_number(text, double(low), double(high));
    const auto* number = good(parsed);
    if (!number) return fault(parsed);
    if (*number != std::floor(*number))
        return Fault{fmt::format("{} is not a whole number", quoted(trimmed(text))), fmt::format("write a whole number from {} to {}", low, high)};
    return long(*number);
}

std::string decimal(double number) {
    char text[400];
    auto end = std::to_chars(text, text + sizeof text, number, std::chars_format::scientific, 8).ptr;
    double rounded = 0;
    std::from_chars(text, end, rounded);
    if (rounded == 0) return "0";
    end = std::to_chars(text, text + sizeof text, rounded, std::chars_format::fixed).ptr;
    return std::string(text, end);
}

}  // namespace tubgrove
