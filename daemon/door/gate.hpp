#pragma once
// Who may come in. Judged by the head of a request alone, before its body is read. A page of somebody else, opened in a browser
// that can reach this service, is the attacker to think of: so Host must be a name of ours (a foreign name that was made to
// point here is refused), Origin and Sec-Fetch-Site must say "the same place", a write must carry a content type that no
// plain form can send, and nothing is ever told apart by a cookie. A calendar program can send no header, so its token stands in
// the address; addresses end up in logs and histories, so that token opens the calendar and nothing else, and no other token
// is taken from an address.
#include "door/operations.hpp"
#include "door/request.hpp"
#include "door/target.hpp"

#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace tubgrove {

// Whose token it is.
struct Person {
    int token = 0;          // its number; 0: nobody's, this machine
    std::string name = {};  // empty: the gardener
    bool calendar_only = false;  // a token for a calendar program, which stands in an address
    std::optional<Instant> until = {};  // it ends then, as a helper's does
};

struct GateRules {
    std::vector<std::string> names = {};  // Host names of ours beside localhost and addresses in digits
    bool this_machine_open = true;        // who sits at this machine needs no token
    // The person of a token that holds now; empty when it is unknown or has ended.
    std::function<std::optional<Person>(std::string_view token)> person = {};
};

// What a request wants that was let in.
struct WantedFile {
    std::string path;  // "/", "/app.js"
};
struct WantedOperation {
    Found found;
};
struct WantedService {
    std::string path;  // health, metrics, the document, pairing, who asks
};
struct Admitted {
    Target target = {};
    Person person = {};
    std::variant<WantedFile, WantedService, WantedOperation> wants = {};
    std::size_t body_limit = 0;
};

using Judged = std::variant<Admitted, Response>;
Judged judge(const Request& head, const GateRules& rules);

// An Idempotency-Key as it is kept: 1 to 128 visible ASCII characters, in quotes or without; empty when it is none.
std::optional<std::string> idempotency_key(std::string_view header);

// Host without its port, in lower case: "garden.lan", "192.0.2.7", "[::1]"; empty when it is malformed.
std::optional<std::string> host_name(std::string_view host);

}  // namespace tubgrove
