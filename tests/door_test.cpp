// The door without a socket: paths and bodies taken apart, who is let in, how often, and tokens.
#include "catch.h"
#include "door/finish.hpp"
#include "door/gate.hpp"
#include "door/limits.hpp"
#include "door/page.hpp"
#include "door/tokens.hpp"
#include "store/store.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

using namespace tubgrove;
namespace fs = std::filesystem;

namespace {

constexpr std::string_view good_secret = "good-secret";
constexpr std::string_view ended_secret = "ended-secret";
constexpr std::string_view calendar_secret = "calendar-secret";
constexpr std::string_view helper_secret = "helper-secret";

GateRules rules() {
    return {.names = {"terrace.lan"}, .this_machine_open = true, .person = [](std::string_view secret) -> std::optional<Person> {
                if (secret == good_secret) return Person{.token = 3, .name = "Ana"};
                if (secret == helper_secret) return Person{.token = 5, .name = "Cleo", .until = *parse_rfc3339("2026-07-23T00:00:00Z")};
                if (secret == calendar_secret) return Person{.token = 4, .name = "Ana", .calendar_only = true};
                return std::nullopt;
            }};
}

// A read that is let in, to be spoilt.
Request read_here() {
    return {.method = "GET", .target = "/api/v1/round", .headers = {{"host", "127.0.0.1:8824"}}, .peer = Peer::this_machine};
}

Request write_here() {
    return {.method = "POST", .target = "/api/v1/entries",
            .headers = {{"host", "localhost:8824"}, {"content-type", "application/json"}, {"idempotency-key", "a1"}},
            .peer = Peer::this_machine};
}

Request with(Request request, const std::string& name, const std::string& value) {
    std::erase_if(request.headers, [&](const auto& header) { return header.first == name; });
    request.headers.emplace_back(name, value);
    return request;
}

Request without(Request request, const std::string& name) {
    std::erase_if(request.headers, [&](const auto& header) { return header.first == name; });
    return request;
}

Request also(Request request, const std::string& name, const std::string& value) {
    request.headers.emplace_back(name, value);
    return request;
}

Request at(Request request, const std::string& target) {
    request.target = target;
    return request;
}

Request by(Request request, const std::string& method) {
    request.method = method;
    return request;
}

Request from(Request request, Peer peer) {
    request.peer = peer;
    return request;
}

Request bearing(Request request, std::string_view secret) {
    return with(std::move(request), "authorization", "Bearer " + std::string(secret));
}

int status_of(const Request& request) {
    const auto judged = judge(request, rules());
    const auto* response = std::get_if<Response>(&judged);
    return response ? response->status : 200;
}

struct Case {
    const char* says;
    int status;
    Request request;
};

struct Folder {
    fs::path path = fs::temp_directory_path() / ("tubgrove-door-test-" + std::to_string(::getpid()));
    Folder() {
        fs::remove_all(path);
        fs::create_directories(path);
        fs::permissions(path, fs::perms::owner_all);
    }
    ~Folder() { fs::remove_all(path); }
};

Instant noon() { return *parse_rfc3339("2026-07-14T12:00:00Z"); }

}  // namespace

