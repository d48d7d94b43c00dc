#include "draw_answers.hpp"
#include "phrases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace tubgrove {
namespace {

// The mark stands behind the number, so that nothing hangs on colour: measured bare, derived ~, estimated ?.
std::string marked(const Marked& m, double value, int decimals) {
    return fmt::format("{:.{}f}", value, decimals) + (m.origin == Origin::measured  ? " "
                                                      : m.origin == Origin::derived ? "~"
                                                                                    : "?");
}
std::string marked(const Marked& m, int decimals) { return marked(m, m.value, decimals); }

char mark_of_et0(const DayRecord& day) {
    Origin worst = Origin::measured;
    for (const Marked* m : {&day.air_temp_max_degC, &day.air_temp_min_degC, &day.vapour_pressure_kPa,
                            &day.wind_2m_m_s, &day.radiation_MJ_m2})
        worst = std::max(worst, m->origin);
    return worst == Origin::measured ? ' ' : worst == Origin::derived ? '~' : '?';
}

std::string rung_said(Rung rung) {
    switch (rung) {
        case Rung::own_readings:
            return "own readings";
        case Rung::published:
            return "published";
        case Rung::by_hand:
            return "by hand";
        case Rung::normals:
            return "usual values";
    }
    return "";
}

// "Sent by Ana: 2026-07-12, 2026-07-13."; of many days only how many.
void sent_by(Drawing& drawing, const WeatherAnswer& answer) {
    constexpr std::size_t named_days = 7;
    std::map<std::string, std::vector<LocalDay>> days;
    for (const auto& [day, names] : answer.by)
        for (const auto& name : names) days[name].push_back(day);
    for (const auto& [name, its] : days) {
        std::string said;
        for (const LocalDay day : its) said += (said.empty() ? "" : ", ") + format_day(day);
        drawing.paragraph({0, 2}, "Sent by " + name + ": " + (its.size() > named_days ? "on " + std::to_string(its.size()) + " of these days." : said + "."));
    }
}

void wide_row(Drawing& drawing, const DayRecord& day) {
    std::string row = format_day(day.day) + "  ";
    for (const auto& cell : {marked(day.air_temp_min_degC, 1), marked(day.air_temp_max_degC, 1),
                             marked(day.rain_mm, 1), marked(day.wind_2m_m_s, 1), marked(day.radiation_MJ_m2, 1)})
        row += pad_left(cell, 7);
    row += pad_left(fmt::format("{:.1f}", day.et0_mm) + mark_of_et0(day), 7);
    row += "  " + rung_said(day.rung) + (day.complete ? "" : ", in part");
    drawing.row(row);
}

void narrow_lines(Drawing& drawing, const DayRecord& day) {
    drawing.paragraph({0, 2}, {{short_day(day.day), Style::strong},
                               {" " + rung_said(day.rung) + (day.complete ? "" : ", in part")}});
    drawing.paragraph({2, 2}, marked(day.air_temp_min_degC, 1) + " to " + marked(day.air_temp_max_degC, 1) +
                                  " degC, rain " + marked(day.rain_mm, 1) + " mm, wind " +
                                  marked(day.wind_2m_m_s, 1) + " m/s, sun " + marked(day.radiation_MJ_m2, 1) +
                                  " MJ/m2, ET0 " + plain(day.et0_mm, 1) + mark_of_et0(day) + " mm");
}

}  // namespace

std::string draw_weather(const WeatherAnswer& answer, const Zone&, Page page) {
    Drawing drawing(page);
    if (answer.days.empty()) {
        drawing.paragraph(
            {0, 0},
            "No weather of these days. `tubgrove weather add FILE` or `tubgrove weather note max=31degC "
            "min=17degC` brings some in.");
        return drawing.text();
    }
    const bool wide = page.width >= 76;
    if (wide) {
        drawing.row("day            low   high   rain   wind    sun    ET0   from", Style::strong);
        drawing.row("              degC   degC     mm    m/s  MJ/m2     mm");
    }
    for (const DayRecord& day : answer.days) wide ? wide_row(drawing, day) : narrow_lines(drawing, day);
    drawing.blank();
    drawing.paragraph({0, 2}, "Bare: measured.  ~ derived from other measured values.  ? estimated. Wind at 2 m.");
    if (std::ranges::any_of(answer.days, [](const DayRecord& day) { return !day.complete; }))
        drawing.paragraph({0, 2}, "In part: some of its hours lie ahead, or come from another source.");
    std::set<std::string> said;
    for (const DayRecord& day : answer.days)
        for (const auto& note : day.notes)
            if (said.insert(note).second) drawing.paragraph({0, 2}, format_day(day.day) + ": " + note);
    sent_by(drawing, answer);
    return drawing.text();
}

}  // namespace tubgrove
