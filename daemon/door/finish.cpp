#include "door/finish.hpp"

#include "door/page.hpp"
#include "garden/json_values.hpp"
#include "store/store.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

bool has(const Response& response, std::string_view name) {
    return std::ranges::find(response.headers, name, &Headers::value_type::first) != response.headers.end();
}

std::string_view value_of(const Response& response, std::string_view name) {
    const auto found = std::ranges::find(response.headers, name, &Headers::value_type::first);
    return found == response.headers.end() ? std::string_view() : std::string_view(found->second);
}

// Whether an If-None-Match names this tag: a list of tags, or *.
bool names(std::string_view list, std::string_view tag) {
    if (list == "*") return true;
    for (auto at = list.find(tag); at != std::string_view::npos; at = list.find(tag, at + 1)) {
        const auto after = list.substr(at + tag.size());
        if (after.empty() || after.front() == ',' || after.front() == ' ') return true;
    }
    return false;
}

// Scripts too: one that runs beside the page, as a worker does, is held to its own policy.
bool is_part_of_the_page(const Response& response) {
    return response.type.starts_with("text/html") || response.type.starts_with("text/javascript");
}

}  // namespace

Response tagged(Response response) {
    if (response.status == 200 && !has(response, "etag"))
        response.headers.emplace_back("etag", "\"" + sha256(response.body).substr(0, 32) + "\"");
    return response;
}

Response finished(const Request& request, Response response) {
    if (request.reads()) response = tagged(std::move(response));
    if (request.reads() && response.status == 200 && request.count("if-none-match") == 1 &&
        names(request.header("if-none-match"), value_of(response, "etag"))) {
        response.status = 304;
        response.body.clear();
    }
    response.headers.emplace_back("cache-control", "private, no-cache");
    response.headers.emplace_back("x-content-type-options", "nosniff");
    response.headers.emplace_back("referrer-policy", "no-referrer");
    response.headers.emplace_back("cross-origin-resource-policy", "same-origin");
    response.headers.emplace_back("content-security-policy", is_part_of_the_page(response)
                                      ? "default-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
                                      : "default-src 'none'; frame-ancestors 'none'");
    return response;
}

Response page_response(const std::string& path) {
    const auto* file = page_file(path);
    if (!file) return problem(404, "there is nothing at " + tubgrove::quoted(path), "/ is the page");
    return {.type = std::string(file->type), .body = std::string(file->bytes),
            .headers = {{"etag", "\"" + std::string(file->digest.substr(0, 32)) + "\""}}};
}

Response document_response() { return {.body = std::string(openapi_json()), .headers = {}}; }

Response person_response(const Person& person, const Zone& zone, std::optional<Instant> looks_back_at) {
    JsonWriter json;
    json.begin_object();
    json.text("name", person.name);
    if (person.token == 0)
        json.null("token");
    else
        json.integer("token", person.token);
    instant_or_null(json, "until", person.until, zone);
    instant_or_null(json, "looks_back_at", looks_back_at, zone);
    json.end_object();
    return {.body = json.take(), .headers = {}};
}

}  // namespace tubgrove
