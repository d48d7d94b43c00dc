// Both ends of the pipe between service and courier. Any bytes as an errand: understood, or refused in words; a letter that is
// understood has only short lines of plain ASCII and no header that the errand's texts could have slipped in. Any bytes as what the courier says:
// an answer, or an error in words. And what is made of an answer: a date, a verdict, a wait that is never shorter than it should be.
#include "courier/errand.hpp"
#include "courier/letter.hpp"
#include "serve/errands.hpp"
#include "serve/fetch_plan.hpp"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <stdexcept>

namespace {

using namespace tubgrove;

void check_letter(const courier::Mail& mail) {
    const auto letter = courier::message_of(mail, 1'784'030'400);
    const auto head_end = letter.find("\r\n\r\n");
    if (head_end == std::string::npos) std::abort();
    std::size_t line = 0;
    for (std::size_t at = 0; at < letter.size(); ++at) {
        const auto c = static_cast<unsigned char>(letter[at]);
        if (c >= 0x80 || (c < ' ' && c != '\r' && c != '\n' && c != '\t')) std::abort();
        if (c == '\n') {
            if (at == 0 || letter[at - 1] != '\r') std::abort();
            line = 0;
        } else if (++line > 998) {  // Source: [RFC5322] 2.1.1
            std::abort();
        }
    }
    const auto head = letter.substr(0, head_end);
    for (std::size_t at = 0; (at = head.find("\r\n", at)) != std::string::npos; at += 2) {
        const char next = at + 2 < head.size() ? head[at + 2] : 'x';
        const auto name = head.substr(at + 2, head.find(':', at + 2) - at - 2);
        if (next != ' ' && next != '\t' && (name == "Bcc" || name == "Cc" || name == "Reply-To")) std::abort();
    }
}

void check_errand(std::string_view text) try {
    const auto errand = courier::read_errand(text);
    const auto& way = courier::way_of(errand);
    if (way.seconds < 1 || way.seconds > 600 || way.url.find("://") == std::string::npos) std::abort();
    if (way.url.find_first_of("\r\n") != std::string::npos || way.url.starts_with("file")) std::abort();
    if (const auto* mail = std::get_if<courier::Mail>(&errand)) check_letter(*mail);
} catch (const std::invalid_argument& complaint) {
    if (*complaint.what() == '\0') std::abort();
}

void check_brought(std::string_view text) {
    const auto brought = read_brought(text);
    const auto verdict = judge(brought);
    if (verdict.come == Come::failed && verdict.why.empty()) std::abort();
    if (!brought.error.empty() && verdict.come != Come::failed) std::abort();
    (void)http_date(brought.last_modified);
    for (const int failures : {0, 1, 7, 1000}) {
        const auto wait = next_fetch({.name = "roof", .failures = failures, .hopeless = verdict.hopeless, .retry_after = brought.retry_after});
        if (wait < std::chrono::seconds(45) || wait > std::chrono::hours(24)) std::abort();
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    check_errand(text);
    check_brought(text);
    return 0;
}
