#include "care/words.hpp"

#include "care/crop.hpp"
#include "care/lifting.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

namespace tubgrove {
namespace {

using std::chrono::year_month_day;

std::string decimals(double number, int places) {
    std::array<char, 40> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), number, std::chars_format::fixed, places).ptr;
    std::string out(text.data(), end);
    return out == "-0" || out == "-0.0" ? out.substr(1) : out;
}
std::string days_words(double d) {
    const long n = std::lround(d);
    return n == 1 ? "1 day" : std::to_string(n) + " days";
}

// How a quantity is told: {v} is its value. A quantity without words is a plain fact and needs none.
struct Telling {
    CareValue quantity;
    int places;
    std::string_view text;
};
constexpr std::array tellings{
    Telling{CareValue::cold_news_K, 0, "{v} K colder than in the month before"},
    Telling{CareValue::wind_2d_m_s, 1, "wind of {v} m/s expected over a day"},
    Telling{CareValue::max_2d_degC, 0, "up to {v} °C expected within two days"},
    Telling{CareValue::max_5d_degC, 0, "up to {v} °C expected within five days"},
    Telling{CareValue::min_2d_degC, 0, "down to {v} °C expected within two nights"},
    Telling{CareValue::min_5d_degC, 0, "down to {v} °C expected within five nights"},
    Telling{CareValue::mean_7d_degC, 0, "warm enough: a mean of {v} °C over seven days"},
    Telling{CareValue::rain_past_14d_mm, 0, "{v} mm of rain reached it in two weeks"},
    Telling{CareValue::rain_past_3d_mm, 0, "{v} mm of rain in three days"},
    Telling{CareValue::medium_min_2d_degC, 0, "the medium is expected to fall to about {v} °C"},
    Telling{CareValue::medium_min_5d_degC, 0, "the medium is expected to fall to about {v} °C within five days"},
    Telling{CareValue::medium_max_degC, 0, "the medium may reach about {v} °C"},
    Telling{CareValue::medium_low_degC, 0, "the medium is taken to fall to about {v} °C today"},
    Telling{CareValue::medium_high_degC, 0, "the medium is taken to reach about {v} °C today"},
    Telling{CareValue::thaw_after_d, 0, "the medium is taken to have been frozen for {v} days and to thaw now"},
    Telling{CareValue::root_margin_K, 0, "the medium may come within {v} K of what such roots are taken to bear"},
    Telling{CareValue::mulch_cm, 1, "about {v} cm of mulch left, by its wear"},
    Telling{CareValue::in_pot_y, 1, "{v} years in this pot"},
    Telling{CareValue::pot_kg, 0, "about {v} kg wet"},
    Telling{CareValue::graft_w, 0, "grafted {v} weeks ago"},
    Telling{CareValue::dry_share, 1, "{v} of what the tree takes up freely is gone"},
};

std::string filled(std::string_view text, const std::string& value) {
    std::string out(text);
    if (const auto at = out.find("{v}"); at != out.npos) out.replace(at, 3, value);
    return out;
}

Remark remark(std::string code, std::string text) { return {std::move(code), {}, std::move(text)}; }

// "saw:tie-biting" as "tie biting", "scions-cut" as "scions cut".
std::string entry_words(std::string_view entry) {
    std::string words(entry.substr(entry.find(':') + 1));
    std::ranges::replace(words, '-', ' ');
    return words;
}

void tell_frost(std::vector<Remark>& all, const Situation& at, LocalDay day) {
    const auto night = at.flower_night(day);
    if (!night) return;
    const std::string min = decimals(night->min_degC, 1), stage(night->stage->stage);
    std::string text = "down to " + min + " °C expected in the night to " + day_text(day + std::chrono::days(1));
    text += night->margin_K > 1.5 ? ", and on a clear night perhaps " + decimals(night->margin_K, 0) + " K colder" : ", perhaps " + decimals(night->margin_K, 0) + " K colder";
    Remark r = remark("frost-margin", text);
    r.values["min_degC"] = min;
    all.push_back(std::move(r));
    // What pots share is told once: the night and the stage are two reasons.
    all.push_back(remark("frost-stage", (night->tomorrow ? "at the stage that comes by then (" : "at this stage (") + stage +
                                            ") a tenth of the buds may die at " + decimals(night->stage->kill10_degC(), 1) + " °C"));
}

