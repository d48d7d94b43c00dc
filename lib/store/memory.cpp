#include "store/memory.hpp"

#include <sqlite3.h>

namespace tubgrove {

// As the library documents sqlite3_soft_heap_limit64: pages are used again rather than new ones asked for, and it is no hard limit.
void keep_store_memory_small() { ::sqlite3_soft_heap_limit64(1 << 20); }

}  // namespace tubgrove
