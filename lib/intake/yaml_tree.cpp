#include "intake/yaml_tree.hpp"

#include "utf8.hpp"

#include <algorithm>
#include <cstdint>
#include <istream>
#include <map>
#include <streambuf>

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

namespace tubgrove {
namespace {

using Kind = YamlNode::Kind;

// The bytes as a stream, without a copy.
struct Bytes : std::streambuf {
    explicit Bytes(std::string_view text) {
        auto* begin = const_cast<char*>(text.data());
        setg(begin, begin, begin + text.size());
    }
};

// Reading ends here; the complaint has been made.
struct Stop {};

class Builder : public YAML::EventHandler {
public:
    Builder(std::string_view file, const YamlLimits& limits, Complaints& complaints)
        : file_(file), limits_(limits), complaints_(complaints) {}

    YamlNode root;

    void OnDocumentStart(const YAML::Mark&) override {}
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark& mark, YAML::anchor_t) override { put(mark, Kind::null, {}, {}); }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
        complain(mark, "an alias (*name) is not taken", "write the value out again");
        put(mark, Kind::broken, {}, {});
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, const std::string& value) override {
        refuse_decoration(mark, tag, anchor);
        put(mark, Kind::scalar, value, tag);
    }
    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, YAML::EmitterStyle::value) override {
        refuse_decoration(mark, tag, anchor);
        open(mark, Kind::sequence);
    }
    void OnSequenceEnd() override { close(); }
    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, YAML::EmitterStyle::value) override {
        refuse_decoration(mark, tag, anchor);
        open(mark, Kind::mapping);
    }
    void OnMapEnd() override { close(); }

private:
    // A collection being filled. `want_key` alternates in a mapping; `as_key`: it stands where a key should.
    struct Level {
        YamlNode node;
        bool want_key = false;
        bool as_key = false;
        std::map<std::string, int> seen;   // key -> its line
    };

    void complain(const YAML::Mark& mark, std::string what, std::string right) {
        complaints_.push_back({std::string(file_), mark.line + 1, mark.column + 1, std::move(what), std::move(right)});
    }

    void refuse_decoration(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
        if (anchor != 0) complain(mark, "an anchor (&name) is not taken", "write the value out wherever it is needed");
        if (tag.size() > 1) complain(mark, fmt::format("a tag ({}) is not taken", tag), "leave it out");
    }

    void count(const YAML::Mark& mark) {
        if (++nodes_ <= limits_.nodes) return;
        complain(mark, fmt::format("the file has more than {} values", limits_.nodes), "split it");
        throw Stop{};
    }

    void open(const YAML::Mark& mark, Kind kind) {
        count(mark);
        if (int(levels_.size()) >= limits_.depth) {
            complain(mark, fmt::format("this is nested more than {} deep", limits_.depth), "check the brackets and the indentation");
            throw Stop{};
        }
        Level level;
        level.node.kind = kind;
        level.node.line = mark.line + 1;
        level.node.column = mark.column + 1;
        level.want_key = kind == Kind::mapping;
        level.as_key = !levels_.empty() && levels_.back().want_key;
        levels_.push_back(std::move(level));
    }

    void close() {
        auto level = std::move(levels_.back());
        levels_.pop_back();
        YAML::Mark mark;
        mark.line = level.node.line - 1;
        mark.column = level.node.column - 1;
        if (level.as_key)
            key(mark, Kind::mapping, {});
        else
            add(std::move(level.node));
    }

    void put(const YAML::Mark& mark, Kind kind, const std::string& value, const std::string& tag) {
        count(mark);
        if (!levels_.empty() && levels_.back().want_key) return key(mark, kind, value);
        YamlNode node;
        node.kind = kind;
        node.text = value;
        node.quoted = tag == "!";
        node.line = mark.line + 1;
        node.column = mark.column + 1;
        // The word null, ~ and an empty place are one; the library's place of the last is the next token's.
        if (kind == Kind::null && !levels_.empty() && levels_.back().node.kind == Kind::mapping) {
            node.line = levels_.back().node.keys.back().line;
            node.column = levels_.back().node.keys.back().column;
        }
        add(std::move(node));
    }

    void key(const YAML::Mark& mark, Kind kind, const std::string& value) {
        auto& level = levels_.back();
        level.want_key = false;
        bool again = false;
        if (kind != Kind::scalar || value.empty()) {
            if (kind != Kind::broken) complain(mark, "a key must be a word", "write `key: value`");
        } else if (auto [first, fresh] = level.seen.try_emplace(value, mark.line + 1); !fresh) {
            complain(mark, fmt::format("the key {} is given twice, first in line {}", quoted(value), first->second), "keep one of them");
            again = true;
        }
        level.node.keys.push_back({again ? std::string() : value, mark.line + 1, mark.column + 1});
    }

    void add(YamlNode node) {
        if (levels_.empty()) {
            root = std::move(node);
            return;
        }
        auto& parent = levels_.back();
        if (parent.node.kind == Kind::mapping) parent.want_key = true;
        parent.node.items.push_back(std::move(node));
    }

    std::string_view file_;
    const YamlLimits& limits_;
    Complaints& complaints_;
    std::vector<Level> levels_;
    std::size_t nodes_ = 0;
};