TEST_CASE("requests that are let in") {
    const auto phone = bearing(with(from(read_here(), Peer::network), "host", "terrace.lan:8824"), good_secret);
    const std::vector<Case> cases{
        {"who sits here reads", 200, read_here()},
        {"who sits here writes", 200, write_here()},
        {"the older address form", 200, with(read_here(), "host", "[::1]:8824")},
        {"a head only", 200, by(read_here(), "HEAD")},
        {"a phone with a token", 200, phone},
        {"a phone by the address in digits", 200, with(phone, "host", "192.0.2.7:8824")},
        {"a proxy that hands a token on", 200, from(with(phone, "host", "terrace.lan"), Peer::proxy)},
        {"the service's own page", 200, with(with(write_here(), "origin", "http://localhost:8824"), "sec-fetch-site", "same-origin")},
        {"behind a proxy that ends TLS", 200, from(with(with(phone, "host", "terrace.lan"), "origin", "https://terrace.lan"), Peer::proxy)},
        {"the page needs no token", 200, at(from(read_here(), Peer::network), "/")},
        {"a link from elsewhere may open the page", 200, with(at(read_here(), "/"), "sec-fetch-site", "cross-site")},
        {"health needs no token", 200, at(from(read_here(), Peer::network), "/health")},
        {"pairing needs no token", 200, without(at(from(write_here(), Peer::network), "/api/v1/pairings"), "idempotency-key")},
        {"a calendar program by its address", 200, at(from(read_here(), Peer::network), "/calendar.ics?token=calendar-secret")},
        {"the calendar with a phone's token", 200, at(phone, "/calendar.ics")},
        {"the calendar from this machine", 200, at(read_here(), "/calendar.ics")},
        {"numbers for a monitor, from this machine", 200, at(read_here(), "/metrics")},
        {"a quoted key", 200, with(write_here(), "idempotency-key", "\"b2-7\"")},
        {"a type with its letters named", 200, with(write_here(), "content-type", "application/json; charset=utf-8")},
    };
    for (const auto& one : cases) {
        INFO(one.says);
        CHECK(status_of(one.request) == one.status);
    }
}

