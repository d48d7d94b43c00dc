#include "draw_answers.hpp"
#include "phrases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <vector>

namespace tubgrove {
namespace {

constexpr int widest_bar = 24, narrowest_bar = 6;

// What is left for the tree: # surely (nine of ten), - likely up to here, . the rest of what the pot can give.
std::string bar(const WaterPoint& point, int bar_columns) {
    const auto columns = [&](double depletion_l) {
        const double left = point.available_l > 0 ? 1 - depletion_l / point.available_l : 0;
        return std::size_t(std::clamp(left, 0.0, 1.0) * bar_columns + 0.5);
    };
    std::string text(std::size_t(bar_columns), '.');
    std::fill_n(text.begin(), columns(point.depletion_low_l), '-');
    std::fill_n(text.begin(), columns(point.depletion_high_l), '#');
    return text;
}

std::string moment(Instant t, const Zone& zone) { return format_day(zone.day_of(t)) + " " + format_clock(zone.local(t)); }

std::string known_said(const WaterPour& pour) {
    if (pour.known == "told") return "written down";
    return pour.known == "answered" ? "answered with the round" : "listed, nobody said";
}

}  // namespace

std::string draw_water(const WaterAnswer& answer, const Zone& zone, Page page) {
    Drawing drawing(page);
    drawing.heading("Pot " + answer.pot + ", " + format_day(answer.from) + " to " + format_day(answer.to));
    if (answer.points.empty()) drawing.paragraph({2, 2}, "Nothing is known of its water in this time.");
    std::string day;
    const bool wide = page.width >= 76;
    std::vector<std::pair<const WaterPoint*, std::string>> rows;
    for (const auto& point : answer.points) {   // one look a day, and the last
        const auto its_day = format_day(zone.day_of(point.at));
        if (its_day == day && &point != &answer.points.back()) continue;
        day = its_day;
        rows.emplace_back(&point, fmt::format("{}{:5.1f} of {:.1f} L ({:.1f} to {:.1f})", wide ? "needs " : "", point.depletion_l, point.available_l,
                                              point.depletion_low_l, point.depletion_high_l));
    }
    std::size_t longest = 0;
    for (const auto& row : rows) longest = std::max(longest, row.second.size());
    const int beside = int(longest) + 20;   // the moment, and two blanks on each side of the bar
    for (const auto& [point, litres] : rows)
        drawing.row(moment(point->at, zone) + "  " + bar(*point, std::clamp(page.width - beside, narrowest_bar, widest_bar)) + "  " + litres);
    drawing.blank();
    for (const auto& pour : answer.pours)
        drawing.row(moment(pour.at, zone) + "  poured " + litres_said(pour.pour_l, 1) + ", " + known_said(pour));
    for (const auto& rain : answer.rain)
        if (rain.rain_mm > 0) drawing.row(format_day(rain.day) + fmt::format("  rain {:.1f} mm", rain.rain_mm));
    if (!answer.points.empty()) {
        drawing.blank();
        drawing.paragraph({0, 0}, "Left for the tree: # in nine of ten cases, - perhaps, . of what the pot can give." +
                                        std::string(wide ? "" : " Beside it the litres that it needs, and their range."));
    }
    return drawing.text();
}

std::string draw_words(const WordsAnswer& answer, Page page) {
    Drawing drawing(page);
    drawing.heading("Facts of a pot");
    for (const auto& fact : answer.facts) {
        drawing.paragraph({2, 6}, {{fact.key, Style::strong}, {": " + fact.help + ", such as " + fact.example}});
        std::string words;
        for (std::size_t i = 0; i < fact.words.size(); ++i)
            words += (words.empty() ? "" : ", ") + fact.words[i] + (i < fact.names.size() ? " (" + fact.names[i] + ")" : "");
        if (!words.empty()) drawing.paragraph({6, 6}, {{words, Style::faint}});
    }
    drawing.blank();
    drawing.heading("Actions of the daybook");
    for (const auto& action : answer.actions)
        drawing.paragraph({2, 6}, {{action.word, Style::strong}, {": " + action.help + ", such as did 7 " + action.example}});
    return drawing.text();
}

}  // namespace tubgrove
