#include "intake/read_notices.hpp"

#include "intake/read_source.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using Way = NoticeChannel::Way;

bool plain_text(std::string_view text) {
    return std::ranges::none_of(text, [](char c) { return static_cast<unsigned char>(c) < ' ' || c == 0x7F; });
}

Parsed<std::chrono::minutes> time_of_day(std::string_view written) {
    auto padded = written.size() == 4 ? fmt::format("0{}", written) : std::string(written);
    if (auto found = parse_clock(padded)) return *found;
    return Fault{fmt::format("{} is not a time of day", quoted(written)), "write it like 21:30"};
}

// "someone@example.org", or with a name before it in <>.
Parsed<std::string> mail_address(std::string_view written) {
    auto open = written.rfind('<');
    bool named = open != std::string_view::npos && written.ends_with('>');
    auto bare = named ? written.substr(open + 1, written.size() - open - 2) : written;
    auto at = bare.find('@');
    bool whole = at != std::string_view::npos && at > 0 && at + 1 < bare.size() && bare.find('@', at + 1) == std::string_view::npos &&
                 bare.find_first_of(" ,;<>()\"") == std::string_view::npos;
    if (whole && written.size() <= 250 && plain_text(written) && (named || open == std::string_view::npos)) return std::string(written);
    return Fault{fmt::format("{} is no address of a mail", quoted(written)), "write it like someone@example.org, or Someone <someone@example.org>"};
}

Parsed<std::string> mail_server(std::string_view written) {
    auto rest = written.starts_with("smtps://") ? written.substr(8) : written.starts_with("smtp://") ? written.substr(7) : std::string_view();
    if (!rest.empty() && rest.size() <= 300 && rest.find_first_of(" /?#@\\\"'") == std::string_view::npos && plain_text(rest)) return std::string(written);
    return Fault{fmt::format("{} is no mail server", quoted(written)), "write it like smtps://mail.example.org, or smtp://mail.example.org:587"};
}

Parsed<std::string> post_address(std::string_view written) {
    bool web = written.starts_with("https://") || written.starts_with("http://");
    if (web && written.size() <= 2000 && written.find_first_of(" \"") == std::string_view::npos && plain_text(written)) return std::string(written);
    return Fault{fmt::format("{} is no address to post to", quoted(written)), "write it like https://house.lan/tubgrove"};
}

Parsed<std::string> key_name(std::string_view written) {
    bool plain = !written.empty() && written.size() <= 100 && plain_text(written) && written.find_first_of("\"\\") == std::string_view::npos;
    if (plain) return std::string(written);
    return Fault{fmt::format("{} can not name a key", quoted(written)), "write one line without quotation marks, like tubgrove"};
}

Parsed<std::string> one_topic(std::string_view written) {
    if (!written.empty() && written.size() <= 500 && plain_text(written) && written.find_first_of("+#") == std::string_view::npos) return std::string(written);
    return Fault{fmt::format("{} is no topic to write to", quoted(written)), "write it like garden/round, without + and #"};
}

void read_recipients(Section& s, std::vector<std::string>& to) {
    s.require("to", "to: [someone@example.org]");
    const auto* list = s.list("to");
    if (!list) return;
    for (const auto& node : list->items) {
        auto address = mail_address(node.kind == YamlNode::Kind::scalar ? node.text : "");
        const auto* found = good(address);
        if (!found) s.desk().complain(node, {fmt::format("{}: to: {}", s.name(), fault(address).what), fault(address).right});
        else if (std::ranges::find(to, *found) != to.end()) s.desk().complain(node, {fmt::format("{}: to: {} is given twice", s.name(), quoted(*found)), "give each once"});
        else to.push_back(*found);
    }
    if (list->items.empty()) s.desk().complain(*list, {fmt::format("{}: to is empty", s.name()), "add an address"});
}

void together(Section& s, const NoticeChannel& channel) {
    if (channel.user.empty() != channel.secret_file.empty())
        s.desk().complain(s.node(), {fmt::format("{}: user and secret_file belong together", s.name()), "give both, or neither"});
}

void read_mail(Section& s, NoticeChannel& mail) {
    s.require("server", "server: smtps://mail.example.org");
    s.require("from", "from: Pots <pots@example.org>");
    if (auto server = s.parsed<std::string>("server", mail_server)) mail.url = *server;
    if (auto from = s.parsed<std::string>("from", mail_address)) mail.from = *from;
    read_recipients(s, mail.to);
    read_line(s, "user", mail.user);
    read_path(s, "secret_file", mail.secret_file);
    read_path(s, "ca_file", mail.ca_file);
    s.yes_no("tls", mail.tls);
    together(s, mail);
}

void read_webhook(Section& s, NoticeChannel& hook) {
    s.require("url", "url: https://house.lan/tubgrove");
    if (auto url = s.parsed<std::string>("url", post_address)) hook.url = *url;
    if (auto key = s.parsed<std::string>("key_id", key_name)) hook.key_id = *key;
    read_path(s, "secret_file", hook.secret_file);
    read_path(s, "ca_file", hook.ca_file);
    if (auto proxy = s.parsed<std::string>("proxy", proxy_address)) hook.proxy = *proxy;
    if (hook.key_id.empty() != hook.secret_file.empty())
        s.desk().complain(s.node(), {fmt::format("{}: key_id and secret_file belong together", s.name()), "give both, or neither"});
    hook.always = true;
}

