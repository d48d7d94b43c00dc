// The only file that knows the protocol library. Two rules keep an old compiler's coroutines sound here: no lambda that
// captures stands inside a co_await expression, and none stands in a conditional one.
#include "serve/http.hpp"

#include "serve/log.hpp"

#include <boost/asio/awaitable.hpp>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast/core/basic_stream.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/string_body.hpp>
#include <boost/beast/http/write.hpp>

#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cctype>
#include <ctime>
#include <list>
#include <map>
#include <optional>
#include <stdexcept>

namespace tubgrove {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using boost::system::error_code;
using Any = asio::generic::stream_protocol;
using Stream = beast::basic_stream<Any>;
using Parser = http::request_parser<http::string_body>;
using Wire = http::response<http::string_body>;
constexpr auto as_result = asio::as_tuple(asio::use_awaitable);

constexpr std::size_t drained_bytes = 2 * 1024 * 1024;
constexpr std::chrono::seconds drained_for{2};

std::string lower(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](unsigned char c) { return char(std::tolower(c)); });
    return out;
}

constexpr std::string_view this_machine = "this machine", the_socket = "the socket";

// Who is at the other end.
struct Caller {
    Peer peer = Peer::network;
    std::string address = {};
    // Whose share of the connections it takes: this machine has many addresses.
    std::string who() const { return peer == Peer::network ? address : std::string(peer == Peer::proxy ? the_socket : this_machine); }
};

Caller caller_of(const asio::ip::tcp::socket& socket) {
    error_code error;
    const auto end = socket.remote_endpoint(error);
    if (error) return {};
    auto address = end.address();
    if (address.is_v6() && address.to_v6().is_v4_mapped())
        address = asio::ip::make_address_v4(asio::ip::v4_mapped, address.to_v6());
    return {address.is_loopback() ? Peer::this_machine : Peer::network, address.to_string()};
}

Caller caller_of(const asio::local::stream_protocol::socket&) { return {Peer::proxy, {}}; }

Request head_of(const Parser& parser, const Caller& caller) {
    const auto& message = parser.get();
    Request request{.method = std::string(message.method_string()), .target = std::string(message.target()),
                    .peer = caller.peer, .address = caller.address};
    for (const auto& field : message)
        request.headers.emplace_back(lower({field.name_string().data(), field.name_string().size()}),
                                     std::string(field.value()));
    return request;
}

// The time as HTTP writes it, so that a phone whose clock is wrong can tell ours: "Tue, 14 Jul 2026 05:05:00 GMT".
std::string http_date() {
    const std::time_t now = std::time(nullptr);
    std::tm utc{};
    gmtime_r(&now, &utc);
    char text[32] = {};
    std::strftime(text, sizeof text, "%a, %d %b %Y %H:%M:%S GMT", &utc);
    return text;
}

Wire wire_of(Response response, unsigned version, bool keep, bool head_only) {
    Wire wire(http::int_to_status(unsigned(response.status)), version);
    wire.reason(phrase_of(response.status));
    wire.set(http::field::date, http_date());
    if (!response.type.empty() && response.status != 304) wire.set(http::field::content_type, response.type);
    for (const auto& [name, value] : response.headers) wire.set(name, value);
    wire.keep_alive(keep && !response.close);
    const auto length = response.body.size();
    if (!head_only && response.status != 304) wire.body() = std::move(response.body);
    if (response.status != 304 && response.status != 204) wire.content_length(length);
    return wire;
}

// What the library says of bytes that are no request.
Response malformed(const error_code& error) {
    if (error == http::error::header_limit || error == http::error::buffer_overflow)
        return problem(431, "the head of the request is too long", "at most 8 KiB");
    if (error == http::error::body_limit) return problem(413, "the body is too long");
    if (error == http::error::bad_version) return problem(505, "this service speaks HTTP/1.1");
    return problem(400, "this is no HTTP request: " + error.message());
}

}  // namespace

