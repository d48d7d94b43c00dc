#include "draw_ahead.hpp"

#include "draw_round.hpp"
#include "phrases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

std::string name_of(const std::string& pot, const std::string& label) { return "pot " + (label.empty() ? pot : label); }

std::string litres_range(const Range80& range) {
    return litres_said(range.median, 1) + " (" + plain(range.low, 1) + " to " + plain(range.high, 1) + ")";
}

std::string in_ten(double share) { return fmt::format("{:.0f} in 10", 10 * share); }

std::string hours_said(double h) {
    if (!std::isfinite(h)) return "longer than can be seen";
    return h < 48 ? counted(std::lround(h), "hour", "hours") : plain(h / 24, 1) + " days";
}

constexpr const char* most_words = "Likely: what the pots take until it runs through. Most, in brackets: where to stop in any case; a part may run past dry medium. "
                                   "The list of each morning decides anew.";

constexpr const char* absence_words = "Growth checked: the pot has run dry, and the tree stops growing. Leaves harmed: it takes up too little to keep them all. "
                                      "Safe until: up to then no leaf is harmed in nine cases of ten.";

std::string harmed_said(const Range80& h) {
    if (!std::isfinite(h.low)) return "lasts until you are back";
    if (!std::isfinite(h.median)) return "likely lasts until you are back, but in one case of ten leaves are harmed after " + hours_said(h.low);
    return "leaves harmed after " + hours_said(h.median) + " (" + hours_said(h.low) + (std::isfinite(h.high) ? " to " + hours_said(h.high) : " or longer") + ")";
}

void notes(Drawing& drawing, const std::vector<std::string>& cautions, const std::vector<std::string>& remarks) {
    drawing.blank();
    for (const auto& line : cautions) drawing.paragraph({0, 2}, {{"Care: ", Style::warning}, {line}});
    for (const auto& line : remarks) drawing.paragraph({0, 2}, {{line, Style::faint}});
}

void stocks(Drawing& drawing, const std::vector<StockLine>& lines, LocalDay first) {
    for (const auto& stock : lines) {
        std::string text = "Tap " + stock.tap + " holds " + litres_said(stock.holds_l, 0) + ", needed " + litres_range(stock.needed_l);
        text += stock.lacking_l <= 0 ? ": enough." : stock.lasts_until && *stock.lasts_until < first ? ": perhaps not enough from the beginning." : stock.lasts_until ? ": surely enough until " + short_day(*stock.lasts_until) + " only." : ": may not be enough.";
        if (stock.lacking_l > 0)
            text += stock.instead.empty() ? " Up to " + litres_said(std::ceil(stock.lacking_l), 0) + " must be brought." : " The rest comes from " + stock.instead + ".";
        drawing.paragraph({0, 2}, text);
    }
}

const char* quantity_said(Foreseen q) {
    switch (q) {
    case Foreseen::warmest: return "highest, K";
    case Foreseen::coldest: return "lowest, K";
    case Foreseen::dew_point: return "dew point, K";
    case Foreseen::humidity: return "humidity, %";
    case Foreseen::wind: return "wind, m/s";
    case Foreseen::radiation: return "sun, W/m2";
    case Foreseen::rain: return "rain, mm";
    default: return "ET0, mm";
    }
}

constexpr const char* verified_said = "Bias: foreseen less come. Miss: how far off on average. Skill: 1 never wrong, 0 no better than the day before the look, below 0 "
                                      "worse. In range: how often the 80 % range, as it could be given then, held.";

std::string bias_said(const Verified& v) {
    const bool share = v.quantity == Foreseen::wind || v.quantity == Foreseen::radiation;
    return share ? fmt::format("{:+.0f} %", 100 * v.bias) : fmt::format("{:+.1f}", v.bias);
}

void verified(Drawing& drawing, const std::vector<Verified>& lines, const char* said = nullptr) {
    drawing.row("  quantity     days ahead  compared    bias    miss  skill   in range");
    for (const auto& v : lines)
        drawing.row(fmt::format("  {:<12} {:>10} {:>9} {:>7} {:>7.1f} {:>6} {:>8.0f} %", said ? said : quantity_said(v.quantity), v.lead, v.days, bias_said(v), v.miss,
                                std::isfinite(v.skill) ? fmt::format("{:.2f}", v.skill) : "-", 100 * v.held_share));
}

