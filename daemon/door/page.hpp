#pragma once
// The files of the page, which are part of the program.
#include <span>
#include <string_view>

namespace tubgrove {

struct PageFile {
    std::string_view path;  // "/index.html"
    std::string_view type;  // as a browser wants it told
    std::string_view bytes;
    std::string_view digest;  // of the bytes, SHA-256
};

// Every file of daemon/page; written by the build.
std::span<const PageFile> page_files();
// By path, "/" being index.html and "/sheet" the sheet for paper; null when there is none.
const PageFile* page_file(std::string_view path);

}  // namespace tubgrove