struct HttpServer::Inside : std::enable_shared_from_this<HttpServer::Inside> {
    // One connection: known to the server while it lives, so that it can be ended.
    struct Line {
        Stream* stream = nullptr;
        std::string who = {};
        bool at_work = false;
        bool answered = false;  // once at least
        bool leaving = false;   // it gives way to another
        std::chrono::steady_clock::time_point silent_since = std::chrono::steady_clock::now();
        void rests() {
            at_work = false;
            answered = true;
            silent_since = std::chrono::steady_clock::now();
        }
    };
    struct Door {
        std::string name;
        std::function<void()> close;
    };

    Inside(EventLoop& on, HttpBounds within, Admit judge, Handle answerer)
        : loop(on), bounds(within), admit(std::move(judge)), handle(std::move(answerer)) {}

    EventLoop& loop;
    HttpBounds bounds;
    Admit admit;
    Handle handle;
    std::list<Door> doors = {};
    std::list<Line> lines = {};
    std::map<std::string, std::size_t> lines_of = {};  // by whose they are
    std::chrono::steady_clock::time_point full_again = {}, share_again = {};  // when the log may hear of it again
    bool stopping = false;
    std::function<void()> stopped = {};
    std::optional<asio::steady_timer> last_call = {};
    std::optional<asio::steady_timer> relief = {};  // rings when a full house is looked at again
    bool looks_again = false;
    std::optional<asio::steady_timer> room = {};  // of all doors; never expires, is cancelled when a connection ends

    asio::io_context& context() { return loop.context(); }

    void end_of(const std::string& who) {
        if (auto found = lines_of.find(who); found != lines_of.end() && --found->second == 0) lines_of.erase(found);
        if (room) room->cancel();
        if (stopping && lines.empty() && stopped) std::exchange(stopped, {})();
    }

    // A crowd is told once a minute: whoever makes one must not fill the log as well.
    static bool is_told(std::chrono::steady_clock::time_point& again) {
        const auto now = std::chrono::steady_clock::now();
        if (now < again) return false;
        again = now + std::chrono::minutes(1);
        return true;
    }

    std::size_t share_of(const std::string& who) const {
        return who == this_machine || who == the_socket ? bounds.connections_from_here : bounds.connections_of_one;
    }

    bool has_all_of_a_share(const std::string& who) const {
        const auto held = lines_of.find(who);
        return held != lines_of.end() && held->second >= share_of(who);
    }

    // Ends the longest silent connection of somebody who has all of a share, or of this one; false when none has been silent long enough.
    bool one_gives_way(const std::string& of = {}) {
        const auto before = std::chrono::steady_clock::now() - bounds.patience;
        Line* longest = nullptr;
        for (auto& line : lines) {
            const bool silent = !line.at_work && !line.leaving && line.silent_since <= before;
            if (!silent || !(of.empty() ? has_all_of_a_share(line.who) : line.who == of)) continue;
            if (!longest || line.silent_since < longest->silent_since) longest = &line;
        }
        if (!longest) return false;
        if (is_told(share_again)) log_warn("{} has {} connections or more at once; the longest silent ones give way", longest->who, share_of(longest->who));
        longest->leaving = true;
        longest->stream->cancel();
        return true;
    }

    // Those here may come beyond their share while there is room, since a proxy's clients come through them.
    bool has_place(const Caller& caller) {
        return !has_all_of_a_share(caller.who()) || one_gives_way(caller.who()) || caller.peer != Peer::network;
    }

    // A house that is full is looked at again when somebody's silence has lasted long enough, if it ever can.
    void look_again_soon() {
        if (looks_again || std::ranges::none_of(lines_of, [&](const auto& one) { return has_all_of_a_share(one.first); })) return;
        looks_again = true;
        if (!relief) relief.emplace(context());
        relief->expires_after(bounds.patience);
        relief->async_wait([weak = weak_from_this()](const error_code& error) {
            const auto self = weak.lock();
            if (!self) return;
            self->looks_again = false;
            if (!error && self->room) self->room->cancel();
        });
    }

    asio::awaitable<void> write(Stream& stream, Wire wire) {
        stream.expires_after(bounds.writing);
        auto [error, bytes] = co_await http::async_write(stream, wire, as_result);
        if (error) throw boost::system::system_error(error);
    }

