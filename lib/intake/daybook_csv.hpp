#pragma once
// The daybook as CSV (RFC 4180): id,when,learned,clock,pot,action,values,by,note,round,strikes. Times are RFC 3339 with the
// zone's offset; `values` is key=value;key=value with \; \= and \\ for those characters themselves.
#include "daybook.hpp"
#include "intake/complaint.hpp"

namespace tubgrove {

std::string write_daybook(std::span<const Entry> entries, const Zone& zone);

// Entries of the good lines, ids as in the file, and a complaint for each bad one.
Read<std::vector<Entry>> read_daybook(std::string_view file, std::string_view csv);

}  // namespace tubgrove
