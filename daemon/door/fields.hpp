#pragma once
// The body of a write: a flat JSON object of texts, lists of texts, yes or no, and whole numbers.
#include "intake/complaint.hpp"

#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace tubgrove {

enum class FieldKind : unsigned char { text, texts, yes_no, whole };

struct Field {
    std::string_view name;
    FieldKind kind;
    bool needed = false;
};

using FieldValue = std::variant<std::string, std::vector<std::string>, bool, std::int64_t>;

class Fields {
public:
    void set(std::string name, FieldValue value) { values_[std::move(name)] = std::move(value); }
    bool has(std::string_view name) const { return values_.contains(name); }
    // Empty, false or 0 when the field was left out.
    std::string text(std::string_view name) const { return get<std::string>(name); }
    std::vector<std::string> texts(std::string_view name) const { return get<std::vector<std::string>>(name); }
    bool yes(std::string_view name) const { return get<bool>(name); }
    std::int64_t whole(std::string_view name) const { return get<std::int64_t>(name); }

private:
    template <class Value>
    Value get(std::string_view name) const {
        const auto found = values_.find(name);
        const Value* value = found == values_.end() ? nullptr : std::get_if<Value>(&found->second);
        return value ? *value : Value();
    }
    std::map<std::string, FieldValue, std::less<>> values_;
};

// Refused: what is no JSON object, an unknown field (the nearest known one is named), another kind of value than the
// field has, a field given twice, a needed one left out.
Parsed<Fields> read_fields(std::string_view body, std::span<const Field> known);

}  // namespace tubgrove
