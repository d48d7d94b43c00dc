#include "intake/complaint.hpp"

#include <algorithm>
#include <cstdio>

namespace tubgrove {
namespace {

char lower(char c) { return c >= 'A' && c <= 'Z' ? char(c - 'A' + 'a') : c; }

// Optimal string alignment: insertions, deletions, substitutions and swapped neighbours cost one each.
std::size_t distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            std::size_t unlike = lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1;
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + unlike});
            bool swapped = i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]);
            if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
        }
        std::swap(before, last);
        std::swap(last, row);
    }
    return last[b.size()];
}

template <class Text>
std::string nearest_of(std::string_view word, std::span<const Text> candidates) {
    if (word.size() > 64) return {};
    std::string best;
    std::size_t best_distance = std::max<std::size_t>(word.size() / 3, 1) + 1;
    for (std::string_view candidate : candidates) {
        auto longer = std::max(word.size(), candidate.size()) - std::min(word.size(), candidate.size());
        if (candidate.size() > 64 || longer >= best_distance) continue;   // no nearer than the difference in length
        auto d = distance(word, candidate);
        // One wrong letter of a one-letter word is every letter.
        if (d < best_distance && d < std::max(word.size(), candidate.size())) {
            best_distance = d;
            best = candidate;
        }
    }
    return best;
}

template <class Text>
std::string list_of(std::span<const Text> words) {
    constexpr std::size_t most = 12;
    std::string list;
    for (std::size_t i = 0; i < words.size() && i < most; ++i) {
        if (i > 0) list += i + 1 == words.size() ? " or " : ", ";
        list += words[i];
    }
    return words.size() > most ? list + " …" : list;
}

}  // namespace

std::string format(const Complaint& c) {
    std::string text = c.file;
    if (!text.empty() && c.line > 0) text += ":" + std::to_string(c.line);
    if (!text.empty() && c.line > 0 && c.column > 0) text += ":" + std::to_string(c.column);
    if (!text.empty()) text += ": ";
    text += c.what;
    if (!c.right.empty()) text += "; " + c.right;
    return text;
}

std::string nearest(std::string_view word, std::span<const std::string> candidates) { return nearest_of(word, candidates); }
std::string nearest(std::string_view word, std::span<const std::string_view> candidates) { return nearest_of(word, candidates); }

std::string did_you_mean(const std::string& near, std::string otherwise) {
    return near.empty() ? std::move(otherwise) : "did you mean " + near + "?";
}

std::string quoted(std::string_view text) {
    constexpr std::size_t most = 60;
    std::string shown = "'";
    auto cut = std::min(text.size(), most);
    while (cut < text.size() && cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0) == 0x80) --cut;   // whole characters only
    for (unsigned char c : text.substr(0, cut)) {
        if (c >= 0x20 && c != 0x7F) {
            shown += char(c);
        } else {
            char code[8];
            std::snprintf(code, sizeof code, "\\x%02X", unsigned(c));
            shown += code;
        }
    }
    return shown + (cut < text.size() ? "…'" : "'");
}

std::string one_of(std::span<const std::string> words) { return list_of(words); }
std::string one_of(std::span<const std::string_view> words) { return list_of(words); }

}  // namespace tubgrove
