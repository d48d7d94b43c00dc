// The operations that write.
#include "door/parts.hpp"

#include "intake/quantity.hpp"

#include <charconv>
#include <sstream>

namespace tubgrove {
namespace {

Seen seen(const Asking& asking) { return {asking.view.now, asking.garden.zone()}; }

// A field's time; empty where it is not there.
Parsed<std::optional<Instant>> time_field(const Asking& asking, std::string_view name) {
    if (!asking.fields.has(name)) return std::optional<Instant>();
    const auto time = read_time(asking.fields.text(name), seen(asking));
    if (good(time)) return std::optional<Instant>(*good(time));
    return Fault{std::string(name) + ": " + fault(time).what, fault(time).right};
}

Parsed<std::optional<LocalDay>> day_field(const Asking& asking, std::string_view name) {
    if (!asking.fields.has(name)) return std::optional<LocalDay>();
    const auto day = read_day(asking.fields.text(name), seen(asking));
    if (good(day)) return std::optional<LocalDay>(*good(day));
    return Fault{std::string(name) + ": " + fault(day).what, fault(day).right};
}

// Who holds a person's token writes as that person.
std::variant<Garden::DidOptions, Response> did_options(const Asking& asking) {
    const auto when = time_field(asking, "when");
    if (!good(when)) return problem(422, fault(when).what, fault(when).right);
    auto by = asking.fields.text("by");
    if (!asking.by.empty() && !by.empty() && by != asking.by)
        return problem(403, "this token is " + asking.by + "'s and cannot write as " + tubgrove::quoted(by), "leave `by` out");
    if (!asking.by.empty()) by = asking.by;
    return Garden::DidOptions{.when = *good(when), .by = by, .note = asking.fields.text("note"), .round = asking.fields.text("round"),
                              .on_a_visit = asking.helps};
}

// An entry's number as the daybook shows it, in digits and nothing else.
std::optional<std::int64_t> number_of(std::string_view written) {
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(written.data(), written.data() + written.size(), number);
    const bool whole = error == std::errc() && end == written.data() + written.size() && number > 0 && written.front() != '0';
    return whole ? std::optional(number) : std::nullopt;
}

Response refused(const Fault& fault) { return problem(422, fault.what, fault.right); }

// Changes of which none could be taken are a refusal: nothing was written.
Response changes(const Asking& asking, const Outcome<ChangesAnswer>& outcome, int done) {
    const auto* answer = std::get_if<ChangesAnswer>(&outcome);
    if (!answer || answer->complaints.empty()) return shown(asking, outcome, 422, done);
    std::string all;
    for (const auto& complaint : answer->complaints) all += (all.empty() ? "" : "\n") + complaint;
    return problem(422, all);
}

Parsed<WeatherFile> described(const Asking& asking) {
    const auto value = [&](std::string_view name) { return asking.target.value(name).value_or(""); };
    WeatherFile file{.name = "body", .source = value("source"), .mapping = value("mapping"), .issued = {}, .member = 0, .progress = {}};
    if (file.source.empty() && file.mapping.empty()) return Fault{"the source has no name", "?source=NAME or ?mapping=NAME"};
    if (const auto issued = asking.target.value("issued")) {
        const auto time = parse_rfc3339(*issued);
        if (!time) return Fault{"issued: " + tubgrove::quoted(*issued) + " is no time", "2026-07-14T05:00:00+02:00"};
        if (*time > asking.view.now) return Fault{"issued: a forecast cannot be issued in the future", "a time that has passed"};
        file.issued = *time;
    }
    if (const auto written = asking.target.value("member")) {
        const auto member = parse_count(*written, 0, 1000);
        if (!good(member)) return Fault{"member: " + fault(member).what, fault(member).right};
        if (!file.issued) return Fault{"member speaks of a forecast", "?issued=TIME&member=N"};
        file.member = int(*good(member));
    }
    return file;
}

}  // namespace

Response write_entries(const Asking& asking) {
    const auto options = did_options(asking);
    if (const auto* wrong = std::get_if<Response>(&options)) return *wrong;
    return shown(asking, asking.garden.did(asking.view, asking.fields.texts("words"), std::get<Garden::DidOptions>(options)), 422, 201);
}

Response write_job_done(const Asking& asking) {
    const auto options = did_options(asking);
    if (const auto* wrong = std::get_if<Response>(&options)) return *wrong;
    return shown(asking, asking.garden.job_done(asking.view, asking.names[0], asking.fields.texts("words"), std::get<Garden::DidOptions>(options)), 422, 201);
}

Response write_job_wait(const Asking& asking) {
    const auto until = day_field(asking, "until");
    if (!good(until)) return refused(fault(until));
    return shown(asking, asking.garden.job_wait(asking.view, asking.names[0], **good(until)), 422, 201);
}

Response write_job_drop(const Asking& asking) {
    return shown(asking, asking.garden.job_drop(asking.view, asking.names[0], asking.fields.text("because")), 422, 201);
}

Response write_strike(const Asking& asking) {
    const auto& written = asking.names[0];
    const auto id = number_of(written);
    const auto writer = id ? asking.garden.writer(asking.view, *id) : std::nullopt;
    if (!writer) return problem(404, "there is no entry " + tubgrove::quoted(written), "a number that daybook shows");
    if (asking.helps && (asking.by.empty() || *writer != asking.by))
        return problem(403, "entry " + written + " was written by somebody else", "the number of an entry of one's own");
    return shown(asking, asking.garden.strike(asking.view, *id, asking.fields.text("note")), 422, 201);
}

Response write_pot(const Asking& asking) {
    return changes(asking, asking.garden.pot_add(asking.view, asking.fields.text("id"), asking.fields.texts("facts")), 201);
}

Response write_change(const Asking& asking) {
    const auto since = day_field(asking, "since");
    if (!good(since)) return refused(fault(since));
    return changes(asking, asking.garden.pot_change(asking.view, asking.names[0], asking.fields.texts("facts"), *good(since)), 200);
}

Response write_retirement(const Asking& asking) {
    return changes(asking, asking.garden.pot_retire(asking.view, asking.names[0], asking.fields.text("because")), 200);
}

Response write_pots(const Asking& asking) {
    const auto apply = yes_of(asking, "apply");
    if (!good(apply)) return problem(400, fault(apply).what, fault(apply).right);
    return changes(asking, asking.garden.pot_take(asking.view, "body", asking.body, *good(apply)), 200);
}

Response write_daybook(const Asking& asking) {
    const auto apply = yes_of(asking, "apply");
    if (!good(apply)) return problem(400, fault(apply).what, fault(apply).right);
    return changes(asking, asking.garden.take_daybook(asking.view, "body", asking.body, *good(apply)), 200);
}

Response write_readings(const Asking& asking) {
    const auto file = described(asking);
    if (!good(file)) return problem(400, fault(file).what, fault(file).right);
    std::istringstream in(asking.body);
    return shown(asking, asking.garden.weather_add(asking.view, in, *good(file)), 422);
}

Response write_note(const Asking& asking) {
    const auto day = day_field(asking, "day");
    if (!good(day)) return refused(fault(day));
    return shown(asking, asking.garden.weather_note(asking.view, asking.fields.texts("words"), *good(day)), 422, 201);
}

Response write_clock(const Asking& asking) { return shown(asking, asking.garden.clock_confirm(asking.view), 422, 201); }

}  // namespace tubgrove
