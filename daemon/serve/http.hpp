#pragma once
// HTTP/1.1 over sockets: bytes to Request values and Response values to bytes, with a bound on everything. What is
// answered is not its business. The protocol library stays in http.cpp.
#include "door/request.hpp"
#include "serve/event_loop.hpp"

#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <variant>
#include <vector>

namespace tubgrove {

struct HttpBounds {
    std::size_t header_bytes = 8 * 1024;
    std::size_t connections = 64;
    // Shares, so that nobody's silent connections keep others out: of whoever has all of a share the longest silent one gives way.
    std::size_t connections_of_one = 16;    // from one address of the network, which may have no more
    std::size_t connections_from_here = 48; // from this machine; as many through the socket for a proxy
    std::chrono::seconds patience{2};       // so long a connection may be silent before it gives way: a lost packet is sent again after one
    std::chrono::seconds idle{30};          // until the next request begins
    std::chrono::seconds head{10};          // until its head is there; a new connection may be silent as long
    std::chrono::seconds body{30};          // until its body is there
    std::chrono::seconds answering{120};    // until the answer is worked out
    std::chrono::seconds writing{30};       // until the other end has taken it
    std::chrono::seconds closing{5};        // what is at work when the service stops
};

// Judges a request by its head, before its body is read: how long the body may be, or at once the response.
using Admission = std::variant<std::size_t, Response>;
using Admit = std::function<Admission(const Request& head)>;
// Answers by calling reply once, in the loop, now or later.
using Reply = std::function<void(Response)>;
using Handle = std::function<void(Request request, Reply reply)>;

class HttpServer {
public:
    HttpServer(EventLoop& loop, HttpBounds bounds, Admit admit, Handle handle);
    ~HttpServer();
    HttpServer(const HttpServer&) = delete;
    HttpServer& operator=(const HttpServer&) = delete;

    // Listens at "127.0.0.1:8824", "[::1]:8824" or "/run/tubgrove/door". Throws std::runtime_error that names the door. The
    // name of the door as it became; a port 0 is the system's choice.
    std::string open(const std::string& door);
    void close(const std::string& door);
    // Takes no new connection, lets what is at work end, and then calls.
    void stop(std::function<void()> stopped);

private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

}  // namespace tubgrove