// "on Tuesday 14 July at 03:10"; of a longer reading "between 03:00 and 04:00"; of a day's highest the day alone.
std::string gust_time(const CareDay& d, const Zone* zone) {
    constexpr std::chrono::minutes moment{15};
    const auto on = [](LocalDay day) { return " on " + day_text(day); };
    if (d.gust_estimated) return on(d.day) + ", estimated from the mean wind";
    if (!d.gust_when || !zone) return on(d.day);
    const auto [starts, ends] = *d.gust_when;
    const auto clock = [&](Instant t) { return format_clock(zone->local(t)); };
    if (ends - starts <= moment) return on(zone->day_of(ends)) + " at " + clock(ends);
    return on(zone->day_of(starts)) + " between " + clock(starts) + " and " + clock(ends);
}

void tell_gust(std::vector<Remark>& all, const Situation& at, LocalDay day) {
    const auto& d = at.site().on(day);
    const std::string m_s = decimals(d.gust_m_s * at.pot().place_on(day).wind, 1);
    Remark r = remark("gust_m_s", "gust " + m_s + " m/s in this bay" + gust_time(d, at.site().place().zone));
    r.values["gust_m_s"] = m_s;
    all.push_back(std::move(r));
}

// Of today and tomorrow the day with the stronger one.
void tell_gust_ahead(std::vector<Remark>& all, const Situation& at, LocalDay day) {
    const CareDay &first = at.site().on(day), &second = at.site().on(day + std::chrono::days(1));
    const auto& d = second.gust_m_s > first.gust_m_s || std::isnan(first.gust_m_s) ? second : first;
    const std::string m_s = decimals(d.gust_m_s * at.pot().place_on(day).wind, 1);
    Remark r = remark("gust_2d_m_s", "gusts up to " + m_s + " m/s expected in this bay" + gust_time(d, at.site().place().zone));
    r.values["gust_2d_m_s"] = m_s;
    all.push_back(std::move(r));
}

void tell_topple(std::vector<Remark>& all, const Situation& at, LocalDay day) {
    const double share = at.value(CareValue::topple_share, {}, day);
    const std::string pct = decimals(100 * share, 0);
    Remark r = remark("topple_share", share < 1 ? "that is about " + pct + " % of what may blow this pot over" : "that may blow this pot over");
    r.values["topple_share"] = decimals(share, 2);
    all.push_back(std::move(r));
}

void tell_scab(std::vector<Remark>& all, const Situation& at, LocalDay day) {
    const auto& d = at.site().on(day);
    if (!d.by_hours) {
        all.push_back(remark("scab", "rain of " + decimals(d.rain_mm, 1) + " mm at a mean of " + decimals(d.mean_degC, 0) + " °C on " + day_text(day) +
                                         ": possible; how long leaves were wet is not known from a day's figures"));
        return;
    }
    constexpr std::array words{"", "a light", "a moderate", "a severe"};
    Remark r = remark("scab", "leaves wet for " + decimals(d.scab_hours, 0) + " h at " + decimals(d.scab_degC, 1) + " °C until " + day_text(day) + ": long enough for " +
                                  words[std::size_t(std::clamp(d.scab_leaves, 1.0, 3.0))] + " infection, if scab is about");
    r.values["wet_h"] = decimals(d.scab_hours, 1);
    all.push_back(std::move(r));
}

