#include "care/crop.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <numbers>

namespace tubgrove {
namespace {

constexpr double inch_cm = 2.54;
constexpr std::array thinning_table{
    Thinning{"apple", 6 * inch_cm, 8 * inch_cm, 1},   Thinning{"pear", 6 * inch_cm, 8 * inch_cm, 1},
    Thinning{"peach", 5 * inch_cm, 10 * inch_cm, 0},  Thinning{"apricot", 3 * inch_cm, 6 * inch_cm, 0},
    Thinning{"plum", 4 * inch_cm, 6 * inch_cm, 0},
};
constexpr std::array losses{WeedLoss{3.8, 28, 35, 18, 22}, WeedLoss{11.4, 55, 56, 51, 52}, WeedLoss{24.7, 41, 43, 51, 53},
                            WeedLoss{56.8, 12, 14, 40, 53}};

}  // namespace

Band fruit_skin_degC(double air_degC) { return {air_degC + 11, air_degC + 17}; }

SunInjury sun_injury(double skin_degC, double minutes) {
    if (skin_degC >= 52 && minutes >= 10) return SunInjury::necrosis;
    return skin_degC >= 46 && minutes >= 60 ? SunInjury::browning : SunInjury::none;
}

std::span<const Thinning> thinnings() { return thinning_table; }
const Thinning* thinning_of(std::string_view species) {
    auto found = std::ranges::find(thinning_table, species, &Thinning::species);
    return found == thinning_table.end() ? nullptr : &*found;
}

double trunk_cm2(double diameter_mm) { return std::numbers::pi / 4 * diameter_mm * diameter_mm / 100; }

Band ripe_from_bloom_d(double usual_d) { return {usual_d - 14, usual_d + 14}; }

double ripening_rate(double degC) {
    // Twice at 40 degF, three times that at 60 degF.
    constexpr double forty = 40 / 9.0, sixty = 140 / 9.0;
    if (degC <= 8 / 1.8) return std::exp2(degC / (8 / 1.8));
    return 2 * std::pow(3, (degC - forty) / (sixty - forty));
}

bool partners(const PollenTree& a, const PollenTree& b) {
    if (!a.kind.empty() && !b.kind.empty() && a.kind != b.kind) return false;
    if (a.ploidy != 2 || b.ploidy != 2) return false;
    return a.group == 0 || b.group == 0 || std::abs(a.group - b.group) <= 1;
}

bool all_served(std::span<const PollenTree> trees) {
    return std::ranges::all_of(trees, [&](const PollenTree& tree) {
        return std::ranges::any_of(trees, [&](const PollenTree& other) {
            PollenTree receiver = tree;
            receiver.ploidy = 2;   // what it needs is a giver
            return &other != &tree && partners(receiver, other);
        });
    });
}

std::span<const WeedLoss> weed_losses() { return losses; }

bool stock_rules_size(std::string_view species) { return species != "peach" && species != "plum" && species != "apricot"; }

}  // namespace tubgrove
