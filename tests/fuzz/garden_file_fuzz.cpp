// Any bytes as a garden file; one without complaints is written and reads back to the same facts.
#include "intake/garden_file.hpp"

#include <cstddef>
#include <cstdint>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace tubgrove;
    const Names names;
    auto read = read_garden("fuzz.yaml", {reinterpret_cast<const char*>(data), size}, names);
    for (const auto& pot : read.value) (void)setup_of(pot.id, merge({}, pot.facts), pot.since.value_or(LocalDay{}));
    if (!read.ok()) return 0;
    auto again = read_garden("again.yaml", write_garden(read.value), names);
    if (!again.ok() || again.value.size() != read.value.size()) std::abort();
    for (std::size_t i = 0; i < read.value.size(); ++i)
        if (again.value[i].id != read.value[i].id || merge({}, again.value[i].facts) != merge({}, read.value[i].facts)) std::abort();
    return 0;
}
