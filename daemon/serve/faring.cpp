#include "serve/faring.hpp"

#include <utility>

namespace tubgrove {

bool note_well(Faring& faring, Instant now) {
    faring.last_success = now;
    return std::exchange(faring.failing, false);
}

bool note_trouble(Faring& faring, const std::string& error, Instant now) {
    const bool news = !std::exchange(faring.failing, true) || faring.error != error;
    faring.error = error;
    faring.last_error = now;
    return news;
}

void write_faring(JsonWriter& json, const Faring& faring, const Zone& zone) {
    json.text("name", faring.name);
    json.text("way", faring.way);
    json.boolean("failing", faring.failing);
    instant_or_null(json, "last_success", faring.last_success, zone);
    instant_or_null(json, "last_error", faring.last_error, zone);
    text_or_null(json, "error", faring.error);
    instant_or_null(json, "next", faring.next, zone);
}

}  // namespace tubgrove
