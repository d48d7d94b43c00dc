#include "serve/give_back.hpp"

#include <link.h>
#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cstdint>
#include <cstring>

namespace tubgrove {
namespace {

// Only what is never written: its pages are the file's, so letting go of them loses nothing.
int let_go(dl_phdr_info* object, std::size_t, void*) {
    if (std::strstr(object->dlpi_name, "vdso") != nullptr) return 0;
    const auto page = std::uintptr_t(::sysconf(_SC_PAGESIZE));
    for (int i = 0; i < object->dlpi_phnum; ++i) {
        const auto& segment = object->dlpi_phdr[i];
        if (segment.p_type != PT_LOAD || (segment.p_flags & PF_W) != 0) continue;
        const auto begin = (object->dlpi_addr + segment.p_vaddr) & ~(page - 1);
        const auto end = object->dlpi_addr + segment.p_vaddr + segment.p_memsz;
        (void)::madvise(reinterpret_cast<void*>(begin), end - begin, MADV_DONTNEED);
    }
    return 0;
}

}  // namespace

void give_back_memory() noexcept {
    ::malloc_trim(0);
    ::dl_iterate_phdr(let_go, nullptr);
}

}  // namespace tubgrove
