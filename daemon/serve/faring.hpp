#pragma once
// How something that the service does again and again by itself is doing: a source of weather, a way of telling lists. Kept in
// memory, shown to whoever asks.
#include "calendar.hpp"
#include "door/request.hpp"
#include "garden/json_values.hpp"

#include <optional>
#include <ranges>
#include <string>
#include <string_view>

namespace tubgrove {

struct Faring {
    std::string name, way;
    std::optional<Instant> last_success = {}, last_error = {}, next = {};
    std::string error = {};  // the last one, in words
    bool failing = false;    // an error that no success followed; both may stand in one second
};

// It went well. True when it had failed before.
bool note_well(Faring& faring, Instant now);
// It went wrong. True when that is news for the log: the same words in a row are told once.
bool note_trouble(Faring& faring, const std::string& error, Instant now);

void write_faring(JsonWriter& json, const Faring& faring, const Zone& zone);

// {"KEY": [{…}]}: of each what all have in common, and then what `more` writes.
template <std::ranges::range Farings, class More>
Response farings_response(std::string_view key, const Farings& farings, const Zone& zone, More more) {
    JsonWriter json;
    json.begin_object();
    json.begin_array(key);
    for (const auto& one : farings) {
        json.begin_object();
        write_faring(json, one, zone);
        more(json, one);
        json.end_object();
    }
    json.end_array();
    json.end_object();
    return {.body = json.take(), .headers = {}};
}

}  // namespace tubgrove
