#include "garden/json.hpp"

#include "garden/json_values.hpp"
#include "garden/reasons.hpp"

#include <algorithm>
#include <array>
#include <string>

namespace tubgrove {
namespace {

bool is_plain_decimal(std::string_view text) {
    if (text.starts_with('-')) text.remove_prefix(1);
    return !text.empty() && text.find_first_not_of("0123456789.") == std::string_view::npos && text.front() != '.' &&
           text.back() != '.' && std::ranges::count(text, '.') <= 1 && !(text.size() > 1 && text[0] == '0' && text[1] != '.');
}

// Values of remarks and entries: a plain decimal under a key that names a unit is a number, all else is text.
void write_values(JsonWriter& json, std::string_view key, const std::map<std::string, std::string>& values) {
    json.begin_object(key);
    for (const auto& [name, value] : values)
        if (name.find('_') != std::string::npos && is_plain_decimal(value))
            json.number(name, std::stod(value));
        else
            json.text(name, value);
    json.end_object();
}

void write_texts(JsonWriter& json, std::string_view key, const std::vector<std::string>& texts) {
    json.begin_array(key);
    for (const auto& text : texts) json.text({}, text);
    json.end_array();
}

void write_remarks(JsonWriter& json, std::string_view key, const std::vector<Remark>& remarks) {
    json.begin_array(key);
    for (const auto& remark : remarks) {
        json.begin_object();
        json.text("code", remark.code);
        write_values(json, "values", remark.values);
        json.text("text", remark.text);
        json.end_object();
    }
    json.end_array();
}

// Why a line says what it says: a remark with its kind.
void write_reasons(JsonWriter& json, std::string_view key, const std::vector<Remark>& reasons) {
    json.begin_array(key);
    for (const auto& reason : reasons) {
        json.begin_object();
        json.text("code", reason.code);
        json.text("kind", kind_word(kind_of(reason)));
        write_values(json, "values", reason.values);
        json.text("text", reason.text);
        json.end_object();
    }
    json.end_array();
}

void write_pour(JsonWriter& json, const PourLine& line, const Zone& zone) {
    json.begin_object();
    write_place(json, line);
    json.integer("order", line.order);
    json.number("pour_l", line.pour_l);
    json.integer("passes", line.passes);
    json.number("low_l", line.low_l);
    json.number("high_l", line.high_l);
    write_until(json, line.until);
    json.number("depletion_l", line.depletion_l);
    json.number("available_l", line.available_l);
    instant_or_null(json, "dry_at", line.dry_at, zone);
    write_reasons(json, "because", line.because);
    json.end_object();
}

void write_question(JsonWriter& json, const std::optional<Question>& question) {
    if (!question) return json.null("question");
    json.begin_object("question");
    json.text("round", question->round);
    json.text("text", question->text);
    json.integer("unanswered", question->unanswered);
    write_texts(json, "feel_first", question->feel_first);
    json.end_object();
}

std::string_view severity_word(Severity severity) {
    constexpr std::array words{"note", "warning", "danger"};
    return words[std::size_t(severity)];
}

void write_no_water(JsonWriter& json, const Round& round) {
    json.begin_array("no_water");
    for (const auto& line : round.no_water) {
        json.begin_object();
        write_place(json, line);
        day_or_null(json, "next_day", line.next_day);
        json.number("depletion_l", line.depletion_l);
        json.number("available_l", line.available_l);
        json.end_object();
    }
    json.end_array();
}

void write_notices(JsonWriter& json, const std::vector<Notice>& notices) {
    json.begin_array("notices");
    for (const auto& notice : notices) {
        json.begin_object();
        json.text("code", notice.code);
        json.text("severity", severity_word(notice.severity));
        write_values(json, "values", notice.values);
        json.text("text", notice.text);
        json.end_object();
    }
    json.end_array();
}

void write_job_part(JsonWriter& json, const RoundJobPart& part) {
    json.begin_object();
    json.text("id", part.id);
    json.text("rule", part.rule);
    json.text("title", part.title);
    write_place(json, part);
    json.text("answer", part.answer);
    json.end_object();
}

void write_jobs(JsonWriter& json, const std::vector<RoundJob>& jobs) {
    json.begin_array("jobs");
    for (const auto& job : jobs) {
        json.begin_object();
        json.text("title", job.title);
        json.text("what", job.what);
        json.integer("rank", job.rank);
        json.integer("minutes", job.minutes);
        json.text("opens", format_day(job.opens));
        json.text("due", format_day(job.due));
        json.text("closes", format_day(job.closes));
        write_remarks(json, "because", job.because);
        write_texts(json, "caution", job.caution);
        json.text("source", job.source);
        json.begin_array("parts");
        for (const auto& part : job.parts) write_job_part(json, part);
        json.end_array();
        json.end_object();
    }
    json.end_array();
}

void write_round(JsonWriter& json, const Round& round, const Zone& zone) {
    json.text("id", round.id);
    json.text("day", format_day(round.day));
    json.text("walk", round.walk);
    json.text("site", round.site);
    json.text("issued", format_rfc3339(round.issued, zone));
    json.text("inputs_until", format_rfc3339(round.inputs_until, zone));
    json.text("model", round.model);
    json.number("et0_mm", round.et0_mm);
    json.number("rain_mm", round.rain_mm);
    json.text("weather_from", round.weather_from);
    write_question(json, round.question);
    json.begin_array("pours");
    for (const auto& line : round.pours) write_pour(json, line, zone);
    json.end_array();
    write_no_water(json, round);
    write_trips(json, round.trips);
    json.number("total_l", round.total_l);
    write_notices(json, round.notices);
    write_jobs(json, round.jobs);
}

std::string_view clock_word(Clock clock) {
    constexpr std::array words{"board", "phone", "unknown"};
    return words[std::size_t(clock)];
}

void write_entry(JsonWriter& json, const Entry& entry, const Zone& zone) {
    json.begin_object();
    json.integer("id", entry.id);
    json.text("pot", entry.pot);
    json.text("action", entry.action);
    write_values(json, "values", entry.values);
    json.text("when", format_rfc3339(entry.when, zone));
    json.text("learned", format_rfc3339(entry.learned, zone));
    json.text("clock", clock_word(entry.clock));
    json.text("by", entry.by);
    json.text("note", entry.note);
    json.text("round", entry.round);
    if (entry.strikes)
        json.integer("strikes", *entry.strikes);
    else
        json.null("strikes");
    json.end_object();
}

void write_entries(JsonWriter& json, const std::vector<Entry>& entries, const Zone& zone) {
    json.begin_array("entries");
    for (const auto& entry : entries) write_entry(json, entry, zone);
    json.end_array();
}

void write_pot_line(JsonWriter& json, const PotLine& pot) {
    json.text("id", pot.id);
    json.text("label", pot.label);
    json.text("bay", pot.bay);
    json.text("trees", pot.trees);
    json.text("medium", pot.medium);
    json.text("medium_name", pot.medium_name);
    json.number("size_l", pot.size_l);
    day_or_null(json, "since", pot.since);
    day_or_null(json, "retired", pot.retired);
}

std::string_view origin_word(Origin origin) {
    constexpr std::array words{"measured", "derived", "estimated"};
    return words[std::size_t(origin)];
}

std::string_view rung_word(Rung rung) {
    constexpr std::array words{"own readings", "published", "by hand", "normals"};
    return words[std::size_t(rung)];
}

void write_marked(JsonWriter& json, std::string_view key, const Marked& marked) {
    json.begin_object(std::string_view(key));
    json.number_in("value", marked.value, std::max(1, json_decimals(key)));
    json.text("origin", origin_word(marked.origin));
    json.text("how", marked.how);
    json.end_object();
}

void write_day(JsonWriter& json, const DayRecord& day, const std::vector<std::string>& by, const Zone& zone) {
    json.begin_object();
    json.text("day", format_day(day.day));
    json.text("weather_from", rung_word(day.rung));
    json.text("source", day.source);
    write_marked(json, "air_temperature_max_degC", day.air_temp_max_degC);
    write_marked(json, "air_temperature_min_degC", day.air_temp_min_degC);
    write_marked(json, "vapour_pressure_kPa", day.vapour_pressure_kPa);
    write_marked(json, "wind_2m_m_s", day.wind_2m_m_s);
    write_marked(json, "radiation_MJ_m2", day.radiation_MJ_m2);
    write_marked(json, "rain_mm", day.rain_mm);
    if (day.gust_m_s)
        write_marked(json, "gust_m_s", *day.gust_m_s);
    else
        json.null("gust_m_s");
    for (const auto& [key, at] : {std::pair("gust_from", &GustSpan::starts), std::pair("gust_until", &GustSpan::ends)}) {
        if (day.gust_when) json.text(key, format_rfc3339((*day.gust_when).*at, zone));
        else json.null(key);
    }
    json.number_in("et0_mm", day.et0_mm, 2);
    json.text("et0_from", day.hourly ? "hours" : "day");
    json.boolean("complete", day.complete);
    write_texts(json, "notes", day.notes);
    write_texts(json, "by", by);
    json.end_object();
}

template <class Body>
std::string object(Body&& body) {
    JsonWriter json;
    json.begin_object();
    body(json);
    json.end_object();
    return json.take();
}

}  // namespace

void write_trips(JsonWriter& json, const std::vector<Trip>& trips) {
    json.begin_array("trips");
    for (const auto& trip : trips) {
        json.begin_object();
        json.text("tap", trip.tap);
        json.begin_array("cans");
        for (const auto& can : trip.cans) {
            json.begin_object();
            json.number("can_l", can.can_l);
            json.begin_array("pours");
            for (const auto& pour : can.pours) {
                json.begin_object();
                json.text("pot", pour.pot);
                json.number_in("l", pour.l, 2);
                json.integer("pass", pour.pass);
                json.end_object();
            }
            json.end_array();
            json.end_object();
        }
        json.end_array();
        json.end_object();
    }
    json.end_array();
}

std::string to_json(const RoundAnswer& answer, const Zone& zone) {
    return object([&](JsonWriter& json) { write_round(json, answer.round, zone); });
}

std::string to_json(const WhyAnswer& answer, const Zone&) {
    return object([&](JsonWriter& json) {
        json.text("pot", answer.pot);
        json.text("round", answer.round);
        json.text("day", format_day(answer.day));
        json.begin_array("steps");
        for (const auto& step : answer.steps) {
            json.begin_object();
            json.text("about", step.about);
            json.text("label", step.label);
            json.text("value", step.value);
            json.text("unit", step.unit);
            json.text("equation", step.equation);
            json.text("source", step.source);
            json.text("note", step.note);
            json.end_object();
        }
        json.end_array();
        write_reasons(json, "because", answer.because);
    });
}

std::string to_json(const EntriesAnswer& answer, const Zone& zone) {
    return object([&](JsonWriter& json) {
        write_entries(json, answer.entries, zone);
        write_texts(json, "remarks", answer.remarks);
    });
}

std::string to_json(const DaybookAnswer& answer, const Zone& zone) {
    return object([&](JsonWriter& json) {
        write_entries(json, answer.entries, zone);
        json.begin_array("struck");
        for (auto id : answer.struck) json.integer({}, id);
        json.end_array();
    });
}

std::string to_json(const PotsAnswer& answer, const Zone&) {
    return object([&](JsonWriter& json) {
        json.begin_array("pots");
        for (const auto& pot : answer.pots) {
            json.begin_object();
            write_pot_line(json, pot);
            json.end_object();
        }
        json.end_array();
    });
}

std::string to_json(const PotAnswer& answer, const Zone& zone) {
    return object([&](JsonWriter& json) {
        write_pot_line(json, answer.pot);
        json.begin_array("facts");
        for (const auto& fact : answer.facts) {
            json.begin_object();
            json.text("key", fact.key);
            json.text("value", fact.value);
            json.text("from", fact.from);
            day_or_null(json, "since", fact.since);
            if (fact.entry)
                json.integer("entry", *fact.entry);
            else
                json.null("entry");
            json.text("source", fact.source);
            json.end_object();
        }
        json.end_array();
        if (!answer.has_water) return json.null("water");
        json.begin_object("water");
        json.number("depletion_l", answer.depletion_l);
        json.number("depletion_low_l", answer.depletion_low_l);
        json.number("depletion_high_l", answer.depletion_high_l);
        json.number("available_l", answer.available_l);
        instant_or_null(json, "dry_at", answer.dry_at, zone);
        json.end_object();
    });
}

std::string to_json(const ChangesAnswer& answer, const Zone& zone) {
    return object([&](JsonWriter& json) {
        json.boolean("applied", answer.applied);
        write_texts(json, "changes", answer.changes);
        write_texts(json, "complaints", answer.complaints);
        write_entries(json, answer.entries, zone);
    });
}

std::string to_json(const WeatherAnswer& answer, const Zone& zone) {
    return object([&](JsonWriter& json) {
        json.begin_array("days");
        for (const auto& day : answer.days) {
            const auto by = answer.by.find(day.day);
            write_day(json, day, by == answer.by.end() ? std::vector<std::string>() : by->second, zone);
        }
        json.end_array();
    });
}

std::string to_json(const IngestAnswer& answer, const Zone&) {
    return object([&](JsonWriter& json) {
        json.text("source", answer.source);
        json.integer("new", answer.fresh);
        json.integer("same", answer.same);
        json.integer("changed", answer.changed);
        json.integer("refused", answer.refused_count);
        write_texts(json, "complaints", answer.refused);
        write_texts(json, "remarks", answer.remarks);
    });
}

std::string to_json(const CheckAnswer& answer) {
    return object([&](JsonWriter& json) {
        json.text("configuration", answer.configuration);
        json.boolean("in_order", answer.complaints.empty());
        json.begin_array("complaints");
        for (const auto& complaint : answer.complaints) {
            json.begin_object();
            json.text("file", complaint.file);
            json.integer("line", complaint.line);
            json.integer("column", complaint.column);
            json.text("what", complaint.what);
            json.text("right", complaint.right);
            json.end_object();
        }
        json.end_array();
        write_texts(json, "understood", answer.understood);
    });
}

std::string to_json(const FilesAnswer& answer) {
    return object([&](JsonWriter& json) {
        json.begin_array("files");
        for (const auto& file : answer.files) {
            json.begin_object();
            json.text("code", file.code);
            json.text("file", file.file);
            json.text("text", file.text);
            json.end_object();
        }
        json.end_array();
        write_texts(json, "changes", answer.changes);
    });
}

std::string to_json(const Refusal& refusal) {
    return object([&](JsonWriter& json) {
        json.text("what", refusal.what);
        json.text("right", refusal.right);
    });
}

}  // namespace tubgrove
