#include "terminal.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <vector>

namespace tubgrove {
namespace {

struct Scalar {
    char32_t value;
    std::size_t length;  // bytes; a byte that is no UTF-8 counts as one scalar
    bool valid;
};

Scalar scalar_at(std::string_view text, std::size_t at) {
    auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = byte(at);
    if (lead < 0x80) return {lead, 1, true};
    const std::size_t length = lead >= 0xF0 && lead < 0xF5 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC2 ? 2 : 0;
    if (lead >= 0xF5 || length == 0 || at + length > text.size()) return {0xFFFD, 1, false};
    char32_t value = lead & (0xFFu >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(at + i) & 0xC0) != 0x80) return {0xFFFD, 1, false};
        value = (value << 6) | (byte(at + i) & 0x3Fu);
    }
    return {value, length, true};
}

int width_of(char32_t c) {
    auto within = [c](char32_t low, char32_t high) { return c >= low && c <= high; };
    if (within(0x0300, 0x036F) || within(0x200B, 0x200F) || within(0x20D0, 0x20FF) || within(0xFE00, 0xFE0F))
        return 0;
    if (within(0x1100, 0x115F) || within(0x2E80, 0xA4CF) || within(0xAC00, 0xD7A3) || within(0xF900, 0xFAFF) ||
        within(0xFE30, 0xFE6F) || within(0xFF00, 0xFF60) || within(0x1F300, 0x1FAFF) || within(0x20000, 0x3FFFD))
        return 2;
    return 1;
}

bool is_control(char32_t c) {
    return c < 0x20 || (c >= 0x7F && c < 0xA0) || (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

std::string_view escape_of(Style style) {
    switch (style) {
        case Style::plain:
            return "";
        case Style::strong:
            return "\x1b[1m";
        case Style::faint:
            return "\x1b[2m";
        case Style::warning:
            return "\x1b[33m";
        case Style::danger:
            return "\x1b[1;31m";
    }
    return "";
}

struct Word {
    std::string text;
    Style style;
    bool glued;  // no blank between it and the word before
};

std::vector<Word> words_of(std::initializer_list<Piece> pieces) {
    std::vector<Word> words;
    bool blank_before = true;
    for (const Piece& piece : pieces) {
        std::string word;
        auto flush = [&] {
            if (word.empty()) return;
            words.push_back({without_controls(word), piece.style, !blank_before});
            word.clear();
            blank_before = false;
        };
        for (char c : piece.text) {
            if (c == ' ' || c == '\n' || c == '\t') {
                flush();
                blank_before = true;
            } else {
                word += c;
            }
        }
        flush();
    }
    return words;
}

// The longest start of `text` that fits; at least one character, so that cutting always advances.
std::size_t fitting(std::string_view text, int width) {
    std::size_t at = 0;
    for (int used = 0; at < text.size();) {
        const Scalar s = scalar_at(text, at);
        used += width_of(s.value);
        if (used > width && at > 0) break;
        at += s.length;
    }
    return at;
}

std::string with_plain_blanks(std::string_view text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        if (text.substr(at).starts_with(nbsp)) {
            out += ' ';
            at += nbsp.size();
        } else {
            out += text[at++];
        }
    }
    return out;
}

}  // namespace

bool is_terminal(int descriptor) { return isatty(descriptor) == 1; }

Page page_of(int descriptor) {
    Page page;
    if (!is_terminal(descriptor)) return page;
    winsize size{};
    if (ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
        page.width = std::clamp<int>(size.ws_col, 20, 100);
    const char* no_colour = std::getenv("NO_COLOR");
    const char* term = std::getenv("TERM");
    page.colour = (no_colour == nullptr || *no_colour == '\0') && term != nullptr && std::string_view(term) != "dumb";
    return page;
}

int columns(std::string_view text) {
    int total = 0;
    for (std::size_t at = 0; at < text.size();) {
        const Scalar s = scalar_at(text, at);
        total += width_of(s.value);
        at += s.length;
    }
    return total;
}

std::string without_controls(std::string_view text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const Scalar s = scalar_at(text, at);
        if (!s.valid || is_control(s.value))
            out += "\uFFFD";
        else
            out += text.substr(at, s.length);
        at += s.length;
    }
    return out;
}

std::string pad_right(std::string_view text, int width) {
    return std::string(text) + std::string(std::size_t(std::max(0, width - columns(text))), ' ');
}

std::string pad_left(std::string_view text, int width) {
    return std::string(std::size_t(std::max(0, width - columns(text))), ' ') + std::string(text);
}

std::string kept(std::string_view text) {
    std::string out;
    for (const char c : text) c == ' ' ? out += nbsp : out += c;
    return out;
}

void Drawing::turn(Style style) {
    if (!page_.colour || style == open_) return;
    if (open_ != Style::plain) text_ += "\x1b[0m";
    text_ += escape_of(style);
    open_ = style;
}

void Drawing::put(std::string_view text, Style style) {
    turn(style);
    text_ += with_plain_blanks(text);
}

void Drawing::end_line() {
    turn(Style::plain);
    text_.erase(text_.find_last_not_of(' ') + 1);
    text_ += '\n';
}

void Drawing::paragraph(Indent indent, std::initializer_list<Piece> pieces) {
    indent.first = std::min(indent.first, page_.width / 2);
    indent.rest = std::min(indent.rest, page_.width / 2);
    const auto words = words_of(pieces);
    int used = indent.first;
    bool line_open = false;
    text_ += std::string(std::size_t(indent.first), ' ');
    const auto new_line = [&] {
        end_line();
        text_ += std::string(std::size_t(indent.rest), ' ');
        used = indent.rest;
        line_open = false;
    };
    for (std::size_t i = 0; i < words.size(); ++i) {
        // Glued words (a bracket after a strong word) wrap together.
        int together = columns(words[i].text);
        for (std::size_t j = i + 1; j < words.size() && words[j].glued; ++j) together += columns(words[j].text);
        if (line_open && !words[i].glued) {
            if (used + 1 + together > page_.width) {
                new_line();
            } else {
                if (words[i].style != open_) turn(Style::plain);
                text_ += ' ';
                ++used;
            }
        }
        std::string_view rest = words[i].text;
        while (used + columns(rest) > page_.width) {
            if (columns(rest) > page_.width - indent.rest) {
                const std::size_t take = fitting(rest, std::max(1, page_.width - used));
                put(rest.substr(0, take), words[i].style);
                rest.remove_prefix(take);
            }
            new_line();
        }
        put(rest, words[i].style);
        used += columns(rest);
        line_open = true;
    }
    end_line();
}

void Drawing::row(std::string_view text, Style style) {
    put(without_controls(text), style);
    end_line();
}

void Drawing::blank() {
    if (!text_.empty() && !text_.ends_with("\n\n")) text_ += '\n';
}

}  // namespace tubgrove
