#include "serve/source_state.hpp"

#include "garden/json_values.hpp"
#include "phrases.hpp"
#include "serve/log.hpp"

#include <sstream>
#include <utility>

namespace tubgrove {
Response sources_response(std::span<const SourceState> states, const Zone& zone) {
    JsonWriter json;
    json.begin_object();
    json.begin_array("sources");
    for (const auto& state : states) {
        json.begin_object();
        json.text("name", state.name);
        json.text("way", state.way);
        json.boolean("failing", state.failing);
        instant_or_null(json, "last_success", state.last_success, zone);
        instant_or_null(json, "last_error", state.last_error, zone);
        text_or_null(json, "error", state.error);
        instant_or_null(json, "next", state.next, zone);
        if (state.connected)
            json.boolean("connected", *state.connected);
        else
            json.null("connected");
        json.integer("fresh", state.fresh);
        json.integer("same", state.same);
        json.integer("changed", state.changed);
        json.integer("refused", state.refused);
        json.end_object();
    }
    json.end_array();
    json.end_object();
    return {.body = json.take(), .headers = {}};
}

TakenIn take_in(Garden& garden, const View& view, std::istream& in, const WeatherFile& file) try {
    const auto outcome = garden.weather_add(view, in, file);
    if (const auto* refusal = std::get_if<Refusal>(&outcome))
        return {.complaints = {refusal->what + (refusal->right.empty() ? "" : "; " + refusal->right)}, .usable = false};
    const auto& answer = std::get<IngestAnswer>(outcome);
    const bool nothing = answer.fresh + answer.same + answer.changed == 0;
    return {.fresh = answer.fresh, .same = answer.same, .changed = answer.changed, .refused = answer.refused_count, .complaints = answer.refused,
            .usable = !nothing || answer.refused.empty()};
} catch (const std::exception& error) {
    return {.usable = false, .fault = error.what()};
}

void Intake::take(WeatherFile file, std::string text, std::function<void(TakenIn)> back) const {
    auto& to = loop;
    const bool posted = bench.post([&to, file = std::move(file), text = std::move(text), now = view(), back](Opened& opened) {
        std::istringstream in(text);
        to.post([back, taken = take_in(*opened.garden, now, in, file)] { back(taken); });
    });
    if (!posted) to.post([back] { back({.usable = false, .fault = "too much is waiting to be written"}); });
}

void note_success(SourceState& state, const TakenIn& taken, Instant now) {
    if (std::exchange(state.failing, false)) log_info("weather comes again: source={}", state.name);
    state.last_success = now;
    state.fresh = taken.fresh;
    state.same = taken.same;
    state.changed = taken.changed;
    state.refused = taken.refused;
    if (!taken.complaints.empty()) {
        log_warn("readings were refused: source={} refused={} why={}", state.name, taken.refused, joined(taken.complaints, "; "));
        state.error = joined(taken.complaints, "; ");
        state.last_error = now;
    }
}

void note_error(SourceState& state, const std::string& error, Instant now) {
    if (!std::exchange(state.failing, true) || state.error != error) log_warn("no weather: source={} why={}", state.name, error);
    state.error = error;
    state.last_error = now;
}

}  // namespace tubgrove
