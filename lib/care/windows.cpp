#include "care/windows.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

using std::chrono::days;
using std::chrono::year_month_day;

constexpr int passing_d = 7;       // advice that stays open for less hangs on the forecast
constexpr int spread_most_d = 30;   // of a new pot's first intervals; shorter ones that are no routine begin with the pot

bool listed(const std::vector<std::string>& list, const std::string& key) { return std::ranges::find(list, key) != list.end(); }

bool of_its_kind(const CareRule& rule, const TreeCare& tree) {
    if (!rule.species.empty() && !listed(rule.species, tree.species->key)) return false;
    return !listed(rule.not_species, tree.species->key);
}

class Worker {
public:
    Worker(const CareRule& rule, const CareTables& tables, const Situation& at, const WindowSpan& span)
        : rule_(rule), tables_(tables), at_(at), span_(span), today_(at.site().today()) {
        for (const auto& word : rule.done_by) {
            const auto& of_word = at.entries_of(word);
            answers_.insert(answers_.end(), of_word.begin(), of_word.end());
        }
        if (rule.done_by.size() < 2) return;
        std::ranges::sort(answers_, {}, [](const CareEntry* e) { return std::pair(e->day, e); });
        answers_.erase(std::unique(answers_.begin(), answers_.end()), answers_.end());
    }

    std::vector<JobWindow> work() {
        if (!lasting_facts_fit()) return {};
        if (rule_.trigger == Trigger::interval) intervals();
        else if (rule_.trigger == Trigger::event) events();
        else seasons();
        return std::move(found_);
    }

private:
    // What does not change from day to day is asked once: most rules are not for most pots. A place does where the pot was moved.
    bool lasting_facts_fit() const {
        const bool stays = at_.pot().stood.empty();
        const auto lasting = [stays](const Condition& c) {
            switch (c.quantity) {
                case CareValue::own_rooted: case CareValue::evergreen: case CareValue::dwarfing: case CareValue::stake_known:
                case CareValue::stake_for_life: case CareValue::self_fertile: case CareValue::partner_here:
                case CareValue::has_saucer: case CareValue::fabric: case CareValue::dark_wall: case CareValue::colour_untold:
                    return true;
                case CareValue::indoors: case CareValue::under_roof: case CareValue::balcony: case CareValue::on_grass: case CareValue::in_sun:
                case CareValue::sheltered:
                    return stays;
                default: return false;
            }
        };
        const auto holds = [&](const Condition& c) { return at_.holds(c, today_); };
        return std::ranges::all_of(rule_.when, [&](const Condition& c) { return !lasting(c) || holds(c); }) &&
               std::ranges::none_of(rule_.unless, [&](const Condition& c) { return lasting(c) && holds(c); });
    }

    // The days of a mark; of the tree's life or of an entry where it is none of the year's.
    std::vector<MarkDay> days_of(Mark m) const {
        std::vector<MarkDay> all;
        const auto& tree = at_.tree().tree;
        const auto add = [&](const std::optional<LocalDay>& day) {
            if (day) all.push_back({*day, MarkFrom::seen});
        };
        if (m == Mark::planted) add(tree.planted);
        else if (m == Mark::grafted) add(tree.grafted);
        else if (m == Mark::graft_awake) {
            if (const auto day = at_.graft_awake()) {
                const auto* spring = at_.tree().years->last(Mark::green_tip, *day);
                all.push_back({*day, day == tree.grafted || !spring ? MarkFrom::seen : spring->from});
            }
        } else if (m == Mark::added) add(at_.pot().added);
        else if (m == Mark::entry) {
            const auto colon = rule_.after.find(':');
            for (const auto& e : at_.pot().entries)
                if (e.action == rule_.after.substr(0, colon) && (colon == rule_.after.npos || e.word == rule_.after.substr(colon + 1)))
                    add(e.day);
        } else return at_.tree().years->of(m);
        return all;
    }

    // First day of `mark` (with its offset) from `from` on; of a mark that comes once in a life, its day.
    std::optional<LocalDay> first_from(const MarkOffset& mark, LocalDay from) const {
        for (const auto& m : days_of(mark.mark))
            if (m.day + days(mark.days) >= from) return m.day + days(mark.days);
        return std::nullopt;
    }

