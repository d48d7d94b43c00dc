#pragma once
// Winter's cold and spring's warmth as sums of hours, and two more ways to make degree days of a day's extremes.
#include "tree/degree_days.hpp"

#include <span>
#include <string_view>

namespace tubgrove {

// Chill units of one hour: 0 to 1.4 degC none, to 2.4 half, to 9.1 one, to 12.4 half, to 15.9 none, to 18.0 minus half,
// above minus one. The edges of the other edition are whole degrees Fahrenheit and lie up to 0.4 K apart.
// Source: [UTAH]; the 2.5 degC edge from memory
enum class ChillEdition : unsigned char { celsius, fahrenheit };
double chill_units(double air_degC, ChillEdition = ChillEdition::celsius);
// Whether an hour counts in the older way: 0 to 7.2 degC. Own assumption
bool is_chill_hour(double air_degC);

// Chill portions by the dynamic model, hour after hour. Source: [DYNAMIC]; the recurrence from memory
class ChillPortions {
public:
    void hour(double air_degC);
    double portions() const { return portions_; }

private:
    double precursor_ = 0, tipped_ = 0;
    double portions_ = 0;
    bool first_ = true;
};
// What a species' kinds asked for, portions. Apple is one kind only. Source: [PORTIONS]
struct ChillNeed {
    std::string_view species;
    double from, to;
};
std::span<const ChillNeed> chill_needs();

// Growing degree hours of one hour, 0..21. Base 4, best 25, none from 36 degC. Source: [GDH], [GDHUC]
double growing_degree_hours(double air_degC);

// Two more methods for a day; a sum holds only with the method it was fitted with.
double degree_days_raised_minimum(DayRange, double base_degC);                       // Source: [MOTH]
double degree_days_triangle(DayRange, double base_degC, double upper_degC);          // Source: [BE69]; formula from memory
double degree_days_average_cut(DayRange, double base_degC, double upper_degC);       // highest cut off at the upper threshold

}  // namespace tubgrove
