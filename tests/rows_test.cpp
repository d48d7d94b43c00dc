// That no check row is silently left out: each row of the YAML files is named in a test, and each of its expectations is asked
// for in a file that names the row. What is not is listed here with its reason. (The tables of climate and of care are counted
// where they are checked.)
#include "catch.h"
#include "rows.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

namespace {

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::vector<std::string> test_files() {
    std::vector<std::string> texts;
    for (const auto& entry : std::filesystem::directory_iterator(std::string(PROJECT_ROOT) + "/tests"))
        if (const auto name = entry.path().filename().string(); name.ends_with("_test.cpp") && name != "rows_test.cpp")
            texts.push_back(text_of(entry.path()));
    return texts;
}

bool quotes(const std::string& text, const std::string& word) { return text.find('"' + word + '"') != std::string::npos; }

struct File {
    const char* name;
    std::size_t rows;
    // Rows, or single expectations as row/key, that no test answers, and why.
    std::map<std::string, std::string> unanswered;
};

const File files[] = {
    {"pot_checks.yaml", 132,
     {{"chk-77", "its inputs, five synthetic days, are not given"},
      {"chk-122/published_recovery_days", "of whole trees after planting out, quoted beside a root front in a pot"}}},
    {"ensemble_checks.yaml", 30, {}},
};

// The row's expectations that no file which names the row asks for; the row alone when no file names it.
std::set<std::string> unasked(const YAML::Node& row, const std::vector<std::string>& tests) {
    const std::string id = row["id"].as<std::string>();
    std::set<std::string> keys;
    for (const auto& expected : row["expect"]) keys.insert(expected.first.as<std::string>());
    bool named = false;
    for (const std::string& text : tests) {
        if (!quotes(text, id)) continue;
        named = true;
        std::erase_if(keys, [&](const std::string& key) { return quotes(text, key); });
    }
    if (!named) return {id};
    std::set<std::string> left;
    for (const auto& key : keys) left.insert(id + "/" + key);
    return left;
}

}  // namespace

TEST_CASE("every check row is answered by a test, or listed with the reason why not") {
    const auto tests = test_files();
    for (const File& file : files) {
        INFO(file.name);
        const YAML::Node rows = YAML::LoadFile(std::string(TEST_DATA) + "/" + file.name)["checks"];
        CHECK(rows.size() == file.rows);
        std::set<std::string> ids;
        for (const YAML::Node& row : rows) {
            ids.insert(row["id"].as<std::string>());
            for (const auto& left : unasked(row, tests)) {
                INFO(left);
                CHECK(file.unanswered.contains(left));
            }
        }
        CHECK(ids.size() == file.rows);
        for (const auto& [left, why] : file.unanswered) {
            INFO(left);
            CHECK(ids.contains(left.substr(0, left.find('/'))));
            CHECK_FALSE(why.empty());
        }
    }
}
