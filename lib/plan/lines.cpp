#include "plan/lines.hpp"

#include "plan/plain_text.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

bool pours(const Decision& d) { return d.manner.pour_l > 0; }

std::string day_and_clock(Instant t, Instant now, const Zone& zone) {
    if (t <= now) return "now";
    const LocalDay day = zone.day_of(t);
    const std::string clock = format_clock(zone.local(t));
    const auto ahead = (day - zone.day_of(now)).count();
    if (ahead == 0) return "today " + clock;
    if (ahead == 1) return "tomorrow " + clock;
    return ahead < 7 ? std::string(weekday_name(day)) + " " + clock : day_text(day);
}

std::vector<std::string> weather_unknowns(std::span<const DayRecord> days) {
    const auto guessed = [&](bool Guessed::*what) {
        return std::size_t(std::ranges::count_if(days, [&](const DayRecord& day) { return day.guessed.*what; }));
    };
    std::vector<std::string> codes;
    const auto told = [&](bool Guessed::*what, const char* every_day, const char* some_days) {
        if (const auto count = guessed(what); count > 0) codes.push_back(count == days.size() ? every_day : some_days);
    };
    told(&Guessed::air_temperature, "weather-guessed", "weather-some-days");
    told(&Guessed::rain, "no-rain-gauge", "rain-some-days");
    if (guessed(&Guessed::air_temperature) > 0) return codes;
    if (guessed(&Guessed::wind) > 0) codes.push_back("wind-guessed");
    if (guessed(&Guessed::humidity) > 0) codes.push_back("humidity-guessed");
    return codes;
}

std::string unknown_text(const std::string& code) {
    struct Row {
        const char* code;
        const char* text;
    };
    static constexpr Row rows[] = {
        {"crown-never-measured", "crown never measured: two widths with a tape narrow the range"},
        {"leaves-not-answered", "leaves never looked at: say few, usual or dense"},
        {"medium-unknown", "medium unknown: taken as a usual bought mix"},
        {"rim-litres-only", "only the litres on the rim are known: top, base and height sharpen it"},
        {"ball-unknown", "size of the root ball unknown"},
        {"rootstock-unknown", "rootstock unknown: size taken from the species"},
        {"graft-not-taken-yet", "graft not known to have taken: counted as almost without leaves"},
        {"graft-failed", "graft failed: only the stock's own shoots are counted"},
        {"age-unknown", "year of planting unknown"},
        {"ball-rocked", "the ball was seen loose: torn roots reach less of the medium for some weeks"},
        {"drain-blocked", "water was seen standing: clear its holes first, until then nothing runs through"},
        {"water-unknown", "how wet it is was never told: a finger deep into the medium, or a lift of the pot, tells it; did 7 felt moist writes it down"},
        {"no-rain-gauge", "no rain was told: weather note rain=3mm tells what fell"},
        {"rain-some-days", "rain of some days of the week before was not told: usual values stand in"},
        {"wind-guessed", "no wind measured"},
        {"humidity-guessed", "no humidity measured"},
        {"weather-guessed", "no temperatures were told: usual values stand in"},
        {"weather-some-days", "temperatures of some days of the week before were not told: usual values stand in"},
    };
    for (const Row& row : rows)
        if (code == row.code) return row.text;
    return code;
}

