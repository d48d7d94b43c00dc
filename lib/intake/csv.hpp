#pragma once
// RFC 4180: rows of cells from a stream, in bounded memory.
#include <cstdint>
#include <iosfwd>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// Reads physical lines through one buffer; a quoted cell may hold separators, doubled quotes and line ends. CRLF, LF and a
// byte order mark are taken. A row above 64 KiB is given up to its end as `too_long`, with no cells. Where a quote turns out to
// be a stray one, the row is its first line alone, and reading goes on with the next.
class CsvReader {
public:
    // `first_line`: number of the line that the stream stands at.
    CsvReader(std::istream& in, char separator, std::uint64_t first_line = 1);

    // The next row; false at the end. Cells live until the next call.
    bool next();
    std::span<const std::string_view> cells() const { return cells_; }
    std::string_view cell(std::size_t i) const { return i < cells_.size() ? cells_[i] : std::string_view(); }
    std::uint64_t line() const { return row_line_; }       // of the row's begin, from 1
    int column(std::size_t i) const;                       // in bytes from 1, of a cell
    bool blank() const { return cells_.size() == 1 && cells_[0].empty(); }
    bool too_long() const { return too_long_; }
    bool unclosed() const { return unclosed_; }            // a quote that never ends, or text after one
    bool several_lines() const { return after_row_ > after_line_; }
    // Takes the row for its first line alone; the next row begins with the line after it. The cells are gone.
    void first_line_only();
    std::uint64_t bytes() const { return taken_; }

private:
    bool more();                                           // reads on; false at the end
    std::size_t row_end();                                 // offset of the row's line end, reading as needed
    void cut(std::string_view row);
    void cut_quoted(std::string_view row);

    std::istream& in_;
    char separator_;
    std::vector<char> buffer_;
    std::size_t begin_ = 0, end_ = 0;
    std::size_t after_line_ = 0, after_row_ = 0;           // offsets in the buffer behind the row's first line and its last
    std::uint64_t line_, row_line_ = 0, taken_ = 0;
    bool at_end_ = false, too_long_ = false, unclosed_ = false, first_ = true;
    std::vector<std::string_view> cells_;
    std::vector<int> columns_;
    std::string unquoted_;                                 // cells that had doubled quotes
};

// A cell as RFC 4180 wants it written.
std::string csv_cell(std::string_view text);

}  // namespace tubgrove
