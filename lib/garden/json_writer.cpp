#include "garden/json_writer.hpp"

#include <array>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace tubgrove {
namespace {

constexpr std::array<std::pair<std::string_view, int>, 16> decimals_by_suffix{{
    {"_l", 2}, {"_mm", 1}, {"_degC", 1}, {"_kg", 2}, {"_kPa", 2}, {"_h", 1}, {"_m_s", 1}, {"_MJ_m2", 2},
    {"_pct", 0}, {"_m2", 3}, {"_cm", 1}, {"_m", 0}, {"_W_m2", 0}, {"_share", 3}, {"_d", 1}, {"_deg", 4},
}};

void append_escaped(std::string& out, std::string_view text) {
    out += '"';
    for (char c : text) {
        switch (c) {
            case '"': out += "\\\""; break;
            case '\\': out += "\\\\"; break;
            case '\n': out += "\\n"; break;
            case '\t': out += "\\t"; break;
            case '\r': out += "\\r"; break;
            default:
                if (static_cast<unsigned char>(c) < 0x20)
                    out += fmt::format("\\u{:04x}", int(static_cast<unsigned char>(c)));
                else
                    out += c;
        }
    }
    out += '"';
}

}  // namespace

int json_decimals(std::string_view key) {
    int decimals = 0;
    std::size_t longest = 0;
    for (const auto& [suffix, digits] : decimals_by_suffix)
        if (key.ends_with(suffix) && suffix.size() > longest) {
            longest = suffix.size();
            decimals = digits;
        }
    return decimals;
}

std::string fixed_decimals(double value, int decimals) {
    auto text = fmt::format("{:.{}f}", value, decimals);
    if (text.starts_with('-') && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
    return text;
}

void JsonWriter::start(std::string_view key) {
    if (!has_items_.empty()) {
        if (has_items_.back()) out_ += ',';
        has_items_.back() = true;
        out_ += '\n';
        out_.append(has_items_.size() * 2, ' ');
    }
    if (!key.empty()) {
        append_escaped(out_, key);
        out_ += ": ";
    }
}

void JsonWriter::open(std::string_view key, char bracket) {
    start(key);
    out_ += bracket;
    has_items_.push_back(false);
}

void JsonWriter::close(char bracket) {
    bool had_items = has_items_.back();
    has_items_.pop_back();
    if (had_items) {
        out_ += '\n';
        out_.append(has_items_.size() * 2, ' ');
    }
    out_ += bracket;
}

void JsonWriter::text(std::string_view key, std::string_view value) {
    start(key);
    append_escaped(out_, value);
}

void JsonWriter::number(std::string_view key, double value) { number_in(key, value, json_decimals(key)); }

void JsonWriter::number_in(std::string_view key, double value, int decimals) {
    raw(key, std::isfinite(value) ? fixed_decimals(value, decimals) : "null");
}

void JsonWriter::integer(std::string_view key, long long value) { raw(key, std::to_string(value)); }
void JsonWriter::boolean(std::string_view key, bool value) { raw(key, value ? "true" : "false"); }
void JsonWriter::null(std::string_view key) { raw(key, "null"); }

void JsonWriter::raw(std::string_view key, std::string_view json) {
    start(key);
    out_ += json;
}

}  // namespace tubgrove
