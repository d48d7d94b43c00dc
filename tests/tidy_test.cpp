// House rules, read off the files themselves: what a model room may reach for, which way includes point, that every
// number in a table names a source, that every source named is listed, and that nothing unfinished or local is left
// lying about.
#include "catch.h"

#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

const fs::path root = PROJECT_ROOT;
const Words folders{"config", "daemon", "lib", "scripts", "systemd", "tests"};
const std::set<std::string> model_rooms{"climate", "pot", "tree", "ensemble", "care", "plan", "ahead"};
// Headers of plain values that rooms pass to each other; they hold no rule, so any room may know them.
const std::set<std::string> shared_values{"care/rule.hpp", "climate/day_record.hpp", "ensemble/setup.hpp", "intake/configuration.hpp",
                                          "plan/round.hpp"};

struct Line {
    std::string where;  // path:line
    std::string text;
};
struct File {
    fs::path path;  // from the root
    std::vector<Line> lines;
};

bool is_code(const fs::path& path) {
    const auto ending = path.extension();
    return ending == ".cpp" || ending == ".hpp" || ending == ".h";
}

File read(const fs::path& path) {
    File file{fs::relative(path, root), {}};
    std::ifstream in(path);
    std::string text;
    while (std::getline(in, text)) {
        if (!text.empty() && text.back() == '\r') text.pop_back();
        file.lines.push_back({file.path.string() + ":" + std::to_string(file.lines.size() + 1), text});
    }
    return file;
}

// Everything under a folder of the project, in a fixed order; what a build leaves behind is not ours.
std::vector<File> files_under(const std::string& folder) {
    std::set<fs::path> paths;
    if (fs::exists(root / folder))
        for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
            const bool left_behind = entry.path().string().find("__pycache__") != std::string::npos ||
                                     entry.path().string().find("node_modules") != std::string::npos;
            if (entry.is_regular_file() && !left_behind) paths.insert(entry.path());
        }
    std::vector<File> found;
    for (const auto& path : paths) found.push_back(read(path));
    return found;
}

std::vector<File> all_files() {
    std::vector<File> found;
    for (const auto& folder : folders)
        for (auto& file : files_under(folder)) found.push_back(std::move(file));
    for (const auto* name :
         {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", ".clang-format", ".gitignore"})
        if (fs::exists(root / name)) found.push_back(read(root / name));
    return found;
}

std::string lower(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](unsigned char c) { return char(std::tolower(c)); });
    return out;
}

bool wordlike(char c) { return std::isalnum(static_cast<unsigned char>(c)) || c == '_'; }

// Whether `word` stands in `text` with no letter or digit beside it.
bool has_word(std::string_view text, std::string_view word) {
    for (auto at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
        const auto after = at + word.size();
        if ((at == 0 || !wordlike(text[at - 1])) && (after == text.size() || !wordlike(text[after]))) return true;
    }
    return false;
}

std::string room_of(const fs::path& path) {  // lib/ROOM/file; empty for what lies in lib itself
    auto part = path.begin();
    if (part == path.end() || *part++ != "lib" || part == path.end()) return "";
    const auto name = part->string();
    return ++part == path.end() ? "" : name;
}

std::string included(std::string_view line) {
    if (!line.starts_with("#include")) return "";
    const auto open = line.find_first_of("<\""), close = line.find_last_of(">\"");
    return open == line.npos || close <= open ? "" : std::string(line.substr(open + 1, close - open - 1));
}

// room(NAME uses…) of lib/CMakeLists.txt, with the uses of uses.
std::map<std::string, std::set<std::string>> rooms() {
    std::map<std::string, std::set<std::string>> uses;
    for (const auto& line : read(root / "lib/CMakeLists.txt").lines) {
        if (!line.text.starts_with("room(")) continue;
        std::istringstream words(line.text.substr(5, line.text.find(')') - 5));
        std::string name, use;
        words >> name;
        uses[name] = {name};
        while (words >> use)
            if (uses.contains(use)) uses[name].insert(uses[use].begin(), uses[use].end());
    }
    return uses;
}