    // Ends a connection whose request was not read to its end: closing at once would take the answer away from the
    // other side, so what still comes is read for a moment and thrown away.
    asio::awaitable<void> drain(Stream& stream) {
        error_code ignored;
        stream.socket().shutdown(asio::socket_base::shutdown_send, ignored);
        stream.expires_after(drained_for);
        std::string thrown(8 * 1024, '\0');
        for (std::size_t taken = 0; taken < drained_bytes;) {
            auto [error, bytes] = co_await stream.async_read_some(asio::buffer(thrown), as_result);
            if (error) co_return;
            taken += bytes;
        }
    }

    // The answer of whoever answers, or that it took too long.
    asio::awaitable<Response> answer(Request request) {
        struct Awaited {
            std::optional<Response> response;
            asio::steady_timer bell;
        };
        auto awaited = std::make_shared<Awaited>(Awaited{{}, asio::steady_timer(context(), bounds.answering)});
        Reply reply = [awaited](Response response) {
            if (awaited->response) return;
            awaited->response = std::move(response);
            awaited->bell.cancel();
        };
        handle(std::move(request), std::move(reply));
        if (!awaited->response) (void)co_await awaited->bell.async_wait(as_result);
        if (!awaited->response) awaited->response = problem(503, "the answer took too long", "ask again later");
        co_return std::move(*awaited->response);
    }

    asio::awaitable<void> refuse(Stream& stream, Response response, bool head_only) {
        response.close = true;
        co_await write(stream, wire_of(std::move(response), 11, false, head_only));
        co_await drain(stream);
    }

    // One request and its answer; false when the connection ends.
    asio::awaitable<bool> exchange(Stream& stream, beast::flat_buffer& buffer, const Caller& caller, Line& line) {
        Parser parser;
        parser.header_limit(std::uint32_t(bounds.header_bytes));
        parser.body_limit(boost::none);
        if (buffer.size() == 0) {  // nothing of it has come: the connection is idle
            stream.expires_after(line.answered ? bounds.idle : bounds.head);
            auto [idle_error, bytes] = co_await stream.async_read_some(buffer.prepare(4096), as_result);
            if (idle_error) co_return false;
            buffer.commit(bytes);
        }
        line.at_work = true;
        stream.expires_after(bounds.head);
        auto [error, head_bytes] = co_await http::async_read_header(stream, buffer, parser, as_result);
        if (error == beast::error::timeout || error == http::error::end_of_stream || error == http::error::partial_message)
            co_return false;
        if (error) {
            co_await refuse(stream, malformed(error), false);
            co_return false;
        }
        Request request = head_of(parser, caller);
        const bool head_only = request.method == "HEAD";
        Admission admission = admit(request);
        if (auto* response = std::get_if<Response>(&admission)) {
            const bool bare = parser.is_done() || (!parser.chunked() && parser.content_length().value_or(0) == 0);
            if (!bare || !parser.keep_alive()) {
                co_await refuse(stream, std::move(*response), head_only);
                co_return false;
            }
            const bool closes = response->close;
            co_await write(stream, wire_of(std::move(*response), 11, true, head_only));
            line.rests();
            co_return !closes && !stopping;
        }
        const std::size_t limit = std::get<std::size_t>(admission);
        parser.body_limit(limit);
        if (parser.content_length().value_or(0) > limit) {
            co_await refuse(stream, problem(413, "the body is too long", "at most " + std::to_string(limit) + " bytes"), head_only);
            co_return false;
        }
        if (!co_await read_body(stream, buffer, parser, request)) co_return false;
        request.body = std::move(parser.get().body());
        const bool keep = parser.keep_alive() && !stopping;
        stream.expires_never();
        Response response = co_await answer(std::move(request));
        const bool closes = response.close || !keep;
        co_await write(stream, wire_of(std::move(response), 11, keep, head_only));
        line.rests();
        co_return !closes && !stopping;
    }

