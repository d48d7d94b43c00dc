#include "command_line.hpp"

#include "daybook.hpp"

#include <algorithm>
#include <utility>
#include <cctype>

namespace tubgrove {
namespace {

bool is_option(std::string_view word) {
    // "-" is standard input and "-3" an amount.
    return word.size() > 1 && word[0] == '-' && std::isdigit(static_cast<unsigned char>(word[1])) == 0 &&
           word[1] != '.';
}

std::string_view written_out(std::string_view name) {
    if (name == "-h" || name == "-?") return "--help";
    if (name == "-V") return "--version";
    return name;
}

const Option* find_in(std::span<const Option> options, std::string_view name) {
    const auto found = std::ranges::find(options, name, &Option::name);
    return found == options.end() ? nullptr : &*found;
}

// Two words such as "pot list" where they are a command, else one.
struct Named {
    const Command* command = nullptr;
    std::size_t used = 0;
};

Named command_in(std::span<const std::string> plain) {
    if (plain.size() >= 2)
        if (const Command* two = find_command(plain[0] + " " + plain[1])) return {two, 2};
    if (!plain.empty())
        if (const Command* one = find_command(plain[0])) return {one, 1};
    return {};
}

std::vector<std::string> second_words(std::string_view first) {
    std::vector<std::string> seconds;
    for (const Command& command : commands())
        if (command.words.starts_with(first) && command.words.size() > first.size() &&
            command.words[first.size()] == ' ')
            seconds.emplace_back(command.words.substr(first.size() + 1));
    return seconds;
}

Fault unknown_command(std::span<const std::string> plain) {
    const std::string& word = plain[0];
    if (const auto seconds = second_words(word); !seconds.empty()) {
        if (plain.size() == 1) return {tubgrove::quoted(word) + " needs another word", word + " " + one_of(seconds)};
        const std::string near = nearest(plain[1], seconds);
        return {"unknown command " + tubgrove::quoted(word + " " + plain[1]),
                near.empty() ? word + " " + one_of(seconds) : "perhaps tubgrove " + word + " " + near};
    }
    std::vector<std::string> firsts;
    for (const Command& command : commands())
        if (!command.group.empty()) firsts.emplace_back(command.words.substr(0, command.words.find(' ')));
    const std::string near = nearest(word, firsts);
    // `tubgrove 7 watered 2L` has only forgotten its first word, and `tubgrove dod 7 watered 2L` mistyped it.
    const auto is_action = [](const std::string& w) { return find_action(w) != nullptr; };
    if (std::ranges::any_of(plain.subspan(1), is_action)) {
        std::string line = "tubgrove did";
        for (const auto& w : plain.subspan(near == "did" ? 1 : 0)) line += " " + w;
        return {"unknown command " + tubgrove::quoted(word), "perhaps " + line};
    }
    return {"unknown command " + tubgrove::quoted(word),
            near.empty() ? "tubgrove help lists them" : "perhaps tubgrove " + near};
}

Fault unknown_option(std::string_view name, const Command& command) {
    std::vector<std::string> names;
    for (const auto options : {command.options, global_options()})
        for (const Option& option : options) names.emplace_back(option.name);
    if (const std::string near = nearest(name, names); !near.empty())
        return {"unknown option " + tubgrove::quoted(name), "perhaps " + near};
    for (const Command& other : commands())
        if (find_in(other.options, name) != nullptr)
            return {tubgrove::quoted(name) + " is no option of tubgrove " + std::string(command.words),
                    "it belongs to tubgrove " + std::string(other.words)};
    return {"unknown option " + tubgrove::quoted(name), usage_of(command)};
}

// The first plain words decide the command, and only then are the options known: whether an option takes the next
// word is looked up in all commands, where one name always takes the same.
const Option* find_anywhere(std::string_view name) {
    if (const Option* option = find_in(global_options(), name)) return option;
    for (const Command& command : commands())
        if (const Option* option = find_in(command.options, name)) return option;
    return nullptr;
}

struct Split {
    std::vector<std::string> plain;
    std::vector<std::pair<std::string, std::string>> options;
};

Parsed<Split> split(std::span<const std::string> words) {
    Split out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const std::string& word = words[i];
        if (word == "--") {
            out.plain.insert(out.plain.end(), words.begin() + long(i) + 1, words.end());
            break;
        }
        if (!is_option(word)) {
            out.plain.push_back(word);
            continue;
        }
        const auto equals = word.find('=');
        const std::string name(written_out(std::string_view(word).substr(0, equals)));
        const Option* option = find_anywhere(name);
        std::string value = equals == std::string::npos ? "" : word.substr(equals + 1);
        if (option != nullptr && option->value.empty() && equals != std::string::npos)
            return Fault{tubgrove::quoted(name) + " takes no value",
                         "leave out " + tubgrove::quoted(word.substr(equals))};
        if (option != nullptr && !option->value.empty() && equals == std::string::npos) {
            if (i + 1 == words.size())
                return Fault{tubgrove::quoted(name) + " needs a value", name + " " + std::string(option->value)};
            value = words[++i];
        }
        out.options.emplace_back(name, value);
    }
    return out;
}

std::optional<Fault> wrong_count(const Asked& asked) {
    const Command& command = *asked.command;
    const int count = int(asked.arguments.size());
    if (count < command.least) {
        const std::string what =
            "tubgrove " + std::string(command.words) + " needs " + std::string(command.arguments);
        return Fault{what, command.examples.empty()
                               ? usage_of(command)
                               : "for example tubgrove " + std::string(command.examples.front())};
    }
    if (command.most >= 0 && count > command.most)
        return Fault{"too many words from " + tubgrove::quoted(asked.arguments[std::size_t(command.most)]) + " on",
                     usage_of(command)};
    return std::nullopt;
}

}  // namespace