namespace {

using Values = std::map<std::string, std::string>;

Remark remark(std::string code, Values values, std::string text) { return {std::move(code), std::move(values), std::move(text)}; }

std::string two(double x) { return plain(x, 2); }

// Stands first in a line: it comes before any pour.
const std::string blocked_code = "drain-blocked";

bool unknown(const LineFacts& f, std::string_view code) { return std::ranges::find(f.unknown, code) != f.unknown.end(); }

// What it needs, of how much.
Remark missing(const Decision& d) {
    return remark("missing", {{"need_l", two(d.need_l.median)}, {"low_l", two(d.need_l.low)}, {"high_l", two(d.need_l.high)},
                              {"available_l", two(d.available_l)}},
                  "needs about " + litres_text(d.need_l.median) + " (" + plain(d.need_l.low) + " to " + litres_text(d.need_l.high)
                      + "); when full it holds about " + litres_text(d.available_l) + " for the tree");
}

void add_dry_at(std::vector<Remark>& out, const Decision& d, const Chances& c, const LineFacts& f, const Zone& zone) {
    if (!std::isfinite(d.dry_h.median)) {
        // It is poured for what may be so, not for what is likely.
        if (!std::isfinite(d.dry_h.low)) return;
        const Instant early = c.walk + std::chrono::seconds(std::llround(d.dry_h.low * 3600));
        const std::string when = day_and_clock(early, c.walk, zone);
        out.push_back(remark("dry-early", {{"dry_early_at", format_rfc3339(early, zone)}},
                             "likely lasts more than ten days without water, but in one case of ten dry " + (when == "now" ? std::string("already") : when)));
        return;
    }
    const Instant at = c.walk + std::chrono::seconds(std::llround(d.dry_h.median * 3600));
    const std::string when = day_and_clock(at, c.walk, zone);
    const std::string perhaps = unknown(f, water_unknown_code) ? "perhaps " : "";
    out.push_back(remark("dry-at", {{"dry_at", format_rfc3339(at, zone)}},
                         when == "now" ? perhaps + "dry already" : "without water " + perhaps + "dry " + when));
}

void add_manner(std::vector<Remark>& out, const Decision& d) {
    if (d.manner.until == Until::run_through)
        out.push_back(remark("until-run-through", {{"pour_l", two(d.manner.pour_l)}},
                             d.manner.passes > 1 ? "stop when it runs through, half an hour later again, " + litres_text(d.manner.pour_l) + " at most in all"
                                                 : "stop when it runs through, " + litres_text(d.manner.pour_l) + " at most"));
    else if (d.manner.passes > 1)
        out.push_back(remark("two-passes", {{"passes", "2"}}, "in two passes half an hour apart: in one, much would run through unused"));
}

// A young root ball drinks from itself: its water is gone long before the pot's.
bool young(const Decision& d) { return d.rooted_share < 0.9; }

void add_beyond(std::vector<Remark>& out, const Decision& d, const Chances& c, const LineFacts& f) {
    if (young(d) && !unknown(f, "ball-rocked") && d.free_l < d.day_use_l) {
        const std::string share = plain(std::max(1.0, 100 * d.rooted_share), 0);
        out.push_back(remark("new-planting", {{"rooted_pct", share}, {"free_l", two(d.free_l)}, {"day_use_l", two(d.day_use_l)}},
                             "new planting: roots hold about " + share + " % of the pot and drink " + litres_text(d.day_use_l)
                                 + " on this day. Pour onto the ball, close to the stem, at each walk; shade and a screen from wind help "
                                   "until roots have spread"));
        return;
    }
    if (!d.beyond_walks) return;
    const double walk_h = double((c.next - c.walk).count()) / 3600;
    const double before_walk_h = walk_h - d.filled_lasts_h;
    // The two middles that are told must show what is said; where neither pair does, the members that use much are those that hold little.
    const auto less = [&](double l) { return l <= d.day_use_l && litres_text(l) != litres_text(d.day_use_l); };
    const bool when_full = less(d.free_l), when_filled = less(d.filled_free_l);
    const std::string gives = when_full     ? "gives " + litres_text(d.free_l) + " freely when full, uses " + litres_text(d.day_use_l) + " on this day: "
                              : when_filled ? "gives " + litres_text(d.filled_free_l) + " freely after the best pour, uses " + litres_text(d.day_use_l) + " on this day: "
                                            : "";
    out.push_back(remark("holds-less-than-a-day", {{"free_l", two(d.free_l)}, {"filled_l", two(d.filled_free_l)}, {"day_use_l", two(d.day_use_l)},
                                                   {"dry_h", two(d.loss.dry_h)}, {"before_walk_h", plain(before_walk_h)}},
                         gives + "however well poured, it is likely dry about " + hours_text(before_walk_h)
                             + " before the next walk. A second walk, shade or a larger pot would help"));
}

void add_rain(std::vector<Remark>& out, const Decision& d, const LineFacts& f) {
    if (f.rain_mm < 0.5) return;
    const std::string name = f.label.empty() ? f.pot : f.label;
    out.push_back(remark("rain-caught", {{"rain_mm", plain(f.rain_mm)}, {"caught_l", two(f.rain_caught_l)}},
                         (f.rain_guessed ? "perhaps " : "") + plain(f.rain_mm) + " mm fell, "
                             + (f.rain_caught_l > 0 ? "pot " + name + " caught " + litres_text(f.rain_caught_l) : "none of it reached pot " + name)
                             + (pours(d) ? ", still pour " + litres_text(d.manner.pour_l) : "")));
}

void add_unknowns(std::vector<Remark>& out, const LineFacts& f) {
    for (const std::string& code : f.unknown)
        if (code != blocked_code) out.push_back(remark(code, {}, unknown_text(code)));
    if (f.silent_rounds > 0)
        out.push_back(remark("unanswered", {{"rounds", std::to_string(f.silent_rounds)}},
                             f.silent_rounds == 1 ? "the last round was not answered: both stories are carried"
                                                  : "the last " + std::to_string(f.silent_rounds) + " rounds were not answered: the range is wide"));
    if (!f.calibrated) out.push_back(remark("uncalibrated", {}, "not tested by weighing yet: three weights, each taken before its list was looked at, show how well the litres fit this pot"));
}

std::optional<Instant> median_dry_at(const Decision& d, const Chances& c) {
    if (!std::isfinite(d.dry_h.median)) return {};
    return c.walk + std::chrono::seconds(std::llround(d.dry_h.median * 3600));
}

}  // namespace

