#include "intake/weather_json.hpp"

#include "intake/weather_rows.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <istream>

#include <boost/json.hpp>
#include <boost/json/basic_parser_impl.hpp>
#include <fmt/format.h>

namespace tubgrove {
namespace {

using Error = boost::json::error_code;
using Text = boost::json::string_view;

constexpr std::size_t most_bytes_of_columns = std::size_t(16) << 20;

// A place in the document as a JSON pointer, kept while values pass.
class Pointer {
public:
    const std::string& text() const { return text_; }
    void open(bool array) { levels_.push_back({array, 0, text_.size()}); }
    void close() {
        text_.resize(levels_.back().base);
        levels_.pop_back();
    }
    bool in_array() const { return !levels_.empty() && levels_.back().array; }
    void key(std::string_view name) {
        text_.resize(levels_.back().base);
        text_ += '/';
        for (char c : name) {
            if (c == '~') text_ += "~0";
            else if (c == '/') text_ += "~1";
            else text_ += c;
        }
    }
    // Before a value: an element of an array gets its number.
    void value_begins() {
        if (!in_array()) return;
        text_.resize(levels_.back().base);
        text_ += fmt::format_int(levels_.back().count++).c_str();
        text_.insert(levels_.back().base, 1, '/');
    }
    std::string_view parent() const { return std::string_view(text_).substr(0, levels_.empty() ? 0 : levels_.back().base); }
    std::size_t depth() const { return levels_.size(); }

private:
    struct Level {
        bool array;
        long count;
        std::size_t base;
    };
    std::string text_;
    std::vector<Level> levels_;
};

std::string as_pointer(const std::string& from) { return from.empty() || from[0] == '/' ? from : "/" + from; }

// What a document turns out to be.
enum class Layout : unsigned char { unknown, rows, columns };

class Handler {
public:
    static constexpr std::size_t max_object_size = std::size_t(-1);
    static constexpr std::size_t max_array_size = std::size_t(-1);
    static constexpr std::size_t max_key_size = 1024;
    static constexpr std::size_t max_string_size = std::size_t(1) << 20;

    Handler(const Mapping& mapping, RowTaker& rows) : rows_(rows), wanted_rows_(as_pointer(mapping.rows)) {
        layout_ = mapping.rows.empty() ? Layout::unknown : Layout::rows;
        pointers_.push_back(as_pointer(mapping.time));
        for (const auto& column : mapping.columns) pointers_.push_back(as_pointer(column.from));
        cells_.resize(pointers_.size());
        columns_.resize(pointers_.size());
        views_.resize(mapping.columns.size());
    }

    std::uint64_t line = 1, bytes = 0;
    bool found_rows() const { return found_rows_; }
    Layout layout() const { return layout_; }

    bool on_document_begin(Error&) { return true; }
    bool on_document_end(Error&) { return true; }
    bool on_array_begin(Error&) {
        open(true);
        return true;
    }
    bool on_object_begin(Error&) {
        open(false);
        return true;
    }
    bool on_array_end(std::size_t, Error&) {
        close();
        return true;
    }
    bool on_object_end(std::size_t, Error&) {
        close();
        return true;
    }
    bool on_key_part(Text part, std::size_t, Error&) { return add(part); }
    bool on_key(Text part, std::size_t, Error&) {
        add(part);
        at_.key(text_);
        text_.clear();
        return true;
    }
    bool on_string_part(Text part, std::size_t, Error&) { return add(part); }
    bool on_string(Text part, std::size_t, Error&) { return scalar(part); }
    bool on_number_part(Text part, Error&) { return add(part); }
    bool on_int64(std::int64_t, Text part, Error&) { return scalar(part); }
    bool on_uint64(std::uint64_t, Text part, Error&) { return scalar(part); }
    bool on_double(double, Text part, Error&) { return scalar(part); }
    bool on_bool(bool value, Error&) { return scalar(value ? "true" : "false"); }
    bool on_null(Error&) { return scalar(""); }
    bool on_comment_part(Text, Error&) { return true; }
    bool on_comment(Text, Error&) { return true; }

