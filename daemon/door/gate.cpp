#include "door/gate.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <span>

namespace tubgrove {
namespace {

constexpr std::string_view api = "/api/", calendar = "/calendar.ics";
// What needs no garden's operation, by whether it is for people who were let in.
constexpr std::array<std::string_view, 3> open_services{"/health", "/api/v1/openapi.json", "/api/v1/pairings"};
constexpr std::array<std::string_view, 5> own_services{"/api/v1/me", "/api/v1/sources", "/api/v1/channels", "/api/v1/calendars", "/metrics"};

bool among(std::span<const std::string_view> paths, std::string_view path) { return std::ranges::find(paths, path) != paths.end(); }

std::string lower(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](unsigned char c) { return char(std::tolower(c)); });
    return out;
}

bool all_of_digits(std::string_view text) {
    return !text.empty() && std::ranges::all_of(text, [](unsigned char c) { return std::isdigit(c) != 0; });
}

// 192.0.2.7 or [2001:db8::1]: no name that somebody could point elsewhere.
bool is_address(std::string_view host) {
    if (host.starts_with('[')) return true;
    int parts = 0;
    while (!host.empty()) {
        const auto dot = std::min(host.find('.'), host.size());
        if (!all_of_digits(host.substr(0, dot)) || dot > 3) return false;
        ++parts;
        host.remove_prefix(std::min(dot + 1, host.size()));
    }
    return parts == 4;
}

bool is_ours(const std::string& host, const GateRules& rules) {
    return host == "localhost" || is_address(host) || std::ranges::find(rules.names, host) != rules.names.end();
}

std::optional<Response> wrong_host(const Request& head, const GateRules& rules) {
    if (head.count("host") != 1) return problem(400, "a request names the host once");
    const auto host = host_name(head.header("host"));
    if (!host) return problem(400, "the Host header is malformed");
    if (is_ours(*host, rules)) return std::nullopt;
    return problem(421, "this service is not called " + tubgrove::quoted(*host), "doors: names: in the configuration lists its names");
}

// A request that a page of another place has caused.
std::optional<Response> foreign(const Request& head, bool for_api) {
    const auto refused = [] { return problem(403, "a page of another place asked for this", "open this service's own page"); };
    if (head.count("origin") > 1) return problem(400, "a request names its origin once");
    if (head.count("origin") == 1) {
        const auto origin = lower(head.header("origin"));
        const auto scheme = origin.find("://");
        if (scheme == std::string::npos || origin.substr(scheme + 3) != lower(head.header("host"))) return refused();
        if (origin.substr(0, scheme) != "http" && origin.substr(0, scheme) != "https") return refused();
    }
    const auto site = lower(head.header("sec-fetch-site"));
    if (for_api && !site.empty() && site != "same-origin" && site != "none") return refused();
    return std::nullopt;
}

bool came_through_a_proxy(const Request& head) {
    constexpr std::array<std::string_view, 5> marks{"forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via"};
    return std::ranges::any_of(marks, [&](std::string_view mark) { return head.count(mark) > 0; });
}

Response no_token(std::string_view what, std::string_view right) {
    auto response = problem(401, what, right);
    response.headers.emplace_back("www-authenticate", "Bearer");
    return response;
}

std::variant<Person, Response> person_of(const Request& head, const GateRules& rules) {
    if (head.count("authorization") > 1) return problem(400, "a request carries one token");
    if (head.count("authorization") == 0) {
        if (head.peer == Peer::this_machine && rules.this_machine_open && !came_through_a_proxy(head)) return Person{};
        return no_token("this needs a token", "tubgrove pair lets a phone in");
    }
    const auto written = head.header("authorization");
    if (lower(written.substr(0, 7)) != "bearer ") return no_token("only bearer tokens are known here", "Authorization: Bearer TOKEN");
    const auto person = rules.person ? rules.person(written.substr(7)) : std::nullopt;
    if (!person || person->calendar_only) return no_token("this token is unknown or has ended", "tubgrove pair lets a phone in again");
    return *person;
}

// Whose calendar is read: as everything else, or by the token in the address.
std::variant<Person, Response> calendar_reader(const Request& head, const Target& target, const GateRules& rules) {
    const auto written = target.value("token");
    if (!written) return person_of(head, rules);
    if (head.count("authorization") > 0) return problem(400, "a request carries one token");
    const auto person = rules.person ? rules.person(*written) : std::nullopt;
    if (!person || !person->calendar_only)
        return no_token("this address of a calendar is unknown or has ended", "the page, or tubgrove pair --calendar, gives a new one");
    return *person;
}

std::string media_type(std::string_view header) {
    auto type = lower(header.substr(0, header.find(';')));
    while (!type.empty() && type.back() == ' ') type.pop_back();
    return type;
}

Response not_allowed(std::string_view method, std::string allowed) {
    auto response = problem(405, tubgrove::quoted(method) + " is not for this path", allowed);
    response.headers.emplace_back("allow", std::move(allowed));
    return response;
}

std::optional<Response> wrong_type(const Request& head, std::string_view wanted) {
    if (head.count("content-type") == 1 && media_type(head.header("content-type")) == wanted) {
        if (head.count("content-encoding") == 0) return std::nullopt;
        return problem(415, "an encoded body is not understood", "the body as it is");
    }
    return problem(415, "the body is of another type than this takes", "Content-Type: " + std::string(wanted));
}

