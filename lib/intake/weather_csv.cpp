// Weather as CSV: our own layout, and foreign ones through a mapping.
#include "intake/csv.hpp"
#include "intake/read_configuration.hpp"
#include "intake/weather_json.hpp"
#include "intake/weather_rows.hpp"

#include <algorithm>
#include <charconv>
#include <cstdint>
#include <istream>

#include <fmt/format.h>

namespace tubgrove {
namespace {

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

struct Header {
    RowRules rules;
    std::size_t time_cell = 0;
    std::vector<std::size_t> cells;   // of the planned columns
    std::size_t width = 0;            // cells that a row must have; 0: as many as are needed
};

// Spreadsheets call it "Unicode text": two bytes a letter, with a mark at the head or bytes of zero between the letters.
bool two_bytes_a_letter(std::span<const std::string_view> cells) {
    if (cells.empty()) return false;
    const auto first = cells.front();
    return first.starts_with("\xFF\xFE") || first.starts_with("\xFE\xFF") ||
           std::ranges::any_of(cells, [](std::string_view cell) { return cell.find('\0') != std::string_view::npos; });
}

const Fault utf16{"the file is written in UTF-16, two bytes a letter", "save it as UTF-8"};

struct Reading {
    CsvReader& csv;
    std::string_view file;
    WeatherTaken& taken;