std::string dry_said(const PotAheadLine& pot, LocalDay today, const Zone& zone) {
    if (!pot.dry_at && !pot.dry_early_at) return "not dry within the days seen";
    std::string text = pot.dry_at ? "without water dry " + moment_from(*pot.dry_at, today, zone) : "without water perhaps dry";
    if (pot.dry_early_at && (!pot.dry_at || zone.day_of(*pot.dry_early_at) != zone.day_of(*pot.dry_at)))
        text += ", at the earliest " + moment_from(*pot.dry_early_at, today, zone);
    return text;
}

void heat_pot(Drawing& drawing, const HeatPot& pot) {
    if (pot.kept == "one-filling") return;
    std::string text = pot.text;
    if (pot.root_heat == "high") text += "; roots: high risk of heat at the sunny wall";
    drawing.paragraph({2, 4}, capitalised(text) + ".");
    for (const auto& help : pot.helps) drawing.paragraph({4, 6}, help.text);
    if (pot.helps.empty()) drawing.paragraph({4, 6}, "nothing that was worked out gains an hour");
}

std::string precaution_said(const std::string& what, const std::string& bay) {
    if (what == "move") return "filled twice, in the bay " + bay;
    if (what == "move-and-saucer") return "filled twice, in the bay " + bay + " and a saucer";
    if (what == "fill-twice") return "filled twice";
    if (what == "saucer") return "filled twice, in a saucer";
    if (what == "shade") return "filled twice, in shade";
    if (what == "shade-and-saucer") return "filled twice, in shade and a saucer";
    return "filled once";
}

// A middle and its range as one cell.
std::string cell(const Range80& range, int decimals) {
    return fmt::format("{:.{}f} ({:.{}f} to {:.{}f})", range.median, decimals, range.low, decimals, range.high, decimals);
}

void draw_days(Drawing& drawing, const AheadAnswer& answer, Page page) {
    bool usual = false;
    const bool wide = page.width >= 76;
    if (wide) drawing.row(pad_right("day", 18) + pad_right("highest, degC", 18) + pad_right("ET0, mm", 20) + "rain, mm", Style::strong);
    for (const auto& day : answer.days) {
        const std::string mark = day.from == "usual" ? " ?" : "";
        usual = usual || !mark.empty();
        if (wide)
            drawing.row(pad_right(short_day(day.day), 18) + pad_right(cell(day.max_degC, 0), 18) + pad_right(cell(day.et0_mm, 1), 20) + cell(day.rain_mm, 1) + mark);
        else
            drawing.paragraph({0, 2}, {{short_day(day.day), Style::strong}, {": highest " + cell(day.max_degC, 0) + " degC, ET0 " + cell(day.et0_mm, 1) +
                                                                             " mm, rain " + cell(day.rain_mm, 1) + " mm" + mark}});
    }
    if (usual) drawing.paragraph({0, 2}, "? usual values: no forecast speaks of that day.");
}

}  // namespace

std::string draw_forecasts(const ForecastsAnswer& answer, const Zone& zone, Page page) {
    Drawing drawing(page);
    if (answer.sources.empty()) {
        drawing.paragraph({0, 0}, "There is no forecast yet. `tubgrove weather add --forecast --issued TIME FILE` brings one in.");
        return drawing.text();
    }
    drawing.paragraph({0, 2}, "Forecasts beside what was read later, " + format_day(answer.from) + " to " + format_day(answer.to) + ".");
    for (const auto& source : answer.sources) {
        drawing.blank();
        drawing.heading(source.source);
        if (source.newest_issue)
            drawing.paragraph({2, 4}, "newest of " + moment_from(*source.newest_issue, answer.to + std::chrono::days(1), zone) +
                                          (source.stale ? ": too old to say what lies ahead" : ""));
        if (source.lines.empty()) {
            drawing.paragraph({2, 4}, "Nothing to compare it with yet: its error is taken from config/ahead.yaml.");
            continue;
        }
        verified(drawing, source.lines);
    }
    if (!answer.et0.empty()) {
        drawing.blank();
        drawing.heading("ET0 as the garden foresaw it on the past mornings");
        verified(drawing, answer.et0);
    }
    drawing.blank();
    drawing.paragraph({0, 2}, verified_said);
    return drawing.text();
}

