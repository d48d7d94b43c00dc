// The course of a pot's water and the words that the garden takes, as JSON.
#include "garden/json.hpp"
#include "garden/json_writer.hpp"

namespace tubgrove {
namespace {

void write_points(JsonWriter& json, const std::vector<WaterPoint>& points, const Zone& zone) {
    json.begin_array("points");
    for (const auto& point : points) {
        json.begin_object();
        json.text("at", format_rfc3339(point.at, zone));
        json.number("depletion_l", point.depletion_l);
        json.number("depletion_low_l", point.depletion_low_l);
        json.number("depletion_high_l", point.depletion_high_l);
        json.number("available_l", point.available_l);
        json.end_object();
    }
    json.end_array();
}

void write_pours(JsonWriter& json, const std::vector<WaterPour>& pours, const Zone& zone) {
    json.begin_array("pours");
    for (const auto& pour : pours) {
        json.begin_object();
        json.text("at", format_rfc3339(pour.at, zone));
        json.number("pour_l", pour.pour_l);
        json.text("known", pour.known);
        json.text("round", pour.round);
        json.end_object();
    }
    json.end_array();
}

void write_rain(JsonWriter& json, const std::vector<WaterRain>& rain) {
    json.begin_array("rain");
    for (const auto& day : rain) {
        json.begin_object();
        json.text("day", format_day(day.day));
        json.number("rain_mm", day.rain_mm);
        json.end_object();
    }
    json.end_array();
}

void write_fact(JsonWriter& json, const FactWord& fact) {
    json.begin_object();
    json.text("key", fact.key);
    json.text("kind", fact.kind);
    json.text("unit", fact.unit);
    json.begin_array("words");
    for (const auto& word : fact.words) json.text({}, word);
    json.end_array();
    json.begin_array("names");
    for (const auto& name : fact.names) json.text({}, name);
    json.end_array();
    json.text("help", fact.help);
    json.text("example", fact.example);
    json.end_object();
}

}  // namespace

std::string to_json(const WaterAnswer& answer, const Zone& zone) {
    JsonWriter json;
    json.begin_object();
    json.text("pot", answer.pot);
    json.text("from", format_day(answer.from));
    json.text("to", format_day(answer.to));
    write_points(json, answer.points, zone);
    write_pours(json, answer.pours, zone);
    write_rain(json, answer.rain);
    json.end_object();
    return json.take();
}

std::string to_json(const WordsAnswer& answer, const Zone&) {
    JsonWriter json;
    json.begin_object();
    json.begin_array("facts");
    for (const auto& fact : answer.facts) write_fact(json, fact);
    json.end_array();
    json.begin_array("actions");
    for (const auto& action : answer.actions) {
        json.begin_object();
        json.text("word", action.word);
        json.text("help", action.help);
        json.text("example", action.example);
        json.end_object();
    }
    json.end_array();
    json.end_object();
    return json.take();
}

}  // namespace tubgrove
