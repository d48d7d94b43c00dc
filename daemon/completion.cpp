#include "completion.hpp"

#include "commands.hpp"
#include "daybook.hpp"
#include "help.hpp"
#include "intake/facts.hpp"

#include <algorithm>
#include <set>

namespace tubgrove {
namespace {

using Candidates = std::vector<Candidate>;

const Option* option_named(const Command* command, std::string_view name) {
    const auto look = [&](std::span<const Option> options) -> const Option* {
        const auto found = std::ranges::find(options, name, &Option::name);
        return found == options.end() ? nullptr : &*found;
    };
    if (const Option* option = look(global_options())) return option;
    return command == nullptr ? nullptr : look(command->options);
}

Candidates of_words(std::span<const std::string_view> words) {
    Candidates out;
    for (const auto word : words) out.push_back({std::string(word), ""});
    return out;
}
Candidates of_words(std::initializer_list<std::string_view> words) { return of_words(std::span(words.begin(), words.size())); }

Candidates named(const std::function<std::vector<std::string>()>& names) {
    Candidates out;
    if (names)
        for (const auto& name : names()) out.push_back({name, ""});
    return out;
}

// Names with a blank are left out: not every shell could put them in.
Candidates from_tables(std::string_view set, const KnownNames& known) {
    Candidates out;
    if (known.of_tables)
        for (const auto& name : known.of_tables(set))
            if (name.find(' ') == std::string::npos) out.push_back({name, ""});
    return out;
}

Candidates first_words() {
    Candidates out;
    std::set<std::string_view> seen;
    for (const Command& command : commands()) {
        const auto blank = command.words.find(' ');
        const auto first = command.words.substr(0, blank);
        if (command.group.empty() || !seen.insert(first).second) continue;
        out.push_back({std::string(first), blank == std::string_view::npos ? std::string(command.says) : ""});
    }
    return out;
}

Candidates second_words(std::string_view first) {
    Candidates out;
    for (const Command& command : commands())
        if (command.words.starts_with(std::string(first) + " "))
            out.push_back({std::string(command.words.substr(first.size() + 1)), std::string(command.says)});
    return out;
}

Candidates facts(std::string_view typed, const KnownNames& known) {
    Candidates out;
    const auto equals = typed.find('=');
    if (equals == std::string_view::npos) {
        for (const FactRow& row : fact_rows())
            if (row.kind != FactKind::group) {
                const std::string shown = fact_as_typed(row);
                out.push_back({shown.substr(0, shown.find('=') + 1), std::string(row.help)});
            }
        return out;
    }
    const std::string key(typed.substr(0, equals));
    if (key == "bay") {
        for (const auto& bay : named(known.bays)) out.push_back({"bay=" + bay.word, ""});
        return out;
    }
    const FactRow* row = find_fact(key);
    if (row == nullptr) return out;
    if (row->kind == FactKind::word)
        for (std::size_t at = 0; at <= row->words.size();) {
            const auto end = std::min(row->words.find('|', at), row->words.size());
            out.push_back({key + "=" + std::string(row->words.substr(at, end - at)), ""});
            at = end + 1;
        }
    else if (row->kind == FactKind::yes_no)
        out = {{key + "=yes", ""}, {key + "=no", ""}};
    else if (row->kind == FactKind::name)
        for (const auto& name : from_tables(row->words, known)) out.push_back({key + "=" + name.word, ""});
    return out;
}

Candidates after_action(const Action& action, std::string_view typed, const KnownNames& known) {
    switch (action.takes) {
        case Takes::moisture:
            return of_words({"dry", "barely-moist", "moist", "wet"});
        case Takes::shade:
            return of_words(shade_words());
        case Takes::sight:
            return of_words(seen_words());
        case Takes::bay:
            return named(known.bays);
        case Takes::facts:
            return facts(typed, known);
        case Takes::stage:
            return from_tables("stage", known);
        default:
            return {};
    }
}

// Pots until an action was said, then what the action takes.
Candidates did(std::span<const std::string> before, std::string_view typed, const KnownNames& known) {
    if (!before.empty() && before[0] == "round") return of_words({"all", "some", "none"});
    for (const auto& word : before)
        if (const Action* action = find_action(word)) return after_action(*action, typed, known);
    Candidates out = named(known.pots);
    if (before.empty())
        out.push_back({"round", "answer for a whole round"});
    else
        for (const Action& action : actions()) out.push_back({std::string(action.word), std::string(action.says)});
    return out;
}

Candidates of_kind(Kind kind, std::span<const std::string> before, std::string_view typed, const KnownNames& known) {
    switch (kind) {
        case Kind::pot:
            return named(known.pots);
        case Kind::fact:
            return facts(typed, known);
        case Kind::file:
            return of_words({":files"});
        case Kind::folder:
            return of_words({":folders"});
        case Kind::day:
            return of_words({"today", "yesterday"});
        case Kind::walk:
            return of_words({"morning", "evening"});
        case Kind::shell:
            return of_words({"bash", "zsh", "fish"});
        case Kind::command:
            return before.empty() ? first_words() : second_words(before[0]);
        case Kind::pots_then_action:
            return did(before, typed, known);
        case Kind::job:
            return named(known.jobs);
        case Kind::mapping:
            return named(known.mappings);
        case Kind::nothing:
        case Kind::words:
        case Kind::time:
        case Kind::entry:
        case Kind::number:
            return {};
    }
    return {};
}

Candidates option_names(const Command* command) {
    Candidates out;
    if (command != nullptr)
        for (const Option& option : command->options)
            out.push_back({std::string(option.name), std::string(option.says)});
    for (const Option& option : global_options()) out.push_back({std::string(option.name), std::string(option.says)});
    return out;
}

// The plain words before the one being typed, with the command that they name.
struct Before {
    const Command* command = nullptr;
    std::string family;  // "pot" when only a first word stands there
    std::vector<std::string> arguments;
    const Option* open_option = nullptr;  // the last word was an option that wants a value
};

Before understood(std::span<const std::string> words) {
    Before out;
    std::vector<std::string> plain;
    for (const auto& word : words) {
        if (out.open_option != nullptr) {
            out.open_option = nullptr;
            continue;
        }
        if (!word.starts_with("--")) {
            plain.push_back(word);
            continue;
        }
        const Option* option = nullptr;
        for (const Command& command : commands())
            if (option == nullptr) option = option_named(&command, word);
        if (option != nullptr && !option->value.empty()) out.open_option = option;
    }
    std::size_t used = 0;
    if (plain.size() >= 2 && find_command(plain[0] + " " + plain[1]) != nullptr)
        used = 2;
    else if (!plain.empty() && find_command(plain[0]) != nullptr)
        used = 1;
    if (used == 0) {
        if (!plain.empty()) out.family = plain[0];
        return out;
    }
    out.command = find_command(used == 2 ? plain[0] + " " + plain[1] : plain[0]);
    if (used == 1 && plain.size() == 1) out.family = plain[0];
    out.arguments.assign(plain.begin() + long(used), plain.end());
    return out;
}

Candidates all_for(std::span<const std::string> words, const KnownNames& known) {
    if (words.empty()) return first_words();
    const std::string& typed = words.back();
    const Before before = understood(words.first(words.size() - 1));
    if (before.open_option != nullptr) return of_kind(before.open_option->kind, {}, typed, known);
    if (typed.starts_with("-") && typed != "-") return option_names(before.command);
    if (before.command == nullptr) return before.family.empty() ? first_words() : second_words(before.family);
    Candidates out;
    if (!before.family.empty()) out = second_words(before.family);
    const Kind kind = before.arguments.empty() ? before.command->first : before.command->rest;
    for (auto& candidate : of_kind(kind, before.arguments, typed, known)) out.push_back(std::move(candidate));
    return out;
}

}  // namespace

std::vector<Candidate> complete(std::span<const std::string> words, const KnownNames& known) {
    Candidates out = all_for(words, known);
    const std::string typed = words.empty() ? "" : words.back();
    std::erase_if(out, [&](const Candidate& c) { return !c.word.starts_with(':') && !c.word.starts_with(typed); });
    return out;
}

std::string_view completion_script(std::string_view shell) {
    if (shell == "bash")
        return R"(# bash completion for tubgrove: source <(tubgrove completion bash)
_tubgrove() {
    local line current candidates
    # Words as typed: bash would cut container.size=40L at its equals sign.
    line=${COMP_LINE:0:COMP_POINT}
    local -a words
    read -r -a words <<< "$line"
    [[ $line == *[[:space:]] ]] && words+=("")
    current=${words[-1]}
    COMPREPLY=()
    mapfile -t candidates < <("${words[0]}" complete -- "${words[@]:1}" 2>/dev/null)
    local candidate word
    for candidate in "${candidates[@]}"; do
        word=${candidate%%$'\t'*}
        case $word in
            :files) compopt -o filenames; mapfile -t -O "${#COMPREPLY[@]}" COMPREPLY < <(compgen -f -- "$current") ;;
            :folders) compopt -o filenames; mapfile -t -O "${#COMPREPLY[@]}" COMPREPLY < <(compgen -d -- "$current") ;;
            # Only what follows the equals sign is replaced by bash.
            *) [[ $current == *=* ]] && word=${word#"${current%%=*}="}
               [[ $word == *= ]] && compopt -o nospace
               COMPREPLY+=("$word") ;;
        esac
    done
}
complete -F _tubgrove tubgrove
)";
    if (shell == "zsh")
        return R"(#compdef tubgrove