    // A cell beyond the last stands for the whole line.
    void complain(std::size_t cell, Fault fault) const {
        taken.complaints.push_back({std::string(file), int(csv.line()), csv.column(cell), std::move(fault.what), std::move(fault.right)});
        taken.usable = false;
    }
};

// `air_temperature:max [degC]`
Parsed<PlannedColumn> own_column(std::string_view head) {
    auto open = head.find('[');
    auto name = trimmed(head.substr(0, open));
    auto channel = weather_channel(name);
    if (!good(channel)) return fault(channel);
    auto wanted = channel_names[std::size_t(*good(channel))].unit;
    if (open == std::string_view::npos || head.back() != ']')
        return Fault{fmt::format("the column {} has no unit", tubgrove::quoted(head)), fmt::format("write {} [{}]", name, wanted)};
    return plan_column(std::string(name), *good(channel), head.substr(open + 1, head.size() - open - 2), false);
}

void own_columns(const Reading& r, Header& header) {
    for (std::size_t i = 1; i < r.csv.cells().size(); ++i) {
        auto planned = own_column(trimmed(r.csv.cell(i)));
        const auto* column = good(planned);
        if (!column) {
            r.complain(i, fault(planned));
            continue;
        }
        auto same = std::ranges::find(header.rules.columns, column->channel, &PlannedColumn::channel);
        if (same != header.rules.columns.end()) {
            r.complain(i, {fmt::format("the columns {} and {} mean the same", same->name, column->name), "keep one of them, or name another statistic"});
            continue;
        }
        header.rules.columns.push_back(*column);
        header.cells.push_back(i);
    }
}

Header own_header(const Reading& r, const Zone& zone) {
    Header header;
    header.rules.file = r.file;
    header.rules.time.zone = zone;
    header.width = r.csv.cells().size();
    auto first = trimmed(r.csv.cell(0));
    if (first == "day")
        header.rules.time.format = "day";
    else if (first != "time")
        r.complain(0, {fmt::format("the first column is {}", tubgrove::quoted(first)), "begin the first line with time (RFC 3339) or day (YYYY-MM-DD)"});
    own_columns(r, header);
    if (header.rules.columns.empty() && r.taken.usable) r.complain(0, {"there is no column with weather", "add one, such as air_temperature [degC]"});
    return header;
}

void each_row(CsvReader& csv, const Header& header, RowTaker& rows) {
    std::vector<std::string_view> cells(header.cells.size());
    auto least = header.time_cell;
    for (auto i : header.cells) least = std::max(least, i);
    while (csv.next()) {
        if (csv.blank()) continue;
        RowPlace place{csv.line(), 0, csv.column(header.time_cell)};
        if (csv.too_long()) {
            rows.refuse(place, 0, {"the line is longer than 64 KiB", "split or remove it"});
        } else if (csv.unclosed()) {
            rows.refuse(place, 0, {"a quote is not closed, or text follows one", "repair or remove the line"});
        } else if (header.width > 0 ? csv.cells().size() != header.width : csv.cells().size() <= least) {
            const auto have = csv.cells().size();
            rows.refuse(place, 0, {fmt::format("the line has {} {}", have, have == 1 ? "cell" : "cells"),
                                   header.width > 0 ? fmt::format("give {}, as the first line does", header.width) : fmt::format("give at least {}", least + 1)});
            csv.first_line_only();   // two stray quotes may have made one row of many good lines
        } else {
            for (std::size_t i = 0; i < cells.size(); ++i) cells[i] = csv.cell(header.cells[i]);
            rows.take(place, trimmed(csv.cell(header.time_cell)), cells, csv.bytes(), [&](std::size_t i) { return csv.column(header.cells[i]); });
        }
    }
    rows.finish(csv.bytes());
}

bool all_digits(std::string_view text) {
    return !text.empty() && text.size() < 5 && std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

// A column of a mapping: by its number from 1, or by its name in the header.
std::optional<std::size_t> locate(const std::string& from, std::span<const std::string> heads) {
    if (all_digits(from)) {
        std::size_t number = 0;
        std::from_chars(from.data(), from.data() + from.size(), number);
        return number == 0 ? std::nullopt : std::optional(number - 1);
    }
    auto found = std::ranges::find(heads, from);
    return found == heads.end() ? std::nullopt : std::optional(std::size_t(found - heads.begin()));
}

bool wants_header(const Mapping& mapping) {
    return !all_digits(mapping.time) || !std::ranges::all_of(mapping.columns, all_digits, &Column::from);
}

Header mapped_header(const Reading& r, const Mapping& mapping, const TimeRule& time, std::span<const std::string> heads) {
    Header header;
    header.rules = {std::string(r.file), time, {}, mapping.missing, mapping.separator != ','};
    auto missing = [&](const std::string& from) {
        auto near = nearest(from, heads);
        r.complain(0, {fmt::format("there is no column {}, which the mapping {} names", tubgrove::quoted(from), mapping.name),
                       did_you_mean(near, fmt::format("the columns are {}", one_of(heads)))});
    };
    if (auto cell = locate(mapping.time, heads)) header.time_cell = *cell;
    else missing(mapping.time);
    for (const auto& column : mapping.columns) {
        auto cell = locate(column.from, heads);
        auto planned = plan_column(column);
        if (!cell) missing(column.from);
        else if (!good(planned)) r.complain(0, fault(planned));
        else {
            header.rules.columns.push_back(*good(planned));
            header.cells.push_back(*cell);
        }
    }
    return header;
}

bool skip_lines(std::istream& in, int lines) {
    for (int i = 0; i < lines; ++i)
        for (int c = in.get(); c != '\n'; c = in.get())
            if (c == std::istream::traits_type::eof()) return false;
    return true;
}

void read_mapped_csv(std::istream& in, const Mapping& mapping, const TimeRule& time, std::string_view file, const ObservationSink& sink,
                     const WeatherProgress& progress, WeatherTaken& taken) {
    const bool empty = in.peek() == std::istream::traits_type::eof();
    skip_lines(in, mapping.skip_lines);
    CsvReader csv(in, mapping.separator, std::uint64_t(mapping.skip_lines) + 1);
    Reading r{csv, file, taken};
    std::vector<std::string> heads;
    if (wants_header(mapping)) {
        bool some = false;
        while (!some && csv.next()) some = !csv.blank();
        if (empty) return r.complain(0, {"the file is empty", "a file with a line of column names"});
        if (!some) return r.complain(0, {"the file has no line with the names of its columns", "check skip_lines of the mapping"});
        if (two_bytes_a_letter(csv.cells())) return r.complain(SIZE_MAX, utf16);
        for (auto cell : csv.cells()) heads.emplace_back(trimmed(cell));
    }
    auto header = mapped_header(r, mapping, time, heads);
    if (!taken.usable) return;
    RowTaker rows(header.rules, sink, progress, taken);
    each_row(csv, header, rows);
}

}  // namespace

WeatherTaken read_weather_csv(std::istream& in, std::string_view file, const Zone& zone, const ObservationSink& sink, const WeatherProgress& progress,
                              std::optional<Instant> latest) {
    WeatherTaken taken;
    CsvReader csv(in, ',', 1);
    Reading r{csv, file, taken};
    bool some = false;
    while (!some && csv.next()) some = !csv.blank();
    if (!some) {
        r.complain(0, {"the file is empty", "begin with a line such as time,air_temperature [degC]"});
        return taken;
    }
    if (two_bytes_a_letter(csv.cells())) {
        r.complain(SIZE_MAX, utf16);
        return taken;
    }
    auto header = own_header(r, zone);
    if (!taken.usable) return taken;
    header.rules.time.latest = latest;
    RowTaker rows(header.rules, sink, progress, taken);
    each_row(csv, header, rows);
    return taken;
}

WeatherTaken read_weather(std::istream& in, std::string_view file, const Mapping& mapping, const Zone& site_zone, const ObservationSink& sink,
                          const WeatherProgress& progress, std::optional<Instant> latest) {
    WeatherTaken taken;
    auto zone = mapping.timezone.empty() ? site_zone : Zone::find(mapping.timezone).value_or(site_zone);
    TimeRule time{mapping.time_format.empty() ? "rfc3339" : mapping.time_format, zone, mapping.time_is == "start", mapping.span, latest};
    if (mapping.format == "json")
        read_weather_json(in, file, mapping, time, sink, progress, taken);
    else
        read_mapped_csv(in, mapping, time, file, sink, progress, taken);
    return taken;
}

}  // namespace tubgrove
