#include "draw_answers.hpp"

#include "phrases.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

std::string quantity(const std::string& value, const std::string& unit) {
    return unit.empty() ? value : value + std::string(nbsp) + unit;
}

void step(Drawing& drawing, const WhyStep& step) {
    drawing.paragraph({2, 6}, {{step.label + ": "}, {quantity(step.value, step.unit), Style::strong}});
    std::string from = step.equation;
    if (!step.source.empty()) from += (from.empty() ? "[" : " [") + step.source + "]";
    if (!from.empty()) drawing.paragraph({6, 6}, {{from, Style::faint}});
    if (!step.note.empty()) drawing.paragraph({6, 6}, step.note);
}

std::string pot_name(const PotLine& pot) {
    return pot.label.empty() || pot.label == pot.id ? "Pot " + pot.id : "Pot " + pot.id + ", " + pot.label;
}

std::string time_said(const Entry& entry, const Zone& zone) {
    return format_day(zone.day_of(entry.when)) + std::string(nbsp) + format_clock(zone.local(entry.when));
}

std::string aside(const Entry& entry) {
    std::string said;
    const auto add = [&](const std::string& part) { said += (said.empty() ? "" : "; ") + part; };
    if (!entry.by.empty()) add("by " + entry.by);
    if (!entry.round.empty()) add("round " + entry.round);
    if (entry.strikes) add("strikes entry " + std::to_string(*entry.strikes));
    if (entry.clock == Clock::unknown) add("clock not sure");
    if (entry.clock == Clock::phone) add("by the phone's clock");
    if (!entry.note.empty()) add("\"" + entry.note + "\"");
    return said.empty() ? "" : " (" + said + ")";
}

void entry_line(Drawing& drawing, const Entry& entry, const Zone& zone, bool struck) {
    std::string text = time_said(entry, zone) + "  " + entry_said(entry) + aside(entry);
    drawing.paragraph({0, 8}, {{kept(pad_left(std::to_string(entry.id), 4) + " "), Style::faint},
                               {" "},
                               {struck ? "STRUCK: " : "", Style::strong},
                               {text, struck ? Style::faint : Style::plain}});
}

// What was stated, an entry's facts together under the day since which they hold.
void stated_facts(Drawing& drawing, const std::vector<FactLine>& facts) {
    std::vector<const FactLine*> stated;
    for (const FactLine& fact : facts)
        if (fact.from == "stated") stated.push_back(&fact);
    std::ranges::stable_sort(stated, {}, [](const FactLine* fact) { return std::pair(fact->since, fact->entry); });
    const FactLine* before = nullptr;
    for (const FactLine* fact : stated) {
        if (!before || before->since != fact->since || before->entry != fact->entry) {
            drawing.blank();
            drawing.heading("Stated" + (fact->since ? ", since " + format_day(*fact->since) : "") +
                            (fact->entry ? " (entry " + std::to_string(*fact->entry) + ")" : ""));
        }
        drawing.paragraph({2, 6}, {{fact->key + ": "}, {fact->value, Style::strong}});
        before = fact;
    }
}

// Of a default the sentence says all; its key is for programs.
void facts_from(Drawing& drawing, const std::vector<FactLine>& facts, std::string_view from, std::string_view heading) {
    bool open = false;
    for (const FactLine& fact : facts) {
        if (fact.from != from) continue;
        if (!open) {
            drawing.blank();
            drawing.heading(heading);
            open = true;
        }
        const std::string source = fact.source.empty() ? "" : " [" + fact.source + "]";
        if (from == "default")
            drawing.paragraph({2, 6}, {{capitalised(fact.value)}, {source, Style::faint}});
        else
            drawing.paragraph({2, 6}, {{fact.key + ": "}, {fact.value, Style::strong}, {source, Style::faint}});
    }
}

}  // namespace

std::string draw_why(const WhyAnswer& answer, const Zone&, Page page) {
    Drawing drawing(page);
    drawing.heading("Pot " + answer.pot + ", " + long_day(answer.day) +
                    (answer.round.empty() ? "" : " (round " + answer.round + ")"));
    std::string about;
    for (const WhyStep& s : answer.steps) {
        if (s.about != about) {
            about = s.about;
            drawing.blank();
            drawing.heading(capitalised(about));
        }
        step(drawing, s);
    }
    if (!answer.because.empty()) {
        drawing.blank();
        drawing.heading("In words");
        for (const Remark& remark : answer.because) drawing.paragraph({2, 4}, remark.text);
    }
    return drawing.text();
}

