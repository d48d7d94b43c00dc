// Numbers with units: good and bad spellings, whole messages, and our own table of units against UDUNITS-2.
#include "catch.h"
#include "intake/quantity.hpp"

#include <cmath>
#include <limits>
#include <string>
#include <thread>
#include <vector>

#include <udunits2.h>

using namespace tubgrove;

namespace {

struct Good {
    const char* text;
    const char* unit;
    double value;
};
struct Bad {
    const char* text;
    const char* unit;
    const char* message;
};

std::string message(const Fault& f) { return f.what + "; " + f.right; }
Wanted wanted(std::string_view unit, bool comma = false) {
    return {unit, -1000, 100000, unit == "L" ? "2.5 L" : unit == "degC" ? "31 degC" : "45 cm", comma};
}

}  // namespace

TEST_CASE("quantities that people write") {
    for (const auto& row : std::vector<Good>{
             {"45 cm", "cm", 45}, {"18 in", "cm", 45.72}, {"10 L", "L", 10}, {"2.5L", "L", 2.5}, {"31degC", "degC", 31},
             {"3mm", "mm", 3}, {"0.3 in", "mm", 7.62}, {"15 US_liquid_gallon", "L", 56.78117676}, {"2 imperial_gallon", "L", 9.09218},
             {"88 degF", "degC", 280.0 / 9}, {"-4 degC", "degC", -4}, {"+5 °C", "degC", 5}, {" 60 % ", "%", 60}, {".5 m", "cm", 50},
             {"1e1 L", "L", 10}, {"2 dm3", "L", 2}, {"10 km h-1", "m s-1", 10 / 3.6}, {"90 min", "h", 1.5}, {"2 d", "d", 2},
             {"3 kg m-2", "mm", 3}, {"20 MJ m-2 day-1", "W m-2", 20e6 / 86400}, {"1013 hPa", "kPa", 101.3}, {"8.4 kg", "kg", 8.4},
             {"5 knot", "m s-1", 5 * 1852 / 3600.0}}) {
        CAPTURE(row.text);
        auto parsed = parse_quantity(row.text, wanted(row.unit));
        REQUIRE(good(parsed));
        CHECK(*good(parsed) == Approx(row.value).epsilon(1e-9).margin(1e-9));
    }
}

TEST_CASE("quantities that are refused, with what would be right") {
    for (const auto& row : std::vector<Bad>{
             {"", "cm", "there is nothing where a number is wanted; write it like 45 cm"},
             {"cm", "cm", "'cm' does not begin with a number; write it like 45 cm"},
             {"- 3 cm", "cm", "'- 3 cm' does not begin with a number; write it like 45 cm"},
             {"45", "cm", "'45' has no unit; write it with its unit, like 45 cm"},
             {"1e6", "cm", "'1e6' has no unit; write it with its unit, like 45 cm"},
             {"nan cm", "cm", "'nan cm' is not a finite number; write it like 45 cm"},
             {".NaN", "cm", "'.NaN' is not a finite number; write it like 45 cm"},
             {"-.inf", "cm", "'-.inf' is not a finite number; write it like 45 cm"},
             {"Infinity cm", "cm", "'Infinity cm' is not a finite number; write it like 45 cm"},
             {"1e999 cm", "cm", "'1e999 cm' is too large or too small a number; write it like 45 cm"},
             {"45,5 cm", "cm", "'45,5 cm' has a decimal comma; write 45.5 cm"},
             {"2,5L", "L", "'2,5L' has a decimal comma; write 2.5 L"},
             {"1,000 L", "L", "'1,000 L' may be read with a decimal comma or with a thousands comma; write 1.000 L or 1000 L"},
             {"15 gal", "L", "the unit 'gal' may be a US or an imperial measure; write US_liquid_gallon (3.785 L) or imperial_gallon (4.546 L)"},
             {"15gallons", "L", "the unit 'gallons' may be a US or an imperial measure; write US_liquid_gallon (3.785 L) or imperial_gallon (4.546 L)"},
             {"1 pint", "L", "the unit 'pint' may be a US or an imperial measure; write it in L, mL, US_liquid_gallon or imperial_gallon"},
             {"3 oz", "L", "the unit 'oz' may be a weight or a volume; write g, kg or mL"},
             {"31 C", "degC", "the unit 'C' is the coulomb, not a temperature; write degC"},
             {"88 F", "degC", "the unit 'F' is the farad, not a temperature; write degF"},
             {"40 L", "cm", "'L' can not be turned into cm; write it in cm"},
             {"40 cm", "L", "'cm' can not be turned into L; write it in L"},
             {"40 parsnips", "L", "'parsnips' is not a unit; write a UDUNITS name such as cm, L, kg, degC or m s-1"},
             {"40 litrs", "L", "'litrs' is not a unit; did you mean litre?"},
             {"5 2 L", "L", "'2 L' is not a unit; write a UDUNITS name such as cm, L, kg, degC or m s-1"},
             {"5 L 3", "L", "'L 3' is not a unit; write a UDUNITS name such as cm, L, kg, degC or m s-1"},
             {"5 K @ 273.15", "degC", "'K @ 273.15' is not a unit; write a UDUNITS name such as cm, L, kg, degC or m s-1"},
             {"5 lg(re 1 mW)", "L", "'lg(re 1 mW)' is not a unit; write a UDUNITS name such as cm, L, kg, degC or m s-1"},
             {"2000000 cm", "cm", "'2000000 cm' is out of range; -1000 cm to 100000 cm is allowed"},
             {"-2 km", "cm", "'-2 km' is out of range; -1000 cm to 100000 cm is allowed"}}) {
        CAPTURE(row.text);
        auto parsed = parse_quantity(row.text, wanted(row.unit));
        REQUIRE_FALSE(good(parsed));
        CHECK(message(fault(parsed)) == row.message);
    }
}