// Keys in square brackets: [FAO56]. Capitals, hyphens and underscores do not tell keys apart. An index is none.
std::set<std::string> keys_in(std::string_view text) {
    std::set<std::string> keys;
    for (auto open = text.find('['); open != text.npos; open = text.find('[', open + 1)) {
        const auto close = text.find(']', open);
        if (close == text.npos) break;
        auto key = lower(text.substr(open + 1, close - open - 1));
        const bool index = open > 0 && (wordlike(text[open - 1]) || text[open - 1] == ')' || text[open - 1] == ']');
        const bool shaped = key.size() > 1 && std::isalpha(static_cast<unsigned char>(key[0])) &&
                            std::ranges::all_of(key, [](char c) { return wordlike(c) || c == '-'; });
        std::erase_if(key, [](char c) { return c == '-' || c == '_'; });
        if (!index && shaped) keys.insert(key);
    }
    return keys;
}

std::map<std::string, std::string> listed_keys() {  // key -> whole line
    std::map<std::string, std::string> listed;
    for (const auto& line : read(root / "lib/sources.md").lines) {
        if (!line.text.starts_with("- [")) continue;
        const auto key = *keys_in(line.text.substr(0, line.text.find(']') + 1)).begin();
        INFO(line.where << " lists " << key << " a second time");
        CHECK(!listed.contains(key));
        listed[key] = line.text;
    }
    return listed;
}

// What a build or a demo leaves at the top level, by .gitignore: lines such as /build*/.
bool ignored(const std::string& name) {
    for (const auto& line : read(root / ".gitignore").lines) {
        auto pattern = line.text;
        std::erase(pattern, '/');
        const bool open = pattern.ends_with('*');
        if (open) pattern.pop_back();
        if (!pattern.empty() && (open ? name.starts_with(pattern) : name == pattern)) return true;
    }
    return false;
}

// Tables of config/: maps of lists of rows. A configuration or a garden is none.
bool is_table(const fs::path& path) {
    if (path.extension() != ".yaml" || path.string().starts_with("config/demo")) return false;
    const auto yaml = YAML::LoadFile((root / path).string());
    return yaml.IsMap() && !yaml["site"] && !yaml["pots"];
}

}  // namespace

TEST_CASE("model rooms reach for no clock, socket, thread, log, file, SQL or YAML") {
    const Words headers{"boost/", "sqlite3", "SQLiteCpp/", "spdlog/",  "yaml-cpp/",  "thread", "mutex",
                        "atomic", "future",  "fstream",    "iostream", "filesystem", "random", "ctime"};
    const Words calls{
        "_clock::"
        "now",
        "std::"
        "time(",
        "get"
        "env(",
        "std::"
        "cout",
        "std::"
        "cerr",
        "fo"
        "pen(",
        "std::"
        "printf(",
        "std"
        "err"};
    for (const auto& file : files_under("lib")) {
        if (!is_code(file.path) || !model_rooms.contains(room_of(file.path))) continue;
        for (const auto& line : file.lines) {
            const auto header = included(line.text);
            for (const auto& word : headers) {
                INFO(line.where << " includes " << header);
                CHECK_FALSE(
                    (word.ends_with('/') ? header.starts_with(word) : header == word || header == word + ".h"));
            }
            for (const auto& word : calls) {
                INFO(line.where << " uses " << word);
                CHECK(line.text.find(word) == line.text.npos);
            }
        }
    }
}

TEST_CASE("includes point the way that lib/CMakeLists.txt says") {
    const auto uses = rooms();
    REQUIRE(uses.contains("garden"));
    for (const auto& file : files_under("lib")) {
        if (!is_code(file.path)) continue;
        const auto room = room_of(file.path);
        for (const auto& line : file.lines) {
            const auto header = included(line.text);
            const auto other = header.substr(0, header.find('/'));
            if (header.find('/') == header.npos || !uses.contains(other) || shared_values.contains(header)) continue;
            INFO(line.where << ": room '" << room << "' reaches into '" << other << "'");
            CHECK((uses.contains(room) && uses.at(room).contains(other)));
        }
    }
}

