#include "door/fields.hpp"

#include "utf8.hpp"

#include <boost/json.hpp>

#include <algorithm>
#include <optional>

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

std::optional<std::string> text_of(const json::value& value) {
    if (!value.is_string() || !is_clean_text(value.get_string())) return std::nullopt;
    return std::string(value.get_string());
}

std::optional<FieldValue> list_of(const json::value& value) {
    if (!value.is_array() || value.get_array().size() > most_texts) return std::nullopt;
    std::vector<std::string> texts;
    for (const auto& item : value.get_array()) {
        auto text = text_of(item);
        if (!text) return std::nullopt;
        texts.push_back(std::move(*text));
    }
    return texts;
}

std::optional<FieldValue> value_of(const json::value& value, FieldKind kind) {
    switch (kind) {
        case FieldKind::text:
            if (auto text = text_of(value)) return *text;
            return std::nullopt;
        case FieldKind::texts: return list_of(value);
        case FieldKind::yes_no:
            if (value.is_bool()) return value.get_bool();
            return std::nullopt;
        case FieldKind::whole:
            if (value.is_int64()) return value.get_int64();
            return std::nullopt;
    }
    return std::nullopt;
}

Fault unknown_field(std::string_view name, std::span<const Field> known) {
    std::vector<std::string_view> names;
    for (const auto& field : known) names.push_back(field.name);
    const auto near = nearest(name, names);
    std::string right = names.empty() ? "an empty object" : "known are " + one_of(names);
    if (!near.empty()) right = "did you mean " + near + "?";
    return {"unknown field " + tubgrove::quoted(name), right};
}

std::optional<json::value> parsed(std::string_view body) {
    json::parse_options options;
    options.max_depth = 4;
    json::error_code error;
    auto value = json::parse(json::string_view(body.data(), body.size()), error, {}, options);
    if (error) return std::nullopt;
    return value;
}

}  // namespace

Parsed<Fields> read_fields(std::string_view body, std::span<const Field> known) {
    const auto document = parsed(body.empty() && std::ranges::none_of(known, &Field::needed) ? "{}" : body);
    if (!document || !document->is_object()) return Fault{"the body is no JSON object", "{\"name\": \"value\"}"};
    Fields fields;
    for (const auto& [key, value] : document->get_object()) {
        const std::string_view name(key.data(), key.size());
        const auto field = std::ranges::find(known, name, &Field::name);
        if (field == known.end()) return unknown_field(name, known);
        auto read = value_of(value, field->kind);
        if (!read) return Fault{"the field " + tubgrove::quoted(name) + " is not " + std::string(kind_words(field->kind)), std::string(kind_words(field->kind))};
        fields.set(std::string(name), std::move(*read));
    }
    for (const auto& field : known)
        if (field.needed && !fields.has(field.name))
            return Fault{"the field " + tubgrove::quoted(field.name) + " is missing", std::string(kind_words(field.kind))};
    return fields;
}

}  // namespace tubgrove
