#include "intake/read_configuration.hpp"

#include "intake/read_notices.hpp"
#include "intake/read_source.hpp"
#include "intake/weather_rows.hpp"

#include <algorithm>
#include <array>
#include <map>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using Kind = YamlNode::Kind;

Parsed<std::string> zone_name(std::string_view written) {
    if (written.size() <= 64 && Zone::find(written)) return std::string(written);
    return Fault{fmt::format("{} is not a time zone of this machine", quoted(written)), "write an IANA name such as Europe/Madrid"};
}

Parsed<std::chrono::minutes> clock_time(std::string_view written) {
    auto padded = written.size() == 4 ? fmt::format("0{}", written) : std::string(written);
    if (auto found = parse_clock(padded)) return *found;
    return Fault{fmt::format("{} is not a time of day", quoted(written)), "write it like 07:00"};
}

// Latitude and longitude are plain numbers; a unit or a letter is answered with how to write it.
void angle(Section& section, std::string_view key, double limit, Degrees& into) {
    const auto number = section.parsed<double>(key, [&](std::string_view written) -> Parsed<double> {
        const auto plain = parse_number(written, -limit, limit);
        // The digits alone, without the letter behind them, would be a place on the other half of the earth.
        const bool with_a_letter = !written.empty() && written.front() >= '0' && written.front() <= '9' &&
                                   (std::string_view("SsWwNnEe").find(written.back()) != std::string_view::npos || written.find("°") != std::string_view::npos);
        if (!good(plain) && with_a_letter)
            return Fault{fmt::format("{} is not a plain number", quoted(written)),
                         key == "latitude" ? "write degrees north with decimals, in the south below zero, like -33.45"
                                           : "write degrees east with decimals, in the west below zero, like -70.67"};
        return plain;
    });
    if (number) into = Degrees(*number);
}

void metres_of(Section& section, std::string_view key, double low, double high, std::string_view example, Metres& into) {
    if (auto value = section.quantity(key, {"m", low, high, example})) into = Metres(*value);
}

void read_site(const YamlNode& node, const Desk& desk, Site& site) {
    Section s(node, "site", desk);
    s.require("latitude", "latitude: 47.9");
    s.require("longitude", "longitude: 20.3");
    s.require("elevation", "elevation: 340 m");
    s.require("timezone", "timezone: Europe/Madrid");
    s.text("name", site.name);
    angle(s, "latitude", 90, site.latitude);
    angle(s, "longitude", 180, site.longitude);
    metres_of(s, "elevation", -430, 5500, "410 m", site.elevation);
    if (auto name = s.parsed<std::string>("timezone", zone_name)) site.timezone = *name;
    metres_of(s, "wind_height", 0.5, 100, "2 m", site.wind_height);
    s.yes_no("arid", site.arid);
    s.yes_no("coastal", site.coastal);
    s.finish();
}

// An id of a bay, tap or mapping: a short word.
bool read_id(Section& s, std::string_view key, std::string_view example, std::string& into) {
    s.require(key, fmt::format("{}: {}", key, example));
    auto id = s.parsed<std::string>(key, [&](std::string_view written) -> Parsed<std::string> {
        bool plain = !written.empty() && written.size() <= 40 && std::ranges::none_of(written, [](char c) {
            return static_cast<unsigned char>(c) <= ' ' || c == '=' || c == ',' || c == ';' || c == '"' || c == 0x7F;
        });
        if (plain) return std::string(written);
        return Fault{fmt::format("{} can not be a name", quoted(written)), fmt::format("write one word of at most 40 bytes, like {}", example)};
    });
    if (id) into = *id;
    return id.has_value();
}

// "bay 'x' is given twice", and whether it is new.
bool fresh(std::map<std::string, int>& seen, const std::string& what, const std::string& id, const YamlNode& node, const Desk& desk) {
    auto [first, is_new] = seen.try_emplace(id, node.line);
    if (!is_new)
        desk.complain(node, {fmt::format("the {} {} is given twice, first in line {}", what, quoted(id), first->second), "give each its own name"});
    return is_new;
}

