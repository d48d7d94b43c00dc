// Water vapour against the package [PSYCHROLIB], run by Node. Its saturation pressure is the fit of ASHRAE over water
// and over ice; ours is the older Magnus form over water that FAO-56 prescribes, so that they agree to its known
// error.
#include "catch.h"
#include "climate/vapour.hpp"

#include <cmath>
#include <cstdio>
#include <memory>
#include <sstream>
#include <string>
#include <vector>

using namespace tubgrove;

namespace {

// Numbers that a JavaScript expression over `p` (the package, SI units) prints, one a line.
std::vector<double> ask(const std::string& body) {
    const std::string script =
        "const p=require(process.argv[1]);p.SetUnitSystem(p.SI);const say=x=>console.log(x);" + body;
    const std::string command = std::string("'" NODE_PROGRAM "' -e '") + script + "' '" PSYCHROLIB_FOLDER "'";
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe(popen(command.c_str(), "r"), pclose);
    REQUIRE(pipe);
    std::vector<double> numbers;
    for (double number; std::fscanf(pipe.get(), "%lf", &number) == 1;) numbers.push_back(number);
    return numbers;
}

}  // namespace

TEST_CASE("saturation over water, 0 to 50 degC: within 0.2 %") {
    const auto theirs = ask("for(let t=0;t<=50;t++)say(p.GetSatVapPres(t)/1000)");
    REQUIRE(theirs.size() == 51);
    for (int t = 1; t <= 50; ++t) {
        INFO(t << " degC");
        CHECK_THAT(kPa(saturation_vapour_pressure(Celsius(t))), WithinRel(theirs[t], 0.002));
    }
}

TEST_CASE("below freezing theirs is over ice, ours over water and therefore higher") {
    const auto theirs = ask("for(let t=-20;t<0;t++)say(p.GetSatVapPres(t)/1000)");
    REQUIRE(theirs.size() == 20);
    for (int i = 0; i < 20; ++i) {
        const double t = i - 20, ratio = kPa(saturation_vapour_pressure(Celsius(t))) / theirs[i];
        INFO(t << " degC");
        // Water over ice: exp(0.0097 per kelvin of undercooling), to 2 %.
        CHECK_THAT(ratio, WithinRel(std::exp(-0.0097 * t), 0.02));
    }
}

TEST_CASE("dew point from humidity: within 0.1 K") {
    const auto theirs =
        ask("for(let t=5;t<=40;t+=5)for(let rh=30;rh<=100;rh+=10)say(p.GetTDewPointFromRelHum(t,rh/100))");
    REQUIRE(theirs.size() == 64);
    std::size_t i = 0;
    for (int t = 5; t <= 40; t += 5)
        for (int rh = 30; rh <= 100; rh += 10, ++i) {
            if (theirs[i] < 0.5) continue;  // theirs turns to ice there
            INFO(t << " degC " << rh << " %");
            CHECK_THAT(degC(*dew_point(vapour_pressure_from_rh(Celsius(t), rh))), WithinAbs(theirs[i], 0.1));
        }
}

TEST_CASE("vapour from an aspirated wet bulb: within 0.05 kPa") {
    // Theirs is the thermodynamic wet bulb, at which the psychrometer coefficient would be 0.000646 (1 + ...) instead
    // of 0.000662: 2.5 % of a P depression, 0.03 kPa at 20 K.
    const auto theirs =
        ask("for(let t=15;t<=40;t+=5)for(let "
            "d=0;d<=12;d+=3)say(p.GetVapPresFromHumRatio(p.GetHumRatioFromTWetBulb(t,t-d,95000),95000)/1000)");
    REQUIRE(theirs.size() == 30);
    std::size_t i = 0;
    for (int t = 15; t <= 40; t += 5)
        for (int d = 0; d <= 12; d += 3, ++i) {
            INFO(t << " degC, wet bulb " << d << " K lower");
            const Kilopascals ea =
                vapour_pressure_from_wet_bulb(Celsius(t - d), Celsius(t), Kilopascals(95), Psychrometer::aspirated);
            CHECK_THAT(kPa(ea), WithinAbs(theirs[i], 0.05));
        }
}

TEST_CASE("pressure by height: the 20 degC atmosphere of FAO-56 is a little denser than the standard one aloft") {
    const auto theirs = ask("for(let z=0;z<=3000;z+=250)say(p.GetStandardAtmPressure(z)/1000)");
    REQUIRE(theirs.size() == 13);
    for (int i = 0; i < 13; ++i) {
        const double ratio = kPa(air_pressure(Metres(250.0 * i))) / theirs[i];
        INFO(250 * i << " m");
        CHECK(ratio > 0.9995);
        // g M/(R T) of 288 and 293 K differ by 0.2 % a kilometre.
        CHECK(ratio < 1.0005 + 0.0025 * i * 0.25 + 0.0001);
    }
}

TEST_CASE("vapour from specific humidity is their humidity ratio's") {
    const auto theirs =
        ask("for(let e=0.5;e<=4;e+=0.5)say(p.GetSpecificHumFromHumRatio(p.GetHumRatioFromVapPres(e*1000,95000)))");
    REQUIRE(theirs.size() == 8);
    for (int i = 0; i < 8; ++i)
        CHECK_THAT(kPa(vapour_pressure_from_specific_humidity(theirs[i], Kilopascals(95))),
                   WithinRel(0.5 * (i + 1), 0.0005));
}
