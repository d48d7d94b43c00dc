#include "intake/read_source.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace tubgrove {
namespace {

constexpr std::size_t longest_address = 2000;

bool plain_text(std::string_view text) {
    return std::ranges::none_of(text, [](char c) { return static_cast<unsigned char>(c) < ' ' || c == 0x7F; });
}

Parsed<std::string> whole_path(std::string_view written) {
    if (written.starts_with('/') && written.size() < 1000 && plain_text(written)) return std::string(written);
    return Fault{fmt::format("{} is no whole path", quoted(written)), "write it from the root on, like /srv/tubgrove/station"};
}

Parsed<std::string> one_line(std::string_view written) {
    if (!written.empty() && written.size() <= 500 && plain_text(written)) return std::string(written);
    return Fault{fmt::format("{} is not one line of at most 500 bytes", quoted(written)), "shorten it"};
}

bool web(std::string_view url) { return url.starts_with("https://") || url.starts_with("http://"); }

Parsed<std::string> address(std::string_view written) {
    bool plain = plain_text(written) && written.find(' ') == std::string_view::npos && written.size() <= longest_address;
    if (!web(written) || !plain)
        return Fault{fmt::format("{} is no address to fetch from", quoted(written)), "write it like https://station.lan/now.json"};
    if (auto unknown = unknown_in_address(written); !unknown.empty())
        return Fault{fmt::format("{} is nothing that can be filled in", quoted(unknown)),
                     "known are {latitude}, {longitude}, {elevation}, {day}, {day+1}, {day-1} and so on"};
    return std::string(written);
}

Parsed<std::string> header_line(std::string_view written) {
    auto colon = written.find(':');
    bool named = colon != std::string_view::npos && colon > 0 && written.substr(0, colon).find_first_of(" \t\"(),/<=>?@[\\]{}") == std::string_view::npos;
    if (named && plain_text(written) && written.size() <= 1000) return std::string(written);
    return Fault{fmt::format("{} is no header", quoted(written)), "write it like \"Accept: application/json\""};
}

void read_headers(Section& s, std::vector<std::string>& headers) {
    const auto* list = s.list("headers");
    if (!list) return;
    headers.clear();
    for (const auto& node : list->items) {
        auto header = header_line(node.kind == YamlNode::Kind::scalar ? node.text : "");
        if (const auto* found = good(header)) headers.push_back(*found);
        else s.desk().complain(node, {fmt::format("{}: headers: {}", s.name(), fault(header).what), fault(header).right});
    }
}

void read_fetch(const YamlNode& node, const Desk& desk, std::optional<WeatherFetch>& into) {
    auto fetch = into.value_or(WeatherFetch{});
    Section s(node, "fetch", desk);
    if (fetch.url.empty()) s.require("url", "url: https://station.lan/now.json");
    if (auto url = s.parsed<std::string>("url", address)) fetch.url = *url;
    if (auto every_s = s.quantity("every", {"s", 5, 7 * 86400, "1 h"})) fetch.every = std::chrono::seconds(long(*every_s + 0.5));
    read_headers(s, fetch.headers);
    read_line(s, "contact", fetch.contact);
    read_line(s, "user", fetch.user);
    read_path(s, "secret_file", fetch.secret_file);
    read_path(s, "ca_file", fetch.ca_file);
    if (auto proxy = s.parsed<std::string>("proxy", proxy_address)) fetch.proxy = *proxy;
    s.count("most_bytes", fetch.most_bytes, 1000, 256'000'000);
    s.finish();
    if (fetch.user.empty() != fetch.secret_file.empty())
        desk.complain(node, {"fetch: user and secret_file belong together", "give both, or neither"});
    into = std::move(fetch);
}

// A filter: + stands for a whole level, # for all that follow.
Parsed<std::string> topic_filter(std::string_view written) {
    const Fault wrong{fmt::format("{} is no topic", quoted(written)), "write it like garden/station, garden/+ or garden/#"};
    if (written.empty() || written.size() > 500 || !plain_text(written)) return wrong;
    for (std::size_t i = 0; i < written.size(); ++i) {
        if (written[i] != '+' && written[i] != '#') continue;
        bool begins = i == 0 || written[i - 1] == '/', ends = i + 1 == written.size();
        if (!begins || (!ends && (written[i] == '#' || written[i + 1] != '/'))) return wrong;
    }
    return std::string(written);
}

void read_broker(const YamlNode& node, const Desk& desk, std::optional<Broker>& into) {
    Section s(node, "broker", desk);
    s.require("topic", "topic: garden/station");
    Broker broker;
    if (auto topic = s.parsed<std::string>("topic", topic_filter)) broker.topic = *topic;
    read_broker_reach(s, broker);
    s.finish();
    into = std::move(broker);
}

bool pointer(std::string_view text) { return text.starts_with('/'); }

Parsed<std::string> issue(std::string_view written) {
    if (written == "arrival" || written == "header" || pointer(written)) return std::string(written);
    return Fault{fmt::format("{} does not say when a forecast was issued", quoted(written)),
                 "write arrival, header (Last-Modified), or a JSON pointer such as /meta/updated"};
}

const YamlNode* below(const YamlNode& node, std::string_view key) {
    auto found = std::ranges::find(node.keys, key, &YamlKey::text);
    return found == node.keys.end() ? nullptr : &node.items[std::size_t(found - node.keys.begin())];
}

}  // namespace

