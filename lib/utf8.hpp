#pragma once
// Text as it is taken in anywhere: UTF-8 without control bytes.
#include <cstddef>
#include <string_view>

namespace tubgrove {

// How many bytes the UTF-8 character at the front takes, 1 to 4; 0 when there is none (overlong forms and surrogates are none, nor
// are the bytes of an empty text). Source: [RFC3629], section 4.
std::size_t character_bytes(std::string_view text);

// A control byte other than tab and line ends.
bool is_control(char byte);

// Whether the text is UTF-8 throughout, without control bytes.
bool is_clean_text(std::string_view text);

}  // namespace tubgrove
