#include "door/once.hpp"

#include "door/gate.hpp"
#include "store/store.hpp"

namespace tubgrove {
namespace {

// All that makes a request what it is. Lengths stand between the parts, so that none can flow into the next.
std::string digest_of(const Request& request, const Moment& moment) {
    std::string all;
    for (const std::string_view part : {std::string_view(request.method), std::string_view(request.target),
                                        request.header("content-type"), std::string_view(moment.by), std::string_view(request.body)})
        all += std::to_string(part.size()) + ":" + std::string(part);
    return sha256(all);
}

}  // namespace

Response answer_once(Store& store, Garden& garden, const Found& found, const Request& request, const Target& target,
                     const Moment& moment) {
    if (!found.operation->writes()) return answer_operation(garden, found, request, target, moment);
    const auto key = idempotency_key(request.header("idempotency-key")).value_or("");
    const auto digest = digest_of(request, moment);
    Response response;
    const auto kept = store.answer_once(key, [&]() -> std::optional<KeptAnswer> {
        response = answer_operation(garden, found, request, target, moment);
        if (response.status >= 300) return std::nullopt;
        return KeptAnswer{.request = digest, .status = response.status, .body = response.body};
    });
    if (!kept) return response;
    if (kept->request != digest)
        return problem(422, "this key was used for another request already", "a new Idempotency-Key for each new write");
    return {.status = kept->status, .body = kept->body, .headers = {}};
}

}  // namespace tubgrove
