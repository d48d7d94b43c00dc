#include "intake/csv.hpp"

#include <algorithm>
#include <cstring>
#include <istream>

namespace tubgrove {
namespace {

constexpr std::size_t chunk = std::size_t(256) << 10;
constexpr std::size_t longest_row = std::size_t(64) << 10;

}  // namespace

CsvReader::CsvReader(std::istream& in, char separator, std::uint64_t first_line)
    : in_(in), separator_(separator), buffer_(chunk + longest_row), line_(first_line) {}

bool CsvReader::more() {
    if (at_end_) return false;
    std::memmove(buffer_.data(), buffer_.data() + begin_, end_ - begin_);
    end_ -= begin_;
    begin_ = 0;
    in_.read(buffer_.data() + end_, std::streamsize(buffer_.size() - end_));
    auto got = std::size_t(in_.gcount());
    end_ += got;
    if (got == 0) at_end_ = true;
    return got > 0;
}

// The line end that closes the row: one outside of quotes. The search goes on from where the buffer ended before.
std::size_t CsvReader::row_end() {
    std::size_t from = 0;
    bool quoted_now = false;
    for (;;) {
        const auto* data = buffer_.data() + begin_;
        auto have = end_ - begin_;
        while (from < have) {
            const auto* newline = static_cast<const char*>(std::memchr(data + from, '\n', have - from));
            auto stop = newline ? std::size_t(newline - data) : have;
            if (std::count(data + from, data + stop, '"') % 2 == 1) quoted_now = !quoted_now;
            from = stop;
            if (!newline) break;
            // A quote that is still open after many lines is a stray one: the row ends here and is complained of.
            if (!quoted_now || stop > longest_row / 4) {
                unclosed_ = quoted_now;
                too_long_ = stop > longest_row;
                return stop;
            }
            ++from;
        }
        if (have > longest_row) {
            too_long_ = true;
            return have;
        }
        if (!more()) {
            unclosed_ = quoted_now;
            return end_ - begin_;
        }
    }
}

void CsvReader::first_line_only() {
    if (!several_lines()) return;
    taken_ -= after_row_ - after_line_;
    begin_ = after_line_;
    line_ = row_line_ + 1;
    after_row_ = after_line_;
    cells_.clear();
    columns_.clear();
}

bool CsvReader::next() {
    cells_.clear();
    columns_.clear();
    unclosed_ = too_long_ = false;
    after_line_ = after_row_ = 0;
    if (first_) {
        first_ = false;
        while (end_ < 3 && more()) {}
        if (end_ >= 3 && std::memcmp(buffer_.data(), "\xEF\xBB\xBF", 3) == 0) {
            begin_ = 3;
            taken_ = 3;
        }
    }
    if (begin_ == end_ && !more()) return false;
    row_line_ = line_;
    auto length = row_end();
    std::string_view row(buffer_.data() + begin_, length);
    const auto first_newline = row.find('\n');
    const auto first_line = first_newline == std::string_view::npos ? 0 : begin_ + first_newline + 1;
    begin_ += length;
    taken_ += length;
    while (too_long_) {   // give up the rest of it, to its line end
        const auto* newline = begin_ < end_ ? static_cast<const char*>(std::memchr(buffer_.data() + begin_, '\n', end_ - begin_)) : nullptr;
        auto stop = newline ? std::size_t(newline - buffer_.data()) : end_;
        taken_ += stop - begin_;
        begin_ = stop;
        if (newline || !more()) break;
    }
    if (!too_long_) {
        line_ += std::uint64_t(std::count(row.begin(), row.end(), '\n'));
        if (row.ends_with('\r')) row.remove_suffix(1);
        cut(row);
    }
    if (begin_ < end_) {   // the line end itself
        ++begin_;
        ++taken_;
        ++line_;
    }
    if (first_line > 0 && !too_long_) {
        after_line_ = first_line;
        after_row_ = begin_;
        if (unclosed_) first_line_only();
    }
    return true;
}

void CsvReader::cut(std::string_view row) {
    if (row.find('"') != std::string_view::npos) return cut_quoted(row);
    const auto* start = row.data();
    for (;;) {
        auto end = row.find(separator_);
        cells_.push_back(row.substr(0, end));
        columns_.push_back(int(row.data() - start) + 1);
        if (end == std::string_view::npos) return;
        row.remove_prefix(end + 1);
    }
}

void CsvReader::cut_quoted(std::string_view row) {
    unquoted_.clear();
    unquoted_.reserve(row.size());   // so that the views into it stay
    std::size_t i = 0;
    for (;;) {
        columns_.push_back(int(i) + 1);
        if (i < row.size() && row[i] == '"') {
            auto start = unquoted_.size();
            for (++i; i < row.size(); ++i) {
                if (row[i] == '"' && !(i + 1 < row.size() && row[i + 1] == '"')) break;
                if (row[i] == '"') ++i;
                unquoted_ += row[i];
            }
            if (i < row.size()) ++i;
            if (i < row.size() && row[i] != separator_) unclosed_ = true;
            cells_.push_back(std::string_view(unquoted_).substr(start));
        }
        auto end = std::min(row.find(separator_, i), row.size());
        if (cells_.size() < columns_.size()) cells_.push_back(row.substr(i, end - i));
        if (end == row.size()) return;
        i = end + 1;
    }
}

int CsvReader::column(std::size_t i) const { return i < columns_.size() ? columns_[i] : 0; }

std::string csv_cell(std::string_view text) {
    if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
    std::string cell = "\"";
    for (char c : text) {
        if (c == '"') cell += '"';
        cell += c;
    }
    return cell + '"';
}

}  // namespace tubgrove