void tell_moth(std::vector<Remark>& all, const Situation& at, LocalDay day) {
    const auto* bloom = at.tree().years->last(Mark::full_bloom, day);
    const double caught = at.days_since("saw:moth", day);
    const bool by_catch = bloom && caught < double((day - bloom->day).count());
    const std::string dd = decimals(at.value(CareValue::moth_dd, {}, day), 0);
    Remark r = remark("moth_dd", dd + " degree days (10 to 31.1 °C) since " +
                                     (by_catch ? "the moth noted on " + day_text(day - std::chrono::days(long(caught))) : "full bloom, as no moth is noted since"));
    r.values["moth_dd"] = dd;
    all.push_back(std::move(r));
}

// How much water a flush takes, where one is asked for.
void tell_flush(std::vector<Remark>& all, const CareRule& rule, const Situation& at) {
    if (rule.done_by.empty() || rule.done_by.front() != "flushed") return;
    const std::string l = decimals(leaching_l(at.pot().volume_l), 0);
    Remark r = remark("flush", "twice its volume is about " + l + " L");
    r.values["flush_l"] = l;
    all.push_back(std::move(r));
}

// Whether a cover may come off hangs on the night to come, where frost at the flower has not told it.
void tell_night(std::vector<Remark>& all, const CareRule& rule, const Situation& at) {
    if (rule.done_by.empty() || rule.done_by.front() != "uncovered") return;
    const LocalDay today = at.site().today(), tomorrow = today + std::chrono::days(1);
    const auto& night = at.site().on(tomorrow);
    if (const auto frost = at.flower_night(today); !night.known || (frost && frost->spare_K() <= 0)) return;
    const std::string min = decimals(night.min_degC, 1);
    Remark r = remark("night", "down to " + min + " °C expected in the night to " + day_text(tomorrow));
    r.values["min_degC"] = min;
    all.push_back(std::move(r));
}

void tell_figure(std::vector<Remark>& all, const Condition& c, const Situation& at, LocalDay day) {
    if (c.quantity == CareValue::frost_margin_K) return tell_frost(all, at, day);
    if (c.quantity == CareValue::gust_2d_m_s) return tell_gust_ahead(all, at, day);
    if (c.quantity == CareValue::topple_share) {
        tell_gust_ahead(all, at, day);
        return tell_topple(all, at, day);
    }
    if (c.quantity == CareValue::gust_news) return all.push_back(remark("gust_news", "no gust of the last month was as strong"));
    if (c.quantity == CareValue::moth_dd) return tell_moth(all, at, day);
    if (c.quantity == CareValue::move_in_margin_K)
        return all.push_back(remark("move-in", "down to " + decimals(at.site().lowest_degC(day + std::chrono::days(1), day + std::chrono::days(2)), 0) +
                                                   " °C expected within two nights"));
    if (c.quantity == CareValue::days_since && !c.entry.empty()) {
        const double ago = at.days_since(c.entry, day);
        if (ago < never_d) all.push_back(remark("after-entry", "noted on " + day_text(day - std::chrono::days(long(ago))) + ": " + entry_words(c.entry)));
        return;
    }
    if (const double below_K = c.quantity == CareValue::root_margin_K ? -at.value(c.quantity, {}, day) : 0; below_K >= 0.5)
        return all.push_back(remark("root_margin_K", "the medium may fall some " + decimals(below_K, 0) + " K below what such roots are taken to bear"));
    if (c.quantity == CareValue::mulch_cm && at.value(CareValue::mulched, {}, day) < 0.5) return all.push_back(remark("mulch", "no mulch is noted"));
    if (c.quantity == CareValue::min_2d_degC && c.compare == '>')
        return all.push_back(remark("min_2d_degC", "nights stay mild, not below " + decimals(at.value(c.quantity, {}, day), 0) + " °C"));
    for (const auto& telling : tellings)
        if (telling.quantity == c.quantity) {
            const double v = at.value(c.quantity, {}, day);
            Remark r = remark(std::string(name_of(c.quantity)), filled(telling.text, decimals(v, telling.places)));
            r.values[std::string(name_of(c.quantity))] = decimals(v, telling.places);
            all.push_back(std::move(r));
        }
}