    // Rows of a document of columns. Empty: they fit together.
    std::optional<Fault> give_columns() {
        const bool time_alone = std::all_of(columns_.begin() + 1, columns_.end(), [](const auto& values) { return values.empty(); });
        if (one_row_ && time_alone && columns_.size() > 1)
            return Fault{fmt::format("there is a time at {}, but no value at any of {}", tubgrove::quoted(pointers_[0]), fmt::join(pointers_.begin() + 1, pointers_.end(), ", ")),
                         "correct the mapping's pointers"};
        for (std::size_t c = 0; c < columns_.size(); ++c) {
            if (columns_[c].empty() && one_row_ && c > 0) columns_[c].emplace_back();  // a message need not bring everything
            if (columns_[c].empty()) return Fault{fmt::format("there is no value and no array {}", tubgrove::quoted(pointers_[c])), "correct the mapping's pointers"};
            if (columns_[c].size() != columns_[0].size())
                return Fault{fmt::format("{} has {} values, {} has {}", pointers_[0], columns_[0].size(), pointers_[c], columns_[c].size()),
                             "columns need equal lengths"};
        }
        for (std::size_t row = 0; row < columns_[0].size(); ++row) {
            for (std::size_t c = 0; c < cells_.size(); ++c) cells_[c] = columns_[c][row];
            give(long(row) + 1);
        }
        return std::nullopt;
    }

private:
    void open(bool array) {
        at_.value_begins();
        if (layout_ == Layout::unknown && at_.depth() == 0) layout_ = array ? Layout::rows : Layout::columns;
        if (layout_ == Layout::rows && array && !in_rows_ && at_.text() == wanted_rows_) {
            in_rows_ = found_rows_ = true;
            rows_depth_ = at_.depth() + 1;
        } else if (in_rows_ && at_.depth() == rows_depth_) {
            row_base_ = at_.text().size();
            row_line_ = line;
            for (auto& cell : cells_) cell.clear();
        }
        at_.open(array);
    }

    void close() {
        at_.close();
        if (!in_rows_) return;
        if (at_.depth() == rows_depth_) give(++row_);
        if (at_.depth() + 1 == rows_depth_) in_rows_ = false;
    }

    bool add(std::string_view part) {
        text_ += part;
        return true;
    }

    bool scalar(std::string_view part) {
        at_.value_begins();
        add(part);
        if (layout_ == Layout::columns) column_value();
        else if (in_rows_ && at_.depth() > rows_depth_) row_value();
        else if (in_rows_) rows_.refuse({line, ++row_, 0}, 0, {fmt::format("{} is not a row", tubgrove::quoted(text_)), "rows are objects or arrays"});
        text_.clear();
        return true;
    }

    void row_value() {
        auto place = std::string_view(at_.text()).substr(row_base_);
        for (std::size_t c = 0; c < pointers_.size(); ++c)
            if (place == pointers_[c]) cells_[c] = text_;
    }

    // An element of a column, or the value itself where the document is one row.
    void column_value() {
        const auto place = at_.in_array() ? at_.parent() : std::string_view(at_.text());
        for (std::size_t c = 0; c < pointers_.size(); ++c) {
            if (place != pointers_[c]) continue;
            one_row_ = one_row_ || (c == 0 && !at_.in_array());
            columns_[c].push_back(text_);
        }
    }

    void give(long row) {
        for (std::size_t c = 0; c < views_.size(); ++c) views_[c] = cells_[c + 1];
        rows_.take({layout_ == Layout::rows ? row_line_ : 0, row, 0}, cells_[0], views_, bytes, [](std::size_t) { return 0; });
    }

