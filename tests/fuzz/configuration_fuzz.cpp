// Any bytes as a configuration: a value with complaints, never a crash; what was understood can always be told.
#include "intake/read_configuration.hpp"

#include <cstddef>
#include <cstdint>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    auto read = tubgrove::read_configuration("fuzz.yaml", {reinterpret_cast<const char*>(data), size});
    for (const auto& complaint : read.complaints) (void)tubgrove::format(complaint);
    (void)tubgrove::describe(read.value);
    return 0;
}