// What happened on a day is told by that day.
bool tell_event(std::vector<Remark>& all, const Condition& c, const Situation& at, LocalDay day) {
    if (c.quantity == CareValue::scab) return tell_scab(all, at, day), true;
    if (c.quantity == CareValue::gust_m_s) return tell_gust(all, at, day), true;
    if (c.quantity == CareValue::curl) return all.push_back(remark("curl", "wet for long enough, and cool, on " + day_text(day))), true;
    if (c.quantity != CareValue::blight) return false;
    const bool wet = at.value(CareValue::blight, {}, day) > 1.5;
    all.push_back(remark("blight", wet ? "flowers open, warm for days, and wet on " + day_text(day) : "flowers open, and warm for days"));
    return true;
}

// A reason's figures are of today while it still holds; else of the day that the window opened on.
LocalDay told_on(const Condition& c, const Situation& at, const JobWindow& w) {
    const LocalDay today = at.site().today();
    return !w.answer && w.open_on(today) && at.holds(c, today) ? today : w.began();
}

void tell_condition(std::vector<Remark>& all, const Condition& c, const Situation& at, const JobWindow& w) {
    if (tell_event(all, c, at, w.began())) return;
    const LocalDay day = told_on(c, at, w);
    const auto told = all.size();
    tell_figure(all, c, at, day);
    // Weather of another day than today says so, unless it names its day.
    const bool names_its_day = c.quantity == CareValue::frost_margin_K || c.quantity == CareValue::gust_2d_m_s || c.quantity == CareValue::topple_share;
    if (day == at.site().today() || c.quantity > CareValue::moth_dd || names_its_day) return;
    for (std::size_t i = told; i < all.size(); ++i) all[i].text += ", as of " + day_text(day);
}

std::string mark_title(Mark m, const Species& species) {
    // Kinds without heat sums have no buds that swell: their spring begins with the warmth that they grow in.
    if (!species.green_tip_dd && m == Mark::green_tip) return "growth expected";
    std::string text(mark_names[std::size_t(m)]);
    for (char& c : text)
        if (c == '-') c = ' ';
    if (m == Mark::growth_end) return "the end of growth";
    if (m == Mark::longest_day) return "the longest day";
    if (m == Mark::feed_stop) return "the end of feeding";
    if (m == Mark::added) return "came into the garden";
    return m == Mark::harvest ? "the usual harvest" : text;
}

// "full bloom about Sunday 3 May, by the weather so far; 21 days after that".
void tell_mark(std::vector<Remark>& all, const CareRule& rule, const JobWindow& w, const Situation& at) {
    const TreeCare& tree = at.tree();
    if (!w.mark || !rule.opens) return;
    const auto m = rule.opens->mark;
    // A job is asked for from its due day on, which may hang on another mark than the opening of its window.
    const MarkOffset& asked = rule.due ? *rule.due : *rule.opens;
    const auto days_from = [](int off) { return days_words(std::abs(off)) + (off > 0 ? " after " : " before "); };
    if (m == Mark::entry) {
        all.push_back(remark("after-entry", "noted on " + day_text(w.mark->day) + ": " + entry_words(rule.after)));
        return;
    }
    const bool seen = w.mark->from == MarkFrom::seen;
    const Species& species = *tree.species;
    // A bud of last summer is counted from its spring.
    const Mark named = m == Mark::graft_awake ? (tree.tree.grafted == w.mark->day ? Mark::grafted : Mark::green_tip) : m;
    std::string text = mark_title(named, species) + (seen ? " on " : " about ") + day_text(w.mark->day);
    if (std::chrono::abs(w.opens - w.mark->day) > std::chrono::days(300)) text += " " + std::to_string(int(year_month_day(w.mark->day).year()));
    const bool inside = at.pot().place_on(w.mark->day).place == "indoors";   // its own warmth is not known
    if (w.mark->from == MarkFrom::heat_sum) text += inside ? std::string(", by the weather outside; it ") + (at.pot().place == "indoors" ? "stands indoors" : "stood indoors then") + ", so unsure" : std::string(", by the weather so far");
    if (w.mark->from == MarkFrom::usual) text += " in a usual year, so unsure";
    const bool autumn = m == Mark::feed_stop || m == Mark::growth_end || m == Mark::leaf_fall;
    if (w.mark->from == MarkFrom::assumed)
        text += autumn ? ", assumed: no cold brings it here" : species.green_tip_dd ? ", unsure: the winter was short of chill" : ", assumed: no cold stops its growth here";
    if (asked.mark != m) text += "; asked " + (asked.days ? days_from(asked.days) : std::string("at ")) + mark_title(asked.mark, species);
    else if (asked.days != 0) text += "; " + days_from(asked.days) + "that";
    Remark r = remark("season", text);
    r.values["mark_day"] = format_day(w.mark->day);
    all.push_back(std::move(r));
}

