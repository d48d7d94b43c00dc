# Writes OUT: a .cpp with the bytes of one text file, the document of the API.
file(READ ${FILE} hex HEX)
string(LENGTH "${hex}" length)
math(EXPR size "${length} / 2")
# Lines of a bearable length: some tools give up on one of half a megabyte.
string(REGEX REPLACE "(................................)" "\\1\n" bytes "${hex}")
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
file(WRITE ${OUT} "// Written by the build from the API's document; not to be edited.
#include \"door/finish.hpp\"

namespace tubgrove {

std::string_view openapi_json() {
    static constexpr unsigned char bytes[] = {
${bytes}0};
    return {reinterpret_cast<const char*>(bytes), ${size}};
}

}  // namespace tubgrove
")
