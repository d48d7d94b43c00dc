#pragma once
// A write that is sent twice is written once: the key that came with it, what was asked, and the answer are kept in one
// transaction with what was written.
#include "door/operations.hpp"

namespace tubgrove {

class Store;

// As answer_operation; a write is done once for its Idempotency-Key, and the same key with another request is refused.
// A refusal is not kept: nothing was written, and a corrected request may use the key again.
Response answer_once(Store& store, Garden& garden, const Found& found, const Request& request, const Target& target,
                     const Moment& moment);

}  // namespace tubgrove