TEST_CASE("a decimal comma is taken only where it is allowed") {
    CHECK(*good(parse_quantity("2,5L", wanted("L", true))) == 2.5);
    CHECK(*good(parse_quantity("0,25 L", wanted("L", true))) == 0.25);
    CHECK(message(fault(parse_quantity("1,000L", wanted("L", true)))) ==
          "'1,000L' may be read with a decimal comma or with a thousands comma; write 1.000 L or 1000 L");
    CHECK_FALSE(good(parse_quantity("1.5,5L", wanted("L", true))));
}

TEST_CASE("a range's end given in another unit is inside") {
    CHECK(good(parse_quantity("12 in", {"cm", 1, 30.48, "20 cm"})));
    CHECK(good(parse_quantity("31 cm", {"cm", 1, 30.48, "20 cm"})) == nullptr);
}

TEST_CASE("plain numbers and counts") {
    CHECK(*good(parse_number("-41.2", -90, 90)) == -41.2);
    CHECK(message(fault(parse_number("41.2 deg", -90, 90))) == "'41.2 deg' is not a plain number; write it without a unit, like 41.2");
    CHECK(message(fault(parse_number("91", -90, 90))) == "'91' is out of range; -90 to 90 is allowed");
    CHECK(message(fault(parse_number(".nan", -90, 90))) == "'.nan' is not a finite number; write it like 1");
    CHECK(*good(parse_count("3", 1, 4)) == 3);
    CHECK(message(fault(parse_count("2.5", 1, 4))) == "'2.5' is not a whole number; write a whole number from 1 to 4");
}

TEST_CASE("decimals for people") {
    CHECK(decimal(45.72) == "45.72");
    CHECK(decimal(18 * 2.54) == "45.72");
    CHECK(decimal(-0.0) == "0");
    CHECK(decimal(1e6) == "1000000");
    CHECK(decimal(1.0 / 3) == "0.333333333");
    CHECK(decimal(-3) == "-3");
}

TEST_CASE("our table of units agrees with UDUNITS-2") {
    ut_set_error_message_handler(ut_ignore);
    auto* system = ut_read_xml(nullptr);
    REQUIRE(system);
    const std::vector<std::pair<std::string, std::string>> pairs{
        {"mm", "cm"}, {"m", "cm"}, {"km", "m"}, {"in", "cm"}, {"inch", "cm"}, {"inches", "cm"}, {"ft", "m"}, {"foot", "m"}, {"feet", "m"},
        {"l", "L"}, {"litre", "L"}, {"litres", "L"}, {"liter", "L"}, {"liters", "L"}, {"mL", "L"}, {"ml", "L"}, {"US_liquid_gallon", "L"},
        {"Canadian_liquid_gallon", "L"}, {"g", "kg"}, {"lb", "kg"}, {"°C", "degC"}, {"celsius", "degC"}, {"degF", "degC"}, {"°F", "degC"},
        {"K", "degC"}, {"hPa", "kPa"}, {"mbar", "kPa"}, {"Pa", "kPa"}, {"percent", "%"}, {"1", "%"}, {"s", "h"}, {"min", "h"},
        {"minutes", "h"}, {"hour", "h"}, {"hours", "h"}, {"d", "h"}, {"day", "h"}, {"days", "h"}, {"m/s", "m s-1"}, {"km h-1", "m s-1"},
        {"km/h", "m s-1"}, {"W/m2", "W m-2"}};
    for (const auto& [from, to] : pairs) {
        CAPTURE(from, to);
        auto *source = ut_parse(system, from.c_str(), UT_UTF8), *target = ut_parse(system, to.c_str(), UT_UTF8);
        REQUIRE(source);
        REQUIRE(target);
        auto* converter = ut_get_converter(source, target);
        REQUIRE(converter);
        auto ours = conversion(from, to);
        REQUIRE(good(ours));
        for (double x : {-7.0, 0.0, 1.0, 41.5})
            // UDUNITS prints the US gallon to seven digits only.
            CHECK((*good(ours))(x) == Approx(cv_convert_double(converter, x)).epsilon(1e-7).margin(1e-9));
        cv_free(converter);
        ut_free(source);
        ut_free(target);
    }
    ut_free_system(system);
}

