#pragma once
// The errand itself, by libcurl.
#include "errand.hpp"

#include <cstdint>
#include <optional>

namespace tubgrove::courier {

struct Outcome {
    long status = 0;  // HTTP's or SMTP's last; 0: none was heard
    std::string etag, last_modified;
    std::optional<std::int64_t> retry_after_s;
    std::string body;   // of a fetch
    std::string error;  // empty: the errand was done, whatever the status says
    bool unsure = false;  // with an error: all was handed over, and no word came back, so it may have arrived
};

// secret: what secret_file holds, or empty. Blocks until done, at most for the errand's seconds. Never throws for
// what a network does; that is an Outcome with an error.
Outcome run_errand(const Errand&, const std::string& secret, std::int64_t now_s);

}  // namespace tubgrove::courier
