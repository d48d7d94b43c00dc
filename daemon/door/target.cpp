#include "door/target.hpp"

#include "utf8.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

int hex(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

// %41 and, in a query, + for a space.
std::optional<std::string> decoded(std::string_view text, bool in_query) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '+' && in_query) {
            out += ' ';
        } else if (text[i] != '%') {
            if (static_cast<unsigned char>(text[i]) <= ' ' || text[i] == '\x7f') return std::nullopt;
            out += text[i];
        } else {
            if (i + 2 >= text.size() || hex(text[i + 1]) < 0 || hex(text[i + 2]) < 0) return std::nullopt;
            out += char(hex(text[i + 1]) * 16 + hex(text[i + 2]));
            i += 2;
        }
    }
    if (!is_clean_text(out)) return std::nullopt;
    return out;
}

std::optional<Fault> read_path(std::string_view path, Target& target) {
    const Fault no_path{tubgrove::quoted(path) + " is no path of this service", "a path as GET /api/v1/openapi.json lists them"};
    path.remove_prefix(1);
    while (!path.empty()) {
        const auto end = path.find('/');
        const auto segment = decoded(path.substr(0, end), false);
        if (!segment || segment->empty() || *segment == "." || *segment == "..") return no_path;
        if (segment->find_first_of(std::string_view("\t\r\n\0", 4)) != std::string::npos) return no_path;
        target.segments.push_back(*segment);
        if (end == std::string_view::npos) return std::nullopt;
        path.remove_prefix(end + 1);
        if (path.empty()) return no_path;
    }
    return std::nullopt;
}

std::optional<Fault> read_query(std::string_view query, Target& target) {
    while (!query.empty()) {
        const auto end = std::min(query.find('&'), query.size());
        const auto pair = query.substr(0, end);
        query.remove_prefix(std::min(end + 1, query.size()));
        const auto equals = std::min(pair.find('='), pair.size());
        const auto name = decoded(pair.substr(0, equals), true);
        const auto value = decoded(pair.substr(std::min(equals + 1, pair.size())), true);
        if (!name || !value || name->empty()) return Fault{tubgrove::quoted(pair) + " is no name=value", "day=2026-07-14"};
        if (target.value(*name)) return Fault{tubgrove::quoted(*name) + " is given twice", "give it once"};
        target.query.emplace_back(*name, *value);
    }
    return std::nullopt;
}

}  // namespace

std::optional<std::string> Target::value(std::string_view name) const {
    for (const auto& [known, value] : query)
        if (known == name) return value;
    return std::nullopt;
}

Parsed<Target> read_target(std::string_view text) {
    if (!text.starts_with('/')) return Fault{tubgrove::quoted(text) + " is no path", "a target that begins with /"};
    Target target;
    const auto question = text.find('?');
    if (auto wrong = read_path(text.substr(0, question), target)) return *wrong;
    if (question != std::string_view::npos)
        if (auto wrong = read_query(text.substr(question + 1), target)) return *wrong;
    return target;
}

}  // namespace tubgrove
