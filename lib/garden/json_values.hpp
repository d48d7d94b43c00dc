#pragma once
// Values that may be absent, as JSON: null stands for them.
#include "calendar.hpp"
#include "garden/json_writer.hpp"
#include "plan/round.hpp"

#include <optional>

namespace tubgrove {

// null where the text is empty.
inline void text_or_null(JsonWriter& json, std::string_view key, std::string_view text) {
    if (text.empty())
        json.null(key);
    else
        json.text(key, text);
}

// A local day as 2026-07-16.
inline void day_or_null(JsonWriter& json, std::string_view key, const std::optional<LocalDay>& day) {
    text_or_null(json, key, day ? format_day(*day) : std::string{});
}

// RFC 3339 with the zone's offset.
inline void instant_or_null(JsonWriter& json, std::string_view key, const std::optional<Instant>& instant, const Zone& zone) {
    text_or_null(json, key, instant ? format_rfc3339(*instant, zone) : std::string{});
}

// Which pot, what it is called and where it stands.
template <class Line>
void write_place(JsonWriter& json, const Line& line) {
    json.text("pot", line.pot);
    json.text("label", line.label);
    json.text("bay", line.bay);
}

// How a pour ends, as a word of the contract.
inline void write_until(JsonWriter& json, Until until) { json.text("until", until == Until::run_through ? "run-through" : "amount"); }

// Cans and walks, under "trips".
void write_trips(JsonWriter& json, const std::vector<Trip>& trips);

}  // namespace tubgrove
