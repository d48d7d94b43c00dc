#include "door/page.hpp"

#include <algorithm>

namespace tubgrove {

const PageFile* page_file(std::string_view path) {
    const auto files = page_files();
    const auto found = std::ranges::find(files, path == "/" ? "/index.html" : path == "/sheet" || path == "/labels" ? "/sheet.html" : path, &PageFile::path);
    return found == files.end() ? nullptr : &*found;
}

}  // namespace tubgrove