TEST_CASE("every source that is cited is listed, and every listed one is cited") {
    const auto listed = listed_keys();
    std::set<std::string> cited;
    for (const auto& folder : {"lib", "config", "daemon", "tests"})
        for (const auto& file : files_under(folder)) {
            if (file.path == "lib/sources.md" || file.path.string().starts_with("tests/data")) continue;
            for (const auto& line : file.lines) {
                cited.merge(keys_in(line.text));
                const auto named = line.text.find("Source: ");
                if (folder == std::string("tests") || named == line.text.npos) continue;
                for (const auto& key : keys_in(line.text.substr(named))) {
                    INFO(line.where << " cites [" << key << "], which lib/sources.md does not list");
                    CHECK(listed.contains(key));
                }
            }
        }
    for (const auto& [key, text] : listed) {
        for (const auto& other : keys_in(text)) cited.insert(other == key ? "" : other);
        INFO("lib/sources.md lists [" << key << "], which nothing cites");
        CHECK(cited.contains(key));
    }
}

TEST_CASE("sources are listed in order") {
    std::string before;
    for (const auto& line : read(root / "lib/sources.md").lines) {
        if (!line.text.starts_with("- [")) continue;
        const auto key = lower(line.text.substr(3, line.text.find(']') - 3));
        INFO(line.where << ": " << key << " comes after " << before);
        CHECK(before < key);
        before = key;
    }
}

TEST_CASE("every row of a table names its source") {
    const auto listed = listed_keys();
    for (const auto& file : files_under("config")) {
        if (!is_table(file.path)) continue;
        for (const auto& table : YAML::LoadFile((root / file.path).string())) {
            if (!table.second.IsSequence()) continue;
            for (const auto& row : table.second) {
                INFO(file.path.string() << ":" << row.Mark().line + 1 << ": a row of '" << table.first << "'");
                REQUIRE(row.IsMap());
                REQUIRE(row["source"]);
                const auto source = row["source"].as<std::string>();
                CHECK(source.size() > 2);
                for (const auto& key : keys_in(source)) {
                    INFO("[" << key << "] is not in lib/sources.md");
                    CHECK(listed.contains(key));
                }
            }
        }
    }
}

TEST_CASE("nothing unfinished and no path of one machine is left") {
    const Words unfinished{
        "to"
        "do",
        "fix"
        "me",
        "x"
        "xx",
        "not "
        "implemented",
        "place"
        "holder",
        "for "
        "now"};
    const Words paths{
        "/wo"
        "rk/",
        "/fa"
        "rm/",
        "/ro"
        "ot/",
        "/tmp/"
        "bash"};
    for (const auto& file : all_files())
        for (const auto& line : file.lines) {
            const auto text = lower(line.text);
            for (const auto& word : unfinished)
                if (has_word(text, word)) FAIL_CHECK(line.where << " says '" << word << "'");
            for (const auto& path : paths)
                if (text.find(path) != text.npos) FAIL_CHECK(line.where << " names a path of one machine: " << path);
        }
}

TEST_CASE("the top level holds the six folders and the pages, and nothing else") {
    const std::set<std::string> pages{"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE"};
    for (const auto& page : pages) {
        INFO(page << " is missing");
        CHECK(fs::exists(root / page));
    }
    for (const auto& entry : fs::directory_iterator(root)) {
        const auto name = entry.path().filename().string();
        if (name.starts_with(".") || ignored(name)) continue;
        INFO("the top level holds " << name);
        CHECK((entry.is_directory() ? std::ranges::count(folders, name) == 1 : pages.contains(name)));
    }
}

TEST_CASE("a file is one reason long") {
    const std::map<std::string, std::string> longer{
        {"tests/complete_test.cpp", "the cases of one door, in the order of the ladder"}};
    for (const auto& file : all_files()) {
        const bool counted = is_code(file.path) || file.path.extension() == ".py" || file.path.extension() == ".sh";
        if (!counted || longer.contains(file.path.string())) continue;
        INFO(file.path.string() << " has " << file.lines.size() << " lines");
        CHECK(file.lines.size() <= 600);
    }
}

TEST_CASE("sentences do not shout") {
    for (const auto& folder : {"lib", "daemon"})
        for (const auto& file : files_under(folder)) {
            if (!is_code(file.path)) continue;
            for (const auto& line : file.lines)
                for (auto at = line.text.find('!'); at != line.text.npos; at = line.text.find('!', at + 1)) {
                    const bool ends_word = at > 0 && std::isalpha(static_cast<unsigned char>(line.text[at - 1]));
                    const bool ends_sentence =
                        at + 1 < line.text.size() && (line.text[at + 1] == '"' || line.text[at + 1] == ' ');
                    INFO(line.where << ": " << line.text);
                    CHECK_FALSE((ends_word && ends_sentence));
                }
        }
}
