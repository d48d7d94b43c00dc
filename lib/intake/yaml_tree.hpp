#pragma once
// A YAML document as a plain tree in which every node and every key knows its place. Built from the library's events, not
// from its node type, whose marks are missing for null values and which keeps only the first of two equal keys.
#include "intake/complaint.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

struct YamlKey {
    std::string text;
    int line = 0, column = 0;
    bool operator==(const YamlKey&) const = default;
};

struct YamlNode {
    enum class Kind : unsigned char { null, scalar, sequence, mapping, broken };   // broken: complained of already
    Kind kind = Kind::null;
    std::string text;                // of a scalar, as written, without quotes
    bool quoted = false;
    int line = 0, column = 0;        // of a null: its key's
    std::vector<YamlKey> keys;       // of a mapping, one for each of its items
    std::vector<YamlNode> items;
    bool operator==(const YamlNode&) const = default;
};

// The items of a list that may be absent. Not a copy: whoever judges a file when all of it is read may keep their addresses.
inline std::span<const YamlNode> items_of(const YamlNode* list) { return list ? std::span(list->items) : std::span<const YamlNode>(); }

struct YamlLimits {
    std::size_t bytes = std::size_t(1) << 20;
    std::size_t nodes = 200'000;
    int depth = 24;
};

// Refused with complaints, never a crash: files above the limits, bytes that are not UTF-8, control bytes, tabs in front of
// a line, anchors and aliases (which could unfold without end), tags, keys that are not words, duplicate keys, a second
// document, and whatever is not YAML. A byte order mark and CRLF line ends are taken.
Read<YamlNode> parse_yaml(std::string_view file, std::string_view text, const YamlLimits& limits = {});

// "a mapping", "a list", "nothing" …
std::string_view kind_name(YamlNode::Kind kind);

// First faults of the raw bytes that no reader of ours takes: control bytes, bytes that are not UTF-8.
Complaints check_bytes(std::string_view file, std::string_view text);

}  // namespace tubgrove