TEST_CASE("requests that are refused") {
    const auto stranger = from(read_here(), Peer::network);
    const auto stranger_writes = from(write_here(), Peer::network);
    const std::vector<Case> cases{
        {"no token from the network", 401, stranger},
        {"no token from the network, writing", 401, stranger_writes},
        {"no token through a proxy", 401, from(read_here(), Peer::proxy)},
        {"a proxy on this machine lends its place to nobody", 401, with(read_here(), "x-forwarded-for", "203.0.113.9")},
        {"the same by the standard header", 401, with(read_here(), "forwarded", "for=203.0.113.9")},
        {"an unknown token", 401, bearing(stranger, "wrong")},
        {"an unknown token, though from this machine", 401, bearing(read_here(), "wrong")},
        {"an ended token", 401, bearing(stranger, ended_secret)},
        {"an empty token", 401, bearing(stranger, "")},
        {"another kind of proof", 401, with(stranger, "authorization", "Basic YTpi")},
        {"a token in the path", 401, at(stranger, "/api/v1/round?token=good-secret")},
        {"a token in a cookie", 401, with(stranger, "cookie", "token=good-secret")},
        {"a phone's token in the calendar's address", 401, at(stranger, "/calendar.ics?token=good-secret")},
        {"an ended calendar", 401, at(stranger, "/calendar.ics?token=ended-secret")},
        {"an empty token in the calendar's address", 401, at(stranger, "/calendar.ics?token=")},
        {"the calendar without a token", 401, at(stranger, "/calendar.ics")},
        {"a calendar's token as a phone's", 401, bearing(stranger, calendar_secret)},
        {"a calendar's token as a phone's, for the calendar", 401, bearing(at(stranger, "/calendar.ics"), calendar_secret)},
        {"a calendar's token in another address", 401, at(stranger, "/api/v1/round?token=calendar-secret")},
        {"a calendar's token that would make another", 401, bearing(at(stranger_writes, "/api/v1/calendars"), calendar_secret)},
        {"two tokens for the calendar", 400, bearing(at(stranger, "/calendar.ics?token=calendar-secret"), good_secret)},
        {"a foreign page that reads the calendar", 403, with(at(stranger, "/calendar.ics?token=calendar-secret"), "sec-fetch-site", "cross-site")},
        {"numbers for a stranger", 401, at(stranger, "/metrics")},
        {"numbers for a foreign page", 403, with(at(read_here(), "/metrics"), "origin", "https://foreign.example")},
        {"two tokens", 400, also(bearing(stranger, good_secret), "authorization", "Bearer wrong")},
        {"an unknown path without a token", 401, at(stranger, "/api/v1/secrets")},
        {"no host", 400, without(read_here(), "host")},
        {"two hosts", 400, also(read_here(), "host", "localhost")},
        {"an empty host", 400, with(read_here(), "host", "")},
        {"a foreign host", 421, with(read_here(), "host", "rebound.example")},
        {"a foreign host for the page", 421, at(with(read_here(), "host", "rebound.example:8824"), "/")},
        {"a host that only begins like ours", 421, with(read_here(), "host", "localhost.rebound.example")},
        {"a host that only ends like an address", 421, with(read_here(), "host", "x.127.0.0.1")},
        {"a host with too many numbers", 421, with(read_here(), "host", "127.0.0.1.1")},
        {"a host with a user", 400, with(read_here(), "host", "a@localhost")},
        {"a host with a path", 400, with(read_here(), "host", "localhost/x")},
        {"a host with a bad port", 400, with(read_here(), "host", "localhost:http")},
        {"a host with an open bracket", 400, with(read_here(), "host", "[::1")},
        {"a foreign origin, reading", 403, with(read_here(), "origin", "https://foreign.example")},
        {"a foreign origin, writing", 403, with(write_here(), "origin", "https://foreign.example")},
        {"another service of this machine", 403, with(write_here(), "origin", "http://localhost:3000")},
        {"an origin without a name", 403, with(write_here(), "origin", "null")},
        {"an origin of another scheme", 403, with(write_here(), "origin", "ftp://localhost:8824")},
        {"two origins", 400, also(with(write_here(), "origin", "http://localhost:8824"), "origin", "https://foreign.example")},
        {"a foreign page with a token", 403, with(bearing(stranger, good_secret), "origin", "https://foreign.example")},
        {"a foreign page's picture", 403, with(read_here(), "sec-fetch-site", "cross-site")},
        {"a page of another port", 403, with(read_here(), "sec-fetch-site", "same-site")},
        {"a foreign page that pairs", 403, with(at(stranger_writes, "/api/v1/pairings"), "origin", "https://foreign.example")},
        {"a plain form's type", 415, with(write_here(), "content-type", "application/x-www-form-urlencoded")},
        {"a plain text", 415, with(write_here(), "content-type", "text/plain")},
        {"no type", 415, without(write_here(), "content-type")},
        {"two types", 415, also(write_here(), "content-type", "text/plain")},
        {"JSON where weather is taken", 415, at(write_here(), "/api/v1/weather/readings?source=roof")},
        {"an encoded body", 415, with(write_here(), "content-encoding", "gzip")},
        {"no key", 400, without(write_here(), "idempotency-key")},
        {"an empty key", 400, with(write_here(), "idempotency-key", "\"\"")},
        {"a key with a blank", 400, with(write_here(), "idempotency-key", "a b")},
        {"a long key", 400, with(write_here(), "idempotency-key", std::string(129, 'k'))},
        {"two keys", 400, also(write_here(), "idempotency-key", "a2")},
        {"a step up", 400, at(read_here(), "/api/v1/../round")},
        {"a hidden step up", 400, at(read_here(), "/api/v1/%2e%2e/round")},
        {"a step up to the files", 400, at(read_here(), "/../../etc/passwd")},
        {"an empty step", 400, at(read_here(), "//api/v1/round")},
        {"a trailing step", 400, at(read_here(), "/api/v1/round/")},
        {"a byte of zero", 400, at(read_here(), "/api/v1/pots/%00")},
        {"a bad escape", 400, at(read_here(), "/api/v1/pots/%zz")},
        {"half an escape", 400, at(read_here(), "/api/v1/pots/%4")},
        {"bytes that are no letters", 400, at(read_here(), "/api/v1/pots/%ff%fe")},
        {"an overlong letter", 400, at(read_here(), "/api/v1/pots/%c0%af")},
        {"a whole address as target", 400, at(read_here(), "http://localhost/api/v1/round")},
        {"a star", 400, at(read_here(), "*")},
        {"a line end in the query", 400, at(read_here(), "/api/v1/round?day=%01")},
        {"a query that is given twice", 400, at(read_here(), "/api/v1/round?day=today&day=yesterday")},
        {"a long path", 414, at(read_here(), "/" + std::string(3000, 'a'))},
        {"an unknown path", 404, at(read_here(), "/api/v1/secrets")},
        {"another version", 404, at(read_here(), "/api/v2/round")},
        {"a wrong method", 405, by(read_here(), "DELETE")},
        {"a read that writes", 405, at(write_here(), "/api/v1/round")},
        {"a write that reads", 405, at(read_here(), "/api/v1/clock/confirm")},
        {"asking the way", 405, by(read_here(), "OPTIONS")},
        {"an echo", 405, by(read_here(), "TRACE")},
        {"a method of nobody", 405, by(read_here(), "<unknown>")},
        {"writing to the page", 405, at(write_here(), "/")},
        {"reading a pairing", 405, at(read_here(), "/api/v1/pairings")},
        {"a pairing in a form", 415, with(at(write_here(), "/api/v1/pairings"), "content-type", "text/plain")},
    };
    CHECK(cases.size() >= 25);
    for (const auto& one : cases) {
        INFO(one.says);
        CHECK(status_of(one.request) == one.status);
    }
    auto strict = rules();
    strict.this_machine_open = false;
    CHECK(std::get<Response>(judge(read_here(), strict)).status == 401);
}

