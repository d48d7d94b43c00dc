// The table of commands, the words read by it, the help and the completion drawn from it.
#include "catch.h"

#include "commands.hpp"
#include "completion.hpp"
#include "daybook.hpp"
#include "help.hpp"
#include "times.hpp"
#include "command_line.hpp"

#include <algorithm>
#include <map>
#include <sstream>

using namespace tubgrove;

namespace {

Asked asked(std::string_view line) {
    const auto words = words_of_line(line);
    const auto read = read_words(words);
    INFO(line);
    if (good(read) == nullptr) FAIL(fault(read).what);
    return *good(read);
}

std::string refused(std::string_view line) {
    const auto words = words_of_line(line);
    const auto read = read_words(words);
    INFO(line);
    REQUIRE(good(read) == nullptr);
    return fault(read).what + "; " + fault(read).right;
}

std::vector<std::string> completed(std::vector<std::string> words) {
    KnownNames known;
    known.pots = [] { return std::vector<std::string>{"7", "8", "trough"}; };
    known.bays = [] { return std::vector<std::string>{"south-wall", "steps"}; };
    known.jobs = [] { return std::vector<std::string>{"7.thin.2026"}; };
    known.mappings = [] { return std::vector<std::string>{"roof-station"}; };
    known.of_tables = [](std::string_view set) {
        using Names = std::vector<std::string>;
        if (set == "stage") return Names{"green-tip", "full-bloom"};
        return set == "species" ? Names{"apple", "lemon"} : Names{"M.27", "St Julien A"};
    };
    std::vector<std::string> out;
    for (const auto& candidate : complete(words, known)) out.push_back(candidate.word);
    return out;
}

bool has(const std::vector<std::string>& words, std::string_view word) {
    return std::ranges::find(words, word) != words.end();
}

}  // namespace

TEST_CASE("every example of every command is read as that command") {
    for (const Command& command : commands()) {
        CAPTURE(command.words);
        CHECK_FALSE(command.examples.empty());
        for (const auto example : command.examples) CHECK(asked(example).command->does == command.does);
    }
}

TEST_CASE("an option's name takes a value everywhere or nowhere") {
    std::map<std::string_view, bool> takes;
    for (const Option& option : global_options()) takes[option.name] = !option.value.empty();
    for (const Command& command : commands())
        for (const Option& option : command.options) {
            CAPTURE(option.name);
            CHECK(takes.try_emplace(option.name, !option.value.empty()).first->second == !option.value.empty());
        }
}

TEST_CASE("no word of a command is an action, so that a forgotten `did` can be told") {
    for (const Command& command : commands())
        CHECK(find_action(command.words.substr(0, command.words.find(' '))) == nullptr);
}

TEST_CASE("help of each command shows its usage and its examples, at any width") {
    for (const Command& command : commands())
        for (const int width : {30, 80}) {
            const std::string help = draw_help(command, {width, false});
            CAPTURE(command.words, width);
            CHECK_THAT(help, ContainsSubstring("usage: tubgrove"));
            std::istringstream lines(help);
            for (std::string line; std::getline(lines, line);) CHECK(columns(line) <= width);
            if (width == 80 && !command.examples.front().empty() && command.examples.front().size() < 70)
                CHECK_THAT(help, ContainsSubstring("tubgrove " + std::string(command.examples.front())));
        }
}

TEST_CASE("the overview names every command and hides the one for scripts") {
    const std::string overview = draw_overview({80, false});
    for (const Command& command : commands())
        if (!command.group.empty()) CHECK_THAT(overview, ContainsSubstring("  " + std::string(command.words)));
    CHECK(overview.find("-- WORD") == std::string::npos);
}

TEST_CASE("help of did lists every action") {
    const std::string help = draw_help(command_of(Does::did), {80, false});
    for (const Action& action : actions()) CHECK_THAT(help, ContainsSubstring(std::string(action.example)));
}

TEST_CASE("a line is split at blanks, and not between quotes") {
    using Words = std::vector<std::string>;
    CHECK(words_of_line("did 7  watered 2L") == Words{"did", "7", "watered", "2L"});
    CHECK(words_of_line("a 'b  c' \"it's\" '' d\"e f\"g") == Words{"a", "b  c", "it's", "", "de fg"});
    CHECK(words_of_line(" ").empty());
    CHECK(words_of_line("'open until the end") == Words{"open until the end"});
}

