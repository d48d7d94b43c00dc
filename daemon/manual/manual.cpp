#include "manual/manual.hpp"

#include "commands.hpp"
#include "daybook.hpp"
#include "help.hpp"
#include "intake/yaml_tree.hpp"

#include <algorithm>
#include <sstream>
#include <stdexcept>
#include <vector>

namespace tubgrove {
namespace {

using Lines = std::vector<std::string>;

Lines lines_of(std::string_view text) {
    Lines lines;
    std::istringstream in{std::string(text)};
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

Lines words_of(const std::string& line) {
    Lines words;
    std::istringstream in(line);
    for (std::string word; in >> word;) words.push_back(word);
    return words;
}

std::string trimmed_blanks(std::string_view text) {
    const auto first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(' ') - first + 1));
}

// One character that man would read otherwise than it stands.
std::string escaped(char c) {
    switch (c) {
        case '\\': return "\\e";
        case '-': return "\\-";
        case '\'': return "\\(aq";
        case '^': return "\\(ha";
        case '~': return "\\(ti";
        case '"': return "\\(dq";
        default: return {c};
    }
}

// "--day DAY" as a bold name with a value in italics.
std::string name_and_value(std::string_view name, std::string_view value) {
    std::string out = "\\fB" + page_words(name) + "\\fR";
    return value.empty() ? out : out + " \\fI" + page_words(value) + "\\fR";
}

std::string entry(const std::string& name, std::string_view says) { return ".TP\n" + name + "\n" + page_words(says) + "\n"; }

std::string options_of(std::span<const Option> options) {
    std::string out;
    for (const auto& option : options) out += entry(name_and_value(option.name, option.value), option.says);
    return out;
}

std::string command_entry(const Command& command) {
    std::string out = entry(name_and_value("tubgrove " + std::string(command.words), command.arguments), std::string(command.says) + ".");
    if (!command.more.empty()) out += page_words(command.more) + "\n";
    if (!command.options.empty()) out += ".RS\n" + options_of(command.options) + ".RE\n";
    return out;
}

std::string commands_section() {
    std::string out;
    std::string_view group;
    for (const auto& command : commands()) {
        if (command.group.empty()) continue;
        if (command.group != group) out += ".SS " + std::string(group = command.group) + "\n";
        out += command_entry(command);
    }
    return out;
}

std::string actions_section() {
    std::string out;
    for (const auto& action : actions()) out += entry(name_and_value(action.example, ""), std::string(action.says) + ".");
    return out;
}

std::string facts_section() {
    std::string out;
    for (const auto& row : fact_rows())
        if (row.kind != FactKind::group) out += entry(name_and_value(fact_as_typed(row), ""), std::string(row.help) + ".");
    return out;
}

std::string exit_section() {
    std::string out;
    for (const auto& [status, says] : exit_words()) out += entry("\\fB" + std::to_string(int(status)) + "\\fR", std::string(says) + ".");
    return out;
}

// The example of the configuration, and the keys that were told of already.
struct Example {
    Lines lines;
    YamlNode root;
    Lines told = {};
};

// What follows the last '#' with a blank before it, outside quotes; and what stands before it.
std::pair<std::string, std::string> value_and_comment(std::string_view line) {
    char quote = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (quote != 0) { if (line[i] == quote) quote = 0; }
        else if (line[i] == '"') quote = line[i];
        else if (line[i] == '#' && i > 0 && line[i - 1] == ' ') return {trimmed_blanks(line.substr(0, i)), trimmed_blanks(line.substr(i + 1))};
    }
    return {trimmed_blanks(line), ""};
}

// Keys whose line has a comment, in the file's order; of a key that stands in several items of a list, the first one with words.
void keys_below(Example& example, const YamlNode& node, const std::string& path, std::string& out) {
    for (std::size_t i = 0; i < node.items.size(); ++i) {
        const bool mapping = node.kind == YamlNode::Kind::mapping;
        const std::string key = mapping ? path + node.keys[i].text : path;
        if (mapping) {
            const auto& [line, column] = std::pair(node.keys[i].line, node.keys[i].column);
            const auto [value, comment] = value_and_comment(std::string_view(example.lines.at(std::size_t(line - 1))).substr(std::size_t(column - 1)));
            if (!comment.empty() && std::ranges::find(example.told, key) == example.told.end()) {
                example.told.push_back(key);
                out += entry(name_and_value(key + ":", trimmed_blanks(value.substr(value.find(':') + 1))), comment);
            }
        }
        keys_below(example, node.items[i], mapping ? key + "." : path, out);
    }
}

// The comment lines straight above a section.
std::string words_above(const Example& example, int line) {
    std::string out;
    for (int above = line - 2; above >= 0 && example.lines[std::size_t(above)].starts_with("# "); --above)
        out = page_words(example.lines[std::size_t(above)].substr(2)) + "\n" + out;
    return out;
}

// Sections of the configuration: those that are named, or all but those.
std::string keys_section(const Lines& names, bool named, std::string_view configuration) {
    Example example{lines_of(configuration), parse_yaml("tubgrove.yaml", configuration).value};
    std::string out;
    for (std::size_t i = 0; i < example.root.items.size(); ++i) {
        const auto& key = example.root.keys[i];
        if (!names.empty() && (std::ranges::find(names, key.text) != names.end()) != named) continue;
        YamlNode one;
        one.kind = YamlNode::Kind::mapping;
        one.keys = {key};
        one.items = {example.root.items[i]};
        out += ".SS " + page_words(key.text) + "\n" + words_above(example, key.line);
        keys_below(example, one, "", out);
    }
    return out;
}

std::string gap(const std::string& line, const ManualSources& sources) {
    auto words = words_of(line);
    const auto name = words.front();
    words.erase(words.begin());
    if (name == "@COMMANDS") return commands_section();
    if (name == "@OPTIONS") return options_of(global_options());
    if (name == "@ACTIONS") return actions_section();
    if (name == "@FACTS") return facts_section();
    if (name == "@EXIT") return exit_section();
    if (name == "@KEYS") return keys_section(words, true, sources.configuration);
    if (name == "@KEYS-BUT") return keys_section(words, false, sources.configuration);
    throw std::runtime_error("a manual page has a gap that nothing fills: " + line);
}

}  // namespace

std::string page_words(std::string_view text) {
    std::string out;
    bool bold = false;
    for (const char c : text) {
        if (c == '`') out += (bold = !bold) ? "\\fB" : "\\fR";
        else out += escaped(c);
    }
    return out.starts_with('.') ? "\\&" + out : out;
}

std::string fill_page(std::string_view prose, const ManualSources& sources) {
    constexpr std::string_view version = "@VERSION@";
    std::string out;
    for (auto line : lines_of(prose)) {
        if (const auto at = line.find(version); at != std::string::npos) line.replace(at, version.size(), sources.version);
        out += line.starts_with('@') ? gap(line, sources) : line + "\n";
    }
    return out;
}

}  // namespace tubgrove
