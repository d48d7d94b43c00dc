#include "intake/care_table.hpp"

#include "daybook.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using Kind = YamlNode::Kind;

void named_source(Section& s, std::string& source) {
    s.require("source", "source: own assumption");
    std::string given;
    s.text("source", given);
    if (s.has("source") && given.empty())
        s.desk().complain(s.node(), {fmt::format("{} has an empty source", s.name()), "name a work, or write own assumption"});
    source = given;
}

void mark(Section& s, std::string_view key, std::optional<MarkOffset>& into) {
    const auto text = s.scalar(key);
    if (!text) return;
    const auto& node = *s.take(key);
    if (const auto read = parse_mark(*text)) {
        into = *read;
        return;
    }
    const auto name = text->substr(0, text->find(' '));
    const auto near = nearest(name, mark_names);
    s.desk().complain(node, {fmt::format("{}: {} is no mark of the year", s.name(), quoted(*text)),
                             near.empty() || near == name ? "write a mark and days, such as leaf-fall + 30 d" : fmt::format("did you mean {}?", near)});
}

void conditions(Section& s, std::string_view key, std::vector<Condition>& into) {
    if (!s.has(key)) return;
    const auto* list = s.list(key);
    if (!list) return;
    into.clear();
    for (const auto& item : list->items) {
        const auto read = item.kind == Kind::scalar ? parse_condition(item.text) : std::nullopt;
        if (read) {
            into.push_back(*read);
            continue;
        }
        const auto word = item.text.starts_with("not ") ? item.text.substr(4) : item.text.substr(0, item.text.find(' '));
        const auto near = nearest(word, quantity_names());
        s.desk().complain(item, {fmt::format("{}: {} is no condition", s.name(), quoted(item.text)),
                                 near.empty() || near == word ? "write a quantity with < or > and a number, such as mulch_cm < 3, or a yes-or-no one, such as not indoors"
                                                              : fmt::format("did you mean {}?", near)});
    }
}

// Entries by which a rule is answered or begins: an action, with or without its word.
void known_entries(Section& s, std::string_view key, std::vector<std::string>& into) {
    std::vector<std::string> read;
    s.texts(key, read);
    if (!s.has(key)) return;
    into = read;
    for (const auto& word : into) {
        const auto action = word.substr(0, word.find(':'));
        if (find_action(action)) continue;
        std::vector<std::string_view> known;
        for (const auto& a : actions()) known.push_back(a.word);
        const auto near = nearest(action, known);
        s.desk().complain(*s.take(key), {fmt::format("{}: {} is no action of the daybook", s.name(), quoted(action)),
                                         near.empty() ? "name an action of `did`, or one with a word, such as looked:scab" : fmt::format("did you mean {}?", near)});
    }
}

// Sentences for the grower, longer than a label may be.
void sentences(Section& s, std::string_view key, std::string& into) {
    constexpr std::size_t longest = 700;
    const auto text = s.scalar(key);
    if (!text) return;
    if (text->size() > longest) s.desk().complain(*s.take(key), {fmt::format("{}: {} has more than {} bytes", s.name(), key, longest), "say it in fewer words"});
    else into = *text;
}

void windows(Section& s, CareRule& row) {
    mark(s, "opens", row.opens);
    mark(s, "due", row.due);
    mark(s, "closes", row.closes);
    s.count("every_d", row.every_d, 1, 3650);
    s.number("every_dd10", row.every_dd10, 0, 5000);
    s.count("least_d", row.least_d, 0, 3650);
    s.count("due_d", row.due_d, 0, 400);
    s.count("open_d", row.open_d, 0, 400);
    s.count("early_d", row.early_d, 0, 200);
    s.count("rest_d", row.rest_d, 0, 400);
    s.count("along_d", row.along_d, 0, 200);
}

void trigger(Section& s, CareRule& row) {
    std::string word(trigger_names[std::size_t(row.trigger)]);
    s.word("trigger", word, {"season", "interval", "event", "after", "rider", "change"});
    row.trigger = Trigger(std::ranges::find(trigger_names, word) - trigger_names.begin());
    int rank = int(row.rank);
    s.count("rank", rank, 1, 6);
    row.rank = Rank(rank);
}

}  // namespace

void read_care_rule(Section& s, CareRule& row) {
    s.yes_no("on", row.on);
    s.text("title", row.title);
    sentences(s, "what", row.what);
    sentences(s, "lapsed", row.lapsed);
    trigger(s, row);
    s.count("minutes", row.minutes, 1, 600);
    s.text("group", row.group);
    s.text("group_at_rest", row.group_at_rest);
    s.texts("species", row.species);
    s.texts("not_species", row.not_species);
    windows(s, row);
    s.text("after", row.after);
    conditions(s, "when", row.when);
    conditions(s, "along", row.along);
    conditions(s, "unless", row.unless);
    conditions(s, "hold", row.hold);
    conditions(s, "ends", row.ends);
    known_entries(s, "done_by", row.done_by);
    s.texts("with", row.with);
    s.number("factor", row.factor, 0.1, 10);
    s.texts("cautions", row.cautions);
    s.yes_no("needs_weather", row.needs_weather);
    s.text("water", row.water);
    named_source(s, row.source);
    s.text("note", row.note);
    s.finish();
}

void read_caution(Section& s, CautionRow& row) {
    s.text("hazard", row.hazard);
    sentences(s, "text", row.text);
    s.text("defers_to", row.defers_to);
    named_source(s, row.source);
    s.finish();
}

void read_care_species(Section& s, CareSpecies& row) {
    const auto maybe = [&](std::string_view key, std::optional<double>& into) {
        double value = std::numeric_limits<double>::quiet_NaN();
        s.number(key, value, -40, 40);
        if (!std::isnan(value)) into = value;
    };
    s.number("root_plan_degC", row.root_plan_degC, -40, 5);
    maybe("move_in_degC", row.move_in_degC);
    maybe("move_in_bare_degC", row.move_in_bare_degC);
    s.word("pollination", row.pollination, {"self", "partner"});
    s.count("harvest_d", row.harvest_d, 0, 300);
    s.number("chill_portions", row.chill_portions, 0, 150);
    named_source(s, row.source);
    s.text("note", row.note);
    s.finish();
}

}  // namespace tubgrove