    // False when it never came whole; whoever sent what cannot be read has been told.
    asio::awaitable<bool> read_body(Stream& stream, beast::flat_buffer& buffer, Parser& parser, const Request& request) {
        if (parser.is_done()) co_return true;
        stream.expires_after(bounds.body);
        if (lower(request.header("expect")) == "100-continue") {
            Wire go_on(http::status::continue_, 11);
            auto [write_error, written] = co_await http::async_write(stream, go_on, as_result);
            if (write_error) co_return false;
        }
        auto [error, bytes] = co_await http::async_read(stream, buffer, parser, as_result);
        if (!error) co_return true;
        // Whoever was too slow is gone: with its deadline the stream has closed.
        if (error != beast::error::timeout && error != http::error::partial_message && error != http::error::end_of_stream)
            co_await refuse(stream, malformed(error), false);
        co_return false;
    }

    asio::awaitable<void> converse(Stream stream, Caller caller) {
        auto self = shared_from_this();
        const auto line = lines.insert(lines.end(), Line{.stream = &stream, .who = caller.who()});
        try {
            beast::flat_buffer buffer(bounds.header_bytes + 4096);
            bool goes_on = true;
            while (goes_on && !stopping) goes_on = co_await exchange(stream, buffer, caller, *line);
            error_code ignored;
            stream.socket().shutdown(asio::socket_base::shutdown_both, ignored);
        } catch (const boost::system::system_error&) {
            // The other side went away; that is its right.
        }
        lines.erase(line);
        end_of(caller.who());
    }

    template <class Protocol>
    asio::awaitable<void> accept(std::shared_ptr<asio::basic_socket_acceptor<Protocol>> acceptor) {
        auto self = shared_from_this();
        asio::steady_timer pause(context());
        while (acceptor->is_open() && !stopping) {
            auto [error, socket] = co_await acceptor->async_accept(as_result);
            if (error == asio::error::operation_aborted || error == asio::error::bad_descriptor) co_return;
            if (error) {  // no more descriptors, most likely: they come back when connections end
                pause.expires_after(std::chrono::milliseconds(200));
                (void)co_await pause.async_wait(as_result);
                continue;
            }
            const Caller caller = caller_of(socket);
            if (!has_place(caller)) continue;  // closes it
            ++lines_of[caller.who()];
            Stream stream{Any::socket(std::move(socket))};
            auto talk = converse(std::move(stream), caller);
            asio::co_spawn(context(), std::move(talk), told);
            while (lines.size() >= bounds.connections && !stopping) {
                if (!one_gives_way() && is_told(full_again)) log_warn("all {} connections are taken; who comes now waits until one ends", bounds.connections);
                look_again_soon();
                if (!room) room.emplace(context(), asio::steady_timer::time_point::max());
                (void)co_await room->async_wait(as_result);
            }
        }
    }

    // What escapes a connection is a fault of ours: it is told, and the service goes on.
    static void told(const std::exception_ptr& escaped) {
        if (!escaped) return;
        try {
            std::rethrow_exception(escaped);
        } catch (const std::exception& error) {
            log_error("a connection ended with a fault: {}", error.what());
        }
    }

    template <class Protocol>
    std::shared_ptr<asio::basic_socket_acceptor<Protocol>> listening(const typename Protocol::endpoint& endpoint) {
        auto acceptor = std::make_shared<asio::basic_socket_acceptor<Protocol>>(context());
        acceptor->open(endpoint.protocol());
        acceptor->set_option(asio::socket_base::reuse_address(true));
        acceptor->bind(endpoint);
        return acceptor;
    }

    template <class Protocol>
    void start(const std::string& name, std::shared_ptr<asio::basic_socket_acceptor<Protocol>> acceptor) {
        acceptor->listen(int(bounds.connections));
        doors.push_back({name, [acceptor] { error_code ignored; acceptor->close(ignored); }});
        auto accepting = accept<Protocol>(acceptor);
        asio::co_spawn(context(), std::move(accepting), told);
    }
};

