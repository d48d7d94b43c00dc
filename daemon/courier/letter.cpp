#include "letter.hpp"

#include <openssl/evp.h>
#include <openssl/hmac.h>

#include <array>
#include <ctime>
#include <stdexcept>

namespace tubgrove::courier {

namespace {

using Digest = std::array<unsigned char, 32>;

std::string base64(std::string_view bytes) {
    std::string out(4 * ((bytes.size() + 2) / 3) + 1, '\0');
    const int size = EVP_EncodeBlock(reinterpret_cast<unsigned char*>(out.data()),
                                     reinterpret_cast<const unsigned char*>(bytes.data()), int(bytes.size()));
    out.resize(std::size_t(size));
    return out;
}

std::string base64(const Digest& digest) {
    return base64(std::string_view(reinterpret_cast<const char*>(digest.data()), digest.size()));
}

Digest sha256(std::string_view bytes) {
    Digest digest{};
    if (EVP_Digest(bytes.data(), bytes.size(), digest.data(), nullptr, EVP_sha256(), nullptr) != 1)
        throw std::runtime_error("SHA-256 is not to be had");
    return digest;
}

// Source: [RFC2104], with SHA-256.
Digest hmac_sha256(std::string_view key, std::string_view bytes) {
    Digest digest{};
    const auto* data = reinterpret_cast<const unsigned char*>(bytes.data());
    if (HMAC(EVP_sha256(), key.data(), int(key.size()), data, bytes.size(), digest.data(), nullptr) == nullptr)
        throw std::runtime_error("HMAC-SHA-256 is not to be had");
    return digest;
}

bool plain(std::string_view text) {
    for (unsigned char c : text)
        if (c < 0x20 || c > 0x7e) return false;
    return text.find("=?") == text.npos;
}

// How many bytes of the text's start fit, without cutting a character.
std::size_t whole_characters(std::string_view text, std::size_t most) {
    if (text.size() <= most) return text.size();
    std::size_t end = most;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xc0) == 0x80) --end;
    return end > 0 ? end : most;
}

// "Name <name@example.org>": the name may be any text, the address stays. Source: [RFC5322] 3.4, [RFC2047] 5.
std::string mailbox(std::string_view written) {
    const auto open = written.rfind('<');
    if (plain(written) || open == written.npos) return std::string(written);
    auto name = written.substr(0, open);
    while (name.ends_with(' ')) name.remove_suffix(1);
    return header_text(name) + " " + std::string(written.substr(open));
}

std::string joined(const std::vector<std::string>& mailboxes) {
    std::string all;
    for (const auto& one : mailboxes) all += (all.empty() ? "" : ",\r\n ") + mailbox(one);
    return all;
}

}  // namespace

std::string header_text(std::string_view utf8) {
    constexpr std::size_t longest_line = 900;  // 998 with the header's name. Source: [RFC5322] 2.1.1
    if (plain(utf8) && utf8.size() <= longest_line) return std::string(utf8);
    // 36 bytes are 48 characters of base64; with "=?UTF-8?B??=" and "Subject: " a line stays within 76.
    constexpr std::size_t bytes_a_word = 36;
    std::string out;
    while (!utf8.empty()) {
        const auto size = whole_characters(utf8, bytes_a_word);
        out += (out.empty() ? "=?UTF-8?B?" : "\r\n =?UTF-8?B?") + base64(utf8.substr(0, size)) + "?=";
        utf8.remove_prefix(size);
    }
    return out;
}

std::string mail_date(std::int64_t seconds) {
    const std::time_t time = seconds;
    std::tm parts{};
    gmtime_r(&time, &parts);
    std::array<char, 40> text{};
    // No locale is ever set here, so that the names are English as the standard wants them.
    std::strftime(text.data(), text.size(), "%a, %d %b %Y %H:%M:%S +0000", &parts);
    return text.data();
}

std::string quoted_printable(std::string_view utf8) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    constexpr std::size_t longest = 75;  // and a "=" where the line goes on
    std::string out;
    std::size_t width = 0;
    const auto put = [&](std::string_view piece) {
        if (width + piece.size() > longest) out += "=\r\n", width = 0;
        out += piece, width += piece.size();
    };
    for (std::size_t i = 0; i < utf8.size(); ++i) {
        const auto c = static_cast<unsigned char>(utf8[i]);
        const bool last_in_line = i + 1 == utf8.size() || utf8[i + 1] == '\n';
        if (c == '\n')
            out += "\r\n", width = 0;
        else if ((c >= 0x21 && c <= 0x7e && c != '=') || (c == ' ' && !last_in_line))
            put(utf8.substr(i, 1));
        else
            put(std::string{'=', digits[c >> 4], digits[c & 15]});
    }
    return out;
}

std::string message_of(const Mail& mail, std::int64_t now_s) {
    const std::string head = "Date: " + mail_date(now_s) + "\r\nFrom: " + mailbox(mail.from) + "\r\nTo: " + joined(mail.to) +
                             "\r\nSubject: " + header_text(mail.subject) + "\r\nMessage-ID: <" + mail.id +
                             ">\r\nAuto-Submitted: auto-generated\r\n";
    return head + "MIME-Version: 1.0\r\nContent-Type: text/plain; charset=utf-8\r\n" +
           "Content-Transfer-Encoding: quoted-printable\r\n\r\n" + quoted_printable(mail.text);
}

std::vector<std::string> post_headers(const Post& post, std::string_view key, std::int64_t now_s) {
    const std::string digest = "sha-256=:" + base64(sha256(post.body)) + ":";
    std::vector<std::string> headers{"Content-Type: " + post.content_type, "Content-Digest: " + digest};
    if (post.key_id.empty()) return headers;
    const std::string covered =
        "(\"@method\" \"@target-uri\" \"content-type\" \"content-digest\");created=" + std::to_string(now_s) +
        ";keyid=\"" + post.key_id + "\";alg=\"hmac-sha256\"";
    const std::string base = "\"@method\": POST\n\"@target-uri\": " + post.way.url +
                             "\n\"content-type\": " + post.content_type + "\n\"content-digest\": " + digest +
                             "\n\"@signature-params\": " + covered;
    headers.push_back("Signature-Input: tubgrove=" + covered);
    headers.push_back("Signature: tubgrove=:" + base64(hmac_sha256(key, base)) + ":");
    return headers;
}

}  // namespace tubgrove::courier
