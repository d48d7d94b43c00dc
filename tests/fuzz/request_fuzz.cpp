// Any bytes as an HTTP request, through the protocol library's parser to the gate and the body's reader: whatever comes is
// either admitted for something that exists or refused as a problem, and nothing of the network comes in without its token.
#include "door/finish.hpp"
#include "door/gate.hpp"

#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>

#include <algorithm>
#include <cctype>
#include <cstdint>
#include <cstdlib>

namespace {

namespace http = boost::beast::http;
using namespace tubgrove;

std::optional<Request> parsed(const std::uint8_t* data, std::size_t size) {
    http::request_parser<http::string_body> parser;
    parser.eager(true);
    parser.header_limit(8 * 1024);
    parser.body_limit(64 * 1024);
    boost::system::error_code error;
    parser.put(boost::asio::buffer(data, size), error);
    if (!parser.is_header_done() || (error && error != http::error::need_more)) return std::nullopt;
    const auto& message = parser.get();
    Request request{.method = std::string(message.method_string()), .target = std::string(message.target())};
    for (const auto& field : message) {
        std::string name(field.name_string());
        std::ranges::transform(name, name.begin(), [](unsigned char c) { return char(std::tolower(c)); });
        request.headers.emplace_back(name, std::string(field.value()));
    }
    request.body = message.body();
    return request;
}

const GateRules& rules() {
    static const GateRules made{.names = {"terrace.lan"}, .this_machine_open = true, .person = [](std::string_view secret) {
                                    if (secret == "c") return std::optional(Person{.token = 2, .name = "Ana", .calendar_only = true});
                                    return secret == "s" ? std::optional(Person{.token = 1, .name = "Ana"}) : std::nullopt;
                                }};
    return made;
}

void check(const Request& request) {
    const auto judged = judge(request, rules());
    if (const auto* response = std::get_if<Response>(&judged)) {
        if (response->status < 400 || response->type != "application/problem+json") std::abort();
        (void)finished(request, *response);
        return;
    }
    const auto& admitted = std::get<Admitted>(judged);
    const auto* operation = std::get_if<WantedOperation>(&admitted.wants);
    if (!operation) return;
    const bool by_address = operation->found.operation->path == "/calendar.ics" && admitted.target.value("token") == "c";
    if (request.peer == Peer::network && !by_address && request.header("authorization").find('s') == std::string_view::npos) std::abort();
    if (admitted.person.calendar_only && !by_address) std::abort();
    if (operation->found.operation->writes() && !idempotency_key(request.header("idempotency-key"))) std::abort();
    (void)read_fields(request.body, operation->found.operation->fields);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    auto request = parsed(data, size);
    if (!request) return 0;
    for (const auto peer : {Peer::network, Peer::this_machine, Peer::proxy}) {
        request->peer = peer;
        check(*request);
    }
    return 0;
}
