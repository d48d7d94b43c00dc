#include "utf8.hpp"

namespace tubgrove {

std::size_t character_bytes(std::string_view text) {
    if (text.empty()) return 0;
    const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
    const auto follow = [&](std::size_t count) {
        for (std::size_t i = 1; i <= count; ++i)
            if ((byte(i) & 0xC0) != 0x80) return std::size_t(0);
        return count + 1;
    };
    const unsigned first = byte(0);
    if (first < 0x80) return 1;
    if (first >= 0xC2 && first <= 0xDF) return follow(1);
    if (first >= 0xE0 && first <= 0xEF) return (first == 0xE0 && byte(1) < 0xA0) || (first == 0xED && byte(1) > 0x9F) ? 0 : follow(2);
    if (first >= 0xF0 && first <= 0xF4) return (first == 0xF0 && byte(1) < 0x90) || (first == 0xF4 && byte(1) > 0x8F) ? 0 : follow(3);
    return 0;
}

bool is_control(char byte) {
    const auto c = static_cast<unsigned char>(byte);
    return (c < 0x20 && c != '\n' && c != '\r' && c != '\t') || c == 0x7F;
}

bool is_clean_text(std::string_view text) {
    while (!text.empty()) {
        const auto length = character_bytes(text);
        if (length == 0 || is_control(text.front())) return false;
        text.remove_prefix(length);
    }
    return true;
}

}  // namespace tubgrove
