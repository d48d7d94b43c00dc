// Any bytes as a quantity, a fact or the words of `did`: what is taken lies in its range, and canonical facts read back.
#include "intake/did.hpp"
#include "intake/quantity.hpp"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace tubgrove;
    const std::string text(reinterpret_cast<const char*>(data), size);
    for (bool comma : {false, true}) {
        auto parsed = parse_quantity(text, {"L", 0.5, 200, "10 L", comma});
        if (const auto* number = good(parsed); number && !(*number >= 0.5 && *number <= 200)) std::abort();
    }
    const Names names;
    std::vector<std::string> words(1);
    for (char c : text) {
        if (c == ' ') words.emplace_back();
        else words.back() += c;
    }
    (void)parse_did(words, names);
    auto facts = parse_facts(words, names);
    for (const auto& fact : facts.value) {
        auto again = canonical_fact(fact.key, fact.value, names);
        if (!good(again) || good(again)->value != fact.value) std::abort();
    }
    return 0;
}