    // What no weather brings opens nothing: no winter's work where no winter follows, no end of feeding where growth never rests.
    bool opens_by(const MarkDay& m) const {
        if (rule_.opens->mark == Mark::leaf_fall && rule_.trigger == Trigger::season) return at_.tree().years->has_winter(m);
        return rule_.opens->mark != Mark::feed_stop || m.from != MarkFrom::assumed;
    }

    // The midwinter of a spring's year. In a hot place buds may swell a little before it: that is the spring to come, not the one that was.
    const MarkDay* spring_after(LocalDay buds) const { return at_.tree().years->last(Mark::midwinter, buds + days(60)); }

    std::string season_key(const MarkDay& m) const {
        if (rule_.opens->mark == Mark::entry) return format_day(m.day);
        const bool spring = rule_.opens->mark == Mark::swelling || rule_.opens->mark == Mark::green_tip;
        const auto* winter = spring ? spring_after(m.day) : at_.tree().years->last(Mark::midwinter, m.day);
        const LocalDay season = winter ? winter->day : m.day;
        return std::to_string(int(year_month_day(season).year()));
    }

    // Windows between the rule's marks, whatever its conditions.
    std::vector<JobWindow> mark_windows() const {
        std::vector<JobWindow> all;
        if (!rule_.opens || !rule_.closes) {
            all.push_back({.opens = at_.site().first_day(), .due = {}, .closes = at_.site().last_day(), .key = {}, .mark = {}, .last_done = {}});
            return all;
        }
        for (const auto& m : days_of(rule_.opens->mark)) {
            if (!opens_by(m)) continue;
            JobWindow w{.opens = m.day + days(rule_.opens->days), .due = {}, .closes = {}, .key = season_key(m), .mark = m, .last_done = {}};
            const auto closes = first_from(*rule_.closes, std::max(w.opens + days(1), own_autumn(m)));
            if (!closes || w.opens > span_.to || *closes < span_.from || !one_winter(w.opens, *closes)) continue;
            w.closes = *closes;
            const auto due = rule_.due ? first_from(*rule_.due, w.opens) : std::optional(w.opens);
            w.due = std::clamp(due.value_or(w.opens), w.opens, w.closes);
            all.push_back(std::move(w));
        }
        return all;
    }

    // What a spring opens ends with the autumn of its own year: where old leaves hang until buds have moved, the end that comes first is
    // last year's.
    LocalDay own_autumn(const MarkDay& m) const {
        const Mark from = rule_.opens->mark, to = rule_.closes->mark;
        if (from < Mark::swelling || from > Mark::fruit_set || (to != Mark::growth_end && to != Mark::leaf_fall)) return LocalDay::min();
        const auto* winter = spring_after(m.day);
        const auto* summer = winter ? at_.tree().years->next(Mark::longest_day, winter->day) : nullptr;
        return summer ? summer->day + days(rule_.closes->days) : LocalDay::min();
    }

    // What begins as leaves fall is over in spring. Where buds move before the old leaves are down there is no winter between them,
    // and the next spring's mark would leave the window open all summer.
    bool one_winter(LocalDay opens, LocalDay closes) const {
        constexpr int into_summer_d = 60;
        if (rule_.opens->mark != Mark::leaf_fall || rule_.closes->mark == Mark::leaf_fall) return true;
        const auto* summer = at_.tree().years->next(Mark::longest_day, opens);
        return !summer || closes <= summer->day + days(into_summer_d);
    }

    bool may_open(LocalDay day, std::optional<LocalDay> done = {}) const { return at_.all(rule_.when, day, done) && !at_.any(rule_.unless, day, done); }

    // What happens on a day is judged by what was noted before it: what answers a job on the same day does not make it unasked.
    bool asked_before(const std::vector<Condition>& all, LocalDay day, std::optional<LocalDay> done) const {
        const auto noted = [](const Condition& c) { return c.quantity == CareValue::wrapped || c.quantity == CareValue::covered; };
        const auto when = [&](const Condition& c) { return at_.holds(c, noted(c) ? day - days(1) : day, done); };
        const auto unless = [&](const Condition& c) { return at_.holds(c, noted(c) || c.quantity == CareValue::days_since ? day - days(1) : day, done); };
        return std::ranges::all_of(all, when) && std::ranges::none_of(rule_.unless, unless);
    }

