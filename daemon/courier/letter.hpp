#pragma once
// The words of a message around its body: header lines of a mail, and a signed post's.
#include "errand.hpp"

#include <cstdint>

namespace tubgrove::courier {

// A header's text in ASCII: as it is, or in encoded words of at most 75 characters that never cut a UTF-8 character.
// Source: [RFC2047] 2, 4.1.
std::string header_text(std::string_view utf8);

// "Tue, 14 Jul 2026 05:00:00 +0000" of seconds since 1970. Source: [RFC5322] 3.3.
std::string mail_date(std::int64_t seconds);

// UTF-8 text in ASCII lines of at most 76 characters, ended by CR LF. Source: [RFC2045] 6.7.
std::string quoted_printable(std::string_view utf8);

// The whole message: header lines and text. Auto-Submitted [RFC3834] 5 says that no machine should answer.
std::string message_of(const Mail&, std::int64_t now_s);

// Content-Digest [RFC9530] 2, and with a key Signature-Input and Signature [RFC9421] 2.5, 3.3.3 (hmac-sha256) over
// method, target, type and digest.
std::vector<std::string> post_headers(const Post&, std::string_view key, std::int64_t now_s);

}  // namespace tubgrove::courier
