#include "intake/daybook_csv.hpp"

#include "intake/csv.hpp"
#include "intake/did.hpp"
#include "intake/quantity.hpp"
#include "intake/yaml_tree.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <sstream>

#include <fmt/format.h>

namespace tubgrove {
namespace {

constexpr std::array heads{std::string_view("id"),     std::string_view("when"), std::string_view("learned"), std::string_view("clock"),
                           std::string_view("pot"),    std::string_view("action"), std::string_view("values"), std::string_view("by"),
                           std::string_view("note"),   std::string_view("round"), std::string_view("strikes")};
constexpr std::array clocks{std::string_view("board"), std::string_view("phone"), std::string_view("unknown")};

std::string escaped(std::string_view text) {
    std::string out;
    for (char c : text) {
        if (c == ';' || c == '=' || c == '\\') out += '\\';
        out += c;
    }
    return out;
}

std::string values_cell(const std::map<std::string, std::string>& values) {
    std::string text;
    for (const auto& [key, value] : values) text += (text.empty() ? "" : ";") + escaped(key) + "=" + escaped(value);
    return text;
}

Parsed<std::map<std::string, std::string>> values_of(std::string_view text) {
    std::map<std::string, std::string> values;
    std::string key, part;
    bool in_value = false;
    auto close = [&] {
        if (!in_value || key.empty()) return false;
        values[key] = part;
        key.clear();
        part.clear();
        in_value = false;
        return true;
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '\\' && i + 1 < text.size()) {
            part += text[++i];
        } else if (text[i] == '=' && !in_value) {
            key = std::move(part);
            part.clear();
            in_value = true;
        } else if (text[i] == ';') {
            if (!close()) return Fault{fmt::format("values: {} is not key=value", tubgrove::quoted(text)), "write key=value;key=value"};
        } else {
            part += text[i];
        }
    }
    if (!text.empty() && !close()) return Fault{fmt::format("values: {} is not key=value", tubgrove::quoted(text)), "write key=value;key=value"};
    return values;
}

class Line {
public:
    Line(const CsvReader& row, std::string_view file, Complaints& complaints) : row_(row), file_(file), complaints_(complaints) {}

    std::string text(std::size_t i) const { return std::string(row_.cell(i)); }

    Instant time(std::size_t i) {
        if (auto found = parse_rfc3339(row_.cell(i))) return *found;
        complain(i, {fmt::format("{}: {} is not a time", heads[i], tubgrove::quoted(row_.cell(i))), "write RFC 3339 with the offset, like 2026-07-14T07:10:00+02:00"});
        return Instant{};
    }
    std::int64_t whole(std::size_t i) {
        std::int64_t number = 0;
        auto cell = row_.cell(i);
        auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), number);
        if (error != std::errc() || end != cell.data() + cell.size() || number < 1)
            complain(i, {fmt::format("{}: {} is not an entry's number", heads[i], tubgrove::quoted(cell)), "write a whole number from 1"});
        return number;
    }
    Clock clock(std::size_t i) {
        auto found = std::ranges::find(clocks, row_.cell(i));
        if (found != clocks.end()) return Clock(found - clocks.begin());
        complain(i, {fmt::format("clock: {} is not known", tubgrove::quoted(row_.cell(i))), "write board, phone or unknown"});
        return Clock::unknown;
    }
    void complain(std::size_t i, Fault fault) {
        complaints_.push_back({std::string(file_), int(row_.line()), i < row_.cells().size() ? row_.column(i) : 0, std::move(fault.what), std::move(fault.right)});
    }

private:
    const CsvReader& row_;
    std::string_view file_;
    Complaints& complaints_;
};

Entry entry_of(const CsvReader& row, Line& line, const Complaints& complaints) {
    const auto before = complaints.size();
    Entry entry;
    entry.id = line.whole(0);
    entry.when = line.time(1);
    entry.learned = line.time(2);
    entry.clock = line.clock(3);
    entry.pot = line.text(4);
    entry.action = line.text(5);
    if (entry.action.empty()) line.complain(5, {"there is no action", "write what was done, such as watered"});
    auto values = values_of(row.cell(6));
    if (const auto* found = good(values))
        entry.values = *found;
    else
        line.complain(6, fault(values));
    entry.by = line.text(7);
    entry.note = line.text(8);
    entry.round = line.text(9);
    if (!row.cell(10).empty()) entry.strikes = line.whole(10);
    if (complaints.size() > before) return entry;
    if (auto wrong = wrong_entry(entry)) line.complain(wrong->in_values ? 6 : 5, std::move(wrong->fault));
    return entry;
}

constexpr const char *issued_row = "issued", *listed_row = "listed", *run_through = "run-through";