// Keys that were complained of (no word, given twice) lost their text and leave the tree, so that nobody complains again.
void prune(YamlNode& node) {
    if (node.kind == Kind::mapping) {
        std::size_t kept = 0;
        for (std::size_t i = 0; i < node.keys.size(); ++i) {
            if (node.keys[i].text.empty()) continue;
            if (kept != i) {
                node.keys[kept] = std::move(node.keys[i]);
                node.items[kept] = std::move(node.items[i]);
            }
            ++kept;
        }
        node.keys.resize(kept);
        node.items.resize(kept);
    }
    for (auto& item : node.items) prune(item);
}

void check_indentation(std::string_view file, std::string_view text, Complaints& complaints) {
    int line = 1;
    for (std::size_t i = 0; i < text.size(); ++line) {
        auto end = std::min(text.find('\n', i), text.size());
        auto row = text.substr(i, end - i);
        auto first = row.find_first_not_of(" \t\r");
        auto tab = row.substr(0, first == std::string_view::npos ? 0 : first).find('\t');
        if (tab != std::string_view::npos && row[first] != '#')
            complaints.push_back({std::string(file), line, int(tab) + 1, "a tab indents this line", "indent with spaces"});
        i = end + 1;
    }
}

// The library's words for what it met, in ours where a grower meets them.
std::string plain_words(const std::string& message) {
    if (message.find("illegal map value") != std::string::npos) return "there is a ':' where no value can stand";
    if (message.find("end of map") != std::string::npos) return "this mapping does not end where it should";
    if (message.find("end of sequence") != std::string::npos) return "this list does not end where it should";
    if (message.find("EOF in scalar") != std::string::npos) return "the file ends here, and a quote is still open";
    return "this is not YAML (" + message + ")";
}

void run(std::string_view file, std::string_view text, Builder& builder, Complaints& complaints) {
    auto at = [&](const YAML::Mark& mark, std::string what, std::string right) {
        complaints.push_back({std::string(file), std::max(mark.line, 0) + 1, std::max(mark.column, 0) + 1, std::move(what), std::move(right)});
    };
    try {
        Bytes bytes(text);
        std::istream in(&bytes);
        YAML::Parser parser(in);
        if (!parser.HandleNextDocument(builder)) return;
        YamlLimits limits;
        Complaints ignored;
        Builder second(file, limits, ignored);
        if (parser && parser.HandleNextDocument(second))
            complaints.push_back({std::string(file), second.root.line, 1, "a second document begins here", "keep one document in a file"});
    } catch (const YAML::Exception& e) {
        at(e.mark, plain_words(e.msg), "check indentation, colons, quotes and brackets");
    } catch (const Stop&) {
    }
}

}  // namespace

std::string_view kind_name(Kind kind) {
    switch (kind) {
        case Kind::scalar: return "a value";
        case Kind::sequence: return "a list";
        case Kind::mapping: return "a mapping";
        default: return "nothing";
    }
}

Complaints check_bytes(std::string_view file, std::string_view text) {
    constexpr std::size_t most = 20;
    Complaints complaints;
    int line = 1;
    std::size_t line_start = 0;
    for (std::size_t i = 0; i < text.size() && complaints.size() < most;) {
        auto c = static_cast<unsigned char>(text[i]);
        auto length = character_bytes(text.substr(i));
        bool control = is_control(text[i]);
        if (length == 0 || control)
            complaints.push_back({std::string(file), line, int(i - line_start) + 1,
                                  control ? fmt::format("the control byte \\x{:02X} is here", c) : fmt::format("the byte \\x{:02X} is not UTF-8", c),
                                  control ? "remove it" : "save the file as UTF-8"});
        if (c == '\n') {
            ++line;
            line_start = i + 1;
        }
        i += std::max<std::size_t>(length, 1);
    }
    return complaints;
}

Read<YamlNode> parse_yaml(std::string_view file, std::string_view text, const YamlLimits& limits) {
    Read<YamlNode> read;
    if (text.size() > limits.bytes) {
        read.complaints.push_back({std::string(file), 0, 0, fmt::format("the file has {} bytes", text.size()),
                                   fmt::format("at most {} bytes are read", limits.bytes)});
        return read;
    }
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) {
        read.complaints.push_back({std::string(file), 1, 1, "the file is UTF-16", "save it as UTF-8"});
        return read;
    }
    read.complaints = check_bytes(file, text);
    check_indentation(file, text, read.complaints);
    if (!read.complaints.empty()) return read;   // the library may misread such bytes; the rest would be noise
    // The library sees that a quote is still open only where the text ends within a line.
    while (text.ends_with('\n') || text.ends_with('\r')) text.remove_suffix(1);
    Builder builder(file, limits, read.complaints);
    run(file, text, builder, read.complaints);
    read.value = std::move(builder.root);
    prune(read.value);
    return read;
}

}  // namespace tubgrove
