#include "door/request.hpp"

#include "garden/json_writer.hpp"

#include <algorithm>
#include <array>

namespace tubgrove {

std::string_view Request::header(std::string_view name) const {
    const auto found = std::ranges::find(headers, name, &Headers::value_type::first);
    return found == headers.end() ? std::string_view() : std::string_view(found->second);
}

std::size_t Request::count(std::string_view name) const {
    return std::size_t(std::ranges::count(headers, name, &Headers::value_type::first));
}

std::string_view phrase_of(int status) {
    constexpr std::array<std::pair<int, std::string_view>, 24> phrases{{{200, "OK"},
                                                                        {201, "Created"},
                                                                        {204, "No Content"},
                                                                        {304, "Not Modified"},
                                                                        {400, "Bad Request"},
                                                                        {401, "Unauthorized"},
                                                                        {403, "Forbidden"},
                                                                        {404, "Not Found"},
                                                                        {405, "Method Not Allowed"},
                                                                        {406, "Not Acceptable"},
                                                                        {408, "Request Timeout"},
                                                                        {409, "Conflict"},
                                                                        {411, "Length Required"},
                                                                        {413, "Content Too Large"},
                                                                        {414, "URI Too Long"},
                                                                        {415, "Unsupported Media Type"},
                                                                        {417, "Expectation Failed"},
                                                                        {421, "Misdirected Request"},
                                                                        {422, "Unprocessable Content"},
                                                                        {429, "Too Many Requests"},
                                                                        {431, "Request Header Fields Too Large"},
                                                                        {500, "Internal Server Error"},
                                                                        {503, "Service Unavailable"},
                                                                        {505, "HTTP Version Not Supported"}}};
    const auto found = std::ranges::find(phrases, status, &std::pair<int, std::string_view>::first);
    return found == phrases.end() ? "Error" : found->second;
}

Response problem(int status, std::string_view what, std::string_view right) {
    JsonWriter json;
    json.begin_object();
    json.text("type", "about:blank");
    json.text("title", phrase_of(status));
    json.integer("status", status);
    json.text("detail", what);
    if (!right.empty()) json.text("right", right);
    json.end_object();
    return {.status = status, .type = "application/problem+json", .body = json.take(), .headers = {}};
}

}  // namespace tubgrove