TEST_CASE("a helper's token reads, writes entries and strikes, and nothing else") {
    const auto helper = [](Request request) { return bearing(with(from(std::move(request), Peer::network), "host", "terrace.lan"), helper_secret); };
    for (const auto& operation : operations()) {
        std::string path;
        for (auto rest = operation.path; !rest.empty();) {
            const auto open = std::min(rest.find('{'), rest.size());
            path += rest.substr(0, open);
            rest.remove_prefix(open);
            if (!rest.empty()) path += "7", rest.remove_prefix(rest.find('}') + 1);
        }
        INFO(operation.method << ' ' << path);
        auto request = helper(at(operation.writes() ? write_here() : read_here(), path));
        if (operation.writes()) request = with(std::move(request), "content-type", std::string(operation.body_type));
        const bool may = operation.method == "GET" || path == "/api/v1/entries" || path == "/api/v1/entries/7/strike";
        CHECK(status_of(request) == (may ? 200 : 403));
        CHECK(status_of(bearing(request, good_secret)) == 200);  // a token without an end
    }
    // No address that others could hand on, and that would be a helper's to give away.
    const auto calendar = helper(without(at(write_here(), "/api/v1/calendars"), "idempotency-key"));
    CHECK(status_of(calendar) == 403);
    CHECK(status_of(bearing(calendar, good_secret)) == 200);
}

TEST_CASE("a refusal says what would be right, and which token or method") {
    const auto refused = std::get<Response>(judge(from(read_here(), Peer::network), rules()));
    CHECK(refused.type == "application/problem+json");
    CHECK(refused.body ==
          "{\n  \"type\": \"about:blank\",\n  \"title\": \"Unauthorized\",\n  \"status\": 401,\n"
          "  \"detail\": \"this needs a token\",\n  \"right\": \"tubgrove pair lets a phone in\"\n}\n");
    CHECK(refused.headers == Headers{{"www-authenticate", "Bearer"}});
    const auto method = std::get<Response>(judge(by(read_here(), "DELETE"), rules()));
    CHECK(method.headers == Headers{{"allow", "GET, HEAD"}});
}

TEST_CASE("who is admitted, and for what") {
    const auto admitted = std::get<Admitted>(judge(bearing(at(read_here(), "/api/v1/pots/b%C3%BCtt"), good_secret), rules()));
    CHECK(admitted.person.name == "Ana");
    CHECK(std::get<WantedOperation>(admitted.wants).found.names == std::vector<std::string>{"bütt"});
    CHECK(admitted.body_limit == 0);
    CHECK(std::get<Admitted>(judge(write_here(), rules())).body_limit == 64 * 1024);
    const auto weather = with(at(write_here(), "/api/v1/weather/readings?source=roof"), "content-type", "text/csv");
    CHECK(std::get<Admitted>(judge(weather, rules())).body_limit == 1024 * 1024);
}

