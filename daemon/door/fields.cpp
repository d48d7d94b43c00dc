#include "door/fields.hpp"

#include "utf8.hpp"

#include <boost/json.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>

namespace tubgrove {
namespace {

namespace json = boost::json;

constexpr std::size_t most_texts = 1000;

std::string_view kind_words(FieldKind kind) {
    switch (kind) {
        case FieldKind::text: return "a text";
        case FieldKind::texts: return "a list of texts";
        case FieldKind::yes_no: return "true or false";
        case FieldKind::whole: return "a whole number";
    }
    return "";
}

std::string_view words_of(const json::value& value) {
    switch (value.kind()) {
        case json::kind::null: return "null";
        case json::kind::bool_: return "true or false";
        case json::kind::string: return "a text";
        case json::kind::array: return "a list";
        case json::kind::object: return "an object";
        default: return "a number";
    }
}

// What of a text cannot be kept, and where; nothing where it is clean.
std::optional<Fault> unclean(std::string_view text, const std::string& of) {
    for (std::size_t place = 1; !text.empty(); ++place) {
        const auto length = character_bytes(text);
        if (length == 0) return Fault{fmt::format("{} holds bytes that are no UTF-8 from character {} on", of, place), "plain text"};
        if (is_control(text.front()))
            return Fault{fmt::format("{} holds the control character U+{:04X} as character {}", of, static_cast<unsigned char>(text.front()), place),
                         "plain text; tabs and line ends may stand in it"};
        text.remove_prefix(length);
    }
    return std::nullopt;
}

// A field as it is named to whoever sent it.
struct Place {
    std::string says;  // the field 'words'
    FieldKind kind;
    Fault wrong(const std::string& more = {}) const {
        return {says + " is not " + std::string(kind_words(kind)) + more, std::string(kind_words(kind))};
    }
};

Parsed<FieldValue> text_of(const json::value& value, const Place& place) {
    if (!value.is_string()) return place.wrong();
    std::string text(value.get_string());
    if (auto wrong = unclean(text, place.says)) return *wrong;
    return FieldValue(std::move(text));
}

Parsed<FieldValue> list_of(const json::value& value, const Place& place) {
    if (!value.is_array()) return place.wrong();
    const auto& items = value.get_array();
    if (items.size() > most_texts) return Fault{fmt::format("{} holds {} texts", place.says, items.size()), fmt::format("at most {}", most_texts)};
    std::vector<std::string> texts;
    for (const auto& item : items) {
        const auto number = texts.size() + 1;
        if (!item.is_string()) return place.wrong(fmt::format(": item {} is {}", number, words_of(item)));
        texts.emplace_back(item.get_string());
        if (auto wrong = unclean(texts.back(), fmt::format("item {} of {}", number, place.says))) return *wrong;
    }
    return FieldValue(std::move(texts));
}

Parsed<FieldValue> value_of(const json::value& value, const Place& place) {
    switch (place.kind) {
        case FieldKind::text: return text_of(value, place);
        case FieldKind::texts: return list_of(value, place);
        case FieldKind::yes_no:
            if (value.is_bool()) return FieldValue(value.get_bool());
            break;
        case FieldKind::whole:
            if (value.is_int64()) return FieldValue(value.get_int64());
            break;
    }
    return place.wrong();
}

Fault unknown_field(std::string_view name, std::span<const Field> known) {
    std::vector<std::string_view> names;
    for (const auto& field : known) names.push_back(field.name);
    const auto near = nearest(name, names);
    std::string right = names.empty() ? "an empty object" : "known are " + one_of(names);
    if (!near.empty()) right = "did you mean " + near + "?";
    return {"unknown field " + tubgrove::quoted(name), right};
}

constexpr std::string_view an_object = "{\"name\": \"value\"}";

Parsed<json::value> parsed(std::string_view body) {
    json::parse_options options;
    options.max_depth = 4;
    json::parser parser({}, options);
    json::error_code error;
    const auto read = parser.write(body.data(), body.size(), error);
    if (!error) return parser.release();
    const std::string ends = body.empty() ? "it is empty" : "it ends too early, after " + std::to_string(body.size()) + " bytes";
    const bool early = error == json::error::incomplete;
    return Fault{"the body is no JSON object: " + (early ? ends : error.message() + " at byte " + std::to_string(read + 1)), std::string(an_object)};
}

// The bytes of the text in quotes that begins there, quotes included. The body is known to be JSON.
std::string_view quoted_at(std::string_view body, std::size_t begin) {
    auto end = begin + 1;
    while (body[end] != '"') end += body[end] == '\\' ? 2 : 1;
    return body.substr(begin, end + 1 - begin);
}

// A name that the outermost object bears twice: of its two values one would be lost without a word.
std::optional<std::string> named_twice(std::string_view body) {
    std::set<std::string> names;
    int depth = 0;
    for (std::size_t at = 0; at < body.size(); ++at) {
        if (body[at] == '{' || body[at] == '[') ++depth;
        if (body[at] == '}' || body[at] == ']') --depth;
        if (body[at] != '"') continue;
        const auto text = quoted_at(body, at);
        at += text.size() - 1;
        const auto next = body.find_first_not_of(" \t\r\n", at + 1);
        if (depth != 1 || next == std::string_view::npos || body[next] != ':') continue;
        std::string name(json::parse(json::string_view(text.data(), text.size())).get_string());
        if (!names.insert(name).second) return name;
    }
    return std::nullopt;
}

}  // namespace

Parsed<Fields> read_fields(std::string_view body, std::span<const Field> known) {
    if (body.empty() && std::ranges::none_of(known, &Field::needed)) body = "{}";
    const auto document = parsed(body);
    if (!good(document)) return fault(document);
    if (!good(document)->is_object()) return Fault{"the body is no JSON object, but " + std::string(words_of(*good(document))), std::string(an_object)};
    if (const auto twice = named_twice(body)) return Fault{"the field " + tubgrove::quoted(*twice) + " is given twice", "each field once"};
    Fields fields;
    for (const auto& [key, value] : good(document)->get_object()) {
        const std::string_view name(key.data(), key.size());
        const auto field = std::ranges::find(known, name, &Field::name);
        if (field == known.end()) return unknown_field(name, known);
        auto read = value_of(value, {.says = "the field " + tubgrove::quoted(name), .kind = field->kind});
        if (!good(read)) return fault(read);
        fields.set(std::string(name), *good(read));
    }
    for (const auto& field : known)
        if (field.needed && !fields.has(field.name))
            return Fault{"the field " + tubgrove::quoted(field.name) + " is missing", std::string(kind_words(field.kind))};
    return fields;
}

}  // namespace tubgrove