    // A window ahead is expected by what is known today; weather and what is measured then are not asked.
    bool may_open_ahead(LocalDay day) const {
        const auto told = [](const Condition& c) { return c.quantity >= CareValue::bloom_d; };
        const auto holds = [&](const Condition& c) { return at_.holds(c, c.quantity == CareValue::days_since ? today_ : day); };
        return std::ranges::all_of(rule_.when, [&](const Condition& c) { return !told(c) || holds(c); }) &&
               std::ranges::none_of(rule_.unless, [&](const Condition& c) { return told(c) && holds(c); });
    }

    void end_early(JobWindow& w) const {
        if (rule_.ends.empty()) return;
        for (LocalDay day = w.opens; day <= std::min(w.closes, today_); day += days(1))
            if (at_.any(rule_.ends, day)) {
                w.closes = day;
                w.due = std::min(w.due, day);
                return;
            }
    }

    // Advice on weather of these days ends where the forecast takes it back.
    void end_with_forecast(JobWindow& w, const std::vector<Condition>& all) const {
        if (rule_.open_d >= passing_d) return;
        const auto taken_back = [&](LocalDay day) {
            return std::ranges::any_of(all, [&](const Condition& c) { return is_foretold(c.quantity) && !at_.holds(c, day); });
        };
        for (LocalDay day = w.opens + days(1); day <= std::min(w.closes, today_); day += days(1))
            if (taken_back(day)) {
                w.closes = day - days(1);
                w.due = std::min(w.due, w.closes);
                return;
            }
    }

    const CareEntry* answer_in(LocalDay from, LocalDay to) const {
        const auto first = std::ranges::lower_bound(answers_, from, {}, &CareEntry::day);
        return first != answers_.end() && (*first)->day <= to ? *first : nullptr;
    }
    std::optional<LocalDay> done_before(LocalDay day) const {
        const auto first = std::ranges::lower_bound(answers_, day, {}, &CareEntry::day);
        return first == answers_.begin() ? std::nullopt : std::optional((*std::prev(first))->day);
    }

    void keep(JobWindow w) {
        w.last_done = done_before(w.opens);
        if (w.closes >= span_.from && w.opens <= span_.to) found_.push_back(std::move(w));
    }

    void seasons() {
        for (auto& w : mark_windows()) {
            // Facts are asked on the day that counts: today while the window is open, else the day that it is due.
            // A day that is only reckoned shifts with the weather to come: what was done just before it counts.
            const int shifts_d = w.mark && w.mark->from != MarkFrom::seen ? 7 : 0;
            w.answer = answer_in(w.opens - days(std::max(rule_.early_d, shifts_d)), w.closes);
            const LocalDay asked = w.opens > today_ ? w.opens : std::clamp(today_, w.opens, w.due);
            const bool ahead = w.opens > today_;
            const bool open = w.answer && !ahead ? asked_before(rule_.when, std::clamp(w.answer->day, w.opens, w.due), {}) : ahead ? may_open_ahead(w.opens) : may_open(asked);
            // What forbids it by now does so too: a tree grafted after the day that it was due on.
            if (!open || (!w.answer && !ahead && at_.any(rule_.unless, std::min(today_, w.closes)))) continue;
            if (w.closes < at_.pot().added) continue;
            if (!w.answer) end_early(w);
            keep(std::move(w));
        }
    }

    // Events are short: they are worked from a midwinter or longest day at least half a year back, so that a window's key stays as
    // it is while it lasts.
    LocalDay event_origin() const {
        const LocalDay asked = std::min(today_, span_.told_from) - days(150);
        LocalDay origin = span_.from;
        for (Mark m : {Mark::midwinter, Mark::longest_day})
            if (const auto* mark = at_.tree().years->last(m, asked)) origin = std::max(origin, mark->day);
        return origin;
    }

    // The day from which an event counts, and whether in its own right. What would only go along becomes due within its window.
    std::optional<std::pair<LocalDay, bool>> event_on(LocalDay day, std::optional<LocalDay> last) const {
        if (asked_before(rule_.when, day, last)) return std::pair(day, true);
        if (rule_.along.empty() || !asked_before(rule_.along, day, last)) return std::nullopt;
        for (LocalDay later = day + days(1); later <= std::min(day + days(rule_.open_d), today_); later += days(1))
            if (asked_before(rule_.when, later, last)) return std::pair(later, true);
        return std::pair(day, false);
    }

