#pragma once
// How each way that weather comes in is doing; kept in memory, shown to whoever asks.
#include "calendar.hpp"
#include "door/request.hpp"
#include "serve/event_loop.hpp"
#include "serve/garden_bench.hpp"

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

struct SourceState {
    std::string name;   // of the mapping; of the folder: its path
    std::string way;    // fetched, messages, folder
    std::optional<Instant> last_success = {}, last_error = {}, next = {};
    std::string error = {};   // the last one, in words
    std::optional<bool> connected = {};   // to a broker
    long fresh = 0, same = 0, changed = 0, refused = 0;   // readings of the last success
    bool failing = false;   // an error that no success followed; both may stand in one second
};

Response sources_response(std::span<const SourceState> states, const Zone& zone);

// What taking readings in gave.
struct TakenIn {
    long fresh = 0, same = 0, changed = 0, refused = 0;
    std::vector<std::string> complaints = {};   // a line each
    bool usable = true;    // false: nothing was taken, the text is to blame
    std::string fault = {};   // of the machine: the same text may be taken later
};

// Hands readings to the garden's thread, and the outcome back to the loop.
struct Intake {
    EventLoop& loop;
    GardenBench& bench;
    std::function<View()> view;

    void take(WeatherFile file, std::string text, std::function<void(TakenIn)> back) const;
};

// On the garden's thread.
TakenIn take_in(Garden& garden, const View& view, std::istream& in, const WeatherFile& file);

void note_success(SourceState& state, const TakenIn& taken, Instant now);
// Tells the log too, once for the same words in a row.
void note_error(SourceState& state, const std::string& error, Instant now);

}  // namespace tubgrove
