#pragma once
// What can be asked of the garden over HTTP: one table of operations. Finding the operation, checking what came with the
// request, and the document in openapi.json all follow this table; a new command becomes a row here and a short function.
#include "door/fields.hpp"
#include "door/request.hpp"
#include "door/target.hpp"
#include "garden/garden.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// Who works an answer out: quick answers must not wait behind a season's reckoning.
enum class Bench : unsigned char { quick, reckoning };

// One request, understood.
struct Asking {
    Garden& garden;
    View view;
    std::vector<std::string> names;  // what stood in the path's braces
    const Target& target;
    Fields fields;                   // of a JSON body
    const std::string& body;         // of any other
    std::string by;                  // whose token it is; empty: the gardener's, or this machine
    bool helps = false;              // the token ends by itself, as a helper's does
};

using Answering = Response (*)(const Asking&);

struct Operation {
    std::string_view method, path;  // {…} stands for one segment
    Bench bench;
    Answering answer;
    std::span<const std::string_view> query;  // names that it knows, beside those that every read knows
    std::span<const Field> fields;            // of its JSON body
    std::string_view body_type = "application/json";  // of a write
    std::size_t body_limit = 64 * 1024;
    bool writes() const { return method != "GET"; }
    bool for_helpers() const;  // whether a token that ends by itself may ask it
};

std::span<const Operation> operations();
// at, hindsight and recompute: every read may ask as at another moment.
std::span<const std::string_view> reads_know();

struct Found {
    const Operation* operation = nullptr;
    std::vector<std::string> names;
    std::string allowed;  // methods of this path, where the path is known and the method is not
};
Found find_operation(std::string_view method, const Target& target);

// Works the operation out. Throws what the machine throws; whatever was wrong with the request is in the response.
struct Moment {
    View view;
    std::string by;
    bool helps = false;  // see Asking
};
Response answer_operation(Garden& garden, const Found& found, const Request& request, const Target& target, const Moment& moment);

}  // namespace tubgrove
