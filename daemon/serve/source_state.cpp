#include "serve/source_state.hpp"

#include "phrases.hpp"
#include "serve/log.hpp"

#include <sstream>

namespace tubgrove {

Response sources_response(std::span<const SourceState> states, const Zone& zone) {
    return farings_response("sources", states, zone, [](JsonWriter& json, const SourceState& state) {
        if (state.connected)
            json.boolean("connected", *state.connected);
        else
            json.null("connected");
        json.integer("fresh", state.fresh);
        json.integer("same", state.same);
        json.integer("changed", state.changed);
        json.integer("refused", state.refused);
    });
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
    if (note_well(state, now)) log_info("weather comes again: source={}", state.name);
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
    if (note_trouble(state, error, now)) log_warn("no weather: source={} why={}", state.name, error);
}

}  // namespace tubgrove
