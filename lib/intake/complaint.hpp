#pragma once
// What is wrong with something that a person or a machine wrote, where, and what would be right.
// A reader gives its value and all complaints together; it never stops at the first.
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace tubgrove {

// Without a place: the reader that knows the place makes a Complaint of it.
struct Fault {
    std::string what;    // what is wrong, quoting what was read
    std::string right;   // what would be right
    friend bool operator==(const Fault&, const Fault&) = default;
};

// A value or why there is none.
template <class Value>
using Parsed = std::variant<Value, Fault>;

template <class Value>
const Value* good(const Parsed<Value>& parsed) { return std::get_if<Value>(&parsed); }
template <class Value>
const Fault& fault(const Parsed<Value>& parsed) { return std::get<Fault>(parsed); }

struct Complaint {
    std::string file;    // as the user named it; empty: the command line
    int line = 0;        // from 1; 0: the whole file
    int column = 0;      // from 1, in bytes; 0: the whole line
    std::string what;
    std::string right;
    friend bool operator==(const Complaint&, const Complaint&) = default;
};
using Complaints = std::vector<Complaint>;

// `file:line:column: what; what would be right`, leaving out what is not known.
std::string format(const Complaint& complaint);

// The value as far as it was understood, and all complaints; use the value only when there are none.
template <class Value>
struct Read {
    Value value{};
    Complaints complaints;
    bool ok() const { return complaints.empty(); }
};

// The candidate that a mistyped word most likely meant: at most a third of its letters wrong (swapped neighbours count
// once, upper and lower case alike), the first of equals; empty when none is near.
std::string nearest(std::string_view word, std::span<const std::string> candidates);
std::string nearest(std::string_view word, std::span<const std::string_view> candidates);

// What would be right: "did you mean lemon?", or `otherwise` where nothing is near (`near` is empty).
std::string did_you_mean(const std::string& near, std::string otherwise);

// A word of the input in single quotes for a message: control bytes as \xNN, cut after 60 bytes.
std::string quoted(std::string_view text);
// For strings of either kind too, since std::quoted, which is found through its argument, would go before a conversion.
inline std::string quoted(const std::string& text) { return quoted(std::string_view(text)); }
inline std::string quoted(std::string& text) { return quoted(std::string_view(text)); }

// "a, b or c"; cut after twelve with "…".
std::string one_of(std::span<const std::string> words);
std::string one_of(std::span<const std::string_view> words);

}  // namespace tubgrove