namespace {

asio::ip::tcp::endpoint endpoint_of(const std::string& door) {
    const auto colon = door.rfind(':');
    unsigned short port = 0;
    const char* end = door.data() + door.size();
    error_code error;
    std::string host = colon == std::string::npos ? "" : door.substr(0, colon);
    if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
    const auto address = asio::ip::make_address(host, error);
    if (error || std::from_chars(door.data() + colon + 1, end, port).ptr != end)
        throw std::runtime_error("the door " + door + " is no address with a port, such as 127.0.0.1:8824");
    return {address, port};
}

std::string name_of(const asio::ip::tcp::endpoint& endpoint) {
    const auto address = endpoint.address().to_string();
    const auto port = std::to_string(endpoint.port());
    return endpoint.address().is_v6() ? "[" + address + "]:" + port : address + ":" + port;
}

// What would be right for a door that the system refuses; empty where nobody can tell.
std::string right_for(const error_code& error, const std::string& door) {
    namespace errc = boost::system::errc;
    const bool path = door.starts_with('/');
    if (error == errc::address_in_use) return "; another service listens there already: end that one, or write another port under `doors: listen:`";
    if (error == errc::address_not_available) return "; this machine has no such address now: write one that `ip address` shows, or 0.0.0.0 for all of them";
    if (error == errc::permission_denied)
        return path ? "; write a path in a folder that the service may write to" : "; write a port from 1024 on, since those below are kept for root";
    if (path && error == errc::no_such_file_or_directory) return "; write a path in a folder that is there";
    return {};
}

// A socket that a service left behind when it was cut off; one that still answers belongs to another.
void clear_left_socket(const std::string& path) {
    struct stat status {};
    if (::lstat(path.c_str(), &status) != 0) return;
    if (!S_ISSOCK(status.st_mode)) throw std::runtime_error("the door " + path + " is a file that is no socket");
    asio::io_context own;
    asio::local::stream_protocol::socket probe(own);
    error_code error;
    probe.connect(asio::local::stream_protocol::endpoint(path), error);
    if (!error) throw std::runtime_error("the door " + path + " is open already: another service listens there");
    ::unlink(path.c_str());
}

}  // namespace

HttpServer::HttpServer(EventLoop& loop, HttpBounds bounds, Admit admit, Handle handle)
    : inside_(std::make_shared<Inside>(loop, bounds, std::move(admit), std::move(handle))) {}
HttpServer::~HttpServer() {
    for (auto& door : inside_->doors) door.close();
}

std::string HttpServer::open(const std::string& door) try {
    if (door.starts_with('/')) {
        if (door.size() >= sizeof(sockaddr_un::sun_path)) throw std::runtime_error("the door " + door + " is too long a path");
        clear_left_socket(door);
        auto acceptor = inside_->listening<asio::local::stream_protocol>(asio::local::stream_protocol::endpoint(door));
        ::chmod(door.c_str(), 0660);
        inside_->start<asio::local::stream_protocol>(door, std::move(acceptor));
        return door;
    }
    auto acceptor = inside_->listening<asio::ip::tcp>(endpoint_of(door));
    const auto name = name_of(acceptor->local_endpoint());
    inside_->start<asio::ip::tcp>(name, std::move(acceptor));
    return name;
} catch (const boost::system::system_error& error) {
    const auto words = "the door " + door + " does not open: " + error.code().message();
    throw std::runtime_error(words + right_for(error.code(), door));
}

void HttpServer::close(const std::string& door) {
    const auto found = std::ranges::find(inside_->doors, door, &Inside::Door::name);
    if (found == inside_->doors.end()) return;
    found->close();
    if (door.starts_with('/')) ::unlink(door.c_str());
    inside_->doors.erase(found);
}

void HttpServer::stop(std::function<void()> stopped) {
    auto& inside = *inside_;
    inside.stopping = true;
    while (!inside.doors.empty()) close(inside.doors.front().name);
    inside.stopped = std::move(stopped);
    if (inside.lines.empty()) return std::exchange(inside.stopped, {})();
    for (auto& line : inside.lines)
        if (!line.at_work) line.stream->cancel();
    inside.last_call.emplace(inside.context(), inside.bounds.closing);
    inside.last_call->async_wait([self = inside_](const error_code& error) {
        if (error || !self->stopped) return;
        std::exchange(self->stopped, {})();
    });
}

}  // namespace tubgrove
