#pragma once
// The manual pages: prose with gaps (daemon/manual/*.in), filled from the tables that the program itself reads, so that a page
// can know no word that the program does not.
#include <span>
#include <string>
#include <string_view>

namespace tubgrove {

// What a page is filled with beside the tables of commands, options, actions and facts.
struct ManualSources {
    std::string_view version;
    std::string_view configuration;  // the example with every key and its comments, config/tubgrove.yaml
};

// The page as man reads it. A line of the prose that begins with '@' is a gap: @COMMANDS, @OPTIONS, @ACTIONS, @FACTS, @EXIT,
// @KEYS with or without names of sections (all of them, or these), @KEYS-BUT with names of sections; @VERSION@ may stand
// anywhere. Throws std::runtime_error naming a gap that it does not know.
std::string fill_page(std::string_view prose, const ManualSources& sources);

// Words for a page: what man would take for orders of its own is escaped, and `words` in backquotes become bold.
std::string page_words(std::string_view text);

}  // namespace tubgrove
