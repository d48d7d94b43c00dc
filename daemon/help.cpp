#include "help.hpp"

#include "daybook.hpp"
#include "intake/facts.hpp"
#include "command_line.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

// A name with its explanation: beside it where the page is wide, below it on a narrow one.
void entry(Drawing& drawing, std::string_view name, std::string_view says) {
    constexpr int column = 26;
    if (drawing.page().width < 60 || columns(name) > column - 4) {
        drawing.paragraph({2, 4}, {{std::string(name), Style::strong}});
        drawing.paragraph({6, 6}, says);
        return;
    }
    drawing.paragraph({2, column}, {{kept(pad_right(name, column - 3)), Style::strong}, {" "}, {std::string(says)}});
}

void options(Drawing& drawing, std::span<const Option> list) {
    for (const Option& option : list) {
        std::string name(option.name);
        if (!option.value.empty()) name += " " + std::string(option.value);
        entry(drawing, name, option.says);
    }
}

void family(Drawing& drawing, std::span<const Command> list) {
    for (const Command& command : list) {
        std::string name(command.words);
        if (!command.arguments.empty() && command.arguments.size() < 16) name += " " + std::string(command.arguments);
        entry(drawing, name, command.says);
    }
}

void exit_statuses(Drawing& drawing) {
    drawing.heading("Exit status");
    std::string all;
    for (const auto& [status, says] : exit_words()) all += (all.empty() ? "" : "; ") + std::to_string(int(status)) + " " + std::string(says);
    drawing.paragraph({2, 2}, all + ".");
}

void actions_of_did(Drawing& drawing) {
    drawing.blank();
    drawing.heading("Actions");
    for (const Action& action : actions()) entry(drawing, action.example, action.says);
}

void facts_of_pots(Drawing& drawing) {
    drawing.blank();
    drawing.heading("Facts");
    for (const FactRow& row : fact_rows()) {
        if (row.kind == FactKind::group) continue;
        entry(drawing, fact_as_typed(row), row.help);
    }
}

constexpr ExitWords statuses[] = {
    {ExitStatus::done, "done"},
    {ExitStatus::not_in_order, "the answer is that something is not in order"},
    {ExitStatus::wrong_words, "wrong words or wrong input, nothing written"},
    {ExitStatus::machine_fault, "a fault of the machine"},
};

}  // namespace

std::span<const ExitWords> exit_words() { return statuses; }

std::string fact_as_typed(const FactRow& row) {
    std::string key(row.key), value(row.example);
    if (const auto star = key.find('*'); star != std::string::npos) key.replace(star, 1, "a");
    if (const auto star = key.find('*'); star != std::string::npos) key.replace(star, 1, "full-bloom");
    const auto blank = value.find(' ');
    if (blank == std::string::npos) return key + "=" + value;
    const bool number_and_unit =
        value[0] >= '0' && value[0] <= '9' && value.find(' ', blank + 1) == std::string::npos;
    if (number_and_unit) return key + "=" + value.erase(blank, 1);
    return key + "='" + value + "'";
}

std::string draw_overview(Page page) {
    Drawing drawing(page);
    drawing.paragraph({0, 2}, "Tubgrove: water and care for grafted dwarf trees in pots.");
    drawing.blank();
    drawing.paragraph({0, 6},
                      "usage: tubgrove [OPTION…] [COMMAND]; without a command, today's list. New here? Begin with "
                      "`tubgrove setup`, or look around in `tubgrove demo`.");
    std::string_view group;
    for (const Command& command : commands()) {
        if (command.group.empty()) continue;
        if (command.group != group) {
            group = command.group;
            drawing.blank();
            drawing.heading(group);
        }
        family(drawing, {&command, 1});
    }
    drawing.blank();
    drawing.heading("Options for every command");
    options(drawing, global_options());
    drawing.blank();
    exit_statuses(drawing);
    drawing.blank();
    drawing.heading("Files");
    drawing.paragraph({2, 4},
                      "~/.config/tubgrove/tubgrove.yaml, else /etc/tubgrove/tubgrove.yaml: the configuration.");
    drawing.paragraph({2, 4},
                      "~/.local/share/tubgrove, else /var/lib/tubgrove: daybook, readings and issued rounds.");
    drawing.blank();
    drawing.paragraph({0, 2}, "`tubgrove help COMMAND` tells more about one command, with examples.");
    return drawing.text();
}

std::string draw_help(const Command& command, Page page) {
    Drawing drawing(page);
    drawing.paragraph({0, 2}, "tubgrove " + std::string(command.words) + ": " + std::string(command.says) + ".");
    drawing.blank();
    drawing.paragraph({0, 6}, usage_of(command));
    if (!command.more.empty()) {
        drawing.blank();
        drawing.paragraph({0, 0}, command.more);
    }
    if (!command.options.empty()) {
        drawing.blank();
        drawing.heading("Options");
        options(drawing, command.options);
    }
    if (command.does == Does::did) actions_of_did(drawing);
    if (command.does == Does::pot_add || command.does == Does::pot_change) facts_of_pots(drawing);
    drawing.blank();
    drawing.heading(command.examples.size() == 1 ? "Example" : "Examples");
    for (const auto example : command.examples)
        drawing.paragraph({2, 6}, "tubgrove" + (example.empty() ? "" : " " + std::string(example)));
    return drawing.text();
}

std::string draw_family(std::string_view first_word, Page page) {
    Drawing drawing(page);
    drawing.heading("tubgrove " + std::string(first_word));
    for (const Command& command : commands())
        if (command.words.starts_with(std::string(first_word) + " ")) family(drawing, {&command, 1});
    return drawing.text();
}

}  // namespace tubgrove
