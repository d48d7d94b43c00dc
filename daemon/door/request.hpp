#pragma once
// What comes to the door and what goes back, as plain values: no socket, no library of the protocol. So every answer can be
// tested, and every request made up, without a connection.
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace tubgrove {

// Where a request comes from. Only who sits at this machine is let in without a token.
enum class Peer : unsigned char { this_machine, network, proxy };

using Headers = std::vector<std::pair<std::string, std::string>>;  // names in lower case, in the order they came

struct Request {
    std::string method;
    std::string target;  // as sent: path and query
    Headers headers = {};
    std::string body = {};
    Peer peer = Peer::network;
    std::string address = {};  // of the other end; empty for a socket in the file system

    // The first value; empty when there is none.
    std::string_view header(std::string_view name) const;
    std::size_t count(std::string_view name) const;
    bool reads() const { return method == "GET" || method == "HEAD"; }
};

struct Response {
    int status = 200;
    std::string type = "application/json";
    std::string body = {};
    Headers headers = {};
    bool close = false;  // the connection ends after it
};

// An error as RFC 9457 has it. `what` becomes its detail; `right` says what would be right, as everywhere.
Response problem(int status, std::string_view what, std::string_view right = {});
std::string_view phrase_of(int status);

}  // namespace tubgrove
