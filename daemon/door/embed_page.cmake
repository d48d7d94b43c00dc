# Writes OUT: a .cpp that holds the files under FOLDER, whatever their bytes, with the type that a browser wants told. Scripts and
# styles are made small by MINIFIER (esbuild); a script that no other imports holds all that it imports, and those it imports are
# not served by themselves.
set(type_html "text/html; charset=utf-8")
set(type_js "text/javascript; charset=utf-8")
set(type_css "text/css; charset=utf-8")
set(type_json "application/json")
set(type_webmanifest "application/manifest+json")
set(type_svg "image/svg+xml")
set(type_png "image/png")
set(type_ico "image/x-icon")
set(type_woff2 "font/woff2")
set(type_txt "text/plain; charset=utf-8")
file(GLOB_RECURSE files RELATIVE ${FOLDER} ${FOLDER}/*)
list(SORT files)
set(arrays "")
set(rows "")
set(number 0)
set(imported "")
foreach(name IN LISTS files)
  if(name MATCHES "\\.js$")
    file(STRINGS ${FOLDER}/${name} lines REGEX "^import .* from '\\./[a-z_]+\\.js';$")
    foreach(line IN LISTS lines)
      string(REGEX REPLACE ".* from '\\./([a-z_]+\\.js)';$" "\\1" module "${line}")
      list(APPEND imported ${module})
    endforeach()
  endif()
endforeach()
if(imported)
  list(REMOVE_ITEM files ${imported})
endif()
foreach(name IN LISTS files)
  string(REGEX MATCH "[a-z0-9]+$" ending ${name})
  if(NOT DEFINED type_${ending})
    message(FATAL_ERROR "page/${name}: no type is known for .${ending}; embed_page.cmake lists them")
  endif()
  set(from ${FOLDER}/${name})
  if(ending STREQUAL "js" OR ending STREQUAL "css")
    execute_process(COMMAND ${MINIFIER} ${from} --bundle --format=esm --minify --target=es2017 --charset=utf8 --log-level=warning --outfile=${OUT}.${ending}
      RESULT_VARIABLE failed)
    if(failed)
      message(FATAL_ERROR "page/${name}: cannot be made small")
    endif()
    set(from ${OUT}.${ending})
  endif()
  file(READ ${from} hex HEX)
  file(SHA256 ${from} digest)
  string(LENGTH "${hex}" length)
  math(EXPR size "${length} / 2")
  # Lines of a bearable length: some tools give up on one of half a megabyte.
  string(REGEX REPLACE "(................................)" "\\1\n" bytes "${hex}")
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  string(APPEND arrays "constexpr unsigned char file_${number}[] = {\n${bytes}0};\n")
  string(APPEND rows "        PageFile{\"/${name}\", \"${type_${ending}}\", text(file_${number}, ${size}),\n                 \"${digest}\"},\n")
  math(EXPR number "${number} + 1")
endforeach()
file(WRITE ${OUT} "// Written by the build from the page's folder; not to be edited.
#include \"door/page.hpp\"

#include <array>

namespace tubgrove {
namespace {

${arrays}
std::string_view text(const unsigned char* bytes, std::size_t size) { return {reinterpret_cast<const char*>(bytes), size}; }

}  // namespace

std::span<const PageFile> page_files() {
    static const std::array files{
${rows}    };
    return files;
}

}  // namespace tubgrove
")