# zsh completion for tubgrove: save as _tubgrove in a folder of $fpath
_tubgrove() {
    local -a candidates plain open
    local line word says
    candidates=("${(@f)$(${words[1]} complete -- "${(@)words[2,CURRENT]}" 2>/dev/null)}")
    for line in $candidates; do
        word=${line%%$'\t'*}
        says=${line#*$'\t'}
        [[ $says == $line ]] && says=
        case $word in
            :files) _files ;;
            :folders) _files -/ ;;
            *=) open+=("${word//:/\\:}${says:+:$says}") ;;
            *) plain+=("${word//:/\\:}${says:+:$says}") ;;
        esac
    done
    (( $#plain )) && _describe -t words 'word' plain
    (( $#open )) && _describe -t facts 'fact' open -S ''
}
# Autoloaded from $fpath this file is the function's body; sourced, it only registers it.
if [[ ${funcstack[1]} == _tubgrove ]]; then _tubgrove "$@"; else compdef _tubgrove tubgrove; fi
)";
    if (shell == "fish")
        return R"(# fish completion for tubgrove: save as ~/.config/fish/completions/tubgrove.fish
function __tubgrove_complete
    set -l typed (commandline -opc) (commandline -ct)
    for line in ($typed[1] complete -- $typed[2..-1] 2>/dev/null)
        switch $line
            case ':files'
                __fish_complete_path (commandline -ct)
            case ':folders'
                __fish_complete_directories (commandline -ct)
            case '*'
                echo $line
        end
    end
end
complete -c tubgrove -f -a '(__tubgrove_complete)'
)";
    return {};
}

}  // namespace tubgrove
