#pragma once
// Help, drawn from the table.
#include "commands.hpp"
#include "exit_status.hpp"
#include "intake/facts.hpp"
#include "terminal.hpp"

#include <string>

namespace tubgrove {

std::string draw_overview(Page page);
std::string draw_help(const Command& command, Page page);
// The commands that begin with one word: "pot" gives pot list, pot show, …
std::string draw_family(std::string_view first_word, Page page);

// What the program tells the shell, in words.
struct ExitWords {
    ExitStatus status;
    std::string_view says;
};
std::span<const ExitWords> exit_words();

// A fact with its example as a shell wants it: container.size=40L, tree.a.crown.across='90 cm by 80 cm'.
std::string fact_as_typed(const FactRow& row);

}  // namespace tubgrove
