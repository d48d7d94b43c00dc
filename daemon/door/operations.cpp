#include "door/operations.hpp"

#include "door/parts.hpp"

#include <algorithm>
#include <array>

namespace tubgrove {
namespace {

using Names = std::string_view[];
constexpr std::size_t readings_limit = 1024 * 1024;

constexpr Names at_any_moment = {"at", "hindsight", "recompute"};
constexpr Names round_query = {"day", "walk"};
constexpr Names why_query = {"day"};
constexpr Names pots_query = {"retired"};
constexpr Names daybook_query = {"pot", "from", "to"};
constexpr Names weather_query = {"from", "to"};
constexpr Names water_query = {"from", "to"};
constexpr Names ahead_query = {"days"};
constexpr Names absence_query = {"from", "to"};
constexpr Names visit_query = {"to"};
constexpr Names compare_query = {"facts"};
constexpr Names calendar_query = {"token", "only"};
constexpr Names readings_query = {"source", "mapping", "issued", "member"};
constexpr Names jobs_query = {"day", "pot"};
constexpr Names season_query = {"year"};
constexpr Names labels_query = {"pot", "link"};
constexpr Names take_query = {"apply"};

constexpr Field entry_fields[] = {{"words", FieldKind::texts, true},
                                  {"when", FieldKind::text},
                                  {"by", FieldKind::text},
                                  {"note", FieldKind::text},
                                  {"round", FieldKind::text}};
constexpr Field strike_fields[] = {{"note", FieldKind::text}};
constexpr Field job_done_fields[] = {{"words", FieldKind::texts}, {"when", FieldKind::text}, {"by", FieldKind::text}, {"note", FieldKind::text}};
constexpr Field job_wait_fields[] = {{"until", FieldKind::text, true}};
constexpr Field job_drop_fields[] = {{"because", FieldKind::text, true}};
constexpr Field pot_fields[] = {{"id", FieldKind::text, true}, {"facts", FieldKind::texts, true}};
constexpr Field change_fields[] = {{"facts", FieldKind::texts, true}, {"since", FieldKind::text}};
constexpr Field retire_fields[] = {{"because", FieldKind::text}};
constexpr Field note_fields[] = {{"words", FieldKind::texts, true}, {"day", FieldKind::text}};

constexpr auto quick = Bench::quick, reckoning = Bench::reckoning;

constexpr std::array table{
    Operation{"GET", "/api/v1/round", reckoning, read_round, round_query, {}},
    Operation{"GET", "/api/v1/why/{pot}", reckoning, read_why, why_query, {}},
    Operation{"GET", "/api/v1/pots", quick, read_pots, pots_query, {}},
    Operation{"GET", "/api/v1/pots/{pot}", reckoning, read_pot, {}, {}},
    Operation{"GET", "/api/v1/water/{pot}", reckoning, read_water, water_query, {}},
    Operation{"GET", "/api/v1/jobs", reckoning, read_jobs, jobs_query, {}},
    Operation{"GET", "/api/v1/season/{pot}", reckoning, read_season, season_query, {}},
    Operation{"GET", "/api/v1/labels", quick, read_labels, labels_query, {}},
    Operation{"GET", "/api/v1/words", quick, read_words_taken, {}, {}},
    Operation{"GET", "/api/v1/daybook", quick, read_daybook, daybook_query, {}},
    Operation{"GET", "/api/v1/weather", reckoning, read_weather, weather_query, {}},
    Operation{"GET", "/api/v1/forecasts", reckoning, read_forecasts, {}, {}},
    Operation{"GET", "/api/v1/hindcast", reckoning, read_hindcast, {}, {}},
    Operation{"GET", "/api/v1/ahead", reckoning, read_ahead, ahead_query, {}},
    Operation{"GET", "/api/v1/absence", reckoning, read_absence, absence_query, {}},
    Operation{"GET", "/api/v1/visit", reckoning, read_visit, visit_query, {}},
    Operation{"GET", "/api/v1/compare/{pot}", reckoning, read_compare, compare_query, {}},
    Operation{"GET", "/calendar.ics", reckoning, read_calendar, calendar_query, {}},
    Operation{"POST", "/api/v1/entries", quick, write_entries, {}, entry_fields},
    Operation{"POST", "/api/v1/entries/{entry}/strike", quick, write_strike, {}, strike_fields},
    Operation{"POST", "/api/v1/jobs/{job}/done", reckoning, write_job_done, {}, job_done_fields},
    Operation{"POST", "/api/v1/jobs/{job}/wait", reckoning, write_job_wait, {}, job_wait_fields},
    Operation{"POST", "/api/v1/jobs/{job}/drop", reckoning, write_job_drop, {}, job_drop_fields},
    Operation{"POST", "/api/v1/pots", quick, write_pot, {}, pot_fields},
    Operation{"POST", "/api/v1/pots/{pot}/change", quick, write_change, {}, change_fields},
    Operation{"POST", "/api/v1/pots/{pot}/retire", quick, write_retirement, {}, retire_fields},
    Operation{"POST", "/api/v1/pots/take", quick, write_pots, take_query, {}, "application/yaml"},
    Operation{"POST", "/api/v1/daybook/take", quick, write_daybook, take_query, {}, "text/csv", readings_limit},
    Operation{"POST", "/api/v1/weather/readings", quick, write_readings, readings_query, {}, "text/csv", readings_limit},
    Operation{"POST", "/api/v1/weather/notes", quick, write_note, {}, note_fields},
    Operation{"POST", "/api/v1/clock/confirm", quick, write_clock, {}, {}},
};

// What somebody who waters meanwhile writes: what they did, and what of it was a slip. All else is the gardener's to write.
constexpr Names helpers_write = {"/api/v1/entries", "/api/v1/entries/{entry}/strike"};

// The names in the braces where the path fits.
std::optional<std::vector<std::string>> names_in(std::string_view pattern, const Target& target) {
    std::vector<std::string> names;
    for (const auto& segment : target.segments) {
        if (pattern.empty()) return std::nullopt;
        pattern.remove_prefix(1);
        const auto part = pattern.substr(0, pattern.find('/'));
        if (part.starts_with('{'))
            names.push_back(segment);
        else if (part != segment)
            return std::nullopt;
        pattern.remove_prefix(part.size());
    }
    return pattern.empty() ? std::optional(names) : std::nullopt;
}

std::optional<Response> wrong_query(const Operation& operation, const Target& target) {
    std::vector<std::string_view> known(operation.query.begin(), operation.query.end());
    if (!operation.writes()) known.insert(known.end(), std::begin(at_any_moment), std::end(at_any_moment));
    for (const auto& [name, value] : target.query) {
        if (std::ranges::find(known, name) != known.end()) continue;
        const auto near = nearest(name, known);
        return problem(400, "unknown query " + tubgrove::quoted(name),
                       !near.empty() ? "did you mean " + near + "?" : known.empty() ? "no query" : "known are " + one_of(known));
    }
    return std::nullopt;
}

// at, hindsight and recompute of a read, as the command line has them.
Parsed<View> view_asked(const Garden& garden, const Target& target, View view) {
    const auto hindsight = yes_or_no(target, "hindsight"), recompute = yes_or_no(target, "recompute");
    for (const auto* said : {&hindsight, &recompute})
        if (!good(*said)) return fault(*said);
    const auto at = target.value("at");
    if (*good(hindsight) && !at) return Fault{"hindsight looks back at a moment", "?at=TIME&hindsight=yes"};
    view.hindsight = *good(hindsight);
    view.recompute = *good(recompute);
    if (!at) return view;
    view.machine = view.now;   // so that a look ahead of the service's own clock is shown and not issued
    view.replay = true;
    const Seen seen{view.now, garden.zone()};
    if (const auto day = read_day(*at, seen); good(day)) {
        view.now = garden.hour_of_issue(*good(day));
        return view;
    }
    const auto time = read_time(*at, seen);
    if (!good(time)) return Fault{"at: " + fault(time).what, "2026-07-14 for that morning's list, " + fault(time).right};
    view.now = *good(time);
    return view;
}

}  // namespace

bool Operation::for_helpers() const { return !writes() || std::ranges::find(helpers_write, path) != std::end(helpers_write); }

std::span<const Operation> operations() { return table; }
std::span<const std::string_view> reads_know() { return at_any_moment; }

Found find_operation(std::string_view method, const Target& target) {
    Found found;
    for (const auto& operation : table) {
        const auto names = names_in(operation.path, target);
        if (!names) continue;
        if (operation.method == method || (operation.method == "GET" && method == "HEAD"))
            return {.operation = &operation, .names = *names, .allowed = {}};
        if (!found.allowed.empty()) found.allowed += ", ";
        found.allowed += operation.method;
        if (operation.method == "GET") found.allowed += ", HEAD";
    }
    return found;
}

Response answer_operation(Garden& garden, const Found& found, const Request& request, const Target& target, const Moment& moment) {
    const Operation& operation = *found.operation;
    if (auto wrong = wrong_query(operation, target)) return *wrong;
    Asking asking{.garden = garden, .view = moment.view, .names = found.names, .target = target, .fields = {},
                  .body = request.body, .by = moment.by, .helps = moment.helps};
    asking.view.by = moment.by;  // every entry that is written carries the token's name
    if (!operation.writes()) {
        const auto view = view_asked(garden, target, moment.view);
        if (!good(view)) return problem(400, fault(view).what, fault(view).right);
        asking.view = *good(view);
    } else if (operation.body_type == "application/json") {
        auto fields = read_fields(request.body, operation.fields);
        if (!good(fields)) return problem(400, fault(fields).what, fault(fields).right);
        asking.fields = *good(fields);
    }
    return operation.answer(asking);
}

Parsed<std::optional<LocalDay>> day_of(const Asking& asking, std::string_view name) {
    const auto written = asking.target.value(name);
    if (!written) return std::optional<LocalDay>();
    const auto day = read_day(*written, {asking.view.now, asking.garden.zone()});
    if (good(day)) return std::optional<LocalDay>(*good(day));
    return Fault{std::string(name) + ": " + fault(day).what, fault(day).right};
}

Parsed<bool> yes_or_no(const Target& target, std::string_view name) {
    const auto written = target.value(name);
    if (!written || *written == "no") return false;
    if (*written == "yes") return true;
    return Fault{std::string(name) + ": " + tubgrove::quoted(*written) + " is neither", "yes or no"};
}

int refused_of(const Asking& asking, const std::string& pot) {
    if (pot.empty()) return 400;
    const auto here = asking.garden.pot_ids(asking.view);
    return std::ranges::find(here, pot) == here.end() ? 404 : 400;
}

Parsed<bool> yes_of(const Asking& asking, std::string_view name) { return yes_or_no(asking.target, name); }

}  // namespace tubgrove
