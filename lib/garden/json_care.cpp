// Answers of care as JSON.
#include "garden/json.hpp"
#include "garden/json_values.hpp"

namespace tubgrove {
namespace {

void write_because(JsonWriter& json, const std::vector<Remark>& remarks) {
    json.begin_array("because");
    for (const auto& remark : remarks) {
        json.begin_object();
        json.text("code", remark.code);
        json.begin_object("values");
        for (const auto& [key, value] : remark.values) json.text(key, value);
        json.end_object();
        json.text("text", remark.text);
        json.end_object();
    }
    json.end_array();
}

void job_fields(JsonWriter& json, const Job& job) {
    json.text("id", job.id);
    json.text("rule", job.rule);
    write_place(json, job);
    json.text("title", job.title);
    json.text("what", job.what);
    json.text("state", state_word(job.state));
    json.integer("rank", int(job.rank));
    json.integer("minutes", job.minutes);
    json.text("opens", format_day(job.opens));
    json.text("due", format_day(job.due));
    json.text("closes", format_day(job.closes));
    day_or_null(json, "waits_until", job.waits_until);
    if (job.entry > 0) json.integer("entry", job.entry);
    else json.null("entry");
    write_because(json, job.because);
    json.begin_array("caution");
    for (const auto& text : job.caution) json.text({}, text);
    json.end_array();
    json.text("source", job.source);
    json.text("water", job.water);
    json.text("answer", job.answer);
    json.text("lapsed", job.lapsed);
    json.text("told", job.told);
}

}  // namespace

std::string to_json(const JobsAnswer& answer, const Zone&) {
    JsonWriter json;
    json.begin_object();
    json.text("day", format_day(answer.day));
    json.begin_array("jobs");
    for (const auto& job : answer.jobs) {
        json.begin_object();
        job_fields(json, job);
        json.end_object();
    }
    json.end_array();
    for (const auto& [key, list] : {std::pair("morning", &answer.morning), std::pair("remarks", &answer.remarks)}) {
        json.begin_array(key);
        for (const auto& text : *list) json.text({}, text);
        json.end_array();
    }
    json.end_object();
    return json.take();
}

std::string to_json(const SeasonAnswer& answer, const Zone&) {
    JsonWriter json;
    json.begin_object();
    json.text("pot", answer.pot.id);
    json.text("label", answer.pot.label);
    json.text("trees", answer.pot.trees);
    json.text("from", format_day(answer.from));
    json.text("to", format_day(answer.to));
    json.begin_object("weather");
    json.integer("days", answer.weather_days);
    json.number("rain_mm", answer.rain_mm);
    json.number("et0_mm", answer.et0_mm);
    day_or_null(json, "hottest_day", answer.hottest);
    json.number("hottest_degC", answer.hottest_degC);
    day_or_null(json, "coldest_day", answer.coldest);
    json.number("coldest_degC", answer.coldest_degC);
    json.integer("frost_nights", answer.frost_nights);
    json.integer("hot_days", answer.hot_days);
    json.end_object();
    json.begin_object("water");
    json.integer("pours", answer.pours);
    json.number("poured_l", answer.poured_l);
    json.integer("felt_dry", answer.felt_dry);
    json.integer("wilted", answer.wilted);
    json.integer("lists", answer.lists);
    json.integer("listed_dry", answer.listed_dry);
    json.end_object();
    json.begin_array("stages");
    for (const auto& stage : answer.stages) {
        json.begin_object();
        json.text("stage", stage.stage);
        json.text("day", format_day(stage.day));
        json.text("from", stage.from);
        json.end_object();
    }
    json.end_array();
    json.begin_array("jobs");
    for (const auto& job : answer.jobs) {
        json.begin_object();
        job_fields(json, job.job);
        json.boolean("ahead", job.ahead);
        json.end_object();
    }
    json.end_array();
    json.integer("done", answer.done);
    json.integer("dropped", answer.dropped);
    json.integer("passed", answer.passed);
    json.end_object();
    return json.take();
}

}  // namespace tubgrove
