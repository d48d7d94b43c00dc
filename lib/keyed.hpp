#pragma once
// Tables whose rows an enum counts: a name's row, and the first row that nobody has set.
#include <array>
#include <optional>
#include <string_view>

namespace tubgrove {

// `names` stand in the enum's order. Empty when no row has this name.
template <class Key, std::size_t count>
std::optional<Key> key_named(const std::array<std::string_view, count>& names, std::string_view name) {
    for (std::size_t i = 0; i < count; ++i)
        if (names[i] == name) return Key(i);
    return {};
}

// Empty when the table is complete.
template <class Key, class Row, std::size_t count>
std::optional<Key> first_unset(const std::array<Row, count>& rows) {
    for (std::size_t i = 0; i < count; ++i)
        if (!rows[i].set) return Key(i);
    return {};
}

}  // namespace tubgrove
