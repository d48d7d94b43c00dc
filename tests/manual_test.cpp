// The manual pages beside the tables that they speak of: a word that is missing or one too many fails.
#include "catch.h"

#include "commands.hpp"
#include "daybook.hpp"
#include "exit_status.hpp"
#include "help.hpp"
#include "intake/facts.hpp"
#include "intake/read_configuration.hpp"
#include "manual/manual.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <set>
#include <sstream>
#include <string>

using namespace tubgrove;

namespace {

namespace fs = std::filesystem;
using Words = std::set<std::string>;

const fs::path root = PROJECT_ROOT;
const fs::path pages = MANUAL_PAGES;
// Sections of the configuration that are not for the service alone.
const Words of_the_garden{"site", "bays", "walks", "carry", "caution", "weather", "tables"};

std::string whole(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    INFO(path.string());
    REQUIRE(in);
    return {std::istreambuf_iterator<char>(in), {}};
}

// Without marks of fonts and escapes: what the reader sees of a line.
std::string as_read(std::string line) {
    for (const auto& [from, to] : {std::pair{R"(\\f[BIR])", ""}, {R"(\\-)", "-"}, {R"(\\e)", "\\"}, {R"(\\\(aq)", "'"},
                                   {R"(\\\(dq)", "\""}, {R"(\\\(ti)", "~"}, {R"(\\\(ha)", "^"}, {R"(\\&)", ""}, {R"(\\\(ga)", "`"}})
        line = std::regex_replace(line, std::regex(from), to);
    return line;
}

// The names of a section's entries as they stand in the page's source, at the given depth of .RS: the lines after .TP.
Words entries(const std::string& page, const std::string& section, int depth = 0) {
    Words found;
    std::istringstream in(page);
    bool inside = false, name_follows = false;
    int nested = 0;
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with(".SH ")) inside = line == ".SH " + section;
        if (!inside) continue;
        if (line == ".RS") ++nested;
        if (line == ".RE") --nested;
        if (name_follows && nested == depth) {
            const bool macro = std::regex_search(line, std::regex("^\\.[BI]R? "));
            found.insert(as_read(macro ? line.substr(line.find(' ') + 1) : line));
        }
        name_follows = line == ".TP";
    }
    return found;
}

// Of names such as "site.latitude: -41.2" and "--day DAY" what stands before the value.
Words before(const Words& names, std::string_view mark) {
    Words out;
    for (const auto& name : names) out.insert(name.substr(0, name.find(mark)));
    return out;
}

// Several names that share an entry: `HOME ", " XDG_DATA_HOME`.
Words apart(const Words& names) {
    Words out;
    const std::regex one("[A-Z][A-Z_]+");
    for (const auto& name : names)
        for (std::sregex_iterator word(name.begin(), name.end(), one), end; word != end; ++word) out.insert(word->str());
    return out;
}

// "missing: x" and "too many: y", empty when both sets are one.
std::string unlike(const Words& in_page, const Words& wanted) {
    std::string out;
    for (const auto& word : wanted) if (!in_page.contains(word)) out += "missing: " + word + "\n";
    for (const auto& word : in_page) if (!wanted.contains(word)) out += "too many: " + word + "\n";
    return out;
}

std::string with_value(std::string_view name, std::string_view value) { return std::string(name) + (value.empty() ? "" : " " + std::string(value)); }

Words shown_commands() {
    Words out;
    for (const auto& command : commands())
        if (!command.group.empty()) out.insert(with_value("tubgrove " + std::string(command.words), command.arguments));
    return out;
}

Words command_options() {
    Words out;
    for (const auto& command : commands())
        for (const auto& option : command.options) out.insert(with_value(option.name, option.value));
    return out;
}

Words exit_statuses() {
    Words out;
    for (const auto& row : exit_words()) out.insert(std::to_string(int(row.status)));
    return out;
}

// What a pattern's first group finds in the daemon's own sources and the unit's helpers.
Words in_sources(const std::vector<std::string>& folders, const std::string& pattern) {
    Words out;
    const std::regex found(pattern);
    for (const auto& folder : folders)
        for (const auto& file : fs::directory_iterator(root / folder)) {
            if (!file.is_regular_file()) continue;
            const std::string text = whole(file.path());
            for (std::sregex_iterator match(text.begin(), text.end(), found), end; match != end; ++match) out.insert((*match)[1]);
        }
    return out;
}

std::string example() { return whole(root / "config/tubgrove.yaml"); }

std::string top_of(const std::string& key) { return key.substr(0, key.find('.')); }

}  // namespace

TEST_CASE("tubgrove(1) tells every command, option, action, fact and exit status, and no other") {
    const auto page = whole(pages / "tubgrove.1");
    CHECK(unlike(entries(page, "COMMANDS"), shown_commands()) == "");
    CHECK(unlike(entries(page, "COMMANDS", 1), command_options()) == "");
    Words globals, action_names, fact_names;
    for (const auto& option : global_options()) globals.insert(with_value(option.name, option.value));
    for (const auto& action : actions()) action_names.insert(std::string(action.example));
    for (const auto& row : fact_rows()) if (row.kind != FactKind::group) fact_names.insert(fact_as_typed(row));
    CHECK(unlike(entries(page, "OPTIONS"), globals) == "");
    CHECK(unlike(entries(page, "ACTIONS"), action_names) == "");
    CHECK(unlike(entries(page, "FACTS"), fact_names) == "");
    CHECK(unlike(entries(page, "EXIT STATUS"), exit_statuses()) == "");
}