TEST_CASE("units that only UDUNITS knows are read on several threads at once") {
    // None of these stands in our own table; the library's parser keeps what it reads in variables that all threads share.
    struct Row {
        const char *from, *to;
        double one;   // of `from` in `to`; UDUNITS-2's own accepted units, and a bad spelling among them
    };
    constexpr Row rows[] = {{"mile h-1", "m s-1", 0.44704}, {"knot", "m s-1", 1852.0 / 3600}, {"yard", "m", 0.9144}, {"kW h m-2", "J m-2", 3.6e6},
                            {"parsnip", "m", 0}, {"dm3", "L", 1}, {"atm", "kPa", 101.325}, {"m-0-0parsnip²-0", "m", 0}};
    std::vector<int> wrong(4);
    {
        std::vector<std::thread> threads;
        for (std::size_t t = 0; t < wrong.size(); ++t)
            threads.emplace_back([&, t] {
                for (std::size_t i = 0; i < 4'000; ++i) {
                    const auto& row = rows[(i + t) % std::size(rows)];
                    const auto turned = conversion(row.from, row.to);
                    const auto* found = good(turned);
                    const bool right = found ? row.one > 0 && std::abs(found->scale / row.one - 1) < 1e-9 : row.one == 0;
                    wrong[t] += right ? 0 : 1;
                }
            });
        for (auto& thread : threads) thread.join();
    }
    CHECK(wrong == std::vector<int>(4));
}

TEST_CASE("products and powers of units, as files write them") {
    const struct {
        const char *from, *to;
        double one;
    } rows[] = {{"m s⁻¹", "m s-1", 1}, {"m·s⁻¹", "m s-1", 1}, {"km per hour", "m s-1", 1 / 3.6}, {"dm³", "L", 1}, {"dm^3", "L", 1},
                {"kW.h.m-2", "J m-2", 3.6e6}, {"kW*h/m2", "J m-2", 3.6e6}, {"W / m^2", "W m-2", 1}, {"N-m-m-3", "Pa", 1}, {"µm", "m", 1e-6},
                {"cmH2O", "Pa", 98.0665}, {"kg/m²", "mm", 1}};   // by hand; a centimetre of water is 98.0665 Pa by convention
    for (const auto& row : rows) {
        CAPTURE(row.from);
        const auto turned = conversion(row.from, row.to);
        REQUIRE(good(turned));
        CHECK(good(turned)->scale == Approx(row.one).epsilon(1e-4));
    }
}

TEST_CASE("conversions that are refused") {
    for (const char* text : {"m /", "/ m", "m //s", "m^", "m- 2", "m -2", "m2s", "2m", "%m", "m parsnip", "m s since", "m^1000", "\xffm", "m \xff", "é"}) {
        CAPTURE(text);
        CHECK_FALSE(good(conversion(text, "m")));
    }
    CHECK(message(fault(conversion("mph", "m s-1"))) == "the unit 'mph' is not a known one; write mile h-1");
    CHECK(message(fault(conversion("kt", "m s-1"))) == "the unit 'kt' is the kilotonne, not a speed; write knot");
    CHECK(message(fault(conversion("mm h-1", "mm"))) == "'mm h-1' can not be turned into mm; write it in mm");
    CHECK_FALSE(good(conversion("", "mm")));
    CHECK_FALSE(good(conversion(std::string(5000, 'm'), "mm")));
    CHECK_FALSE(good(conversion("m^99999999", "mm")));
}

TEST_CASE("words in messages are made safe to print") {
    CHECK(quoted(std::string("a\x01" "b\x7F")) == "'a\\x01b\\x7F'");
    CHECK(quoted(std::string(100, 'x')) == "'" + std::string(60, 'x') + "…'");
    CHECK(format(Complaint{"f.yaml", 3, 5, "what", "right"}) == "f.yaml:3:5: what; right");
    CHECK(format(Complaint{"f.yaml", 3, 0, "what", "right"}) == "f.yaml:3: what; right");
    CHECK(format(Complaint{"f.yaml", 0, 0, "what", ""}) == "f.yaml: what");
    CHECK(format(Complaint{"", 0, 2, "what", "right"}) == "what; right");
}

TEST_CASE("the nearest word") {
    const std::vector<std::string> words{"latitude", "longitude", "elevation"};
    CHECK(nearest("latitud", words) == "latitude");
    CHECK(nearest("lattitude", words) == "latitude");
    CHECK(nearest("elevatoin", words) == "elevation");
    CHECK(nearest("LATITUDE", words) == "latitude");
    CHECK(nearest("altitude", words) == "latitude");
    CHECK(nearest("colour", words).empty());
    CHECK(nearest("x", words).empty());
    CHECK(nearest("", words).empty());
}