// Its newest answer before a day. A pot is moved for many reasons: that tells nothing of when this was done.
std::optional<LocalDay> done_last(const CareRule& rule, const Situation& at, LocalDay day) {
    double ago = never_d;
    for (const auto& word : rule.done_by)
        if (word != "moved") ago = std::min(ago, 1 + at.days_since(word, day - std::chrono::days(1)));
    return ago < never_d ? std::optional(day - std::chrono::days(long(ago))) : std::nullopt;
}

void tell_last(std::vector<Remark>& all, const CareRule& rule, const JobWindow& w, const Situation& at) {
    if (rule.trigger != Trigger::interval && rule.trigger != Trigger::event) return;
    const LocalDay today = std::max(w.opens, std::min(at.site().today(), w.closes));
    if (const auto last = w.last_done ? done_last(rule, at, w.opens) : std::nullopt) {
        Remark r = remark("last-done", "last done " + days_words(double((today - *last).count())) + " ago");
        r.values["last_d"] = std::to_string((today - *last).count());
        all.push_back(std::move(r));
    } else if (rule.trigger == Trigger::interval) {
        all.push_back(remark("never-done", "not noted since the pot was entered on " + day_text(at.pot().added) + " " + std::to_string(int(year_month_day(at.pot().added).year()))));
    }
}

}  // namespace

std::vector<Remark> reasons_of(const CareRule& rule, const JobWindow& w, const Situation& at) {
    std::vector<Remark> all;
    if (w.began() <= at.site().today())
        for (const auto& c : rule.when) tell_condition(all, c, at, w);
    if (rule.trigger == Trigger::season || rule.trigger == Trigger::after) tell_mark(all, rule, w, at);
    tell_last(all, rule, w, at);
    tell_flush(all, rule, at);
    if (w.open_on(at.site().today())) tell_night(all, rule, at);
    // Two conditions on one quantity are one reason.
    std::vector<Remark> once;
    for (auto& remark : all)
        if (std::ranges::find(once, remark.text, &Remark::text) == once.end()) once.push_back(std::move(remark));
    return once;
}

std::string caution_words(const CautionRow& row, const Situation& at) {
    const double width_m = std::cbrt(4 * at.pot().volume_l / 1000 / std::numbers::pi) * 0.85;
    std::string out = row.text;
    for (const auto& [mark, with] : {std::pair<std::string_view, std::string>("{kg}", decimals(at.heavy_kg(), 0)),
                                     std::pair<std::string_view, std::string>("{kN/m2}", decimals(kN_m2(footprint_kg_m2(at.heavy_kg(), width_m)), 1))})
        if (const auto where = out.find(mark); where != out.npos) out.replace(where, mark.size(), with);
    return out;
}

}  // namespace tubgrove
