// What was understood of a configuration, in words.
#include "intake/read_configuration.hpp"

#include "intake/quantity.hpp"
#include "intake/read_notices.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace tubgrove {
namespace {

std::string clock_words(std::chrono::minutes t) { return fmt::format("{:02}:{:02}", t.count() / 60, t.count() % 60); }

std::string angle(Degrees d, char positive, char negative) {
    return fmt::format("{}° {}", decimal(std::abs(degrees(d))), degrees(d) < 0 ? negative : positive);
}

std::string site_line(const Site& site) {
    auto text = fmt::format("site{}{}: {}, {}, {} m above the sea, zone {}, wind measured at {} m", site.name.empty() ? "" : " ", site.name,
                            angle(site.latitude, 'N', 'S'), angle(site.longitude, 'E', 'W'), decimal(metres(site.elevation)), site.timezone,
                            decimal(metres(site.wind_height)));
    if (site.arid) text += ", dry country";
    if (site.coastal) text += ", near the coast";
    return text;
}

std::string place_words(const std::string& place) {
    if (place == "indoors") return place;
    return place == "ground" ? "on the ground" : place == "roof" ? "on a roof" : "on a balcony";
}

std::string bay_line(const Bay& bay) {
    return fmt::format("bay {}: light {}, shelter from wind {}, rain {}; {}, on {}", bay.id, bay.light, bay.shelter, bay.place == "indoors" ? "none" : bay.rain,
                       place_words(bay.place), bay.ground) +
           (bay.order > 0 ? fmt::format("; number {} on the walk", bay.order) : "");
}

std::string walks_line(const Walks& walks) {
    auto text = fmt::format("walks: morning {}", clock_words(walks.morning));
    if (walks.evening && walks.evening_on_hot_days) text += fmt::format(", on hot days also evening {}", clock_words(*walks.evening));
    if (!walks.evening || !walks.evening_on_hot_days) text += ", no evening";
    return text + fmt::format("; the list is issued {} min before; care that can wait stands on it each {}", walks.issue_before.count(), weekday_words[walks.care.c_encoding()]);
}

std::string span_words(std::chrono::seconds span) {
    if (span.count() % 3600 == 0) return fmt::format("{} h", span.count() / 3600);
    return span.count() % 60 == 0 ? fmt::format("{} min", span.count() / 60) : fmt::format("{} s", span.count());
}

// How the source is reached; secrets are named by their files only.
std::string reach_words(const Mapping& m) {
    std::string text;
    if (!m.issued.empty())
        text += fmt::format("; a forecast, issued {}", m.issued == "arrival" ? "when it comes" : m.issued == "header" ? "as Last-Modified says" : "as " + m.issued + " says");
    if (!m.recipe.empty()) text += fmt::format("; by the recipe {}, which was written from its documentation and not tried against the service", m.recipe);
    if (m.fetch) text += fmt::format("; fetched every {} from {}", span_words(m.fetch->every), m.fetch->url);
    if (m.fetch && !m.fetch->proxy.empty()) text += fmt::format(" through {}", m.fetch->proxy);
    if (m.broker)
        text += fmt::format("; messages on {} at {}:{}{}", m.broker->topic, m.broker->host, broker_port(*m.broker), m.broker->tls ? " with TLS" : "");
    return text;
}

std::string mapping_line(const Mapping& m) {
    auto text = fmt::format("weather {}: {}, {}, time from {} as {}, wind measured at {} m", m.name, m.format,
                            m.rung == Rung::own_readings ? "own readings" : "published", m.time, m.time_format, decimal(metres(m.wind_height)));
    for (const auto& c : m.columns) {
        const auto& channel = channel_names[std::size_t(c.channel)];
        text += fmt::format("; {} gives {} ({}) in {}{}{}", c.from, channel.quantity, channel.statistic, c.unit, c.counter ? ", a running total" : "",
                            c.following ? ", of the interval after the time" : "");
    }
    return text + reach_words(m);
}

std::string doors_line(const Doors& doors) {
    auto open = doors.listen;
    if (!doors.socket.empty()) open.push_back(doors.socket);
    auto text = fmt::format("doors: the service listens at {}", open.empty() ? "no door" : fmt::format("{}", fmt::join(open, ", ")));
    if (!doors.names.empty()) text += fmt::format("; it is called {}", fmt::join(doors.names, ", "));
    return text + (doors.this_machine_open ? "; this machine needs no token" : "; this machine needs a token too");
}

}  // namespace

std::vector<std::string> describe(const Configuration& c) {
    std::vector<std::string> lines{site_line(c.site)};
    auto bays = c.bays;
    std::ranges::stable_sort(bays, {}, &Bay::order);
    for (const auto& bay : bays) lines.push_back(bay_line(bay));
    lines.push_back(walks_line(c.walks));
    lines.push_back(fmt::format("carry: {} can{} of {} L at once, marks of {} L, at most {} pass{} a pot", c.carry.cans, c.carry.cans == 1 ? "" : "s",
                                decimal(litres(c.carry.can)), decimal(litres(c.carry.mark)), c.carry.passes, c.carry.passes == 1 ? "" : "es"));
    for (const auto& tap : c.carry.taps)
        lines.push_back(fmt::format("tap {}: near {}", tap.id, tap.near.empty() ? "no bay in particular" : fmt::format("{}", fmt::join(tap.near, ", "))));
    lines.push_back(fmt::format("caution: {}", c.caution == Caution::low ? "low" : c.caution == Caution::high ? "high" : "usual"));
    for (const auto& mapping : c.mappings) lines.push_back(mapping_line(mapping));
    if (!c.drop_folder.empty()) lines.push_back(fmt::format("drop folder: weather files in {} are taken", c.drop_folder));
    lines.push_back(doors_line(c.doors));
    for (auto& line : describe_notices(c.notices)) lines.push_back(std::move(line));
    if (!c.tables.empty()) lines.push_back(fmt::format("tables: rows of {} override or add to the shipped ones", c.tables));
    return lines;
}

}  // namespace tubgrove
