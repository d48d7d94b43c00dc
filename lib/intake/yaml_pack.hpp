#pragma once
// A YAML tree as bytes and back. Reading the text of our own tables took most of the program's start; the build reads them once and
// packs what it read.
#include "intake/yaml_tree.hpp"

#include <span>
#include <string>
#include <string_view>

namespace tubgrove {

std::string pack_tree(const YamlNode& tree);
// Of bytes that pack_tree gave, and of no others.
YamlNode unpack_tree(std::string_view packed);

struct PackedTable {
    std::string_view file, tree;
};
// The files of config/ that are tables, as they were when the program was built; in the order of shipped_tables().
std::span<const PackedTable> shipped_trees();

}  // namespace tubgrove
