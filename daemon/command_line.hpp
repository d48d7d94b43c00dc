#pragma once
// The words of a command line, by the table in commands.hpp. Plain parsing of our own: the grammar `did POT… ACTION
// [AMOUNT]` has its turning point in the middle of the positional words, amounts may begin with a minus sign, and the
// table already holds all that a parser library would be told a second time.
#include "commands.hpp"
#include "intake/complaint.hpp"

#include <map>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

struct Asked {
    const Command* command = nullptr;
    std::vector<std::string> arguments;
    std::map<std::string, std::string, std::less<>> options;  // by name with its dashes; a switch has an empty value
    bool has(std::string_view option) const { return options.contains(option); }
    std::string value(std::string_view option) const;  // empty when not given
};

// What was asked, or what is wrong with the words and what would be right. Without a command it is the current round.
Parsed<Asked> read_words(std::span<const std::string> words);

// A line as a shell would split it, as far as such lines need it: at blanks, but not between quotes of either kind.
std::vector<std::string> words_of_line(std::string_view line);

// "usage: tubgrove did POT… ACTION [AMOUNT] [--when T] …"
std::string usage_of(const Command& command);

}  // namespace tubgrove
