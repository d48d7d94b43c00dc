#pragma once
// What the courier is sent to do, as the daemon writes it: one JSON object on standard input.
#include <cstddef>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace tubgrove::courier {

// What every errand says of the way.
struct Way {
    std::string url;          // https, http; for mail smtps or smtp
    std::string user;         // empty: nobody to be named
    std::string secret_file;  // password, or the key that signs; only its owner may read it
    std::string ca_file;      // a private authority's certificate, PEM; empty: those of the machine
    std::string proxy;        // empty: none, whatever the environment says
    long seconds = 30;        // for the whole errand, 1 to 600
};

struct Fetch {
    Way way;
    std::string etag, last_modified;   // of the copy that is there; empty: none
    std::vector<std::string> headers;  // "Name: value"
    std::size_t bytes_max = 8u << 20;  // after unpacking
};

struct Post {
    Way way;
    std::string body;
    std::string content_type = "application/json";
    std::string key_id;  // empty: not signed
};

struct Mail {
    Way way;
    std::string from;
    std::vector<std::string> to;
    std::string subject, text;   // UTF-8
    std::string id;              // of the message, without brackets; the same when sent again
    bool plain_allowed = false;  // true: a server without TLS is taken
};

// A message that a broker keeps on its topic for whoever comes later (MQTT, retained, quality of service 1).
struct Message {
    Way way;                     // without url and proxy
    std::string host;
    int port = 1883;
    bool tls = false;
    std::string topic, client;   // client: how the broker knows us
    std::string body;
};

using Errand = std::variant<Fetch, Post, Mail, Message>;

// Throws std::invalid_argument that says what is wrong and what would be right.
Errand read_errand(std::string_view json);

const Way& way_of(const Errand&);

}  // namespace tubgrove::courier
