#pragma once
// Check rows of published works, and the reckoning that answers them: each row starts from its raw inputs, and every
// quantity in between comes from the climate room's own functions, asked for by name.
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace tubgrove::rows {

struct Row {
    std::string id, work, place, equation;
    std::map<std::string, std::string> given;
    std::string quantity, as_printed, recomputed, disagrees;
    std::map<std::string, std::string> also;
};
std::vector<Row> read(const std::string& file);  // of tests/data

// A number in print: its value, and half of its last digit.
struct Printed {
    double value, half_digit;
};
Printed printed(const std::string& text);

// Answers quantities of one row.
class Reckoning {
public:
    explicit Reckoning(const Row& row) : row_(row) {}
    bool has(const std::string& name) const { return row_.given.contains(name); }
    double operator()(const std::string& name);  // fails the test for an unknown name
    std::vector<double> list(const std::string& name) const;
    const Row& row() const { return row_; }
    bool by(const std::string& equation) const { return row_.equation.find(equation) != std::string::npos; }
    bool standardised() const { return row_.work == "ASCE2005" || row_.work == "REFET"; }

private:
    const Row& row_;
    std::map<std::string, double> known_;
};

std::string verdict(Reckoning&);  // of a quality row, as the row spells it

// Every row of a file: how many there are, each with an id of its own, and how many disagree with the print.
struct Counted {
    std::size_t rows;
    int disagreeing;
};
void check_all(const std::string& file, const Counted& expected);

// The assertions of one row; also that a row which disagrees misses what is printed.
void check(const Row&);

}  // namespace tubgrove::rows
