#include "errand.hpp"

#include <boost/json.hpp>

#include <algorithm>
#include <initializer_list>
#include <set>
#include <stdexcept>

namespace tubgrove::courier {

namespace {

namespace json = boost::json;

[[noreturn]] void wrong(const std::string& what) { throw std::invalid_argument(what); }

// Reads the keys one by one and remembers which, so that a misspelt one is told and not passed over.
class Keys {
public:
    explicit Keys(const json::object& object) : object_(object) {}

    std::string text(const char* key, std::string otherwise = {}) {
        const auto* value = find(key);
        if (value == nullptr) return otherwise;
        if (!value->is_string()) wrong(std::string(key) + " must be text");
        return std::string(value->get_string());
    }
    std::string needed(const char* key) {
        auto value = text(key);
        if (value.empty()) wrong(std::string(key) + " is missing");
        return value;
    }
    std::int64_t count(const char* key, std::int64_t otherwise, std::int64_t most) {
        const auto* value = find(key);
        if (value == nullptr) return otherwise;
        if (!value->is_int64() || value->get_int64() < 1 || value->get_int64() > most)
            wrong(std::string(key) + " must be a whole number from 1 to " + std::to_string(most));
        return value->get_int64();
    }
    bool yes(const char* key) {
        const auto* value = find(key);
        if (value != nullptr && !value->is_bool()) wrong(std::string(key) + " must be true or false");
        return value != nullptr && value->get_bool();
    }
    std::vector<std::string> texts(const char* key) {
        const auto* value = find(key);
        std::vector<std::string> all;
        if (value == nullptr) return all;
        if (!value->is_array()) wrong(std::string(key) + " must be a list of texts");
        for (const auto& one : value->get_array()) {
            if (!one.is_string()) wrong(std::string(key) + " must be a list of texts");
            all.emplace_back(one.get_string());
        }
        return all;
    }
    void nothing_else() const {
        for (const auto& pair : object_)
            if (!known_.contains(std::string(pair.key()))) wrong("unknown key " + std::string(pair.key()));
    }

private:
    const json::value* find(const char* key) {
        known_.insert(key);
        return object_.if_contains(key);
    }

    const json::object& object_;
    std::set<std::string> known_;
};

// A line break would let a value write headers of its own.
void one_line(const char* key, const std::string& text) {
    const bool breaks = std::ranges::any_of(text, [](unsigned char c) { return c < ' ' || c == 0x7f; });
    if (breaks) wrong(std::string(key) + " must be one line");
}

bool visible(std::string_view text) {
    return std::ranges::all_of(text, [](unsigned char c) { return c > ' ' && c < 0x7f; });
}

// "Name <name@example.org>" or the address alone. The name may be any text; a letter's head has no other bytes for an address.
void one_mailbox(const char* key, const std::string& written) {
    one_line(key, written);
    const auto open = written.rfind('<');
    const auto address = std::string_view(written).substr(open == std::string::npos ? 0 : open);
    if (!visible(address) || address.find('@') == address.npos || written.size() > 500)
        wrong(std::string(key) + " must be an address in plain letters, such as Name <name@example.org>");
}

void scheme_among(const std::string& url, std::initializer_list<std::string_view> schemes) {
    const bool one = std::ranges::any_of(schemes, [&](std::string_view scheme) { return url.starts_with(scheme); });
    if (!one) wrong("url must begin with " + std::string(*schemes.begin()) + ", not " + url.substr(0, url.find(':')));
}

Way read_way(Keys& keys) {
    Way way{.url = keys.needed("url"),
            .user = keys.text("user"),
            .secret_file = keys.text("secret_file"),
            .ca_file = keys.text("ca_file"),
            .proxy = keys.text("proxy"),
            .seconds = long(keys.count("seconds", 30, 600))};
    one_line("url", way.url);
    one_line("user", way.user);
    return way;
}

Message read_message(Keys& keys) {
    Message message{.way = {.url = {},
                            .user = keys.text("user"),
                            .secret_file = keys.text("secret_file"),
                            .ca_file = keys.text("ca_file"),
                            .proxy = {},
                            .seconds = long(keys.count("seconds", 30, 600))},
                    .host = keys.needed("host"),
                    .port = int(keys.count("port", 1883, 65535)),
                    .tls = keys.yes("tls"),
                    .topic = keys.needed("topic"),
                    .client = keys.needed("client"),
                    .body = keys.text("body")};
    one_line("host", message.host);
    one_line("topic", message.topic);
    if (message.topic.find_first_of("+#") != std::string::npos) wrong("topic must be free of + and #");
    return message;
}

Fetch read_fetch(Keys& keys) {
    Fetch fetch{.way = read_way(keys),
                .etag = keys.text("etag"),
                .last_modified = keys.text("last_modified"),
                .headers = keys.texts("headers"),
                .bytes_max = std::size_t(keys.count("bytes_max", 8 << 20, 256 << 20))};
    scheme_among(fetch.way.url, {"https://", "http://"});
    one_line("etag", fetch.etag);
    one_line("last_modified", fetch.last_modified);
    for (const auto& header : fetch.headers) one_line("headers", header);
    return fetch;
}

Post read_post(Keys& keys) {
    Post post{.way = read_way(keys),
              .body = keys.text("body"),
              .content_type = keys.text("content_type", "application/json"),
              .key_id = keys.text("key_id")};
    scheme_among(post.way.url, {"https://", "http://"});
    one_line("content_type", post.content_type);
    one_line("key_id", post.key_id);
    if (post.key_id.find_first_of("\"\\") != std::string::npos) wrong("key_id must be free of quotation marks");
    if (!post.key_id.empty() && post.way.secret_file.empty())
        wrong("secret_file is missing: key_id asks for a signature");
    return post;
}

Mail read_mail(Keys& keys) {
    Mail mail{.way = read_way(keys),
              .from = keys.needed("from"),
              .to = keys.texts("to"),
              .subject = keys.text("subject"),
              .text = keys.text("text"),
              .id = keys.needed("id"),
              .plain_allowed = keys.yes("plain_allowed")};
    scheme_among(mail.way.url, {"smtps://", "smtp://"});
    if (mail.to.empty()) wrong("to is missing");
    for (const auto& to : mail.to) one_mailbox("to", to);
    one_mailbox("from", mail.from);
    if (!visible(mail.id) || mail.id.find_first_of("<>") != std::string::npos || mail.id.size() > 250)
        wrong("id must be plain letters without brackets, such as 2026-07-14-morning@garden");
    one_line("subject", mail.subject);
    return mail;
}

}  // namespace

Errand read_errand(std::string_view text) {
    boost::system::error_code error;
    const auto document = json::parse(text, error);
    if (error) wrong("the errand is not JSON: " + error.message());
    if (!document.is_object()) wrong("the errand must be one JSON object");
    Keys keys(document.get_object());
    const auto kind = keys.needed("kind");
    Errand errand;
    if (kind == "fetch")
        errand = read_fetch(keys);
    else if (kind == "post")
        errand = read_post(keys);
    else if (kind == "mail")
        errand = read_mail(keys);
    else if (kind == "message")
        errand = read_message(keys);
    else
        wrong("kind must be fetch, post, mail or message, not " + kind);
    keys.nothing_else();
    return errand;
}

const Way& way_of(const Errand& errand) {
    return std::visit([](const auto& one) -> const Way& { return one.way; }, errand);
}

}  // namespace tubgrove::courier