PourLine pour_line(const Decision& d, const Chances& c, const LineFacts& f, const Zone& zone) {
    PourLine line{f.pot, f.label, f.bay, f.order, d.manner.pour_l, d.manner.passes, d.need_l.low, d.need_l.high, d.manner.until,
                  d.need_l.median, d.available_l, median_dry_at(d, c), {}};
    if (unknown(f, blocked_code)) line.because.push_back(remark(blocked_code, {}, unknown_text(blocked_code)));
    line.because.push_back(missing(d));
    add_dry_at(line.because, d, c, f, zone);
    add_manner(line.because, d);
    add_beyond(line.because, d, c, f);
    add_rain(line.because, d, f);
    add_unknowns(line.because, f);
    return line;
}

RestLine rest_line(const Decision& d, const Chances& c, const LineFacts& f, const Zone& zone) {
    RestLine line{f.pot, f.label, f.bay, {}, d.need_l.median, d.available_l};
    // It is expected on the list of the last day whose walk still comes before a fifth of the members run dry.
    std::vector<double> sorted = d.dry_after_h;
    std::sort(sorted.begin(), sorted.end());
    const double early_h = sorted.empty() ? INFINITY : sorted[sorted.size() / 5];
    if (!std::isfinite(early_h)) return line;
    const LocalDay today = zone.day_of(c.walk);
    const LocalTime walk = zone.local(c.walk);
    const bool once_more_today = c.next > c.walk && zone.day_of(c.next) == today;   // the evening walk of a hot day
    for (int ahead = once_more_today ? 0 : 1; ahead <= 10; ++ahead) {
        const Instant following = zone.at(walk + std::chrono::days(ahead + 1));
        if (double((following - c.walk).count()) / 3600 <= early_h) continue;
        line.next_day = today + std::chrono::days(ahead);
        break;
    }
    return line;
}

}  // namespace tubgrove
