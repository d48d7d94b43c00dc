#include "serve/notice_plan.hpp"

#include "garden/walks.hpp"
#include "serve/fetch_plan.hpp"
#include "store/store.hpp"
#include "told.hpp"

#include <boost/json.hpp>
#include <fmt/format.h>

#include <algorithm>

namespace tubgrove {
namespace {

using namespace std::chrono_literals;
using Way = NoticeChannel::Way;

constexpr long errand_seconds = 45;
constexpr int longest_doubling = 6;   // tries; then about every half hour

// The address's domain: where a Message-ID is made, its maker's name stands.
std::string domain_of(const std::string& address) {
    auto domain = address.substr(address.rfind('@') + 1);
    if (domain.ends_with('>')) domain.pop_back();
    return domain;
}

boost::json::object mail_errand(const Addressee& to, const Told& told, std::string_view id) {
    const auto& mail = to.channel;
    return {{"kind", "mail"}, {"url", mail.url}, {"from", mail.from}, {"to", boost::json::array{mail.to.front()}},
            {"subject", round_title(told.round)}, {"text", round_told(told.round, told.link)},
            {"id", fmt::format("{}.{}@{}", id, sha256(to.key).substr(0, 12), domain_of(mail.from))}, {"plain_allowed", !mail.tls}};
}

boost::json::object post_errand(const NoticeChannel& hook, const Told& told) {
    return {{"kind", "post"}, {"url", hook.url}, {"key_id", hook.key_id}, {"body", told.json}};
}

boost::json::object message_errand(const Broker& broker, const Told& told, const std::string& key) {
    return {{"kind", "message"}, {"host", broker.host}, {"port", broker_port(broker)}, {"topic", broker.topic}, {"tls", broker.tls},
            {"client", "tubgrove" + sha256(key + broker.topic).substr(0, 15)}, {"body", told.json}};
}

void give(boost::json::object& errand, const char* key, const std::string& value) {
    if (!value.empty()) errand[key] = value;
}

}  // namespace

std::string_view Addressee::way() const {
    return channel.way == Way::mail ? "mail" : channel.way == Way::webhook ? "webhook" : "broker";
}

std::vector<Addressee> addressees(const Notices& notices) {
    std::vector<Addressee> all;
    for (const auto& channel : notices.channels) {
        if (channel.way != Way::mail) {
            all.push_back({channel.name, channel});
            continue;
        }
        for (const auto& address : channel.to) {
            all.push_back({channel.to.size() > 1 ? channel.name + "/" + address : channel.name, channel});
            all.back().channel.to = {address};
        }
    }
    return all;
}

std::string told_as(const Addressee& addressee, std::string_view round_id) {
    auto name = parse_round_name(round_id);
    if (!name || addressee.channel.way == Way::topic) return std::string(round_id);
    name->revision = 1;
    return format_round_name(*name);
}

Instant quiet_until(const Addressee& addressee, const std::optional<QuietHours>& quiet, Instant now, const Zone& zone) {
    if (!quiet || !addressee.channel.quiet) return now;
    const auto today = zone.day_of(now);
    // Those that began yesterday may still last.
    for (const auto day : {today - std::chrono::days(1), today}) {
        const auto last = quiet->from < quiet->to ? day : day + std::chrono::days(1);
        const auto begins = zone.at(LocalTime(day) + quiet->from), ends = zone.at(LocalTime(last) + quiet->to);
        if (begins <= now && now < ends) return ends;
    }
    return now;
}

Sent telling_errand(const Addressee& addressee, const Told& told, std::string_view id) {
    const auto& channel = addressee.channel;
    auto errand = channel.way == Way::mail      ? mail_errand(addressee, told, id)
                  : channel.way == Way::webhook ? post_errand(channel, told)
                                                : message_errand(channel.broker, told, addressee.key);
    const auto& secrets = channel.way == Way::topic ? channel.broker.secret_file : channel.secret_file;
    give(errand, "user", channel.way == Way::topic ? channel.broker.user : channel.user);
    give(errand, "secret_file", secrets);
    give(errand, "ca_file", channel.way == Way::topic ? channel.broker.ca_file : channel.ca_file);
    give(errand, "proxy", channel.proxy);
    errand["seconds"] = errand_seconds;
    return {.errand = boost::json::serialize(errand), .longest = std::chrono::seconds(errand_seconds + 5), .bytes_max = 64 * 1024};
}

TellingVerdict judge_telling(const Brought& brought) {
    using Came = TellingVerdict::Came;
    if (brought.unsure) return {.came = Came::unsure, .why = brought.error};
    const auto status = brought.status;
    const bool passes = status == 408 || status == 425 || status == 429;
    if (!brought.error.empty()) return {.why = brought.error, .hopeless = status >= 500};  // SMTP: a lasting refusal
    if (status >= 300) return {.why = fmt::format("the server answered {}", status), .hopeless = status < 500 && !passes};
    return {.came = Came::told};
}

std::chrono::milliseconds next_telling(std::string_view key, int tries, const std::optional<std::chrono::seconds>& retry_after) {
    return next_fetch({.name = key, .failures = std::clamp(tries, 1, longest_doubling), .retry_after = retry_after});
}

}  // namespace tubgrove