std::string draw_hindcast(const HindcastAnswer& answer, Page page) {
    Drawing drawing(page);
    if (!answer.demand.empty()) {
        drawing.paragraph({0, 2}, "Looked ahead from " + counted(long(answer.mornings.size()), "past morning", "past mornings") + ", beside what came of " + counted(answer.pots, "pot", "pots") + " from " +
                                      format_day(answer.from) + " to " + format_day(answer.to) + ".");
        drawing.blank();
        drawing.heading("What a pot uses on a day, if water is free");
        verified(drawing, answer.demand, "demand, L");
        if (!answer.dry.empty()) {
            drawing.blank();
            drawing.heading("An hour dry on a day");
            drawing.row("  days ahead  compared  foreseen  came  Brier  skill");
            for (const auto& v : answer.dry)
                drawing.row(fmt::format("  {:>10} {:>9} {:>7.0f} % {:>3.0f} % {:>6.3f} {:>6}", v.lead, v.days, 100 * v.foreseen_share, 100 * v.came_share, v.brier,
                                        std::isfinite(v.skill) ? fmt::format("{:.2f}", v.skill) : "-"));
        }
        drawing.blank();
        drawing.paragraph({0, 2}, verified_said);
        drawing.paragraph({0, 2}, "Brier: mean square of chance less what came, 0 never wrong.");
    }
    notes(drawing, {}, answer.remarks);
    return drawing.text();
}

std::string draw_ahead(const AheadAnswer& answer, const Zone& zone, Page page) {
    Drawing drawing(page);
    drawing.heading("Ahead, " + short_day(answer.from) + " to " + short_day(answer.to));
    drawing.paragraph({0, 2}, "Weather: " + answer.weather_from + ".");
    drawing.blank();
    for (const auto& heat : answer.heat) {
        drawing.paragraph({0, 2}, {{"Heat: ", Style::warning}, {heat.text + "."}});
        for (const auto& pot : heat.pots) heat_pot(drawing, pot);
        drawing.blank();
    }
    draw_days(drawing, answer, page);
    drawing.blank();
    drawing.heading("Walks to plan");
    if (answer.walks.empty()) drawing.paragraph({2, 4}, "None in these days.");
    for (const auto& walk : answer.walks) {
        std::string pots;
        for (const auto& pour : walk.pours)
            pots += (pots.empty() ? "" : ", ") + fmt::format("{}:{}{}{}({})", pour.label.empty() ? pour.pot : pour.label, nbsp, plain(pour.pour_l.median, 1), nbsp, plain(pour.most_l, 2));
        drawing.paragraph({2, 4}, {{short_day(walk.day) + ", " + walk.walk, Style::strong},
                                   {": likely " + litres_range(walk.total_l) + ", most " + litres_said(walk.total_most_l) + (walk.listed ? ", as on its list" : "") + ". Pots " + pots}});
    }
    if (!answer.walks.empty()) drawing.paragraph({0, 2}, {{most_words, Style::faint}});
    drawing.paragraph({0, 2}, "All of it: " + litres_range(answer.total_l) + ".");
    stocks(drawing, answer.stocks, answer.from);
    drawing.blank();
    drawing.heading("Pots");
    for (const auto& pot : answer.pots) {
        double demand = 0, rain = 0, worst = 0;
        for (const auto& day : pot.days) demand += day.demand_l.median, rain += day.rain_l.median, worst = std::max(worst, day.dry_planned_share);
        std::string text = ": " + dry_said(pot, answer.from, zone) + "; uses about " + litres_said(demand, 1) + ", rain brings " + litres_said(rain, 1) +
                           ", to pour " + litres_range(pot.total_l);
        if (worst >= 0.3) text += "; dry at some hour even so: " + in_ten(worst);
        drawing.paragraph({2, 4}, {{capitalised(name_of(pot.pot, pot.label)), Style::strong}, {text}});
    }
    notes(drawing, answer.cautions, answer.remarks);
    return drawing.text();
}