TEST_CASE("options stand anywhere, joined or apart") {
    const auto one = asked("--json did 7 --when 07:30 watered 2.5L --by=Ana");
    CHECK(one.command->does == Does::did);
    CHECK(one.arguments == std::vector<std::string>{"7", "watered", "2.5L"});
    CHECK(one.value("--when") == "07:30");
    CHECK(one.value("--by") == "Ana");
    CHECK(one.has("--json"));
    CHECK(asked("pot --data x list").command->does == Does::pot_list);
    CHECK(asked("").command->does == Does::round);
    CHECK(asked("--at 2026-07-14").command->does == Does::round);
}

TEST_CASE("amounts with a minus, a lone dash and words after -- are no options") {
    CHECK(asked("did 7 watered -3L").arguments.back() == "-3L");
    CHECK(asked("weather add -").arguments.back() == "-");
    CHECK(asked("did 7 noted -- --json").arguments.back() == "--json");
    CHECK_FALSE(asked("did 7 noted -- --json").has("--json"));
}

TEST_CASE("help is reached in every usual way") {
    CHECK(asked("--help").command->does == Does::help);
    CHECK(asked("-h").arguments.empty());
    CHECK(asked("did --help").arguments == std::vector<std::string>{"did"});
    CHECK(asked("help pot add").arguments == std::vector<std::string>{"pot", "add"});
    CHECK(asked("pot --help").arguments == std::vector<std::string>{"pot"});
    CHECK(asked("--version").command->does == Does::version);
}

TEST_CASE("wrong words are refused with the nearest right ones") {
    CHECK(refused("ruond") == "unknown command 'ruond'; perhaps tubgrove round");
    CHECK(refused("pot lst") == "unknown command 'pot lst'; perhaps tubgrove pot list");
    CHECK_THAT(refused("pot"), ContainsSubstring("needs another word"));
    CHECK(refused("dod 7 watered 2.5L") == "unknown command 'dod'; perhaps tubgrove did 7 watered 2.5L");
    CHECK(refused("7 watered 2.5L") == "unknown command '7'; perhaps tubgrove did 7 watered 2.5L");
    CHECK(refused("xylophone") == "unknown command 'xylophone'; tubgrove help lists them");
    CHECK(refused("did 7 watered 2L --nota x") == "unknown option '--nota'; perhaps --note");
    CHECK(refused("pot list --apply") ==
          "'--apply' is no option of tubgrove pot list; it belongs to tubgrove pot take");
    CHECK_THAT(refused("round --frobnicate"), ContainsSubstring("usage: tubgrove round"));
}

TEST_CASE("too few or too many words, values missing, doubled or unasked are refused") {
    CHECK_THAT(refused("did 7"), ContainsSubstring("needs POT"));
    CHECK_THAT(refused("why"), ContainsSubstring("for example tubgrove why 7"));
    CHECK_THAT(refused("why 7 8"), ContainsSubstring("too many words from '8' on"));
    CHECK_THAT(refused("round --day"), ContainsSubstring("needs a value"));
    CHECK_THAT(refused("round --json=yes"), ContainsSubstring("takes no value"));
    CHECK_THAT(refused("round --day today --day today"), ContainsSubstring("given twice"));
}

TEST_CASE("completion: commands, their second words, options") {
    const auto first = completed({""});
    CHECK(has(first, "did"));
    CHECK(has(first, "pot"));
    CHECK_FALSE(has(first, "complete"));
    CHECK(completed({"wea"}) == std::vector<std::string>{"weather"});
    CHECK(completed({"pot", "ch"}) == std::vector<std::string>{"change"});
    CHECK(completed({"did", "7", "watered", "2L", "--wh"}) == std::vector<std::string>{"--when"});
    CHECK(has(completed({"daybook", ""}), "take"));
}

