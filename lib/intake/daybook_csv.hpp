#pragma once
// The daybook as CSV (RFC 4180): id,when,learned,clock,pot,action,values,by,note,round,strikes. Times are RFC 3339 with the
// zone's offset; `values` is key=value;key=value with \; \= and \\ for those characters themselves. Behind the entries stand
// the lists that they answer, without an id: a row `issued` for each list, and below it a row `listed` for each of its pots.
#include "daybook.hpp"
#include "intake/complaint.hpp"
#include "plan/round.hpp"

namespace tubgrove {

// Of a list what its answers need: id, time of issue, and what each pour told to give.
struct ListInDaybook {
    Round round;
    Instant learned{};
};

struct DaybookFile {
    std::vector<Entry> entries;
    std::vector<ListInDaybook> lists;
};

std::string write_daybook(std::span<const Entry> entries, std::span<const ListInDaybook> lists, const Zone& zone);

// Entries and lists of the good lines, ids as in the file, and a complaint for each bad one.
Read<DaybookFile> read_daybook(std::string_view file, std::string_view csv);

}  // namespace tubgrove
