#include "door/feed.hpp"

#include "door/ical_library.hpp"
#include "told.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <memory>

namespace tubgrove {
namespace {

// A calendar program draws a walk as long as this; how long it takes, nobody knows.
constexpr const char* drawn_length = "PT30M";
// How often a program may ask again; they take it as a wish.
constexpr const char* ask_again = "PT1H";

std::string day_text(LocalDay day) {
    auto text = format_day(day);
    std::erase(text, '-');
    return text;
}

std::string time_text(Instant t) {
    auto text = format_rfc3339(t, Zone::utc());
    std::erase(text, '-');
    std::erase(text, ':');
    return text;
}

// One component, with its properties; parts of it belong to it from add() on.
class Part {
public:
    explicit Part(icalcomponent_kind kind) : part_(ical_library().component_new(kind), ical_library().component_free) {}

    void text(icalproperty_kind kind, const std::string& value) { property(kind, ical_library().value_text(value.c_str())); }
    void day(icalproperty_kind kind, LocalDay value) {
        auto* made = property(kind, ical_library().value_from_string(ICAL_DATE_VALUE, day_text(value).c_str()));
        ical_library().set_parameter(made, "VALUE", "DATE");
    }
    void time(icalproperty_kind kind, Instant value) {
        property(kind, ical_library().value_from_string(ICAL_DATETIME_VALUE, time_text(value).c_str()));
    }
    icalproperty* as(icalproperty_kind kind, icalvalue_kind value_kind, const char* value) {
        return property(kind, ical_library().value_from_string(value_kind, value));
    }
    void add(Part&& part) { ical_library().add_component(part_.get(), part.part_.release()); }
    std::string written() const {
        const std::unique_ptr<char, decltype(&std::free)> text(ical_library().as_string(part_.get()), &std::free);
        return text ? std::string(text.get()) : std::string();
    }

private:
    icalproperty* property(icalproperty_kind kind, icalvalue* value) {
        auto* made = ical_library().property_new(kind);
        ical_library().set_value(made, value);
        ical_library().add_property(part_.get(), made);
        return made;
    }
    std::unique_ptr<icalcomponent, decltype(IcalLibrary::component_free)> part_;
};

struct Feed {
    const CalendarAnswer& answer;
    Instant day_began;
    std::string_view link;
};

// Neither makes its owner look busy.
Part event(const Feed& feed, const std::string& id, Instant changed) {
    Part part(ICAL_VEVENT_COMPONENT);
    part.text(ICAL_UID_PROPERTY, id + "@" + feed.answer.id);
    part.time(ICAL_DTSTAMP_PROPERTY, changed);
    part.as(ICAL_TRANSP_PROPERTY, ICAL_TRANSP_VALUE, "TRANSPARENT");
    return part;
}

Part walk_event(const Feed& feed, const CalendarWalk& walk) {
    auto part = event(feed, format_day(walk.day) + "-" + walk.walk, walk.round ? walk.round->issued : feed.day_began);
    part.time(ICAL_DTSTART_PROPERTY, walk.starts);
    part.as(ICAL_DURATION_PROPERTY, ICAL_DURATION_VALUE, drawn_length);
    // What has no list yet may change: [RFC5545] 3.8.1.11.
    part.as(ICAL_STATUS_PROPERTY, ICAL_STATUS_VALUE, walk.round ? "CONFIRMED" : "TENTATIVE");
    part.text(ICAL_SUMMARY_PROPERTY, walk_title(walk));
    part.text(ICAL_DESCRIPTION_PROPERTY, walk_told(walk, feed.link));
    return part;
}

Part window_event(const Feed& feed, const Windows& windows) {
    auto opens = windows.front()->opens, closes = windows.front()->closes;
    for (const auto* window : windows) {
        opens = std::min(opens, window->opens);
        closes = std::max(closes, window->closes);
    }
    auto part = event(feed, windows.front()->rule + "-" + day_text(opens) + "-" + day_text(closes), feed.day_began);
    part.day(ICAL_DTSTART_PROPERTY, opens);
    part.day(ICAL_DTEND_PROPERTY, closes + std::chrono::days(1));  // the first day that is no longer of it
    part.text(ICAL_SUMMARY_PROPERTY, windows_title(windows));
    part.text(ICAL_DESCRIPTION_PROPERTY, windows_told(windows));
    return part;
}

// What is open now stands in one line a job, so that a day is not filled with lines; what comes keeps its own days.
std::vector<Windows> gathered(const std::vector<CalendarWindow>& all) {
    std::vector<Windows> groups;
    for (const auto& window : all) {
        const auto same = std::ranges::find_if(groups, [&](const Windows& group) {
            return !window.ahead && !group.front()->ahead && group.front()->rule == window.rule;
        });
        if (same == groups.end()) groups.push_back({&window});
        else same->push_back(&window);
    }
    return groups;
}

}  // namespace

std::string calendar_feed(const CalendarAnswer& answer, const Zone& zone, const FeedAsk& ask) {
    Part calendar(ICAL_VCALENDAR_COMPONENT);
    calendar.text(ICAL_VERSION_PROPERTY, "2.0");
    calendar.text(ICAL_PRODID_PROPERTY, "-//tubgrove//EN");
    calendar.text(ICAL_NAME_PROPERTY, answer.site.empty() ? "Pots" : answer.site);  // [RFC7986] 5.1, 5.7
    ical_library().set_parameter(calendar.as(ICAL_REFRESHINTERVAL_PROPERTY, ICAL_DURATION_VALUE, ask_again), "VALUE", "DURATION");
    const Feed feed{answer, zone.start_of(answer.day), ask.link};
    if (ask.walks)
        for (const auto& walk : answer.walks) calendar.add(walk_event(feed, walk));
    if (ask.care)
        for (const auto& windows : gathered(answer.windows)) calendar.add(window_event(feed, windows));
    return calendar.written();
}

}  // namespace tubgrove