    // A spell of foretold weather that goes on from day to day is one event, told under one id: the next hot day is no new reason.
    LocalDay spell_end(LocalDay day, std::optional<LocalDay> last) const {
        if (rule_.open_d == 0 || rule_.open_d >= passing_d || std::ranges::none_of(rule_.when, [](const Condition& c) { return is_foretold(c.quantity); })) return day;
        while (day < today_ && asked_before(rule_.when, day + days(1), last)) day += days(1);
        return day;
    }

    // What a spell did can be looked for from the day on which it would show, and no nearer to the look before than the rule's rest. The
    // season bounds the spell, not the look.
    void look_later(JobWindow& w) const {
        const LocalDay shows = w.due, lasts = w.closes;
        w.since = w.opens;
        if (const auto look = done_before(shows)) w.due = std::max(w.due, *look + days(rule_.rest_d));
        w.closes = std::max(lasts, w.due + (lasts - shows));
        w.answer = answer_in(shows, w.closes);
        w.opens = w.answer ? std::min(w.due, w.answer->day) : w.due;
    }

    void events() {
        const auto seasons = mark_windows();
        LocalDay next = std::max({at_.pot().added, event_origin(), at_.site().first_day()});
        for (LocalDay day = next; day <= std::min(today_, span_.to); day += days(1)) {
            if (day < next || (rule_.needs_weather && day < today_ && !at_.site().on(day).known)) continue;   // before the first reading nobody was told
            const auto season = std::ranges::find_if(seasons, [&](const JobWindow& s) { return s.open_on(day); });
            if (season == seasons.end()) continue;
            const auto last = done_before(day);
            const bool later = shows_later(rule_);
            if (last && !later && day <= *last + days(rule_.rest_d)) continue;
            const auto begins = event_on(day, last);
            if (!begins) continue;
            JobWindow w{.opens = begins->first, .due = begins->first + days(rule_.due_d), .closes = spell_end(begins->first, last) + days(rule_.open_d),
                        .key = format_day(day), .mark = {}, .last_done = {}, .answer = {}, .along = !begins->second};
            if (later) look_later(w);
            else w.closes = std::min(w.closes, season->closes), w.answer = answer_in(day, w.closes);
            w.due = std::min(w.due, w.closes);
            if (!w.answer) end_early(w), end_with_forecast(w, w.along ? rule_.along : rule_.when);
            // A threat is told as long as it lasts; what is only worth a look rests when nobody looked.
            const int rest = rule_.rank >= Rank::closing ? rule_.rest_d : 0;
            // A look answers no spell that could not show by then.
            if (w.answer) next = std::max(day, w.answer->day - days(later ? rule_.due_d : 0)) + days(1);
            else next = w.closes + days(rest + 1);
            keep(std::move(w));
        }
    }

    double factor(LocalDay day) const {
        double f = rule_.factor;
        for (const auto& change : tables_.rules)
            if (change.trigger == Trigger::change && change.on && of_its_kind(change, at_.tree()) && (listed(change.with, rule_.key) || listed(change.with, rule_.group)) &&
                at_.all(change.when, day) && !at_.any(change.unless, day))
                f *= change.factor;
        return f;
    }

    // The first day after `anchor` on which the interval has run out, by days or by warmth. What makes it longer does so by both.
    LocalDay run_out(LocalDay anchor) const {
        const double f = factor(anchor);
        const int every = std::max(1, int(std::lround(rule_.every_d * f)));
        const LocalDay by_days = anchor + days(std::max(every, rule_.least_d));
        if (rule_.every_dd10 <= 0) return by_days;
        for (LocalDay day = anchor + days(std::max(1, rule_.least_d)); day < by_days; day += days(1))
            if (at_.site().dd10(anchor, day) >= rule_.every_dd10 * std::max(1.0, f)) return day;
        return by_days;
    }

