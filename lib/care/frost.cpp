#include "care/frost.hpp"

#include "tree/phenology.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tubgrove {
namespace {

constexpr double silent = std::numeric_limits<double>::quiet_NaN();

constexpr std::array table{
    BudKill{"apple", "silver tip", "swelling", 15, 2},
    BudKill{"apple", "green tip", "green-tip", 18, 10},
    BudKill{"apple", "half-inch green", "first-leaf", 23, 15},
    BudKill{"apple", "tight cluster", "cluster", 27, 21},
    BudKill{"apple", "first pink", "colour", 28, 24},
    BudKill{"apple", "full pink", "", 28, 25},
    BudKill{"apple", "first bloom", "first-bloom", 28, 25},
    BudKill{"apple", "full bloom", "full-bloom", 28, 25},
    BudKill{"apple", "post bloom", "petal-fall", 28, 25},
    BudKill{"pear", "scales separating", "swelling", 15, 0},
    BudKill{"pear", "blossom buds exposed", "green-tip", 20, 6},
    BudKill{"pear", "tight cluster", "cluster", 24, 15},
    BudKill{"pear", "first white", "colour", 25, 19},
    BudKill{"pear", "full white", "", 26, 22},
    BudKill{"pear", "first bloom", "first-bloom", 27, 23},
    BudKill{"pear", "full bloom", "full-bloom", 28, 24},
    BudKill{"pear", "post bloom", "petal-fall", 28, 24},
    BudKill{"cherry", "first swelling", "swelling", 17, 5},
    BudKill{"cherry", "side green", "", 22, 9},
    BudKill{"cherry", "green tip", "green-tip", 25, 14},
    BudKill{"cherry", "tight cluster", "cluster", 26, 17},
    BudKill{"cherry", "open cluster", "", 27, 21},
    BudKill{"cherry", "first white", "colour", 27, 24},
    BudKill{"cherry", "first bloom", "first-bloom", 28, 25},
    BudKill{"cherry", "full bloom", "full-bloom", 28, 25},
    BudKill{"cherry", "post bloom", "petal-fall", 28, 25},
    BudKill{"sour_cherry", "swollen bud", "swelling", 15, 0},
    BudKill{"sour_cherry", "green tip", "green-tip", 26, 22},
    BudKill{"sour_cherry", "tight cluster", "cluster", 26, 24},
    BudKill{"sour_cherry", "first white", "colour", 28, 24},
    BudKill{"sour_cherry", "first bloom", "first-bloom", 28, 24},
    BudKill{"sour_cherry", "full bloom", "full-bloom", 28, 25},
    BudKill{"sour_cherry", "post bloom", "petal-fall", 28, 25},
    BudKill{"peach", "first swelling", "swelling", 18, 1},
    BudKill{"peach", "calyx green", "green-tip", 21, 5},
    BudKill{"peach", "calyx red", "cluster", 23, 9},
    BudKill{"peach", "first pink", "colour", 25, 15},
    BudKill{"peach", "first bloom", "first-bloom", 26, 21},
    BudKill{"peach", "full bloom", "full-bloom", 27, 24},
    BudKill{"peach", "post bloom", "petal-fall", 28, 25},
    BudKill{"apricot", "first swelling", "swelling", 15, silent},
    BudKill{"apricot", "tips separate", "green-tip", 20, 0},
    BudKill{"apricot", "calyx red", "cluster", 22, 9},
    BudKill{"apricot", "first white", "colour", 24, 14},
    BudKill{"apricot", "first bloom", "first-bloom", 25, 19},
    BudKill{"apricot", "full bloom", "full-bloom", 27, 22},
    BudKill{"apricot", "in the shuck", "petal-fall", 27, 24},
    BudKill{"apricot", "green fruit", "fruit-set", 28, 25},
    BudKill{"plum", "first swelling", "swelling", 14, 0},
    BudKill{"plum", "side white", "", 17, 3},
    BudKill{"plum", "tip green", "green-tip", 20, 7},
    BudKill{"plum", "tight cluster", "cluster", 24, 16},
    BudKill{"plum", "first white", "colour", 26, 22},
    BudKill{"plum", "first bloom", "first-bloom", 27, 23},
    BudKill{"plum", "full bloom", "full-bloom", 28, 23},
    BudKill{"plum", "post bloom", "petal-fall", 28, 23},
};

std::string_view like(std::string_view species) {
    if (species == "quince") return "pear";
    return species == "medlar" ? "apple" : species;
}

std::size_t place(std::string_view stage) { return std::size_t(std::ranges::find(stage_names, stage) - stage_names.begin()); }

}  // namespace

std::span<const BudKill> bud_kills() { return table; }

const BudKill* bud_kill(std::string_view species, std::string_view stage) {
    auto found = std::ranges::find_if(table, [&](const BudKill& row) { return row.species == like(species) && row.stage == stage; });
    return found == table.end() ? nullptr : &*found;
}

const BudKill* bud_kill_at(std::string_view species, std::string_view passed_stage) {
    const BudKill* newest = nullptr;
    for (const auto& row : table)
        if (row.species == like(species) && !row.from.empty() && place(row.from) <= place(passed_stage)) newest = &row;
    return newest;
}

double killed_pct(const BudKill& row, double bud_degC) {
    const double t10 = row.kill10_degC(), t90 = row.kill90_degC();
    if (bud_degC > t10) return 0;
    if (std::isnan(t90)) return 10;
    return std::min(90.0, 10 + 80 * (t10 - bud_degC) / (t10 - t90));
}

double frost_margin_K(bool clear_and_calm, double daily_range_K) {
    if (daily_range_K > 15) return 3;
    return clear_and_calm ? 2 : 1;
}

double cover_gain_K(double wind_m_s) { return wind_m_s > 4 ? 0 : 2; }

}  // namespace tubgrove