void read_path(Section& s, std::string_view key, std::string& into) {
    if (auto found = s.parsed<std::string>(key, whole_path)) into = *found;
}

void read_line(Section& s, std::string_view key, std::string& into) {
    if (auto found = s.parsed<std::string>(key, one_line)) into = *found;
}

Parsed<std::string> proxy_address(std::string_view written) {
    bool known = written.starts_with("http://") || written.starts_with("https://") || written.starts_with("socks5h://");
    if (known && plain_text(written) && written.size() <= 300) return std::string(written);
    return Fault{fmt::format("{} is no proxy", quoted(written)), "write it like http://proxy.lan:3128"};
}

Parsed<std::string> machine_name(std::string_view written) {
    bool plain = !written.empty() && written.size() <= 253 && written.find_first_of(" /\\@?#\"'") == std::string_view::npos && plain_text(written);
    if (plain) return std::string(written);
    return Fault{fmt::format("{} is no name of a machine", quoted(written)), "write it like broker.lan"};
}

void read_broker_reach(Section& s, Broker& broker) {
    s.require("host", "host: broker.lan");
    if (auto host = s.parsed<std::string>("host", machine_name)) broker.host = *host;
    s.count("port", broker.port, 1, 65535);
    read_line(s, "user", broker.user);
    read_path(s, "secret_file", broker.secret_file);
    s.yes_no("tls", broker.tls);
    read_path(s, "ca_file", broker.ca_file);
    if (broker.user.empty() != broker.secret_file.empty())
        s.desk().complain(s.node(), {fmt::format("{}: user and secret_file belong together", s.name()), "give both, or neither"});
    if (!broker.ca_file.empty() && !broker.tls) s.desk().complain(s.node(), {fmt::format("{}: ca_file is for TLS only", s.name()), "add tls: yes"});
}

std::string unknown_in_address(std::string_view url) {
    constexpr std::array known{std::string_view("latitude"), std::string_view("longitude"), std::string_view("elevation"), std::string_view("day")};
    for (auto open = url.find('{'); open != std::string_view::npos; open = url.find('{', open + 1)) {
        auto close = url.find('}', open);
        if (close == std::string_view::npos) return std::string(url.substr(open));
        auto name = url.substr(open + 1, close - open - 1);
        if (name.starts_with("day+") || name.starts_with("day-")) {
            if (good(parse_count(name.substr(4), 0, 30))) continue;
        } else if (std::ranges::find(known, name) != known.end()) {
            continue;
        }
        return std::string(url.substr(open, close - open + 1));
    }
    return {};
}

Parsed<Recipe> find_recipe(std::string_view name) {
    std::vector<std::string> names;
    for (const auto& text : shipped_recipes()) {
        names.push_back(text.name);
        if (text.name != name) continue;
        Recipe recipe;
        recipe.name = text.name;
        Complaints complaints;
        const auto tree = parse_yaml(text.name, text.yaml);
        const Desk desk{text.name, complaints};
        Section s(tree.value, "recipe", desk);
        s.text("service", recipe.service);
        s.text("documentation", recipe.documentation);
        s.text("licence", recipe.licence);
        s.yes_no("asks_contact", recipe.asks_contact);
        if (const auto* layout = below(tree.value, "mapping")) recipe.layout = *layout;
        recipe.mapping.recipe = recipe.name;
        return recipe;
    }
    auto near = nearest(name, names);
    return Fault{fmt::format("there is no recipe {}", quoted(name)),
                 near.empty() ? fmt::format("there are {}", one_of(names)) : fmt::format("did you mean {}?", near)};
}

void read_reach(Section& s, Mapping& mapping) {
    if (auto issued = s.parsed<std::string>("issued", issue)) mapping.issued = *issued;
    if (const auto* node = s.take("fetch")) read_fetch(*node, s.desk(), mapping.fetch);
    if (const auto* node = s.take("broker")) read_broker(*node, s.desk(), mapping.broker);
}

void check_reach(const YamlNode& node, const Desk& desk, const Mapping& mapping) {
    if (pointer(mapping.issued) && mapping.format != "json")
        desk.complain(node, {"weather: issued is a JSON pointer, and the format is csv", "write issued: arrival"});
    if (mapping.issued == "header" && !mapping.fetch)
        desk.complain(node, {"weather: issued: header needs a fetch, whose answer has headers", "write issued: arrival"});
    if (mapping.fetch && mapping.broker)
        desk.complain(node, {"weather: a source is fetched or comes as messages, not both", "make two sources of it"});
}

void read_drop_folder(Section& top, std::string& folder) { read_path(top, "drop_folder", folder); }

}  // namespace tubgrove
