#pragma once

namespace tubgrove {

// For a process that stays: the pages of all stores and caches that are kept at hand take together about a megabyte at most, instead of
// two megabytes each. Larger answers and writes still have what they need while they are at work.
void keep_store_memory_small();

}  // namespace tubgrove
