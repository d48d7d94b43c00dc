#pragma once
// The one table of commands and options. Parsing, help, shell completion and the manual's test all read it, so
// that none of them can know a word that the others do not.
#include <span>
#include <string_view>

namespace tubgrove {

// What a word of the command line names; completion offers accordingly.
enum class Kind : unsigned char {
    nothing,
    words,
    pot,
    fact,
    file,
    folder,
    day,
    time,
    walk,
    entry,
    job,
    mapping,
    number,
    shell,
    command,
    pots_then_action,  // of `did`: pots or `round`, then an action, then what it takes
};

struct Option {
    std::string_view name;   // with its dashes
    std::string_view value;  // how help writes its value; empty: a switch
    Kind kind;               // of the value
    std::string_view says;
};

enum class Does : unsigned char {
    setup,
    check,
    pot_list,
    pot_show,
    pot_add,
    pot_change,
    pot_retire,
    pot_take,
    weather_add,
    weather_note,
    weather_show,
    round,
    sheet,
    did,
    strike,
    daybook,
    daybook_take,
    why,
    water,
    ahead,
    absence,
    visit,
    compare,
    jobs,
    job_done,
    job_wait,
    job_drop,
    season,
    labels,
    words,
    clock_confirm,
    export_all,
    backup,
    restore,
    demo,
    serve,
    pair,
    pair_list,
    pair_end,
    completion,
    complete,
    version,
    help,
};

struct Command {
    Does does;
    std::string_view words;      // "pot add"
    std::string_view group;      // heading in the overview; empty: hidden
    std::string_view arguments;  // as help writes them
    int least, most;             // how many arguments; most -1: any number
    Kind first, rest;            // of the first argument, and of the others
    std::string_view says;       // one line
    std::string_view more;       // paragraphs for the command's own help
    std::span<const Option> options;
    std::span<const std::string_view> examples;  // what follows "tubgrove "
};

std::span<const Command> commands();
std::span<const Option> global_options();
const Command& command_of(Does does);
const Command* find_command(std::string_view words);

}  // namespace tubgrove
