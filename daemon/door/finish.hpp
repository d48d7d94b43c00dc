#pragma once
// What every response carries, and what needs no garden to be answered.
#include "door/gate.hpp"
#include "door/request.hpp"

namespace tubgrove {

// Adds the ETag of what was read, where it has none.
Response tagged(Response response);
// Adds what keeps a browser careful, an ETag to what was read, and turns what the asker has already into 304.
Response finished(const Request& request, Response response);

// A file of the page, or 404.
Response page_response(const std::string& path);
// The document of this API.
Response document_response();
// Who the asker is, as the door sees it.
// `looks_back_at`: the moment at which the service stands where more was learned later, so that nothing can be written.
Response person_response(const Person& person, const Zone& zone, std::optional<Instant> looks_back_at);

std::string_view openapi_json();  // written by the build from door/openapi.json

}  // namespace tubgrove