std::optional<Response> wrong_write(const Request& head, const Operation& operation) {
    if (auto wrong = wrong_type(head, operation.body_type)) return wrong;
    if (head.count("idempotency-key") != 1 || !idempotency_key(head.header("idempotency-key")))
        return problem(400, "a write needs a key of its own, so that sending it twice writes it once",
                       "Idempotency-Key: 1 to 128 visible ASCII characters");
    return std::nullopt;
}

Response not_for_helpers() {
    return problem(403, "this token ends by itself, as a helper's does, and may not write this",
                   "reading, POST /api/v1/entries of what a visit does, and striking one's own entries; a token without an end, from tubgrove pair, may write it");
}

Judged judge_service(const Request& head, Admitted admitted, const std::string& path, const GateRules& rules) {
    const bool makes = path == "/api/v1/pairings" || path == "/api/v1/calendars";
    if (makes ? head.method != "POST" : !head.reads()) return not_allowed(head.method, makes ? "POST" : "GET, HEAD");
    if (among(own_services, path)) {
        if (!admitted.target.query.empty())
            return problem(400, "unknown query " + tubgrove::quoted(admitted.target.query.front().first), "no query");
        auto person = person_of(head, rules);
        if (auto* refused = std::get_if<Response>(&person)) return std::move(*refused);
        admitted.person = std::get<Person>(person);
    }
    if (admitted.person.until && path == "/api/v1/calendars") return not_for_helpers();
    if (makes) {
        if (auto wrong = wrong_type(head, "application/json")) return *wrong;
        admitted.body_limit = 1024;
    }
    admitted.wants = WantedService{path};
    return admitted;
}

Judged judge_api(const Request& head, Admitted admitted, const GateRules& rules) {
    const bool reads_calendar = admitted.target.segments.size() == 1;
    auto person = reads_calendar ? calendar_reader(head, admitted.target, rules) : person_of(head, rules);
    if (auto* refused = std::get_if<Response>(&person)) return std::move(*refused);
    admitted.person = std::get<Person>(person);
    auto found = find_operation(head.method, admitted.target);
    if (!found.operation && !found.allowed.empty()) return not_allowed(head.method, found.allowed);
    if (!found.operation) return problem(404, "there is nothing at this path", "GET /api/v1/openapi.json lists what there is");
    if (admitted.person.until && !found.operation->for_helpers()) return not_for_helpers();
    if (found.operation->writes()) {
        if (auto wrong = wrong_write(head, *found.operation)) return *wrong;
        admitted.body_limit = found.operation->body_limit;
    }
    admitted.wants = WantedOperation{std::move(found)};
    return admitted;
}

std::string path_of(const Target& target) {
    std::string path;
    for (const auto& segment : target.segments) path += "/" + segment;
    return path.empty() ? "/" : path;
}

}  // namespace

std::optional<std::string> host_name(std::string_view host) {
    std::string_view port;
    std::string name;
    if (host.starts_with('[')) {
        const auto close = host.find(']');
        if (close == std::string_view::npos) return std::nullopt;
        name = lower(host.substr(0, close + 1));
        const auto inside = std::string_view(name).substr(1, name.size() - 2);
        if (inside.size() < 2 || inside.find_first_not_of("0123456789abcdef:.") != std::string_view::npos) return std::nullopt;
        port = host.substr(close + 1);
        if (!port.empty() && !port.starts_with(':')) return std::nullopt;
    } else {
        const auto colon = std::min(host.find(':'), host.size());
        name = lower(host.substr(0, colon));
        port = host.substr(colon);
        if (name.size() > 253 || name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789.-_") != std::string::npos) return std::nullopt;
        if (name.ends_with('.')) name.pop_back();
    }
    if (!port.empty() && (port.size() > 6 || !all_of_digits(port.substr(1)))) return std::nullopt;
    return name.empty() ? std::nullopt : std::optional(name);
}

std::optional<std::string> idempotency_key(std::string_view header) {
    if (header.size() >= 2 && header.front() == '"' && header.back() == '"') header = header.substr(1, header.size() - 2);
    const bool visible = std::ranges::all_of(header, [](char c) { return c > ' ' && c < '\x7f'; });
    if (header.empty() || header.size() > 128 || !visible) return std::nullopt;
    return std::string(header);
}

Judged judge(const Request& head, const GateRules& rules) {
    if (auto wrong = wrong_host(head, rules)) return *wrong;
    if (head.target.size() > longest_target_bytes) return problem(414, "the path is too long", "at most 2048 bytes");
    auto target = read_target(head.target);
    if (!good(target)) return problem(400, fault(target).what, fault(target).right);
    Admitted admitted{.target = *good(target)};
    const auto path = path_of(admitted.target);
    if (auto wrong = foreign(head, path.starts_with(api) || path == calendar || among(own_services, path))) return *wrong;
    if (among(open_services, path) || among(own_services, path)) return judge_service(head, std::move(admitted), path, rules);
    if (path.starts_with(api) || path == calendar) return judge_api(head, std::move(admitted), rules);
    if (!head.reads()) return not_allowed(head.method, "GET, HEAD");
    admitted.wants = WantedFile{path};
    return admitted;
}

}  // namespace tubgrove