std::string draw_pots(const PotsAnswer& answer, Page page) {
    Drawing drawing(page);
    if (answer.pots.empty()) {
        drawing.paragraph({0, 0}, "No pots yet. `tubgrove setup` or `tubgrove pot add` brings the first one in.");
        return drawing.text();
    }
    int width = 2;
    for (const PotLine& pot : answer.pots) width = std::max(width, columns(pot.id));
    for (const PotLine& pot : answer.pots) {
        std::string text = pot.bay + ": " + pot.trees;
        if (pot.size_l > 0)
            text += ", " + litres_said(pot.size_l, 1) + (pot.medium_name.empty() ? "" : " of " + pot.medium_name);
        if (pot.since) text += ", since " + format_day(*pot.since);
        if (!pot.label.empty() && pot.label != pot.id) text += ". " + pot.label;
        if (pot.retired) text += ". RETIRED " + format_day(*pot.retired);
        drawing.paragraph({0, width + 2}, {{kept(pad_right(pot.id, width) + " "), Style::strong}, {" "}, {text}});
    }
    drawing.paragraph({0, 0}, counted(long(answer.pots.size()), "pot.", "pots."));
    return drawing.text();
}

std::string draw_pot(const PotAnswer& answer, const Zone& zone, LocalDay today, Page page) {
    Drawing drawing(page);
    drawing.heading(pot_name(answer.pot));
    drawing.paragraph({2, 4}, "In bay " + answer.pot.bay + (answer.pot.trees.empty() ? "" : "; " + answer.pot.trees) +
                                  (answer.pot.retired ? "; RETIRED " + format_day(*answer.pot.retired) : ""));
    if (answer.has_water) {
        drawing.blank();
        drawing.heading("Water now");
        drawing.paragraph({2, 4}, "Needs " + litres_said(answer.depletion_l, 1) + " (between " +
                                      litres_said(answer.depletion_low_l, 1) + " and " +
                                      litres_said(answer.depletion_high_l, 1) + "); when full it holds about " +
                                      litres_said(answer.available_l, 1) + " for the tree.");
        drawing.paragraph({2, 4}, answer.dry_at ? "If left, it runs dry " + moment_from(*answer.dry_at, today, zone) + "."
                                                : "If left, it lasts more than ten days.");
    }
    stated_facts(drawing, answer.facts);
    facts_from(drawing, answer.facts, "computed", "Worked out");
    facts_from(drawing, answer.facts, "default", "Assumed, until you say better");
    return drawing.text();
}

std::string draw_daybook(const DaybookAnswer& answer, const Zone& zone, Page page) {
    Drawing drawing(page);
    if (answer.entries.empty()) drawing.paragraph({0, 0}, "Nothing was written down.");
    for (const Entry& entry : answer.entries)
        entry_line(drawing, entry, zone, std::ranges::find(answer.struck, entry.id) != answer.struck.end());
    return drawing.text();
}

std::string draw_entries(const EntriesAnswer& answer, const Zone& zone, Page page) {
    Drawing drawing(page);
    drawing.paragraph({0, 0}, answer.entries.size() == 1
                                  ? "Written:"
                                  : "Written, " + counted(long(answer.entries.size()), "entry:", "entries:"));
    for (const Entry& entry : answer.entries) entry_line(drawing, entry, zone, false);
    for (const auto& remark : answer.remarks) drawing.paragraph({0, 2}, remark);
    return drawing.text();
}

std::string draw_changes(const ChangesAnswer& answer, std::string_view command, Page page) {
    Drawing drawing(page);
    if (answer.changes.empty() && !answer.complaints.empty()) return "";   // they say it all
    if (answer.changes.empty()) {
        drawing.paragraph({0, 0}, "Nothing to change: all of it is known already.");
        return drawing.text();
    }
    drawing.paragraph({0, 0}, answer.applied ? "Written:" : "Would change:");
    for (const auto& change : answer.changes) drawing.paragraph({2, 6}, change);
    if (!answer.complaints.empty())
        drawing.paragraph({0, 2}, "Nothing is written before all of the file is in order.");
    else if (!answer.applied && !command.empty())
        drawing.paragraph({0, 2}, "Nothing is written yet; to write it: " + std::string(command));
    return drawing.text();
}

std::string draw_ingest(const IngestAnswer& answer, std::string_view file, Page page) {
    Drawing drawing(page);
    std::string text = std::string(file) + ": " + std::to_string(answer.fresh) + " new, " +
                       std::to_string(answer.same) + " the same, " + std::to_string(answer.changed) + " changed, " +
                       std::to_string(answer.refused_count) + " refused";
    if (!answer.source.empty()) text += " (source " + answer.source + ")";
    drawing.paragraph({0, 2}, text + ".");
    for (const auto& remark : answer.remarks) drawing.paragraph({0, 2}, remark);
    return drawing.text();
}

}  // namespace tubgrove