std::string draw_absence(const AbsenceAnswer& answer, const Zone& zone, Page page) {
    Drawing drawing(page);
    const auto moment = [&](const std::optional<Instant>& t) {
        return t ? short_day(zone.day_of(*t)) + " " + format_clock(zone.local(*t)) : std::string("you are back");
    };
    drawing.heading("Away " + short_day(answer.from) + " to " + short_day(answer.to));
    const std::string water = answer.bring_l > 0 ? " Water is short: up to " + litres_said(std::ceil(answer.bring_l), 0) + " must be brought." : "";
    drawing.paragraph({0, 2}, (answer.visits.empty() && answer.safe_with_water ? "All pots are safe with what stands below; nobody needs to come."
                               : answer.safe_with_water ? counted(long(answer.visits.size()), "visit", "visits") + " at least, so that no pot comes to harm."
                                                       : "Even a visit at each walk does not keep all of them safe.") + water);
    drawing.paragraph({0, 2}, {{absence_words, Style::faint}});
    drawing.blank();
    for (const auto& pot : answer.pots) {
        // What is but likely is called so, with the moment up to which it is safe.
        const auto chosen = std::ranges::find(pot.tried, pot.chosen, &Precaution::what);
        std::string course = pot.checked_at ? "growth likely checked " + moment(pot.checked_at) + ", " : "";
        course += pot.harmed_at ? "leaves likely harmed " + moment(pot.harmed_at) : std::string(pot.safe ? "" : "likely ") + (pot.checked_at ? "no leaf harmed until you are back" : "lasts until you are back");
        if (!pot.safe && chosen != pot.tried.end()) course += "; safe until " + moment(chosen->safe_until);
        drawing.paragraph({2, 4}, {{capitalised(name_of(pot.pot, pot.label)), Style::strong}, {std::string(", ") + precaution_said(pot.chosen, pot.to_bay) + ": " + course + "."}});
        for (const auto& p : pot.tried) {
            const bool longer_elsewhere = !p.bay.empty() && chosen != pot.tried.end() && chosen->safe_until && (!p.safe_until || *p.safe_until > *chosen->safe_until);
            if (p.what != pot.chosen && p.what != "as-is" && p.what != "fill-twice" && !longer_elsewhere) continue;
            drawing.paragraph({4, 6}, {{precaution_said(p.what, p.bay) + ": " + harmed_said(p.harmed_h) + ", safe until " + moment(p.safe_until), Style::faint}});
        }
    }
    drawing.blank();
    drawing.heading("The sheet");
    for (const auto& line : answer.sheet) drawing.paragraph({0, 2}, "- " + line.text());
    stocks(drawing, answer.stocks, answer.leaves_on);
    notes(drawing, answer.cautions, answer.remarks);
    return drawing.text();
}

namespace {

std::string how_said(const VisitPour& pour) {
    if (pour.until == Until::amount) return litres_said(pour.pour_l) + " and no more: nothing runs through";
    return "until it runs through, likely " + litres_said(pour.need_l.median, 1) + ", " + litres_said(pour.pour_l) + " at most" +
           (pour.passes > 1 ? " in " + std::to_string(pour.passes) + " passes, half an hour apart" : "");
}

}  // namespace

