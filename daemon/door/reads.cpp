// The operations that read.
#include "door/feed.hpp"
#include "door/labels.hpp"
#include "door/parts.hpp"

#include "intake/quantity.hpp"

namespace tubgrove {

Response read_round(const Asking& asking) {
    const auto day = day_of(asking, "day");
    if (!good(day)) return problem(400, fault(day).what, fault(day).right);
    const auto walk = asking.target.value("walk").value_or("");
    if (asking.target.value("walk") && walk.empty()) return problem(400, "walk is empty", "morning or evening");
    if (!walk.empty() && walk != "morning" && walk != "evening") return problem(400, tubgrove::quoted(walk) + " is not a walk", "morning or evening");
    View view = asking.view;
    view.shown_unkept = true;   // who only looks is answered on a full disk, too
    return shown(asking, asking.garden.round(view, *good(day), walk), 404);
}

Response read_why(const Asking& asking) {
    const auto day = day_of(asking, "day");
    if (!good(day)) return problem(400, fault(day).what, fault(day).right);
    return shown(asking, asking.garden.why(asking.view, asking.names[0], *good(day)), 404);
}

Response read_pots(const Asking& asking) {
    const auto retired = yes_of(asking, "retired");
    if (!good(retired)) return problem(400, fault(retired).what, fault(retired).right);
    return shown(asking, asking.garden.pots(asking.view, *good(retired)), 404);
}

Response read_pot(const Asking& asking) { return shown(asking, asking.garden.pot(asking.view, asking.names[0]), 404); }

namespace {

// The days that a read is about; both may be left out.
struct Span {
    std::optional<LocalDay> from = {}, to = {};
};

Parsed<Span> span_of(const Asking& asking) {
    const auto from = day_of(asking, "from"), to = day_of(asking, "to");
    for (const auto* day : {&from, &to})
        if (!good(*day)) return fault(*day);
    const Span span{*good(from), *good(to)};
    if (span.from && span.to && *span.from > *span.to) return Fault{"from: the first day is after the last", "a first day not after the last"};
    return span;
}

}  // namespace

Response read_daybook(const Asking& asking) {
    const auto span = span_of(asking);
    if (!good(span)) return problem(400, fault(span).what, fault(span).right);
    const auto pot = asking.target.value("pot").value_or("");
    return shown(asking, asking.garden.daybook(asking.view, pot, good(span)->from, good(span)->to), 404);
}

Response read_weather(const Asking& asking) {
    const auto span = span_of(asking);
    if (!good(span)) return problem(400, fault(span).what, fault(span).right);
    return shown(asking, asking.garden.weather_show(asking.view, good(span)->from, good(span)->to), 400);
}

Response read_water(const Asking& asking) {
    const auto span = span_of(asking);
    if (!good(span)) return problem(400, fault(span).what, fault(span).right);
    return shown(asking, asking.garden.water(asking.view, asking.names[0], good(span)->from, good(span)->to), refused_of(asking, asking.names[0]));
}

Response read_calendar(const Asking& asking) {
    const auto only = asking.target.value("only").value_or("");
    if (asking.target.value("only") && only != "walks" && only != "care")
        return problem(400, "only: " + tubgrove::quoted(only) + " is neither", "walks or care");
    const auto outcome = asking.garden.calendar(asking.view);
    if (const auto* refusal = std::get_if<Refusal>(&outcome)) return problem(404, refusal->what, refusal->right);
    auto feed = calendar_feed(std::get<CalendarAnswer>(outcome), asking.garden.zone(),
                              {.link = asking.garden.configuration().doors.link, .walks = only != "care", .care = only != "walks"});
    return {.type = std::string(calendar_type), .body = std::move(feed), .headers = {}};
}

Response read_jobs(const Asking& asking) {
    const auto day = day_of(asking, "day");
    if (!good(day)) return problem(400, fault(day).what, fault(day).right);
    const auto pot = asking.target.value("pot").value_or("");
    return shown(asking, asking.garden.jobs(asking.view, *good(day), pot), refused_of(asking, pot));
}

Response read_season(const Asking& asking) {
    std::optional<int> year;
    if (const auto written = asking.target.value("year")) {
        const auto read = parse_count(*written, 1900, 2200);
        if (!good(read)) return problem(400, "year: " + fault(read).what, fault(read).right);
        year = int(*good(read));
    }
    return shown(asking, asking.garden.season(asking.view, asking.names[0], year), 404);
}

Response read_labels(const Asking& asking) {
    std::vector<std::string> pots;
    if (auto pot = asking.target.value("pot")) pots.push_back(std::move(*pot));
    const int refused = refused_of(asking, pots.empty() ? "" : pots.front());
    return shown(asking, labels_of(asking.garden, asking.view, pots, asking.target.value("link").value_or("")), refused);
}

Response read_words_taken(const Asking& asking) { return shown(asking, asking.garden.words(asking.view), 404); }

}  // namespace tubgrove
