#pragma once
// What was told by hand of a day, over all the notes about it.
#include "store/store.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

// A remark where the highest that a source now holds of [from, to) lies below its lowest, so that neither counts; else nothing. The
// two may have been told in notes of their own, each of which was right by itself.
std::optional<std::string> highest_below_lowest(const Store& store, std::string_view source, Instant from, Instant to);

}  // namespace tubgrove