std::string draw_visit(const VisitAnswer& answer, const Zone& zone, Page page) {
    Drawing drawing(page);
    const auto today = zone.day_of(answer.at);
    drawing.heading(short_day(today));
    const std::string what = counted(long(answer.pours.size()), "pot", "pots") + ", " + litres_said(answer.total_l) + " at most";
    drawing.paragraph({0, 2}, !answer.day ? "No visit is needed until the return on " + short_day(zone.day_of(answer.returns)) + "."
                              : answer.due ? "A visit is needed today: " + what + "."
                              : *answer.day == today ? "No visit is needed now. The next is this evening: " + what + "."
                                           : "No visit is needed today. The next is on " + short_day(*answer.day) + (answer.walk == "evening" ? " in the evening: " : ": ") + what + ".");
    if (!answer.later_visits.empty()) {
        std::vector<std::string> days;
        for (const auto& visit : answer.later_visits) days.push_back(short_day(visit.day) + (visit.walk == "evening" ? " in the evening" : ""));
        drawing.paragraph({0, 2}, "Then: " + joined(days, ", ") + ".");
    }
    // Nobody shall pour today what stands below for another visit.
    if (answer.day && !answer.due && !answer.pours.empty()) {
        drawing.blank();
        drawing.paragraph({0, 2}, "Not now, but " + std::string(*answer.day == today ? "this" : "on " + short_day(*answer.day) + " in the") + " " + answer.walk + ", as it looks today:");
    }
    std::string bay;
    for (const auto& pour : answer.pours) {
        if (pour.bay != bay) drawing.blank(), drawing.heading("At " + pour.bay);
        bay = pour.bay;
        drawing.paragraph({2, 4}, {{capitalised(name_of(pour.pot, pour.label)), Style::strong},
                                   {": " + how_said(pour)}});
    }
    draw_cans(drawing, answer.trips);
    if (!answer.rests.empty() && !answer.pours.empty()) {
        std::vector<std::string> names;
        for (const auto& rest : answer.rests) names.push_back(rest.label.empty() ? rest.pot : rest.label);
        drawing.blank();
        drawing.paragraph({0, 2}, "No water until the return: " + joined(names, ", ") + ".");
    }
    notes(drawing, answer.cautions, answer.remarks);
    return drawing.text();
}

namespace {

// Hours dry added up over a season, as a grower counts them.
std::string time_dry(double h) { return h < 0.5 ? "none" : h < 48 ? counted(std::lround(h), "hour", "hours") : counted(std::lround(h / 24), "day", "days"); }
std::string dry_in_all(const Range80& h) {
    if (h.high < 0.5) return "never dry";
    if (h.median < 0.5) return "likely never dry (up to " + time_dry(h.high) + " in all)";
    return "dry for " + time_dry(h.median) + " in all (from " + time_dry(h.low) + " to " + time_dry(h.high) + ")";
}
std::string walks_range(const Range80& walks) {
    const std::string said = counted(std::lround(walks.median), "walk", "walks");
    return walks.low == walks.high ? said : said + " (" + plain(walks.low, 0) + " to " + plain(walks.high, 0) + ")";
}
std::string more_walks(double walks) {
    return walks == 0 ? "as many walks" : counted(std::lround(std::abs(walks)), "walk", "walks") + (walks > 0 ? " more" : " fewer");
}
std::string longer_dry(double h) { return std::abs(h) < 0.5 ? "no change" : time_dry(std::abs(h)) + (h < 0 ? " less" : " more"); }

}  // namespace

std::string draw_compare(const CompareAnswer& answer, Page page) {
    Drawing drawing(page);
    std::string changes;
    for (const auto& change : answer.changes) changes += (changes.empty() ? "" : ", ") + change;
    drawing.heading(capitalised(name_of(answer.pot, "")) + " with " + changes);
    for (const auto& season : answer.seasons) {
        drawing.paragraph({0, 2}, {{capitalised(season.season) + " season", Style::strong},
                                   {", " + format_day(season.from) + " to " + format_day(season.to) + ": " + season.text + "."}});
        const auto line = [&](const char* which, const SeasonLine& l) {
            drawing.paragraph({2, 4}, std::string(which) + ": " + litres_range(l.poured_l) + " poured on " + walks_range(l.walks) + ", " + dry_in_all(l.dry_h));
        };
        line("as it is", season.without);
        line("changed", season.with);
        const std::string walks = more_walks(season.walks.median) +
                                  (season.walks.low == season.walks.high ? "" : " (from " + more_walks(season.walks.low) + " to " + more_walks(season.walks.high) + ")");
        const bool same_h = season.dry_h.low == season.dry_h.high;
        drawing.paragraph({2, 4}, "difference: " + litres_range(season.litres) + ", " + walks + ", dry: " + longer_dry(season.dry_h.median) +
                                      (same_h ? "" : " (from " + longer_dry(season.dry_h.low) + " to " + longer_dry(season.dry_h.high) + ")"));
    }
    notes(drawing, {}, answer.remarks);
    return drawing.text();
}

}  // namespace tubgrove
