#include "transfer.hpp"

#include "letter.hpp"
#include "message.hpp"

#include <curl/curl.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <memory>
#include <stdexcept>

namespace tubgrove::courier {

namespace {

struct CurlEnd {
    void operator()(CURL* curl) const { curl_easy_cleanup(curl); }
    void operator()(curl_slist* list) const { curl_slist_free_all(list); }
};
using Curl = std::unique_ptr<CURL, CurlEnd>;
using List = std::unique_ptr<curl_slist, CurlEnd>;

template <typename Value>
void set(const Curl& curl, CURLoption option, Value value) {
    const CURLcode code = curl_easy_setopt(curl.get(), option, value);
    if (code != CURLE_OK) throw std::runtime_error(std::string("libcurl: ") + curl_easy_strerror(code));
}

List list_of(const std::vector<std::string>& texts) {
    List list;
    for (const auto& text : texts) {
        curl_slist* longer = curl_slist_append(list.get(), text.c_str());
        if (longer == nullptr) throw std::bad_alloc();
        list.release();
        list.reset(longer);
    }
    return list;
}

struct Bounded {
    std::string bytes;
    std::size_t most = 0;
    bool over = false;
};

std::size_t take_bytes(char* data, std::size_t, std::size_t size, void* to) {
    auto& body = *static_cast<Bounded*>(to);
    body.over = body.over || body.bytes.size() + size > body.most;
    if (body.over) return 0;
    body.bytes.append(data, size);
    return size;
}

// What the last answer's headers said; those of a redirection are forgotten when the next begins.
std::size_t take_header(char* data, std::size_t, std::size_t size, void* to) {
    auto& outcome = *static_cast<Outcome*>(to);
    std::string line(data, size);
    while (!line.empty() && (line.back() == '\r' || line.back() == '\n' || line.back() == ' ')) line.pop_back();
    if (line.starts_with("HTTP/")) outcome.etag = outcome.last_modified = "";
    const auto colon = line.find(':');
    if (colon == line.npos) return size;
    std::string name = line.substr(0, colon),
                value = line.substr(std::min(line.find_first_not_of(' ', colon + 1), line.size()));
    std::ranges::transform(name, name.begin(), [](unsigned char c) { return char(std::tolower(c)); });
    if (name == "etag") outcome.etag = value;
    if (name == "last-modified") outcome.last_modified = value;
    return size;
}

void go_the_way(const Curl& curl, const Way& way, const char* schemes) {
    set(curl, CURLOPT_URL, way.url.c_str());
    set(curl, CURLOPT_PROTOCOLS_STR, schemes);
    set(curl, CURLOPT_REDIR_PROTOCOLS_STR, schemes);
    set(curl, CURLOPT_NOSIGNAL, 1L);
    set(curl, CURLOPT_TIMEOUT, way.seconds);
    set(curl, CURLOPT_CONNECTTIMEOUT, std::min(way.seconds, 15L));
    set(curl, CURLOPT_PROXY, way.proxy.c_str());
    if (!way.ca_file.empty()) set(curl, CURLOPT_CAINFO, way.ca_file.c_str());
}

void name_user(const Curl& curl, const Way& way, const std::string& secret) {
    if (way.user.empty()) return;
    set(curl, CURLOPT_USERNAME, way.user.c_str());
    set(curl, CURLOPT_PASSWORD, secret.c_str());
}

Outcome perform(const Curl& curl, Bounded& body) {
    Outcome outcome;
    std::array<char, CURL_ERROR_SIZE> words{};
    set(curl, CURLOPT_ERRORBUFFER, words.data());
    set(curl, CURLOPT_WRITEFUNCTION, &take_bytes);
    set(curl, CURLOPT_WRITEDATA, &body);
    set(curl, CURLOPT_HEADERFUNCTION, &take_header);
    set(curl, CURLOPT_HEADERDATA, &outcome);
    const CURLcode code = curl_easy_perform(curl.get());
    curl_easy_getinfo(curl.get(), CURLINFO_RESPONSE_CODE, &outcome.status);
    curl_off_t wait_s = 0;
    if (curl_easy_getinfo(curl.get(), CURLINFO_RETRY_AFTER, &wait_s) == CURLE_OK && wait_s > 0)
        outcome.retry_after_s = std::int64_t(wait_s);
    if (body.over)
        outcome.error = "the answer is larger than " + std::to_string(body.most) + " bytes";
    else if (code != CURLE_OK)
        outcome.error = words[0] != '\0' ? words.data() : curl_easy_strerror(code);
    outcome.body = std::move(body.bytes);
    return outcome;
}

Outcome go(const Curl& curl, const Fetch& fetch, const std::string& secret, std::int64_t) {
    go_the_way(curl, fetch.way, "https,http");
    name_user(curl, fetch.way, secret);
    auto headers = fetch.headers;
    if (!fetch.etag.empty()) headers.push_back("If-None-Match: " + fetch.etag);
    if (!fetch.last_modified.empty()) headers.push_back("If-Modified-Since: " + fetch.last_modified);
    const List list = list_of(headers);
    set(curl, CURLOPT_HTTPHEADER, list.get());
    set(curl, CURLOPT_FOLLOWLOCATION, 1L);
    set(curl, CURLOPT_MAXREDIRS, 5L);
    set(curl, CURLOPT_ACCEPT_ENCODING, "");
    Bounded body{.bytes = {}, .most = fetch.bytes_max};
    return perform(curl, body);
}

// Whether a request went out at all: without it an empty body counts as sent whole.
bool sent_request(const Curl& curl) {
    long bytes = 0;
    curl_easy_getinfo(curl.get(), CURLINFO_REQUEST_SIZE, &bytes);
    return bytes > 0;
}

// A post is not sent on to where the answer points: its signature names the target.
Outcome go(const Curl& curl, const Post& post, const std::string& secret, std::int64_t now_s) {
    go_the_way(curl, post.way, "https,http");
    const List list = list_of(post_headers(post, secret, now_s));
    set(curl, CURLOPT_HTTPHEADER, list.get());
    set(curl, CURLOPT_POSTFIELDSIZE_LARGE, curl_off_t(post.body.size()));
    set(curl, CURLOPT_POSTFIELDS, post.body.c_str());
    Bounded body{.bytes = {}, .most = 1u << 20};
    auto outcome = perform(curl, body);
    outcome.body.clear();
    curl_off_t sent = 0;
    curl_easy_getinfo(curl.get(), CURLINFO_SIZE_UPLOAD_T, &sent);
    outcome.unsure = !outcome.error.empty() && outcome.status == 0 && sent == curl_off_t(post.body.size()) && sent_request(curl);
    return outcome;
}

std::size_t give_bytes(char* to, std::size_t, std::size_t size, void* from) {
    auto& rest = *static_cast<std::string_view*>(from);
    const auto given = rest.substr(0, size);
    std::ranges::copy(given, to);
    rest.remove_prefix(given.size());
    return given.size();
}

// "Name <address>" or the address alone.
std::string address_in(const std::string& text) {
    const auto open = text.rfind('<'), close = text.rfind('>');
    return open == text.npos || close == text.npos || close < open ? text : text.substr(open + 1, close - open - 1);
}

Outcome go(const Curl& curl, const Mail& mail, const std::string& secret, std::int64_t now_s) {
    go_the_way(curl, mail.way, "smtps,smtp");
    name_user(curl, mail.way, secret);
    set(curl, CURLOPT_USE_SSL, long(mail.plain_allowed ? CURLUSESSL_TRY : CURLUSESSL_ALL));
    std::vector<std::string> addresses;
    for (const auto& to : mail.to) addresses.push_back(address_in(to));
    const List to = list_of(addresses);
    const std::string from = address_in(mail.from), message = message_of(mail, now_s);
    std::string_view rest = message;
    set(curl, CURLOPT_MAIL_FROM, from.c_str());
    set(curl, CURLOPT_MAIL_RCPT, to.get());
    set(curl, CURLOPT_UPLOAD, 1L);
    set(curl, CURLOPT_READFUNCTION, &give_bytes);
    set(curl, CURLOPT_READDATA, &rest);
    Bounded body{.bytes = {}, .most = 1u << 16};
    auto outcome = perform(curl, body);
    // 354 asks for the text and is the last word until the text has come whole; 250 then says that it was taken.
    constexpr long send_the_text = 354, taken = 250;
    if (!outcome.error.empty() && rest.empty() && outcome.status == taken) outcome.error.clear();
    outcome.unsure = !outcome.error.empty() && rest.empty() && outcome.status == send_the_text;
    // The library's words for a refusal differ from step to step, and some say little.
    if (!outcome.error.empty() && outcome.status >= 400) outcome.error += "; the server answered " + std::to_string(outcome.status);
    return outcome;
}

}  // namespace

Outcome run_errand(const Errand& errand, const std::string& secret, std::int64_t now_s) {
    if (const auto* message = std::get_if<Message>(&errand)) return publish(*message, secret);
    const Curl curl(curl_easy_init());
    if (curl == nullptr) throw std::runtime_error("libcurl cannot be started");
    const auto way = [&](const auto& one) -> Outcome {
        if constexpr (std::is_same_v<std::decay_t<decltype(one)>, Message>)
            return {};  // went its own way already
        else
            return go(curl, one, secret, now_s);
    };
    return std::visit(way, errand);
}

}  // namespace tubgrove::courier
