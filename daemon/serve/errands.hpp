#pragma once
// Sends the courier (daemon/courier) on errands over the network, from the loop: a process an errand, its words through
// pipes, nothing that blocks. The daemon's own process holds no name look-up, no TLS and no fetching library.
#include "serve/event_loop.hpp"

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace tubgrove {

// What the courier came back with.
struct Brought {
    long status = 0;     // the server's last, of HTTP or SMTP; 0: none was heard
    std::string error;   // empty: the errand was done, whatever the status says
    bool unsure = false; // with an error: it may have arrived all the same
    std::string etag, last_modified;
    std::optional<std::chrono::seconds> retry_after;
    std::string body;    // of a fetch
};

struct Sent {
    std::string errand;                   // one JSON object, as daemon/courier/errand.hpp tells
    std::chrono::seconds longest{35};     // then the courier is ended; more than the errand's own `seconds`
    std::size_t bytes_max = 8u << 20;     // of the body; no less than the errand's own `bytes_max`
};

// The courier's line, and what followed it. Throws nothing: what cannot be understood is an error in words.
Brought read_brought(std::string_view output);

// Where the courier stands: beside the program, or where packages put helpers; TUBGROVE_COURIER names another.
std::filesystem::path find_courier();

class Errands {
public:
    // At most so many are under way at once; others wait their turn.
    Errands(EventLoop& loop, std::filesystem::path courier, std::size_t most_at_once = 2);
    ~Errands();  // ends those under way; nobody is called any more
    Errands(const Errands&) = delete;
    Errands& operator=(const Errands&) = delete;

    // Returns at once; `back` is called once, in the loop, whatever happened.
    void send(Sent sent, std::function<void(Brought)> back);

    struct Inside;

private:
    std::shared_ptr<Inside> inside_;
};

}  // namespace tubgrove
