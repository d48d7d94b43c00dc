// Phones: let in by a one-time code, listed, and ended.
#include "door/qr.hpp"
#include "door/reach.hpp"
#include "door/tokens.hpp"
#include "garden/json_writer.hpp"
#include "intake/quantity.hpp"
#include "phrases.hpp"
#include "run.hpp"

#include <unistd.h>

#include <algorithm>
#include <ostream>
#include <set>

namespace tubgrove {
namespace {

void tell_offer(const Face& face, const Reach& reach, const std::string& code, const std::string& name) {
    Drawing drawing(face.page);
    const std::string link = reach.link.empty() ? "" : reach.link + "/#pair=" + code;
    drawing.paragraph({0, 2}, (name.empty() ? std::string("A phone of the gardener") : "A phone of " + without_controls(name)) +
                                  " is let in with this code, once, within ten minutes:");
    drawing.row("");
    drawing.row("    " + code);
    drawing.row("");
    if (!link.empty()) drawing.row("    " + link);
    face.out << drawing.text();
    if (!link.empty() && is_terminal(STDOUT_FILENO)) face.out << '\n' << qr_text(link, face.page.colour);
}

struct Whom {
    std::string name;
    std::optional<Instant> until;
};

Whom whom(const Asked& asked, Instant now, const Zone& zone) {
    Whom asks{.name = asked.value("--name"), .until = {}};
    if (asked.has("--name") && asks.name.find_first_not_of(' ') == std::string::npos) refuse("--name: nobody is named", "a name, such as --name Ana");
    if (asks.name.size() > 60 || asks.name.find_first_of("\t\n\r") != std::string::npos || without_controls(asks.name) != asks.name)
        refuse("--name: " + tubgrove::quoted(asks.name) + " is no name", "one line of at most 60 bytes");
    if (const auto day = day_option(asked, "--until", {now, zone})) asks.until = zone.end_of(*day);
    if (asks.until && *asks.until <= now) refuse("--until: that day has passed", "today or a day to come");
    // Such a phone shows a visit, and of one that far ahead nothing can be said. Its last day is that of the return.
    const auto furthest = zone.day_of(now) + furthest_away + std::chrono::days(1);
    if (asks.until && !asked.has("--calendar") && *asks.until > zone.end_of(furthest))
        refuse("--until: that day is too far ahead; a helper's visit is worked out for an absence of the next " + std::to_string(furthest_away.count()) + " days",
               "a day up to " + format_day(furthest) + "; let them in anew when it has come");
    // A helper's entries carry their name, and so they know their own.
    if (asks.until && asks.name.empty() && !asked.has("--calendar"))
        refuse("a phone that is let in until a day is a helper's and needs a name, which their entries carry", "pair --name Ana --until " + format_day(zone.day_of(*asks.until - std::chrono::seconds(1))));
    return asks;
}

void tell_reach(const Face& face, const Reach& reach) {
    if (!reach.from_elsewhere) talk(face.err, only_here);
}

ExitStatus calendar(const Opened& opened, const Asked& asked, const Face& face) {
    const Zone& zone = opened.garden->zone();
    const Instant now = clock_now();
    const auto asks = whom(asked, now, zone);
    const auto made = TokenBook(opened.places.data).calendar(asks.name, asks.until, now);
    if (!made) refuse("too many phones and calendars are let in already", "tubgrove pair end NUMBER ends one");
    const auto reach = reach_of(opened.garden->configuration().doors);
    const auto link = reach.link + calendar_path(made->secret);
    if (face.json) {
        JsonWriter json;
        json.begin_object();
        json.text("link", link);
        json.integer("number", made->token.number);
        json.text("name", asks.name);
        asks.until ? json.text("until", format_rfc3339(*asks.until, zone)) : json.null("until");
        json.end_object();
        face.out << json.take();
    } else {
        Drawing drawing(face.page);
        drawing.paragraph({0, 2}, "A calendar program subscribes to this address. Whoever knows it reads walks and care, and nothing else:");
        face.out << drawing.text() << "\n    " << link << '\n';
        if (is_terminal(STDOUT_FILENO)) face.out << '\n' << qr_text(link, face.page.colour);
    }
    tell_reach(face, reach);
    return ExitStatus::done;
}

ExitStatus offer(const Opened& opened, const Asked& asked, const Face& face) {
    const Zone& zone = opened.garden->zone();
    const Instant now = clock_now();
    const auto [name, until] = whom(asked, now, zone);
    const auto code = TokenBook(opened.places.data).offer(name, until, now);
    const auto reach = reach_of(opened.garden->configuration().doors);
    if (face.json) {
        JsonWriter json;
        json.begin_object();
        json.text("code", code);
        json.text("link", reach.link.empty() ? "" : reach.link + "/#pair=" + code);
        json.text("name", name);
        json.text("expires", format_rfc3339(now + code_lives, zone));
        until ? json.text("until", format_rfc3339(*until, zone)) : json.null("until");
        json.end_object();
        face.out << json.take();
    } else {
        tell_offer(face, reach, code, name);
    }
    tell_reach(face, reach);
    return ExitStatus::done;
}

ExitStatus list(const Opened& opened, const Face& face) {
    const Zone& zone = opened.garden->zone();
    const auto tokens = TokenBook(opened.places.data).tokens(clock_now());
    JsonWriter json;
    json.begin_object();
    json.begin_array("tokens");
    Drawing drawing(face.page);
    for (const auto& token : tokens) {
        json.begin_object();
        json.integer("number", token.number);
        json.text("name", token.name);
        json.text("made", format_rfc3339(token.made, zone));
        token.until ? json.text("until", format_rfc3339(*token.until, zone)) : json.null("until");
        json.boolean("calendar", token.calendar);
        token.phone != 0 ? json.integer("phone", token.phone) : json.null("phone");
        json.end_object();
        const auto last_day = token.until ? ", until " + format_day(zone.day_of(*token.until - std::chrono::seconds(1))) : "";
        drawing.row(pad_left(std::to_string(token.number), 4) + "  " +
                    pad_right(token.name.empty() ? "the gardener" : without_controls(token.name), 20) + "  since " +
                    format_day(zone.day_of(token.made)) + last_day + (token.calendar ? ", calendar" : "") +
                    (token.phone != 0 ? " of " + std::to_string(token.phone) : ""));
    }
    json.end_array();
    json.end_object();
    if (tokens.empty()) drawing.row("No phone is let in. tubgrove pair lets one in.");
    face.out << (face.json ? json.take() : drawing.text());
    return ExitStatus::done;
}

// Others of the same name hold on: a calendar that was made before calendars ended with their phone, or another phone.
void tell_still_open(const Face& face, const std::vector<Token>& open) {
    Drawing drawing(face.page);
    for (const auto& token : open)
        drawing.row("Still open for " + (token.name.empty() ? "the gardener" : without_controls(token.name)) + ": " + std::to_string(token.number) +
                    (token.calendar ? ", a calendar" : ", a phone"));
    if (!open.empty()) drawing.row("If a phone was lost, end what it may have known as well.");
    face.out << drawing.text();
}

ExitStatus end(const Opened& opened, const Asked& asked, const Face& face) {
    const auto& who = asked.arguments[0];
    const Instant now = clock_now();
    TokenBook book(opened.places.data);
    const auto number = parse_count(who, 1, 1'000'000'000);
    const auto before = book.tokens(now);
    std::set<std::string> names;
    std::vector<int> ended;
    for (const auto& token : before) {
        if (good(number) != nullptr ? token.number != *good(number) : token.name != who || token.name.empty()) continue;
        names.insert(token.name);
        const auto gone = book.end(token.number, now);
        ended.insert(ended.end(), gone.begin(), gone.end());
    }
    if (ended.empty()) refuse("no phone " + tubgrove::quoted(who) + " is let in", "a number or name that tubgrove pair list shows");
    std::vector<Token> open = book.tokens(now);
    std::erase_if(open, [&](const Token& token) { return !names.contains(token.name); });
    JsonWriter json;
    json.begin_object();
    json.begin_array("ended");
    for (const int gone : ended) json.integer({}, gone);
    json.end_array();
    json.begin_array("still_open");
    for (const auto& token : open) json.integer({}, token.number);
    json.end_array();
    json.end_object();
    if (face.json) {
        face.out << json.take();
        return ExitStatus::done;
    }
    for (const int gone : ended) {
        const auto& token = *std::ranges::find(before, gone, &Token::number);
        face.out << "Ended: " << gone << " " << without_controls(token.name) << (token.calendar ? ", calendar" : "") << '\n';
    }
    tell_still_open(face, open);
    return ExitStatus::done;
}

}  // namespace

ExitStatus run_pair(const Places& places, const Asked& asked, const Face& face) {
    const Opened opened = open_garden(places);
    switch (asked.command->does) {
        case Does::pair_list: return list(opened, face);
        case Does::pair_end: return end(opened, asked, face);
        default: return asked.has("--calendar") ? calendar(opened, asked, face) : offer(opened, asked, face);
    }
}

}  // namespace tubgrove
