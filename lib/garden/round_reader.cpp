#include "garden/round_reader.hpp"

#include "garden/json_writer.hpp"

#include <algorithm>
#include <stdexcept>

#include <boost/json.hpp>

namespace tubgrove {
namespace {

namespace bj = boost::json;

std::string text(const bj::object& from, const char* key) {
    auto* value = from.if_contains(key);
    return value && value->is_string() ? std::string(value->get_string()) : std::string();
}

double number(const bj::object& from, const char* key) {
    auto* value = from.if_contains(key);
    return value && value->is_number() ? value->to_number<double>() : 0.0;
}

std::optional<Instant> instant(const bj::object& from, const char* key) { return parse_rfc3339(text(from, key)); }

template <class Read>
auto list(const bj::object& from, const char* key, Read read) {
    std::vector<decltype(read(from))> items;
    if (auto* value = from.if_contains(key); value && value->is_array())
        for (const auto& item : value->get_array())
            if (item.is_object()) items.push_back(read(item.get_object()));
    return items;
}

std::map<std::string, std::string> values(const bj::object& from) {
    std::map<std::string, std::string> result;
    if (auto* object = from.if_contains("values"); object && object->is_object())
        for (const auto& [key, value] : object->get_object())
            result[std::string(key)] = value.is_number()
                                           ? fixed_decimals(value.to_number<double>(), json_decimals(std::string_view(key)))
                                           : std::string(value.is_string() ? value.get_string() : bj::string());
    return result;
}

Remark remark(const bj::object& from) {
    return {.code = text(from, "code"), .values = values(from), .text = text(from, "text")};
}

PourLine pour(const bj::object& from) {
    return {.pot = text(from, "pot"),
            .label = text(from, "label"),
            .bay = text(from, "bay"),
            .order = int(number(from, "order")),
            .pour_l = number(from, "pour_l"),
            .passes = int(number(from, "passes")),
            .low_l = number(from, "low_l"),
            .high_l = number(from, "high_l"),
            .until = text(from, "until") == "run-through" ? Until::run_through : Until::amount,
            .depletion_l = number(from, "depletion_l"),
            .available_l = number(from, "available_l"),
            .dry_at = instant(from, "dry_at"),
            .because = list(from, "because", remark)};
}

RestLine rest(const bj::object& from) {
    return {.pot = text(from, "pot"),
            .label = text(from, "label"),
            .bay = text(from, "bay"),
            .next_day = parse_day(text(from, "next_day")),
            .depletion_l = number(from, "depletion_l"),
            .available_l = number(from, "available_l")};
}

CanPour can_pour(const bj::object& from) {
    return {.pot = text(from, "pot"), .l = number(from, "l"), .pass = int(number(from, "pass"))};
}

Can can(const bj::object& from) { return {.can_l = number(from, "can_l"), .pours = list(from, "pours", can_pour)}; }

Trip trip(const bj::object& from) { return {.tap = text(from, "tap"), .cans = list(from, "cans", can)}; }

Severity severity(const std::string& word) {
    if (word == "danger") return Severity::danger;
    return word == "warning" ? Severity::warning : Severity::note;
}

Notice notice(const bj::object& from) {
    return {.code = text(from, "code"),
            .severity = severity(text(from, "severity")),
            .values = values(from),
            .text = text(from, "text")};
}

std::vector<std::string> texts(const bj::object& from, const char* key) {
    std::vector<std::string> all;
    if (auto* list_of = from.if_contains(key); list_of && list_of->is_array())
        for (const auto& item : list_of->get_array())
            if (item.is_string()) all.emplace_back(item.get_string());
    return all;
}

RoundJobPart job_part(const bj::object& from) {
    return {.id = text(from, "id"), .rule = text(from, "rule"), .title = text(from, "title"), .pot = text(from, "pot"),
            .label = text(from, "label"), .bay = text(from, "bay"), .answer = text(from, "answer")};
}

RoundJob round_job(const bj::object& from) {
    const auto day = [&](const char* key) { return parse_day(text(from, key)).value_or(LocalDay{}); };
    return {.title = text(from, "title"),
            .what = text(from, "what"),
            .rank = int(number(from, "rank")),
            .minutes = int(number(from, "minutes")),
            .opens = day("opens"),
            .due = day("due"),
            .closes = day("closes"),
            .because = list(from, "because", remark),
            .caution = texts(from, "caution"),
            .source = text(from, "source"),
            .parts = list(from, "parts", job_part)};
}

std::optional<Question> question(const bj::object& from) {
    auto* value = from.if_contains("question");
    if (!value || !value->is_object()) return std::nullopt;
    const auto& object = value->get_object();
    Question result{.round = text(object, "round"),
                    .text = text(object, "text"),
                    .unanswered = int(number(object, "unanswered")),
                    .feel_first = {}};
    if (auto* pots = object.if_contains("feel_first"); pots && pots->is_array())
        for (const auto& pot : pots->get_array())
            if (pot.is_string()) result.feel_first.emplace_back(pot.get_string());
    return result;
}

// What was told to do, without the reasons.
PourLine told_pour(const bj::object& from) {
    return {.pot = text(from, "pot"),
            .label = {},
            .bay = {},
            .order = 0,
            .pour_l = number(from, "pour_l"),
            .passes = int(number(from, "passes")),
            .low_l = 0,
            .high_l = 0,
            .until = text(from, "until") == "run-through" ? Until::run_through : Until::amount,
            .depletion_l = 0,
            .available_l = 0,
            .dry_at = instant(from, "dry_at"),
            .because = {}};
}

bj::value parsed(std::string_view json, bj::storage_ptr storage = {}) {
    boost::system::error_code error;
    auto document = bj::parse(bj::string_view(json.data(), json.size()), error, std::move(storage));
    if (error || !document.is_object()) throw std::runtime_error("a stored round is not readable JSON");
    return document;
}

Round named_round(const bj::object& from) {
    Round round;
    round.id = text(from, "id");
    auto day = parse_day(text(from, "day"));
    if (round.id.empty() || !day) throw std::runtime_error("a stored round has no id or day");
    round.day = *day;
    round.walk = text(from, "walk");
    round.issued = instant(from, "issued").value_or(Instant{});
    return round;
}

}  // namespace

Round round_lines_from_json(std::string_view json) {
    bj::monotonic_resource storage;   // frees all at once what the many small reasons take
    const auto document = parsed(json, &storage);
    Round round = named_round(document.get_object());
    round.pours = list(document.get_object(), "pours", told_pour);
    std::ranges::sort(round.pours, {}, &PourLine::pot);
    round.jobs = list(document.get_object(), "jobs", round_job);
    return round;
}

Round round_from_json(std::string_view json) {
    const auto document = parsed(json);
    const auto& from = document.get_object();
    Round round = named_round(from);
    round.site = text(from, "site");
    round.inputs_until = instant(from, "inputs_until").value_or(Instant{});
    round.model = text(from, "model");
    round.et0_mm = number(from, "et0_mm");
    round.rain_mm = number(from, "rain_mm");
    round.weather_from = text(from, "weather_from");
    round.question = question(from);
    round.pours = list(from, "pours", pour);
    round.no_water = list(from, "no_water", rest);
    round.trips = list(from, "trips", trip);
    round.total_l = number(from, "total_l");
    round.notices = list(from, "notices", notice);
    round.jobs = list(from, "jobs", round_job);
    return round;
}

}  // namespace tubgrove