TEST_CASE("a body is a flat object of known fields") {
    const Field known[] = {{"words", FieldKind::texts, true}, {"note", FieldKind::text}, {"apply", FieldKind::yes_no}, {"entry", FieldKind::whole}};
    const auto read = read_fields(R"({"words":["7","watered","2.5L"],"note":"dr\u00fcben","apply":true,"entry":41})", known);
    REQUIRE(good(read));
    CHECK(good(read)->texts("words") == std::vector<std::string>{"7", "watered", "2.5L"});
    CHECK(good(read)->text("note") == "drüben");
    CHECK(good(read)->yes("apply"));
    CHECK(good(read)->whole("entry") == 41);
    const std::vector<std::pair<const char*, const char*>> wrong{
        {"", "the body is no JSON object: it is empty"},
        {"[]", "the body is no JSON object, but a list"},
        {"7", "the body is no JSON object, but a number"},
        {"{", "the body is no JSON object: it ends too early, after 1 bytes"},
        {R"({"words":["7"]} x)", "the body is no JSON object: extra data at byte 17"},
        {R"({"words":["7",]})", "the body is no JSON object: syntax error at byte 15"},
        {"{\"words\":[\"7\"],\"note\":\"a\nb\"}", "the body is no JSON object: syntax error at byte 25"},
        {R"({"words":[[[["7"]]]]})", "the body is no JSON object: too deep at byte 13"},
        {R"({"words":["7"],"words":["8"]})", "the field 'words' is given twice"},
        {R"({"note":"\"words\":","words":["7"], "n\u006fte" :"y"})", "the field 'note' is given twice"},
        {R"({"note":"x"})", "the field 'words' is missing"},
        {R"({"words":"7 watered"})", "the field 'words' is not a list of texts"},
        {R"({"words":["7",7]})", "the field 'words' is not a list of texts: item 2 is a number"},
        {R"({"words":["7"],"note":null})", "the field 'note' is not a text"},
        {R"({"words":["7"],"note":"\u00fc\u0007b"})", "the field 'note' holds the control character U+0007 as character 2"},
        {R"({"words":["7","no\u0000ted"]})", "item 2 of the field 'words' holds the control character U+0000 as character 3"},
        {R"({"words":["7"],"apply":"yes"})", "the field 'apply' is not true or false"},
        {R"({"words":["7"],"entry":4.5})", "the field 'entry' is not a whole number"},
        {R"({"words":["7"],"nots":"x"})", "unknown field 'nots'"},
    };
    for (const auto& [body, what] : wrong) {
        INFO(body);
        const auto refused = read_fields(body, known);
        REQUIRE_FALSE(good(refused));
        CHECK(fault(refused).what == what);
        CHECK_FALSE(fault(refused).right.empty());
    }
    const auto row = [&](int count) {
        std::string body = R"({"words":[)";
        for (int i = 0; i < count; ++i) body += i == 0 ? "\"7\"" : ",\"7\"";
        return read_fields(body + "]}", known);
    };
    CHECK(good(row(1000)) != nullptr);
    CHECK(fault(row(1001)).what == "the field 'words' holds 1001 texts");
    CHECK(fault(row(1001)).right == "at most 1000");
    CHECK(good(read_fields(R"({"words":["\"note\":","{"],"note":":\\"})", known)) != nullptr);
    CHECK(good(read_fields("", std::span<const Field>())) != nullptr);
}

TEST_CASE("what was read carries a tag, and is not sent to who has it") {
    auto request = read_here();
    const auto first = finished(request, {.body = "{}\n", .headers = {}});
    const auto tag = first.headers.front();
    CHECK(tag.first == "etag");
    for (const auto& known : {tag.second, "\"x\", " + tag.second, "W/" + tag.second, std::string("*")}) {
        request = with(read_here(), "if-none-match", known);
        CHECK(finished(request, {.body = "{}\n", .headers = {}}).status == 304);
        CHECK(finished(request, {.body = "{}\n", .headers = {}}).body.empty());
    }
    request = with(read_here(), "if-none-match", "\"other\"");
    CHECK(finished(request, {.body = "{}\n", .headers = {}}).status == 200);
    CHECK(finished(with(write_here(), "if-none-match", "*"), {.status = 201, .body = "{}\n", .headers = {}}).status == 201);
}