TEST_CASE("completion: pots, actions and what they take") {
    CHECK(completed({"did", ""}) == std::vector<std::string>{"7", "8", "trough", "round"});
    CHECK(completed({"did", "round", ""}) == std::vector<std::string>{"all", "some", "none"});
    CHECK(has(completed({"did", "7", ""}), "watered"));
    CHECK(has(completed({"did", "7", ""}), "8"));
    CHECK(completed({"did", "7", "felt", "b"}) == std::vector<std::string>{"barely-moist"});
    CHECK(completed({"did", "7", "moved", ""}) == std::vector<std::string>{"south-wall", "steps"});
    CHECK(completed({"why", "t"}) == std::vector<std::string>{"trough"});
    CHECK(completed({"daybook", "--pot", ""}) == std::vector<std::string>{"7", "8", "trough"});
    CHECK(completed({"round", "--walk", "e"}) == std::vector<std::string>{"evening"});
    CHECK(completed({"--json", "why", "8"}) == std::vector<std::string>{"8"});
}

TEST_CASE("completion: facts, files and nothing where nothing is known") {
    CHECK(has(completed({"pot", "change", "7", "container.s"}), "container.size="));
    CHECK(completed({"pot", "change", "7", "bay=s"}) == std::vector<std::string>{"bay=south-wall", "bay=steps"});
    CHECK(has(completed({"pot", "change", "7", "tree.a.leaves="}), "tree.a.leaves=dense"));
    CHECK(completed({"pot", "change", "7", "tree.a.species=le"}) == std::vector<std::string>{"tree.a.species=lemon"});
    CHECK(completed({"pot", "change", "7", "tree.a.rootstock="}) == std::vector<std::string>{"tree.a.rootstock=M.27"});
    CHECK(completed({"did", "7", "stage", "full"}) == std::vector<std::string>{"full-bloom"});
    // An example is no candidate: a lone one would be put in as if it had been meant.
    CHECK(completed({"did", "7", "watered", ""}).empty());
    CHECK(completed({"did", "7", "crown", ""}).empty());
    CHECK(completed({"did", "7", "watered", "2L", "--note", ""}).empty());
    CHECK(completed({"did", "7", "watered", "2L", "--when", ""}).empty());
    CHECK(completed({"weather", "add", "--source", ""}).empty());
    CHECK(completed({"strike", ""}).empty());
    CHECK(completed({"weather", "add", "--mapping", ""}) == std::vector<std::string>{"roof-station"});
    CHECK(completed({"job", "done", ""}) == std::vector<std::string>{"7.thin.2026"});
    CHECK(completed({"pot", "change", "7", "container.size="}).empty());
    CHECK(completed({"weather", "add", ""}) == std::vector<std::string>{":files"});
    CHECK(completed({"completion", ""}) == std::vector<std::string>{"bash", "zsh", "fish"});
    CHECK(completed({"xylophone", ""}).empty());
    CHECK(complete(std::vector<std::string>{"why", ""}, {}).empty());
    CHECK(completion_script("tcsh").empty());
}

TEST_CASE("days and times as typed") {
    const Zone zone = Zone::find("Europe/Budapest").value_or(Zone::utc());
    const Seen seen{*parse_rfc3339("2026-07-14T09:00:00+02:00"), zone};
    const auto said = [&](const char* text) {
        const auto read = read_time(text, seen);
        return good(read) == nullptr ? std::string("refused") : format_rfc3339(*good(read), zone);
    };
    CHECK(said("07:30") == "2026-07-14T07:30:00+02:00");
    CHECK(said("yesterday 18:30") == "2026-07-13T18:30:00+02:00");
    CHECK(said("2026-03-01T07:30") == "2026-03-01T07:30:00+01:00");
    CHECK(said("2026-03-01 07:30") == "2026-03-01T07:30:00+01:00");
    CHECK(said("2026-07-14T05:30:00Z") == "2026-07-14T07:30:00+02:00");
    for (const char* wrong : {"", " ", "noon", "25:00", "2026-02-30 07:30", "2026-07-14", "T07:30", "07:30 today"}) {
        CAPTURE(wrong);
        CHECK(said(wrong) == "refused");
    }
    CHECK(*good(read_day("yesterday", seen)) == *parse_day("2026-07-13"));
    CHECK(*good(read_day("2026-02-28", seen)) == *parse_day("2026-02-28"));
    CHECK(good(read_day("2026-02-29", seen)) == nullptr);
}