Bay read_bay(const YamlNode& node, const Desk& desk, std::map<std::string, int>& seen) {
    Bay bay;
    const auto* id = node.kind == Kind::mapping && !node.keys.empty() && node.keys[0].text == "id" ? &node.items[0] : nullptr;
    Section s(node, id && id->kind == Kind::scalar ? "bay " + id->text : "a bay", desk);
    if (read_id(s, "id", "south-wall", bay.id)) fresh(seen, "bay", bay.id, node, desk);
    s.word_or_share("light", bay.light, {"full", "half", "shade"});
    s.word_or_share("shelter", bay.shelter, {"open", "usual", "sheltered"});
    s.word_or_share("rain", bay.rain, {"open", "eaves", "roof"});
    s.word("place", bay.place, {"ground", "balcony", "roof", "indoors"});
    s.word("ground", bay.ground, {"paving", "grass", "gravel", "soil", "decking"});
    s.count("order", bay.order, 0, 10'000);
    s.finish();
    return bay;
}

void read_walks(const YamlNode& node, const Desk& desk, Walks& walks) {
    Section s(node, "walks", desk);
    if (auto morning = s.parsed<std::chrono::minutes>("morning", clock_time)) walks.morning = *morning;
    using Evening = std::optional<std::chrono::minutes>;
    auto evening = s.parsed<Evening>("evening", [](std::string_view written) -> Parsed<Evening> {
        if (written == "no" || written == "false") return Evening();
        auto time = clock_time(written);
        if (const auto* found = good(time)) return Evening(*found);
        return Fault{fault(time).what, "write it like 19:00, or no"};
    });
    if (evening) walks.evening = *evening;
    if (auto hours = s.quantity("issue_before", {"h", 0, 12, "1 h"})) walks.issue_before = std::chrono::minutes(long(*hours * 60 + 0.5));
    s.yes_no("evening_on_hot_days", walks.evening_on_hot_days);
    if (auto care = s.parsed<std::chrono::weekday>("care", day_of_the_week)) walks.care = *care;
    s.finish();
    if (walks.evening && *walks.evening <= walks.morning)
        desk.complain(node, {"walks: the evening walk is not after the morning walk", "give a later evening, or evening: no"});
}

void read_taps(Section& carry, const Desk& desk, std::vector<Tap>& taps) {
    const auto* list = carry.list("taps");
    if (!list) return;
    std::map<std::string, int> seen;
    for (const auto& node : list->items) {
        Tap tap;
        Section s(node, "a tap", desk);
        bool named = read_id(s, "id", "yard", tap.id);
        s.texts("near", tap.near);
        if (auto holds = s.quantity("holds", {"L", 1, 1'000'000, "200 L"})) tap.holds = Litres(*holds);
        s.finish();
        if (named && fresh(seen, "tap", tap.id, node, desk)) taps.push_back(std::move(tap));
    }
}

void read_carry(const YamlNode& node, const Desk& desk, Carry& carry) {
    Section s(node, "carry", desk);
    if (auto can = s.quantity("can", {"L", 0.2, 100, "5 L"})) carry.can = Litres(*can);
    s.count("cans", carry.cans, 1, 10);
    if (auto mark = s.quantity("mark", {"L", 0.05, 10, "0.5 L"})) carry.mark = Litres(*mark);
    s.count("passes", carry.passes, 1, 4);
    read_taps(s, desk, carry.taps);
    s.finish();
    if (carry.mark > carry.can) desk.complain(node, {"carry: the mark is larger than the can", "give the smallest mark on the can"});
}

// "air_temperature:max", or a bare name, whose statistic is the one that the quantity usually has.
Parsed<Channel> channel_of(std::string_view name) {
    auto colon = name.find(':');
    auto quantity = name.substr(0, colon), statistic = colon == std::string_view::npos ? std::string_view() : name.substr(colon + 1);
    std::vector<std::string_view> quantities, statistics;
    for (std::size_t i = 0; i < channel_count; ++i) {
        const auto& channel = channel_names[i];
        if (std::ranges::find(quantities, channel.quantity) == quantities.end()) quantities.push_back(channel.quantity);
        if (channel.quantity != quantity) continue;
        statistics.push_back(channel.statistic);
        if (statistic.empty() || statistic == channel.statistic) return Channel(i);
    }
    if (statistics.empty()) {
        auto near = nearest(quantity, quantities);
        return Fault{fmt::format("{} is not a weather quantity", quoted(quantity)),
                     did_you_mean(near, fmt::format("known are {}", one_of(quantities)))};
    }
    return Fault{fmt::format("{} has no statistic {}", quantity, quoted(statistic)), fmt::format("write {}", one_of(statistics))};
}

std::optional<Column> read_column(const YamlNode& node, const Desk& desk) {
    Column column;
    Section s(node, "a column", desk);
    s.require("from", "from: temp_out");
    s.require("quantity", "quantity: air_temperature:max");
    s.require("unit", "unit: degC");
    s.text("from", column.from);
    auto channel = s.parsed<Channel>("quantity", channel_of);
    auto unit = s.parsed<std::string>("unit", [&](std::string_view written) -> Parsed<std::string> {
        if (!channel) return std::string(written);
        const auto planned = plan_column(column.from, *channel, written, false);
        if (!good(planned)) return fault(planned);
        return std::string(written);
    });
    s.yes_no("counter", column.counter);
    s.yes_no("following", column.following);
    s.yes_no("needed", column.needed);
    s.finish();
    if (!channel || !unit) return std::nullopt;
    column.channel = *channel;
    column.unit = *unit;
    if (column.counter && channel_names[std::size_t(*channel)].statistic != "sum") {
        desk.complain(node, {fmt::format("a column: only a sum can be a counter, {} is not", channel_names[std::size_t(*channel)].quantity), "remove counter: yes"});
        return std::nullopt;
    }
    return column;
}

void read_columns(Section& s, const Desk& desk, Mapping& mapping) {
    if (mapping.columns.empty()) s.require("columns", "columns: [{from: temp, quantity: air_temperature, unit: degC}]");
    const auto* list = s.list("columns");
    if (!list) return;
    mapping.columns.clear();
    for (const auto& node : list->items) {
        auto column = read_column(node, desk);
        if (!column) continue;
        auto same = std::ranges::find(mapping.columns, column->channel, &Column::channel);
        if (same != mapping.columns.end())
            desk.complain(node, {fmt::format("two columns give {}", channel_names[std::size_t(column->channel)].quantity), "keep one of them, or name another statistic"});
        else
            mapping.columns.push_back(std::move(*column));
    }
    if (list->items.empty()) desk.complain(*list, {"weather: columns is empty", "name at least one column"});
}

Parsed<char> separator_of(std::string_view written) {
    if (written == "tab" || written == "\t") return '\t';
    if (written == "comma") return ',';
    if (written == "semicolon") return ';';
    if (written == "space") return ' ';
    if (written.size() == 1 && std::string_view(",;|\t ").find(written[0]) != std::string_view::npos) return written[0];
    return Fault{fmt::format("{} can not separate columns", quoted(written)), "write comma, semicolon, tab, space or \"|\""};
}

void read_times(Section& s, Mapping& mapping) {
    if (mapping.time.empty()) s.require("time", "time: datetime");
    s.text("time", mapping.time);
    if (mapping.time_format.empty()) mapping.time_format = "rfc3339";
    s.text("time_format", mapping.time_format);
    if (auto zone = s.parsed<std::string>("timezone", zone_name)) mapping.timezone = *zone;
    s.word("time_is", mapping.time_is, {"start", "end"});
    if (auto hours = s.quantity("span", {"h", 1.0 / 60, 48, "1 h"})) mapping.span = std::chrono::seconds(long(*hours * 3600 + 0.5));
    constexpr std::array known{std::string_view("rfc3339"), std::string_view("epoch"), std::string_view("day")};
    bool pattern = mapping.time_format.find('%') != std::string::npos;
    if (!pattern && std::ranges::find(known, mapping.time_format) == known.end())
        s.desk().complain(s.node(), {fmt::format("{}: time_format: {} is not a format", s.name(), quoted(mapping.time_format)),
                                     "write rfc3339, epoch, day, or a pattern such as %d.%m.%Y %H:%M"});
}

// How the source writes, and how it is reached. What the mapping holds already, from a recipe, stays unless it is given anew.
void read_layout(Section& s, const Desk& desk, Mapping& mapping) {
    s.word("format", mapping.format, {"csv", "json"});
    read_times(s, mapping);
    s.text("rows", mapping.rows);
    if (auto separator = s.parsed<char>("separator", separator_of)) mapping.separator = *separator;
    s.count("skip_lines", mapping.skip_lines, 0, 10'000);
    s.texts("missing", mapping.missing);
    read_columns(s, desk, mapping);
    metres_of(s, "wind_height", 0.5, 100, "10 m", mapping.wind_height);
    std::string kind = mapping.rung == Rung::published ? "published" : "own";
    s.word("kind", kind, {"own", "published"});
    mapping.rung = kind == "own" ? Rung::own_readings : Rung::published;
    read_reach(s, mapping);
}

void check_layout(const YamlNode& node, const Desk& desk, const Mapping& mapping) {
    if (mapping.format == "csv" && !mapping.rows.empty()) desk.complain(node, {"weather: rows is for JSON only", "remove it, or write format: json"});
    bool days = mapping.time_format == "day";
    if (std::ranges::any_of(mapping.columns, &Column::following) && (mapping.time_is == "start" || days))
        desk.complain(node, {"weather: following speaks of the interval after the row's time, which " +
                                 std::string(days ? "a day has not" : "time_is: start already means"),
                             "remove following, or write time_is: end"});
    check_reach(node, desk, mapping);
}

// A recipe's mapping; empty, with a complaint, where there is no such recipe.
std::optional<Recipe> read_recipe(Section& s) {
    return s.parsed<Recipe>("recipe", [&](std::string_view name) -> Parsed<Recipe> {
        auto found = find_recipe(name);
        if (!good(found)) return found;
        auto wanted = *good(found);
        const Desk desk{"recipe " + wanted.name, s.desk().complaints};
        Section layout(wanted.layout, "weather", desk);
        read_layout(layout, desk, wanted.mapping);
        layout.finish();
        return wanted;
    });
}

Mapping read_mapping(const YamlNode& node, const Desk& desk, std::map<std::string, int>& seen) {
    Mapping mapping;
    Section s(node, "weather", desk);
    std::string name;
    if (read_id(s, "name", "station", name)) fresh(seen, "weather source", name, node, desk);
    const auto recipe = read_recipe(s);
    if (recipe) mapping = recipe->mapping;
    mapping.name = name;
    if (s.has("recipe") && !recipe) return mapping;  // what it would have given is not asked for again
    read_layout(s, desk, mapping);
    s.finish();
    check_layout(node, desk, mapping);
    if (recipe && recipe->asks_contact && mapping.fetch && mapping.fetch->contact.empty())
        desk.complain(node, {fmt::format("weather {}: this service wants to know whom it can write to", name),
                             "add `fetch: {contact: name@example.org}`"});
    return mapping;
}

// Bays that taps speak of must exist.
void check_bays(const Configuration& c, const YamlNode& carry, const Desk& desk) {
    std::vector<std::string> ids;
    for (const auto& bay : c.bays) ids.push_back(bay.id);
    for (const auto& tap : c.carry.taps)
        for (const auto& bay : tap.near)
            if (std::ranges::find(ids, bay) == ids.end()) {
                auto near = nearest(bay, ids);
                desk.complain(carry, {fmt::format("carry: the tap {} is near {}, which is no bay", tap.id, quoted(bay)),
                                      did_you_mean(near, "name a bay of `bays:`")});
            }
}

// "127.0.0.1:8824", "[::1]:8824", ":8824" for every address of the machine.
Parsed<std::string> door_address(std::string_view written) {
    const Fault no_door{fmt::format("{} is no address with a port", quoted(written)),
                        "write it like 127.0.0.1:8824, [::1]:8824, or 0.0.0.0:8824 for every address of this machine"};
    auto colon = written.rfind(':');
    if (colon == std::string_view::npos || colon == 0) return no_door;
    auto port = parse_count(written.substr(colon + 1), 0, 65535);
    auto host = written.substr(0, colon);
    bool six = host.size() > 2 && host.front() == '[' && host.back() == ']';
    bool plain = host.find_first_not_of(six ? "[]:.0123456789abcdefABCDEF" : ".0123456789") == std::string_view::npos;
    if (!good(port) || !plain) return no_door;
    return std::string(written);
}

// Every address of the machine, as 0.0.0.0 and [::] say it. The latter takes the older addresses along.
bool holds_all(std::string_view host) { return host == "0.0.0.0" || host == "[::]"; }

// A door that the system will open beside those before it. Port 0 is another one each time.
Parsed<std::string> another_door(std::string_view written, const std::vector<std::string>& before) {
    const auto door = door_address(written);
    if (!good(door)) return door;
    const auto colon = written.rfind(':');
    const auto host = written.substr(0, colon), port = written.substr(colon + 1);
    for (const std::string_view other : before) {
        const auto cut = other.rfind(':');
        const auto other_host = other.substr(0, cut);
        if (other.substr(cut + 1) != port || port == "0") continue;
        if (other_host == host) return Fault{fmt::format("{} is named twice", quoted(written)), "name each address once"};
        const bool first = holds_all(other_host), second = holds_all(host);
        const bool apart = (first ? other_host : host) == "0.0.0.0" && (first ? host : other_host).starts_with('[') && !(first && second);
        if ((first || second) && !apart)
            return Fault{fmt::format("{} holds {} already", quoted(first ? other : written), quoted(first ? written : other)), "keep one of them, or take another port"};
    }
    return door;
}

Parsed<std::string> door_name(std::string_view written) {
    bool plain = !written.empty() && written.size() <= 253 &&
                 written.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789.-_") == std::string_view::npos;
    if (plain) return std::string(written);
    return Fault{fmt::format("{} is no name of a machine", quoted(written)), "write it in small letters and without a port, like garden.lan"};
}

Parsed<std::string> socket_path(std::string_view written) {
    if (written.starts_with('/') && written.size() < 100) return std::string(written);
    return Fault{fmt::format("{} is no place for a socket", quoted(written)), "write a whole path, like /run/tubgrove/door"};
}

Parsed<std::string> link_of(std::string_view written) {
    bool web = written.starts_with("http://") || written.starts_with("https://");
    auto host = written.substr(std::min(written.size(), written.find("//") + 2));
    if (web && !host.empty() && host.find_first_of(" /?#\\\"'@") == std::string_view::npos) return std::string(written);
    return Fault{fmt::format("{} is no link to the service", quoted(written)), "write it without a path, like https://garden.lan"};
}

// A list of scalars, each through a parser.
template <class Parse>
void parsed_list(Section& s, const Desk& desk, std::string_view key, std::vector<std::string>& into, Parse parse) {
    const auto* list = s.list(key);
    if (!list) return;
    into.clear();
    for (const auto& node : list->items) {
        auto value = parse(node.kind == Kind::scalar ? node.text : "");
        if (const auto* found = good(value)) into.push_back(*found);
        else desk.complain(node, {fmt::format("doors: {}: {}", key, fault(value).what), fault(value).right});
    }
}

void read_doors(const YamlNode& node, const Desk& desk, Doors& doors) {
    Section s(node, "doors", desk);
    parsed_list(s, desk, "listen", doors.listen, [&](std::string_view written) { return another_door(written, doors.listen); });
    parsed_list(s, desk, "names", doors.names, door_name);
    if (auto path = s.parsed<std::string>("socket", socket_path)) doors.socket = *path;
    if (auto link = s.parsed<std::string>("link", link_of)) doors.link = *link;
    std::string machine = "open";
    s.word("this_machine", machine, {"open", "token"});
    doors.this_machine_open = machine == "open";
    s.finish();
}

void read_top(const YamlNode& root, const Desk& desk, Configuration& c) {
    Section top(root, "the configuration", desk);
    top.require("site", "site: {latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Madrid}");
    top.require("bays", "bays: [{id: south-wall}]");
    if (const auto* node = top.take("site")) read_site(*node, desk, c.site);
    std::map<std::string, int> bays, sources;
    if (const auto* list = top.list("bays")) {
        for (const auto& node : list->items) c.bays.push_back(read_bay(node, desk, bays));
        if (list->items.empty()) desk.complain(*list, {"bays is empty", "add one, such as `- {id: south-wall}`"});
    }
    if (const auto* node = top.take("walks")) read_walks(*node, desk, c.walks);
    if (const auto* node = top.take("carry")) {
        read_carry(*node, desk, c.carry);
        check_bays(c, *node, desk);
    }
    std::string caution = "usual";
    top.word("caution", caution, {"low", "usual", "high"});
    c.caution = caution == "low" ? Caution::low : caution == "high" ? Caution::high : Caution::usual;
    if (const auto* list = top.list("weather"))
        for (const auto& node : list->items) c.mappings.push_back(read_mapping(node, desk, sources));
    read_drop_folder(top, c.drop_folder);
    if (const auto* node = top.take("doors")) read_doors(*node, desk, c.doors);
    if (const auto* node = top.take("notices")) read_notices(*node, desk, c.notices);
    top.text("tables", c.tables);
    top.finish();
}

// `asked`, where it is not null, is told every key.
Read<Configuration> read_noting(std::string_view file, std::string_view yaml, std::vector<AskedKey>* asked) {
    Read<Configuration> read;
    auto tree = parse_yaml(file, yaml);
    read.complaints = std::move(tree.complaints);
    Desk desk{std::string(file), read.complaints, asked};
    if (tree.value.kind == Kind::null && !read.complaints.empty()) return read;
    if (tree.value.kind == Kind::null)
        desk.complain(0, 0, "the file is empty", "begin with `site:`; the example tubgrove.yaml shows every key");
    else
        read_top(tree.value, desk, read.value);
    std::ranges::stable_sort(read.complaints, {}, [](const Complaint& c) { return std::pair(c.line, c.column); });
    return read;
}

// Mappings from the outermost inwards, each with what stands before its keys: "", "weather.fetch.". Items of a list share theirs.
void each_mapping(const YamlNode& node, const std::string& path, const std::function<void(const YamlNode&, const std::string&)>& see) {
    if (node.kind == Kind::mapping) see(node, path);
    for (std::size_t i = 0; i < node.items.size(); ++i)
        each_mapping(node.items[i], node.kind == Kind::mapping ? path + node.keys[i].text + "." : path, see);
}

}  // namespace

Parsed<Channel> weather_channel(std::string_view name) { return channel_of(name); }

Read<Configuration> read_configuration(std::string_view file, std::string_view yaml) { return read_noting(file, yaml, nullptr); }

std::set<std::string> keys_asked_of(std::string_view yaml) {
    std::vector<AskedKey> asked;
    read_noting("configuration", yaml, &asked);
    std::map<std::pair<int, int>, std::string> paths;
    each_mapping(parse_yaml("configuration", yaml).value, "",
                 [&](const YamlNode& node, const std::string& path) { paths.emplace(std::pair(node.line, node.column), path); });
    std::set<std::string> keys;
    for (const auto& one : asked) keys.insert(paths.at({one.line, one.column}) + one.key);
    return keys;
}

std::set<std::string> keys_in(std::string_view yaml) {
    std::set<std::string> keys;
    each_mapping(parse_yaml("configuration", yaml).value, "", [&](const YamlNode& node, const std::string& path) {
        for (const auto& key : node.keys) keys.insert(path + key.text);
    });
    return keys;
}

}  // namespace tubgrove