TEST_CASE("the example of the configuration has every key that is asked for, each with words, and is in order") {
    const auto read = read_configuration("tubgrove.yaml", example());
    for (const auto& complaint : read.complaints) FAIL_CHECK(format(complaint));
    CHECK(unlike(keys_in(example()), keys_asked_of(example())) == "");
}

TEST_CASE("tubgrove.yaml(5) tells every key that is asked for, and no other") {
    const auto asked = keys_asked_of(example());
    CHECK(unlike(before(entries(whole(pages / "tubgrove.yaml.5"), "KEYS"), ":"), [&] {
        Words leaves;
        for (const auto& key : asked) {
            // A section that holds keys is told of by its heading and by these.
            const bool holds = std::ranges::any_of(asked, [&](const auto& other) { return other.starts_with(key + "."); });
            if (!holds || key.find('.') != std::string::npos) leaves.insert(key);
        }
        return leaves;
    }()) == "");
}

TEST_CASE("tubgrove-serve(8) tells the keys that are for the service alone") {
    Words wanted;
    for (const auto& key : keys_asked_of(example())) {
        const bool section = key == top_of(key) && keys_asked_of("{" + key + ": {}}").size() > keys_asked_of("{}").size();
        if (!of_the_garden.contains(top_of(key)) && !section) wanted.insert(key);
    }
    CHECK(unlike(before(entries(whole(pages / "tubgrove-serve.8"), "CONFIGURATION"), ":"), wanted) == "");
}

TEST_CASE("tubgrove-serve(8) tells the signals, the exit statuses and the environment") {
    const auto page = whole(pages / "tubgrove-serve.8");
    CHECK(unlike(apart(entries(page, "SIGNALS")), in_sources({"daemon/serve"}, R"(on_signal\((SIG[A-Z0-9]+))")) == "");
    CHECK(unlike(entries(page, "EXIT STATUS"), exit_statuses()) == "");
    auto told = apart(entries(page, "ENVIRONMENT"));
    const auto of_the_command = apart(entries(whole(pages / "tubgrove.1"), "ENVIRONMENT"));
    told.insert(of_the_command.begin(), of_the_command.end());
    auto asked = in_sources({"daemon", "daemon/serve", "daemon/door", "daemon/courier"}, R"re((?:getenv|environment|base)\("([A-Z][A-Z_]+))re");
    asked.merge(in_sources({"systemd"}, R"re(\$\{([A-Z][A-Z_]+))re"));
    // `TUBGROVE` names the program to the nightly copy's own test.
    told.insert("TUBGROVE");
    CHECK(unlike(told, asked) == "");
}

TEST_CASE("the comparison sees a word that is missing or one too many") {
    const std::string page = ".SH KEYS\n.TP\n\\fBdoors.listen:\\fR \\fIx\\fR\nwords\n.TP\n.BR --day \", \" SIGHUP\nwords\n.SH OTHER\n.TP\nnot this\n";
    CHECK(before(entries(page, "KEYS"), ":") == Words{"doors.listen", "--day \", \" SIGHUP"});
    CHECK(unlike({"a", "b"}, {"b", "c"}) == "missing: c\ntoo many: a\n");
    CHECK_THROWS_AS(fill_page("@KEY\n", {}), std::runtime_error);
    CHECK(keys_asked_of("{site: {}}").contains("site.latitude"));
    CHECK_FALSE(keys_asked_of("{}").contains("site.latitude"));
}

TEST_CASE("words for a page mean the same to man as to the eye") {
    CHECK(page_words(".5 'x' --day ~/a \\ `tubgrove jobs`.") == "\\&.5 \\(aqx\\(aq \\-\\-day \\(ti/a \\e \\fBtubgrove jobs\\fR.");
    CHECK(as_read(page_words("a-b 'x' ~ \\ \"^\"")) == "a-b 'x' ~ \\ \"^\"");
}

TEST_CASE("man has nothing to warn of") {
    for (const auto* name : {"tubgrove.1", "tubgrove.yaml.5", "tubgrove-serve.8"}) {
        const std::string line = "LC_ALL=C.UTF-8 MANROFFSEQ= MANWIDTH=80 man --warnings -E UTF-8 -l -Tutf8 -Z '" + (pages / name).string() + "' 2>&1 >/dev/null; echo \"status $?\"";
        FILE* out = popen(line.c_str(), "r");
        REQUIRE(out != nullptr);
        std::string said;
        std::array<char, 4096> some{};
        while (std::fgets(some.data(), int(some.size()), out) != nullptr) said += some.data();
        CHECK(pclose(out) == 0);
        INFO(name);
        CHECK(said == "status 0\n");
    }
}
