#pragma once
// Check rows kept as YAML in tests/data: given -> expect, each with its tolerance.
#include <yaml-cpp/yaml.h>

#include <stdexcept>
#include <string>
#include <vector>

namespace rows {

inline YAML::Node find(const std::string& file, const std::string& id) {
    static std::map<std::string, YAML::Node> files;
    if (!files.contains(file)) files[file] = YAML::LoadFile(std::string(TEST_DATA) + "/" + file);
    for (const YAML::Node& row : files[file]["checks"])
        if (row["id"].as<std::string>() == id) return row;
    throw std::runtime_error(file + " has no row " + id);
}

inline std::vector<double> numbers(const YAML::Node& node) { return node.as<std::vector<double>>(); }

}  // namespace rows