// A pour as a row of the list tells it; empty when a value is missing or out of range.
std::optional<PourLine> pour_in(const std::string& pot, const std::map<std::string, std::string>& values) {
    const auto value = [&](const char* key) {
        const auto found = values.find(key);
        return found == values.end() ? std::string() : found->second;
    };
    const auto pour_l = parse_number(value("pour_l"), 0, 10000);
    const auto passes = parse_count(value("passes"), 1, 10);
    if (pot.empty() || good(pour_l) == nullptr || good(passes) == nullptr) return std::nullopt;
    PourLine line;
    line.pot = line.label = pot;
    line.pour_l = *good(pour_l);
    line.passes = int(*good(passes));
    line.until = value("until") == run_through ? Until::run_through : Until::amount;
    return line;
}

void take_list_row(const CsvReader& row, Line& line, std::vector<ListInDaybook>& lists) {
    if (row.cell(5) == issued_row) {
        ListInDaybook list;
        list.round.id = line.text(9);
        list.round.issued = line.time(1);
        list.learned = line.time(2);
        lists.push_back(std::move(list));
        return;
    }
    const auto values = values_of(row.cell(6));
    const auto pour = good(values) == nullptr ? std::nullopt : pour_in(line.text(4), *good(values));
    if (!pour) line.complain(6, {"this is no line of a list", "write pour_l=2.5;passes=1;until=run-through"});
    else if (lists.empty() || lists.back().round.id != row.cell(9)) line.complain(9, {"the list of this line is not above it", "keep the rows in their order"});
    else lists.back().round.pours.push_back(*pour);
}

std::string entry_row(const Entry& e, const std::string& id, const Zone& zone) {
    const std::array cells{id, format_rfc3339(e.when, zone), format_rfc3339(e.learned, zone), std::string(clocks[std::size_t(e.clock)]),
                           e.pot, e.action, values_cell(e.values), e.by, e.note, e.round, e.strikes ? std::to_string(*e.strikes) : std::string()};
    std::string text;
    for (std::size_t i = 0; i < cells.size(); ++i) text += (i > 0 ? "," : "") + csv_cell(cells[i]);
    return text + "\r\n";
}

bool good_head(CsvReader& row, Line& line) {
    if (std::ranges::equal(row.cells(), heads)) return true;
    line.complain(row.cells().size(), {"this is not a daybook: its first line differs", fmt::format("begin with {}", fmt::join(heads, ","))});
    return false;
}

}  // namespace

std::string write_daybook(std::span<const Entry> entries, std::span<const ListInDaybook> lists, const Zone& zone) {
    auto text = fmt::format("{}\r\n", fmt::join(heads, ","));
    for (const auto& e : entries) text += entry_row(e, std::to_string(e.id), zone);
    for (const auto& list : lists) {
        Entry row;
        row.when = list.round.issued;
        row.learned = list.learned;
        row.round = list.round.id;
        row.action = issued_row;
        text += entry_row(row, "", zone);
        row.action = listed_row;
        for (const auto& line : list.round.pours) {
            row.pot = line.pot;
            row.values = {{"pour_l", decimal(line.pour_l)}, {"passes", std::to_string(line.passes)},
                          {"until", line.until == Until::run_through ? run_through : "amount"}};
            text += entry_row(row, "", zone);
        }
    }
    return text;
}

Read<DaybookFile> read_daybook(std::string_view file, std::string_view csv) {
    Read<DaybookFile> read;
    read.complaints = check_bytes(file, csv);
    if (!read.complaints.empty()) return read;
    std::istringstream in{std::string(csv)};
    CsvReader row(in, ',');
    Line line(row, file, read.complaints);
    if (!row.next()) {
        read.complaints.push_back({std::string(file), 0, 0, "the file is empty", fmt::format("begin with {}", fmt::join(heads, ","))});
        return read;
    }
    if (!good_head(row, line)) return read;
    while (row.next()) {
        if (row.blank()) continue;
        auto before = read.complaints.size();
        if (row.too_long() || row.unclosed())
            line.complain(99, {row.too_long() ? "the line is longer than 64 KiB" : "a quote is not closed", "repair or remove the line"});
        else if (row.cells().size() != heads.size())
            line.complain(99, {fmt::format("the line has {} cells", row.cells().size()), fmt::format("give {}", heads.size())});
        else if (row.cell(0).empty() && (row.cell(5) == issued_row || row.cell(5) == listed_row))
            take_list_row(row, line, read.value.lists);
        else if (auto entry = entry_of(row, line, read.complaints); read.complaints.size() == before)
            read.value.entries.push_back(std::move(entry));
    }
    return read;
}

}  // namespace tubgrove
