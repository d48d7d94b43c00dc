#include "draw_round.hpp"

#include "draw_jobs.hpp"
#include "phrases.hpp"
#include "round_words.hpp"

#include <algorithm>
#include <ranges>
#include <set>
#include <vector>

namespace tubgrove {
namespace {

void title(Drawing& drawing, const Round& round) {
    drawing.heading(long_day(round.day) + ", " + round.walk);
    std::string work = round.site + ": ";
    if (round.pours.empty()) {
        work += "nothing to pour.";
    } else {
        std::size_t trips = round.trips.size();
        work += "pour " + litres_said(round.total_l) + " into " + counted(long(round.pours.size()), "pot", "pots");
        work += trips > 0 ? " in " + counted(long(trips), "trip", "trips") + "." : ".";
    }
    const std::size_t resting = round.no_water.size();
    if (resting > 0) work += " " + counted(long(resting), "pot rests.", "pots rest.");
    drawing.paragraph({0, 0}, work);
}

void question(Drawing& drawing, const Question& asked, Style style) {
    drawing.blank();
    drawing.paragraph({0, 2}, {{asked.text, style}});
    drawing.paragraph({2, 4}, "Answer: tubgrove did round " + asked.round + " all (or some, or none)");
}

void notices(Drawing& drawing, const std::vector<Notice>& list) {
    if (list.empty()) return;
    drawing.blank();
    for (const Severity wanted : {Severity::danger, Severity::warning, Severity::note})
        for (const Notice& notice : list) {
            if (notice.severity != wanted) continue;
            const bool danger = wanted == Severity::danger, warning = wanted == Severity::warning;
            const Style style = danger ? Style::danger : warning ? Style::warning : Style::plain;
            drawing.paragraph({0, 2}, {{danger    ? "Danger:"
                                        : warning ? "Warning:"
                                                  : "Note:",
                                        style},
                                       {" "},
                                       {notice.text}});
        }
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
    std::string out;
    for (const auto& part : parts) out += (out.empty() ? "" : std::string(between)) + part;
    return out;
}

int widest(auto&& ids) {
    int width = 2;
    for (const auto& id : ids) width = std::max(width, columns(id));
    return std::min(width, 12);
}

std::string how(const PourLine& line) {
    const bool through = line.until == Until::run_through;
    if (line.passes <= 1) return through ? "or until it runs through" : "";
    const std::string said = passes_said(line.pour_l, line.passes) + ", half an hour apart";
    return through ? said + ", or until it runs through" : said;
}

void listed(Drawing& drawing, const Round& round, std::string_view heading, const std::vector<Gathered>& all) {
    if (all.empty()) return;
    drawing.blank();
    drawing.heading(heading);
    for (const auto& gathered : all) drawing.paragraph({2, 4}, said(gathered, round));
}

void pour(Drawing& drawing, const PourLine& line, int id_width, const std::string& small) {
    const int indent = id_width + 2;
    const std::string head = kept(pad_left(line.pot, id_width));
    const std::string amount = kept(pad_left(litres_said(line.pour_l), 8));
    const std::string label = line.label == line.pot ? "" : line.label;
    drawing.paragraph({0, indent + 8}, {{head, Style::strong},
                                        {amount, Style::strong},
                                        {std::string(nbsp)},
                                        {" "},
                                        {label},
                                        {label.empty() || how(line).empty() ? "" : ": "},
                                        {how(line)}});
    if (!small.empty()) drawing.paragraph({indent, indent}, {{small, Style::faint}});
}

void walk(Drawing& drawing, const Round& round, const Zone& zone) {
    const int id_width = widest(round.pours | std::views::transform(&PourLine::pot));
    std::string bay;
    bool first = true;
    for (const PourLine& line : round.pours) {
        if (first || line.bay != bay) {
            bay = line.bay;
            first = false;
            drawing.blank();
            drawing.heading("At " + bay);
        }
        std::string small = need_said(line, round.day, zone);
        if (const std::string special = special_said(line, round); !special.empty()) small += " " + special;
        pour(drawing, line, id_width, small);
    }
}

std::string can_said(const Can& can) {
    std::string said = litres_said(can.can_l) + " for";
    for (std::size_t i = 0; i < can.pours.size(); ++i) {
        const CanPour& pour = can.pours[i];
        said += (i == 0 ? " " : ", ") + pour.pot + std::string(nbsp) + "(" + plain(pour.l, 2) + ")";
    }
    return said;
}

void resting(Drawing& drawing, const Round& round) {
    if (round.no_water.empty()) return;
    drawing.blank();
    drawing.heading("No water now");
    std::set<std::optional<LocalDay>> days;
    for (const RestLine& line : round.no_water) days.insert(line.next_day);
    const auto group = [&](const std::optional<LocalDay>& day) {
        std::vector<std::string> pots;
        for (const RestLine& line : round.no_water)
            if (line.next_day == day) pots.push_back(line.pot);
        std::string until = "Good for more than ten days";
        if (day) {
            const std::string name = day_from(*day, round.day);
            until = name == "tomorrow" ? "Again tomorrow" : "Again on " + name;
            if (*day == round.day) until = "This evening";
        }
        drawing.paragraph({2, 4}, until + ": " + joined(pots, ", "));
    };
    for (const auto& day : days)
        if (day) group(day);
    if (days.contains(std::nullopt)) group(std::nullopt);
}

void weather(Drawing& drawing, const Round& round) {
    std::string said = "Evaporation expected today (ET0) " + plain(round.et0_mm, 1) + std::string(nbsp) + "mm; ";
    said += round.rain_mm > 0 ? "rain since the last round " + plain(round.rain_mm, 1) + std::string(nbsp) + "mm."
           : std::ranges::find(round.notices, "readings-old", &Notice::code) != round.notices.end() ? "rain since the last round is not known."
                                                                                                       : "no rain since the last round.";
    if (!round.weather_from.empty()) said += " Weather from " + round.weather_from + ".";
    drawing.paragraph({0, 0}, said);
}

}  // namespace

void draw_cans(Drawing& drawing, const std::vector<Trip>& trips) {
    if (trips.empty()) return;
    drawing.blank();
    drawing.heading("Cans");
    std::string tap;
    int number = 0;
    for (const Trip& trip : trips) {
        if (number == 0 || trip.tap != tap) {
            tap = trip.tap;
            if (!tap.empty()) drawing.paragraph({2, 4}, "From " + tap);
        }
        ++number;
        std::string line = std::to_string(number) + ". ";
        for (std::size_t i = 0; i < trip.cans.size(); ++i) line += (i == 0 ? "" : "; ") + can_said(trip.cans[i]);
        drawing.paragraph({2, 5}, line);
    }
}

std::string draw_round(const RoundAnswer& answer, const Zone& zone, Page page) {
    const Round& round = answer.round;
    Drawing drawing(page);
    title(drawing, round);
    if (round.question) question(drawing, *round.question, Style::strong);
    notices(drawing, round.notices);
    if (!answer.changed.empty()) {
        drawing.blank();
        drawing.heading("Changed since this list was last shown");
        for (const auto& change : answer.changed) drawing.paragraph({2, 4}, change);
    }
    walk(drawing, round, zone);
    listed(drawing, round, "More than a pour can do", advice_of(round));
    draw_cans(drawing, round.trips);
    draw_round_jobs(drawing, round);
    resting(drawing, round);
    listed(drawing, round, "Why the ranges are wide", unknowns_of(round));
    drawing.blank();
    weather(drawing, round);
    drawing.paragraph({0, 0}, "Round " + round.id + ", issued " + moment_from(round.issued, round.day, zone) + ".");
    if (!round.pours.empty())
        drawing.paragraph({0, 2},
                          {{"Done? tubgrove did round all. Anything else: tubgrove did " + round.pours.front().pot +
                                " watered 2.5L. Why so: tubgrove why " + round.pours.front().pot,
                            Style::faint}});
    return drawing.text();
}

}  // namespace tubgrove