TEST_CASE("the page's files are in the program, with their types and digests") {
    const auto* index = page_file("/");
    REQUIRE(index);
    CHECK(index->type == "text/html; charset=utf-8");
    for (const auto& file : page_files()) {
        std::ifstream in(std::string(PROJECT_ROOT) + "/daemon/page" + std::string(file.path), std::ios::binary);
        std::ostringstream bytes;
        bytes << in.rdbuf();
        INFO(file.path);
        // Scripts hold all that they import, and as styles neither comments nor blanks; the page's own test looks into them.
        const bool made = file.path.ends_with(".js") || file.path.ends_with(".css");
        CHECK((made ? file.bytes.size() > 500 : bytes.str() == file.bytes));
        CHECK(sha256(file.bytes) == file.digest);
    }
    CHECK(page_file("/app.js"));
    CHECK(page_file("/dom.js") == nullptr);   // inside the others
    CHECK(page_file("/index.htm") == nullptr);
    CHECK(page_file("index.html") == nullptr);
    CHECK(page_response("/etc/passwd").status == 404);
}

TEST_CASE("a bucket fills with time and is emptied by asking") {
    using namespace std::chrono_literals;
    Buckets buckets({.a_second = 0.5, .burst = 3}, 4);
    const Buckets::Moment start{1000s};
    for (int i = 0; i < 3; ++i) CHECK(buckets.take("a", start));
    CHECK_FALSE(buckets.take("a", start));
    CHECK(buckets.take("b", start));
    CHECK(buckets.wait_s("a", start) == 2);
    CHECK_FALSE(buckets.take("a", start + 1s));
    CHECK(buckets.take("a", start + 2s));
    CHECK_FALSE(buckets.has("a", start + 2s));
    CHECK_FALSE(buckets.take("a", start));  // a clock that went back gives nothing
    for (int i = 0; i < 1000; ++i) CHECK(buckets.take("c" + std::to_string(i), start + 2s));
    CHECK(buckets.size() <= 4);
}

TEST_CASE("a code becomes a token once, and a token holds until it ends") {
    const Folder folder;
    TokenBook book(folder.path);
    CHECK(book.tokens(noon()).empty());
    CHECK_FALSE(book.person("x", noon()));
    const auto code = book.offer("Ana", noon() + std::chrono::hours(48), noon());
    CHECK(code.size() == 9);
    CHECK_FALSE(book.claim("AAAA-AAAA", noon()));
    CHECK_FALSE(book.claim(code, noon() + code_lives));
    std::string typed;
    for (char c : code)
        if (c != '-') typed += char(std::tolower(c));
    TokenBook other(folder.path);
    const auto claimed = other.claim(typed, noon());
    REQUIRE(claimed);
    CHECK(claimed->secret.size() == 43);
    CHECK_FALSE(book.claim(code, noon()));
    CHECK(book.person(claimed->secret, noon())->name == "Ana");
    CHECK_FALSE(book.person(claimed->secret + "x", noon()));
    CHECK_FALSE(book.person("", noon()));
    CHECK_FALSE(book.person(claimed->secret, noon() + std::chrono::hours(48)));
    CHECK(book.tokens(noon()).size() == 1);
    CHECK(book.end(7, noon()).empty());
    CHECK(other.end(1, noon()) == std::vector<int>{1});
    CHECK_FALSE(book.person(claimed->secret, noon()));
    const auto second = book.claim(book.offer("", {}, noon()), noon());
    CHECK(second->token.number == 2);  // a number is never used twice
    CHECK(book.person(second->secret, noon())->name.empty());   // the gardener's own
    // Let in until a day before a name was asked for: a helper, who writes under no other's name.
    const auto unnamed = book.claim(book.offer("", noon() + std::chrono::hours(48), noon()), noon());
    CHECK(book.person(unnamed->secret, noon())->name == "helper");
    CHECK(book.person(second->secret, noon() + std::chrono::hours(24 * 365))->token == 2);
}

