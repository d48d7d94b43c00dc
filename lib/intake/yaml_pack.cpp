#include "intake/yaml_pack.hpp"

namespace tubgrove {
namespace {

constexpr unsigned quoted_bit = 8;  // above the kinds

// Seven bits a byte, the lowest first; the eighth says that more follow.
void put_number(std::string& out, std::size_t number) {
    for (; number > 127; number >>= 7) out += char((number & 127) | 128);
    out += char(number);
}

void put_text(std::string& out, std::string_view text) {
    put_number(out, text.size());
    out += text;
}

void put_place(std::string& out, int line, int column) {
    put_number(out, std::size_t(line));
    put_number(out, std::size_t(column));
}

void put_node(std::string& out, const YamlNode& node) {
    out += char(unsigned(node.kind) | (node.quoted ? quoted_bit : 0));
    put_place(out, node.line, node.column);
    if (node.kind == YamlNode::Kind::scalar) put_text(out, node.text);
    if (node.kind != YamlNode::Kind::mapping && node.kind != YamlNode::Kind::sequence) return;
    put_number(out, node.items.size());
    for (const auto& key : node.keys) {
        put_text(out, key.text);
        put_place(out, key.line, key.column);
    }
    for (const auto& item : node.items) put_node(out, item);
}

struct Packed {
    std::string_view rest;

    std::size_t number() {
        std::size_t found = 0;
        for (unsigned shift = 0;; shift += 7) {
            const auto byte = static_cast<unsigned char>(rest.front());
            rest.remove_prefix(1);
            found |= std::size_t(byte & 127) << shift;
            if (byte < 128) return found;
        }
    }

    std::string text() {
        const auto size = number();
        std::string found(rest.substr(0, size));
        rest.remove_prefix(size);
        return found;
    }

    YamlNode node() {
        YamlNode found;
        const auto first = number();
        found.kind = YamlNode::Kind(first & (quoted_bit - 1));
        found.quoted = (first & quoted_bit) != 0;
        found.line = int(number());
        found.column = int(number());
        if (found.kind == YamlNode::Kind::scalar) found.text = text();
        if (found.kind != YamlNode::Kind::mapping && found.kind != YamlNode::Kind::sequence) return found;
        const auto count = number();
        if (found.kind == YamlNode::Kind::mapping) found.keys.reserve(count);
        found.items.reserve(count);
        for (std::size_t i = 0; found.kind == YamlNode::Kind::mapping && i < count; ++i) {
            YamlKey key{.text = text()};
            key.line = int(number());
            key.column = int(number());
            found.keys.push_back(std::move(key));
        }
        for (std::size_t i = 0; i < count; ++i) found.items.push_back(node());
        return found;
    }
};

}  // namespace

std::string pack_tree(const YamlNode& tree) {
    std::string out;
    put_node(out, tree);
    return out;
}

YamlNode unpack_tree(std::string_view packed) { return Packed{packed}.node(); }

}  // namespace tubgrove