    RowTaker& rows_;
    std::string wanted_rows_;
    Layout layout_;
    Pointer at_;
    std::string text_;
    std::vector<std::string> pointers_, cells_;      // the time's first
    std::vector<std::vector<std::string>> columns_;
    std::vector<std::string_view> views_;
    bool in_rows_ = false, found_rows_ = false, one_row_ = false;
    std::size_t rows_depth_ = 0, row_base_ = 0;
    std::uint64_t row_line_ = 0;
    long row_ = 0;
};

using Parser = boost::json::basic_parser<Handler>;

struct Reading {
    std::string_view file;
    WeatherTaken& taken;
    void complain(std::uint64_t line, std::string what, std::string right) const {
        taken.complaints.push_back({std::string(file), int(line), 0, std::move(what), std::move(right)});
    }
};

// Feeds the document line by line, so that rows know theirs. False: it ended early, with a complaint.
bool feed(std::istream& in, Parser& parser, const Reading& r) {
    std::vector<char> buffer(std::size_t(64) << 10);
    auto& h = parser.handler();
    Error error;
    bool first = true;
    while (in.read(buffer.data(), std::streamsize(buffer.size())), in.gcount() > 0) {
        std::string_view rest(buffer.data(), std::size_t(in.gcount()));
        if (first && rest.starts_with("\xEF\xBB\xBF")) rest.remove_prefix(3);
        first = false;
        while (!rest.empty()) {
            auto newline = rest.find('\n');
            auto part = rest.substr(0, newline == std::string_view::npos ? rest.size() : newline + 1);
            parser.write_some(true, part.data(), part.size(), error);
            if (error) {
                r.complain(h.line, fmt::format("this is not JSON: {}", error.message()), "repair the file; rows before this line were read");
                return false;
            }
            h.bytes += part.size();
            if (newline != std::string_view::npos) ++h.line;
            rest.remove_prefix(part.size());
            if (h.layout() == Layout::columns && h.bytes > most_bytes_of_columns) {
                r.complain(0, fmt::format("the file has more than {} bytes", most_bytes_of_columns), "a document of columns is read whole: split it");
                return false;
            }
        }
    }
    parser.write_some(false, nullptr, 0, error);
    if (error) r.complain(h.line, "the JSON ends too early", "repair the file; rows before its end were read");
    return !error;
}

}  // namespace

Parsed<Instant> issued_in(std::string_view json, std::string_view pointer, const Zone& zone) {
    if (json.size() > most_bytes_of_columns)
        return Fault{fmt::format("the forecast has more than {} bytes", most_bytes_of_columns), "fetch fewer days or quantities"};
    Error error;
    const auto document = boost::json::parse(json, error);
    if (error) return Fault{fmt::format("this is not JSON: {}", error.message()), "a forecast as the mapping tells"};
    const auto* found = document.find_pointer(pointer, error);
    if (found == nullptr || (!found->is_string() && !found->is_number()))
        return Fault{fmt::format("the forecast does not say at {} when it was issued", quoted(pointer)), "correct `issued:` of the mapping"};
    TimeRule rule;
    rule.zone = zone;
    std::string text = found->is_string() ? std::string(found->get_string()) : boost::json::serialize(*found);
    if (found->is_number()) rule.format = "epoch";
    const auto interval = parse_interval(text, rule);
    if (!interval) return Fault{fmt::format("{} at {} is not a time", quoted(text), quoted(pointer)), "RFC 3339, or seconds since 1970"};
    return interval->ends;
}

void read_weather_json(std::istream& in, std::string_view file, const Mapping& mapping, const TimeRule& time, const ObservationSink& sink,
                       const WeatherProgress& progress, WeatherTaken& taken) {
    Reading r{file, taken};
    RowRules rules{std::string(file), time, {}, mapping.missing, false};
    for (const auto& column : mapping.columns) {
        auto planned = plan_column(column);
        if (const auto* found = good(planned)) {
            rules.columns.push_back(*found);
        } else {
            r.complain(0, fault(planned).what, fault(planned).right);
            taken.usable = false;
        }
    }
    if (!taken.usable) return;
    RowTaker rows(std::move(rules), sink, progress, taken);
    Parser parser(boost::json::parse_options{}, mapping, rows);
    auto& h = parser.handler();
    bool whole = feed(in, parser, r);
    if (whole && h.layout() == Layout::columns) {
        if (auto fault = h.give_columns()) {
            r.complain(0, fault->what, fault->right);
            taken.usable = false;
        }
    } else if (whole && !h.found_rows()) {
        r.complain(0, fmt::format("there is no array of rows at {}", tubgrove::quoted(mapping.rows)), "correct `rows:` of the mapping");
        taken.usable = false;
    }
    rows.finish(h.bytes);
}

}  // namespace tubgrove