std::string Asked::value(std::string_view option) const {
    const auto found = options.find(option);
    return found == options.end() ? std::string() : found->second;
}

std::vector<std::string> words_of_line(std::string_view line) {
    std::vector<std::string> words;
    std::string word;
    char quote = 0;
    bool open = false;
    for (const char c : line) {
        if (c == quote || (quote == 0 && (c == '\'' || c == '"'))) {
            quote = quote == 0 ? c : char(0);
            open = true;
        } else if (c == ' ' && quote == 0) {
            if (open) words.push_back(std::exchange(word, {}));
            open = false;
        } else {
            word += c;
            open = true;
        }
    }
    if (open) words.push_back(word);
    return words;
}

std::string usage_of(const Command& command) {
    std::string line = "usage: tubgrove " + std::string(command.words);
    if (!command.arguments.empty()) line += " " + std::string(command.arguments);
    for (const Option& option : command.options) {
        line += " [" + std::string(option.name);
        if (!option.value.empty()) line += " " + std::string(option.value);
        line += "]";
    }
    return line;
}

Parsed<Asked> read_words(std::span<const std::string> words) {
    auto read = split(words);
    if (!good(read)) return fault(read);
    const Split& said = *good(read);
    Asked asked;
    const Named named = command_in(said.plain);
    if (named.command == nullptr && !said.plain.empty()) {
        const bool help = std::ranges::any_of(said.options, [](const auto& o) { return o.first == "--help"; });
        if (!help || second_words(said.plain[0]).empty()) return unknown_command(said.plain);
        asked.command = &command_of(Does::help);
        asked.arguments = said.plain;
        return asked;
    }
    asked.command = named.command != nullptr ? named.command : &command_of(Does::round);
    asked.arguments.assign(said.plain.begin() + long(named.used), said.plain.end());
    for (const auto& [name, value] : said.options) {
        if (find_in(global_options(), name) == nullptr && find_in(asked.command->options, name) == nullptr)
            return unknown_option(name, *asked.command);
        if (!asked.options.emplace(name, value).second)
            return Fault{tubgrove::quoted(name) + " is given twice", "give it once"};
    }
    if (asked.has("--help")) {
        asked.arguments.clear();
        if (named.command != nullptr) asked.arguments.emplace_back(asked.command->words);
        asked.command = &command_of(Does::help);
        return asked;
    }
    if (asked.has("--version"))
        asked.command = &command_of(Does::version);
    else if (auto wrong = wrong_count(asked))
        return *wrong;
    return asked;
}

}  // namespace tubgrove