void read_topic(Section& s, NoticeChannel& channel) {
    s.require("topic", "topic: garden/round");
    if (auto topic = s.parsed<std::string>("topic", one_topic)) channel.broker.topic = *topic;
    read_broker_reach(s, channel.broker);
    channel.always = true;
}

struct Kind {
    const char* key;
    Way way;
    void (*read)(Section&, NoticeChannel&);
};
constexpr Kind kinds[] = {{"mail", Way::mail, read_mail}, {"webhook", Way::webhook, read_webhook}, {"broker", Way::topic, read_topic}};

std::optional<std::string> channel_name(Section& s) {
    s.require("name", "name: ana");
    return s.parsed<std::string>("name", [](std::string_view written) -> Parsed<std::string> {
        bool plain = !written.empty() && written.size() <= 40 && std::ranges::none_of(written, [](char c) {
            return static_cast<unsigned char>(c) <= ' ' || c == '/' || c == '"' || c == 0x7F;
        });
        if (plain) return std::string(written);
        return Fault{fmt::format("{} can not be a name", quoted(written)), "write one word of at most 40 bytes, like ana"};
    });
}

void read_channel(const YamlNode& node, const Desk& desk, const Kind& kind, Notices& notices, std::map<std::string, int>& seen) {
    Section s(node, kind.key, desk);
    NoticeChannel channel;
    channel.way = kind.way;
    channel.name = channel_name(s).value_or("");
    if (!channel.name.empty())
        if (auto [first, fresh] = seen.try_emplace(channel.name, node.line); !fresh)
            desk.complain(node, {fmt::format("notices: the name {} is given twice, first in line {}", quoted(channel.name), first->second), "give each its own name"});
    kind.read(s, channel);
    s.yes_no("quiet", channel.quiet);
    std::string when = channel.always ? "always" : "needed";
    s.word("when", when, {"needed", "always"});
    channel.always = when == "always";
    s.finish();
    notices.channels.push_back(std::move(channel));
}

// What is switched off as other keys are.
bool is_no(const YamlNode& node) { return node.kind == YamlNode::Kind::scalar && (node.text == "no" || node.text == "false"); }

void read_quiet(const YamlNode& node, const Desk& desk, Notices& notices) {
    Section s(node, "quiet", desk);
    s.require("from", "from: 21:30");
    s.require("to", "to: 06:30");
    auto from = s.parsed<std::chrono::minutes>("from", time_of_day), to = s.parsed<std::chrono::minutes>("to", time_of_day);
    s.finish();
    if (!from || !to) return;
    if (*from == *to) desk.complain(node, {"quiet: from and to are the same", "give an end that is later, or earlier for over midnight"});
    notices.quiet = QuietHours{*from, *to};
}

void read_days_off(const YamlNode& node, const Desk& desk, Notices& notices) {
    Section s(node, "days_off", desk);
    DaysOff off;
    if (auto told = s.parsed<std::chrono::weekday>("told", day_of_the_week)) off.told_on = int(told->c_encoding());
    s.count("days", off.days, 1, 7);
    s.finish();
    notices.days_off = off;
}

std::string clock_words(std::chrono::minutes t) { return fmt::format("{:02}:{:02}", t.count() / 60, t.count() % 60); }

std::string reached(const NoticeChannel& c) {
    if (c.way == Way::mail) return fmt::format("mail {}: to {} through {}{}", c.name, fmt::join(c.to, ", "), c.url, c.tls ? ", with TLS only" : ", without TLS where the server has none");
    if (c.way == Way::webhook) return fmt::format("webhook {}: posted to {}{}", c.name, c.url, c.key_id.empty() ? ", not signed" : ", signed with the key " + c.key_id);
    return fmt::format("broker {}: kept on {} at {}:{}{}", c.name, c.broker.topic, c.broker.host, broker_port(c.broker), c.broker.tls ? " with TLS" : "");
}

}  // namespace

int told_to(const Notices& notices) {
    int count = 0;
    for (const auto& channel : notices.channels) count += channel.way == Way::mail ? int(channel.to.size()) : 1;
    return count;
}

void read_notices(const YamlNode& node, const Desk& desk, Notices& notices) {
    Section s(node, "notices", desk);
    if (const auto* quiet = s.take("quiet"); quiet && !is_no(*quiet)) read_quiet(*quiet, desk, notices);
    if (const auto* off = s.take("days_off"); off && !is_no(*off)) read_days_off(*off, desk, notices);
    std::map<std::string, int> seen;
    for (const auto& kind : kinds)
        if (const auto* list = s.list(kind.key))
            for (const auto& one : list->items) read_channel(one, desk, kind, notices, seen);
    s.finish();
    if (told_to(notices) > most_told)
        desk.complain(node, {fmt::format("notices: a list would be told {} times", told_to(notices)), fmt::format("at most {}; a mailing list reaches more people", most_told)});
}

std::vector<std::string> describe_notices(const Notices& notices) {
    std::vector<std::string> lines;
    if (notices.quiet) lines.push_back(fmt::format("quiet hours: from {} to {}", clock_words(notices.quiet->from), clock_words(notices.quiet->to)));
    if (const auto& off = notices.days_off)
        lines.push_back(fmt::format("days off: the list of {} tells what {} without a walk would mean", weekday_words[std::size_t(off->told_on)], off->days == 1 ? "a day" : fmt::format("{} days", off->days)));
    for (const auto& channel : notices.channels)
        lines.push_back(reached(channel) + (channel.always ? "; every list" : "; lists that ask for something") +
                        (notices.quiet && !channel.quiet ? ", also in quiet hours" : ""));
    return lines;
}

}  // namespace tubgrove
