#pragma once
// Help, drawn from the table.
#include "commands.hpp"
#include "terminal.hpp"

#include <string>

namespace tubgrove {

std::string draw_overview(Page page);
std::string draw_help(const Command& command, Page page);
// The commands that begin with one word: "pot" gives pot list, pot show, …
std::string draw_family(std::string_view first_word, Page page);

}  // namespace tubgrove