TEST_CASE("the book of tokens keeps no secret, lets nobody else read it, and does not grow") {
    const Folder folder;
    TokenBook book(folder.path);
    std::string code;
    for (int i = 0; i < 30; ++i) code = book.offer("", {}, noon());
    const auto claimed = book.claim(code, noon());
    REQUIRE(claimed);
    struct stat status {};
    REQUIRE(::stat(book.file().c_str(), &status) == 0);
    CHECK((status.st_mode & 0777) == 0600);
    std::ifstream in(book.file());
    std::ostringstream text;
    text << in.rdbuf();
    CHECK(text.str().find(claimed->secret) == std::string::npos);
    CHECK(text.str().find(code.substr(0, 4)) == std::string::npos);
    CHECK(std::ranges::count(text.str(), '\n') <= long(most_codes) + 3);
    fs::permissions(book.file(), fs::perms(0640));
    CHECK_THROWS_AS(book.tokens(noon()), StoreFault);
    fs::permissions(book.file(), fs::perms(0600));
    std::ofstream(book.file(), std::ios::app) << "garbage\n";
    CHECK_THROWS_AS(book.claim(code, noon()), StoreFault);
}

TEST_CASE("a calendar's token is kept, listed and ended like the others, and known for what it is") {
    const Folder folder;
    TokenBook book(folder.path);
    const auto phone = book.claim(book.offer("Ana", noon() + std::chrono::hours(48), noon()), noon());
    REQUIRE(phone);
    const auto made = book.calendar("Ana", {}, noon(), phone->token.number);
    REQUIRE(made);
    CHECK(made->token.until == phone->token.until);
    const auto person = TokenBook(folder.path).person(made->secret, noon());
    REQUIRE(person);
    CHECK(person->calendar_only);
    CHECK_FALSE(book.person(phone->secret, noon())->calendar_only);
    REQUIRE(book.tokens(noon()).size() == 2);
    CHECK(book.tokens(noon())[1].calendar);
    CHECK_FALSE(book.person(made->secret, noon() + std::chrono::hours(49)));
    CHECK_FALSE(book.calendar("Ana", {}, noon(), 99));
    CHECK(book.end(made->token.number, noon()) == std::vector<int>{2});
    CHECK_FALSE(book.person(made->secret, noon()));
    CHECK(book.person(phone->secret, noon()));
}

TEST_CASE("a phone that ends takes along the calendars that it asked for, and no others") {
    const Folder folder;
    TokenBook book(folder.path);
    const auto lost = book.claim(book.offer("Ana", {}, noon()), noon()), kept = book.claim(book.offer("Ana", {}, noon()), noon());
    const auto first = book.calendar("Ana", {}, noon(), lost->token.number), second = book.calendar("Ana", {}, noon(), lost->token.number);
    const auto others = book.calendar("Ana", {}, noon(), kept->token.number), here = book.calendar("Ana", {}, noon());
    CHECK(TokenBook(folder.path).tokens(noon())[2].phone == lost->token.number);
    CHECK(here->token.phone == 0);
    CHECK(TokenBook(folder.path).end(lost->token.number, noon()) == std::vector<int>{1, 3, 4});
    for (const auto& gone : {lost, first, second}) CHECK_FALSE(book.person(gone->secret, noon()));
    for (const auto& holds : {kept, others, here}) CHECK(book.person(holds->secret, noon()));
}

TEST_CASE("a calendar of an older book of tokens, which does not say what phone asked for it, holds on") {
    const Folder folder;
    {
        std::ofstream old(folder.path / "tubgrove-tokens");
        old << "tubgrove tokens 1\nnext\t3\ntoken\t1\t" << sha256("phone") << "\t2026-07-01T00:00:00Z\t-\tAna\ncalendar\t2\t" << sha256("calendar")
            << "\t2026-07-01T00:00:00Z\t-\tAna\n";
    }
    fs::permissions(folder.path / "tubgrove-tokens", fs::perms(0600));
    TokenBook book(folder.path);
    CHECK(book.end(1, noon()) == std::vector<int>{1});
    CHECK(book.person("calendar", noon())->calendar_only);
    std::ofstream(book.file(), std::ios::app) << "calendar\t4\tx\t-\t-\tAna\tphone\n";
    CHECK_THROWS_AS(book.tokens(noon()), StoreFault);
}
