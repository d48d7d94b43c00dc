#pragma once
// How each way that weather comes in is doing; kept in memory, shown to whoever asks.
#include "serve/event_loop.hpp"
#include "serve/faring.hpp"
#include "serve/garden_bench.hpp"

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// Its name is the mapping's, or the path of the folder; its way: fetched, messages, folder.
struct SourceState : Faring {
    std::optional<bool> connected = {};   // to a broker
    long fresh = 0, same = 0, changed = 0, refused = 0;   // readings of the last success
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