    // The first day from `day` on that lies in a season and fulfils the conditions; empty: not until today.
    std::optional<std::pair<LocalDay, const JobWindow*>> opening(LocalDay day, const std::vector<JobWindow>& seasons, LocalDay anchor) const {
        for (const auto& season : seasons)
            for (LocalDay d = std::max(day, season.opens); d <= std::min(season.closes, today_); d += days(1))
                if (may_open(d, anchor)) return std::pair(d, &season);
        return std::nullopt;
    }

    // Its time has not come, but is near enough to go along where a line stands for others: in the second half of its interval at most,
    // however short that is.
    void go_along(LocalDay anchor, LocalDay earliest, const std::vector<JobWindow>& seasons, const CareEntry* answer) {
        const int along_d = std::min(rule_.along_d, int((earliest - anchor).count() / 2));
        const LocalDay from = std::max(earliest - days(along_d), anchor + days(std::max(1, rule_.least_d)));
        const LocalDay on = answer ? answer->day : today_;
        if (rule_.along_d == 0 || on < from || on >= earliest || !may_open(on, anchor)) return;
        const auto season = std::ranges::find_if(seasons, [&](const JobWindow& s) { return s.open_on(on); });
        if (season == seasons.end()) return;
        JobWindow w{.opens = std::max(from, season->opens), .due = {}, .closes = std::min(earliest + days(rule_.open_d), season->closes),
                    .key = format_day(anchor), .mark = {}, .last_done = {}, .answer = answer, .along = true};
        w.due = std::min(earliest + days(rule_.due_d), w.closes);
        keep(std::move(w));
    }

    void intervals() {
        const auto seasons = mark_windows();
        const LocalDay begins = std::max(at_.pot().added, span_.from);
        const auto before = done_before(begins);
        LocalDay anchor = before.value_or(at_.pot().added + days(rule_.every_d < spread_most_d && rule_.rank < Rank::routine ? 0 : spread_d(at_.pot().id, rule_.key)));
        LocalDay earliest = run_out(anchor);
        std::string key = format_day(anchor);
        for (int guard = 0; guard < 1000; ++guard) {
            const auto open = opening(std::max(earliest, begins), seasons, anchor);
            const CareEntry* early = answer_in(anchor + days(1), open ? open->first - days(1) : today_);
            if (early) {
                go_along(anchor, earliest, seasons, early);
                anchor = early->day;
                earliest = run_out(anchor);
                key = format_day(anchor);
                continue;
            }
            if (!open) return go_along(anchor, earliest, seasons, nullptr);
            JobWindow w{.opens = open->first, .due = open->first + days(rule_.due_d),
                        .closes = std::min(open->first + days(rule_.open_d), open->second->closes), .key = key, .mark = {}, .last_done = {}};
            w.due = std::min(w.due, w.closes);
            w.answer = answer_in(w.opens, w.closes);
            if (!w.answer) end_early(w);
            const LocalDay opened = w.opens, closes = w.closes;
            const auto* answer = w.answer;
            keep(std::move(w));
            if (answer) {
                anchor = answer->day;
                earliest = run_out(anchor);
            } else {
                if (closes >= today_) return;
                anchor = opened;                               // its interval keeps counting
                earliest = std::max(run_out(opened), closes + days(1));
            }
            key = format_day(anchor);
        }
    }

    const CareRule& rule_;
    const CareTables& tables_;
    const Situation& at_;
    WindowSpan span_;
    LocalDay today_;
    std::vector<const CareEntry*> answers_;   // oldest first
    std::vector<JobWindow> found_;
};

}  // namespace

bool concerns(const CareRule& rule, const TreeCare& tree) {
    return rule.on && rule.trigger != Trigger::rider && rule.trigger != Trigger::change && of_its_kind(rule, tree);
}

bool shows_later(const CareRule& rule) { return rule.trigger == Trigger::event && rule.due_d > 0 && rule.rank > Rank::loss_in_days && rule.rank < Rank::routine; }

std::vector<JobWindow> windows_of(const CareRule& rule, const CareTables& tables, const Situation& at, const WindowSpan& span) {
    return Worker(rule, tables, at, span).work();
}

int spread_d(std::string_view pot, std::string_view rule) {
    unsigned hash = 2166136261U;   // FNV-1a
    for (const auto text : {pot, rule})
        for (unsigned char c : text) hash = (hash ^ c) * 16777619U;
    return int(hash % unsigned(spread_most_d));
}

}  // namespace tubgrove
