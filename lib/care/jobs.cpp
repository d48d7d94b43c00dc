#include "care/jobs.hpp"

#include "care/words.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <functional>
#include <set>
#include <tuple>

namespace tubgrove {
namespace {

using std::chrono::days;

constexpr int mornings_claimed = 3;      // a job stands on so many mornings' lists, then it only waits among the others
constexpr int quiet_d = 7;               // nothing is asked again within a week without a new reason
constexpr int soon_again_d = 14;         // what comes again so soon is not asked for twice in between
constexpr int closing_d = 3;
constexpr int a_morning_min = 120;       // more is spread over days. Own assumption
constexpr int always_d = 28;             // where two thirds of so many days were hot it is no heatwave any more. Own assumption
constexpr double hotter_K = 2;                 // is news in a heat that goes on. Own assumption
constexpr double hot_degC = 30, wet_mm = 15;   // a morning that is for water. Own assumption

struct Told {
    const CareEntry* entry = nullptr;
    std::optional<LocalDay> until;       // of a wait
};

// A job's id, and those that it may have had on mornings before: by a newer forecast a spell of heat or wind begins a day earlier or later,
// which makes no other spell of it.
struct Named {
    std::string id;
    bool moves = false;
    LocalDay from{}, to{};
    std::string before_the_day() const { return id.substr(0, id.rfind('.') + 1); }
    bool operator==(const std::string& other) const {
        if (other == id) return true;
        const auto start = before_the_day();
        if (!moves || !other.starts_with(start)) return false;
        const auto day = parse_day(other.substr(start.size()));
        return day && *day >= from && *day <= to;
    }
};

Named named(const std::string& id, const CareRule& rule, const JobWindow& w, LocalDay today) {
    constexpr int moves_d = 2;   // by as much as a forecast of two days is wrong. Own assumption
    const bool moves = rule.trigger == Trigger::event && rule.open_d > 0 && rule.open_d < quiet_d && rule.due_d == 0;
    return {id, moves, w.opens - days(rule.open_d + moves_d), today};
}

// What was said of a job by its id: the newest word counts.
Told told_of(const PotCare& pot, const Named& job_named) {
    Told told;
    for (const auto& e : pot.entries) {
        const auto job = e.values.find("job");
        if (job == e.values.end() || !(job_named == job->second)) continue;
        if (e.action == "job-dropped") told = {&e, std::nullopt};
        if (e.action == "job-waits")
            if (const auto until = e.values.find("until"); until != e.values.end()) told = {&e, parse_day(until->second)};
    }
    return told;
}

LocalDay next_care_day(LocalDay today, std::chrono::weekday care_day) {
    const auto ahead = care_day - std::chrono::weekday(today);
    return today + (ahead.count() == 0 ? days(7) : ahead);
}

// `next`: the care day to come. On a care day the window is closing, too, when that one would be its last: it may be hot or wet.
Rank rank_on(const CareRule& rule, const JobWindow& w, LocalDay today, LocalDay next) {
    const bool last_walk = next - today == days(7) && w.closes <= next;
    const bool closing = !w.along && (last_walk || w.closes - today <= days(closing_d));
    return closing && rule.rank > Rank::closing ? Rank::closing : rule.rank;
}

// What cannot wait for the care day: harm, a loss within days, and advice on weather that is over within the week.
bool stands_at_once(const CareRule& rule) {
    return rule.rank <= Rank::loss_in_days || (rule.trigger == Trigger::event && rule.open_d < quiet_d);
}

// Whether a job that is due may claim a morning once more. `next`: the care day to come; `shown`: mornings on which it stood before, the
// newest last; `at_rest`: nothing grows that would make a routine look more pressing from week to week; `hotter`: than it was told then.
bool may_claim(const CareRule& rule, const JobWindow& w, LocalDay today, LocalDay next, const std::vector<LocalDay>& shown, bool at_rest, bool hotter) {
    const bool anew = rule.trigger == Trigger::event && rule.open_d == 0;   // the night or the gust to come: each is a reason of its own
    if (shown.empty() || (rule.rank <= Rank::lost_by_tomorrow && anew)) return true;
    if (rule.rank <= Rank::loss_in_days) return hotter || shown.size() < mornings_claimed || today - shown.back() >= days(quiet_d);
    if (today - shown.back() < days(quiet_d)) return false;
    if (rule.trigger == Trigger::interval && rule.every_d <= soon_again_d) return false;
    const std::size_t mornings = at_rest && rule.rank == Rank::routine ? 1 : mornings_claimed;
    return shown.size() < mornings || w.closes < next;   // the end of its window is a new reason
}

class Teller {
public:
    // Windows that closed before `kept_from` are worked, since intervals run on from them, but not told.
    Teller(const CareAsk& ask, const PotCare& pot, LocalDay kept_from) : ask_(ask), pot_(pot), kept_from_(kept_from) {}

    // The jobs of all trees in the pot, the same window of two trees once.
    std::vector<Job> tell(const WindowSpan& span) {
        for (const auto& tree : pot_.trees) {
            Situation at(ask_.site, pot_, tree);
            for (const auto& rule : ask_.tables.rules) {
                if (!concerns(rule, tree) || (rule.needs_weather && !ask_.site.has_weather())) continue;
                for (const auto& window : windows_of(rule, ask_.tables, at, span))
                    if (window.closes >= kept_from_) add(rule, window, at);
            }
        }
        return std::move(jobs_);
    }

private:
    void add(const CareRule& rule, const JobWindow& w, const Situation& at) {
        const std::string id = pot_.id + "." + rule.key + "." + w.key;
        if (!seen_.insert(id).second) return;
        Job job{.id = id, .rule = rule.key, .pot = pot_.id, .label = pot_.label, .bay = pot_.bay, .order = pot_.order, .title = rule.title,
                .what = rule.what, .opens = w.opens, .due = w.due, .closes = w.closes};
        job.rank = rank_on(rule, w, ask_.site.today(), next_care_day(ask_.site.today(), ask_.care_day));
        job.minutes = rule.minutes;
        const bool at_rest = at.value(CareValue::growing, {}, ask_.site.today()) < 0.5;
        job.group = at_rest && !rule.group_at_rest.empty() ? rule.group_at_rest : rule.group;
        job.along = w.along;
        job.source = rule.source;
        job.water = rule.water;
        job.answer = answer_to(rule);
        settle(job, rule, w, at);
        // Routine that no list had room for on a care day has its turn with the crop's, by its longer wait.
        if (job.rank == Rank::routine && job.state == JobState::due && ask_.site.today() - w.due >= days(quiet_d) && stood_before(named(id, rule, w, ask_.site.today()), LocalDay::min()).empty())
            job.rank = Rank::crop;
        job.because = reasons_of(rule, w, at);
        add_cautions(job, rule, at);
        jobs_.push_back(std::move(job));
    }

    // The words of the first entry that answers; a move names its bay, and where there is none to move to the next entry stands.
    std::string answer_to(const CareRule& rule) const {
        for (std::string word : rule.done_by) {
            const bool moved = word == "moved";
            const auto& bay = pot_.place == "indoors" ? pot_.out_bay : pot_.to_bay;
            if (moved && bay.empty()) continue;
            std::ranges::replace(word, ':', ' ');
            return "did " + pot_.id + " " + word + (moved ? " " + bay : "");
        }
        return {};
    }

    void settle(Job& job, const CareRule& rule, const JobWindow& w, const Situation& at) const {
        const LocalDay today = ask_.site.today();
        const Told told = told_of(pot_, named(job.id, rule, w, today));
        if (w.answer) {
            job.state = JobState::done;
            job.entry = w.answer->id;
        } else if (told.entry && !told.until) {
            job.state = JobState::dropped;
            job.entry = told.entry->id;
            if (const auto why = told.entry->values.find("text"); why != told.entry->values.end()) job.told = why->second;
        } else if (w.closes < today) {
            job.state = JobState::passed;
            job.lapsed = rule.lapsed;
        } else if (told.until && *told.until > today) {
            job.state = JobState::waiting;
            job.waits_until = told.until;
        } else {
            job.state = open_state(job, rule, w, at, told);
        }
    }

    // A hot or wet morning is for water: routine is put off, and so is what the rule itself holds back. Where every day is hot,
    // waiting for a cooler one would be for ever.
    bool put_off(const CareRule& rule, const Situation& at, LocalDay today) const {
        if (at.any(rule.hold, today)) return true;
        const auto& d = at.site().on(today);
        return rule.rank == Rank::routine && d.known && ((d.max_degC >= hot_degC && !always_hot(today)) || d.rain_mm >= wet_mm);
    }
    bool always_hot(LocalDay today) const {
        int hot = 0;
        for (LocalDay day = today - days(always_d); day < today; day += days(1)) hot += ask_.site.on(day).max_degC >= hot_degC;
        return 3 * hot >= 2 * always_d;
    }

    // Whether the heat that a job is about is to be clearly hotter than on any morning on which it stood: a reason of its own.
    bool grew_hotter(const CareRule& rule, const Situation& at, const std::vector<LocalDay>& shown) const {
        if (std::ranges::none_of(rule.when, [](const Condition& c) { return c.quantity == CareValue::max_2d_degC; })) return false;
        const auto expected = [&](LocalDay day) { return at.value(CareValue::max_2d_degC, {}, day); };
        return std::ranges::all_of(shown, [&](LocalDay day) { return expected(ask_.site.today()) >= expected(day) + hotter_K; });
    }

    JobState open_state(Job& job, const CareRule& rule, const JobWindow& w, const Situation& at, const Told& told) const {
        const LocalDay today = ask_.site.today(), next = next_care_day(today, ask_.care_day);
        if (today < w.opens) return JobState::in_season;
        const auto shown = stood_before(named(job.id, rule, w, today), told.until.value_or(LocalDay::min()));
        const bool at_rest = at.value(CareValue::growing, {}, today) < 0.5;
        const bool rests = !may_claim(rule, w, today, next, shown, at_rest, grew_hotter(rule, at, shown)), off = put_off(rule, at, today);
        const auto& d = at.site().on(today);
        job.joins = !rests && !off && !(w.along && rule.rank == Rank::routine && d.known && d.max_degC >= hot_degC);   // no more than must be in heat
        if (w.along) return JobState::in_season;
        const bool at_once = stands_at_once(rule), care_day = next - today == days(7);
        // A day that the grower named counts as much as the care day, on which stands, too, what falls due before the next one.
        const bool named = told.until && shown.empty();
        const bool due = today >= w.due || named || (care_day && !at_once && w.due < next);
        if (!due) return w.due - today <= days(quiet_d) ? JobState::this_week : JobState::in_season;
        if (rests) return today - shown.back() <= days(quiet_d) ? JobState::this_week : JobState::in_season;
        if (off) return JobState::this_week;
        // The last chance before the window ends does not wait.
        return at_once || care_day || named || w.closes < next ? JobState::due : JobState::this_week;
    }

    // The mornings before today on which it stood, since the day that it waited for.
    std::vector<LocalDay> stood_before(const Named& job, LocalDay since) const {
        std::vector<LocalDay> mornings;
        const auto start = job.moves ? job.before_the_day() : job.id;
        for (auto found = ask_.shown.lower_bound(start); found != ask_.shown.end() && found->first.starts_with(start); ++found)
            if (job == found->first)
                for (LocalDay day : found->second)
                    if (day >= since && day < ask_.site.today()) mornings.push_back(day);
        std::ranges::sort(mornings);
        mornings.erase(std::unique(mornings.begin(), mornings.end()), mornings.end());
        return mornings;
    }

    void add_cautions(Job& job, const CareRule& rule, const Situation& at) const {
        std::vector<std::string> codes = rule.cautions;
        for (const auto& rider : ask_.tables.rules) {
            if (rider.trigger != Trigger::rider || !rider.on) continue;
            const bool goes_with = std::ranges::find(rider.with, rule.key) != rider.with.end() ||
                                   (!rule.group.empty() && std::ranges::find(rider.with, rule.group) != rider.with.end());
            if (!goes_with || !at.all(rider.when, at.site().today()) || at.any(rider.unless, at.site().today())) continue;
            if (!rider.what.empty()) job.caution.push_back(rider.what);
            codes.insert(codes.end(), rider.cautions.begin(), rider.cautions.end());
        }
        if (const auto& d = ask_.site.on(ask_.site.today()); d.known && d.max_degC >= hot_degC && at.pot().place != "indoors") codes.push_back("K6");
        std::set<std::string> told;
        for (const auto& code : codes)
            if (const auto* row = ask_.tables.caution(code); row && told.insert(code).second) job.caution.push_back(caution_words(*row, at));
    }

    const CareAsk& ask_;
    const PotCare& pot_;
    LocalDay kept_from_;
    std::set<std::string> seen_;
    std::vector<Job> jobs_;
};

// Windows are worked from the midwinter before last, so that their keys stay as they are from day to day.
LocalDay origin(LocalDay today, bool south) {
    const std::chrono::year_month_day date{today - days(366)};
    const LocalDay midwinter{date.year() / (south ? std::chrono::July : std::chrono::January) / 1};
    return midwinter <= today - days(366) ? midwinter : LocalDay{(date.year() - std::chrono::years(1)) / (south ? std::chrono::July : std::chrono::January) / 1};
}

// Answered so long ago that nobody asks for it any more, though its window may be open yet.
bool done_long_ago(const Job& job, const PotCare& pot, LocalDay before) {
    if (job.state != JobState::done) return false;
    const auto answer = std::ranges::find(pot.entries, job.entry, &CareEntry::id);
    return answer != pot.entries.end() && answer->day < before;
}

bool open_now(const Job& job, LocalDay today) { return job.opens <= today && today <= job.closes; }

// A pot is asked once for a rule: of two open windows (two trees, or an early answer) the more pressing one stands.
void one_a_rule(std::vector<Job>& jobs, LocalDay today) {
    std::map<std::pair<std::string, std::string>, const Job*> kept;
    const auto standing = [&](const Job& job) { return open_now(job, today) && job.state < JobState::done; };
    for (const auto& job : jobs) {
        if (!standing(job)) continue;
        auto& slot = kept[{job.pot, job.rule}];
        if (!slot || job.due < slot->due) slot = &job;
    }
    std::set<std::string> keep;
    for (const auto& [key, job] : kept) keep.insert(job->id);
    std::erase_if(jobs, [&](const Job& job) { return standing(job) && !keep.contains(job.id); });
}

const std::string& line_key(const Job& job) { return job.group.empty() ? job.rule : job.group; }

// What is asked for today answers what can wait on another line and the same entry would answer: one look, one line.
void one_look(std::vector<Job>& jobs) {
    const auto pressing = [](const Job& a, const Job& b) { return std::tie(a.rank, a.due, a.id) < std::tie(b.rank, b.due, b.id); };
    std::map<std::string_view, std::vector<const Job*>> due;
    for (const auto& job : jobs)
        if (job.state == JobState::due && !job.answer.empty()) due[job.answer].push_back(&job);
    std::set<std::string> answered;
    for (const auto& job : jobs)
        if (const auto same = due.find(job.answer); job.state < JobState::waiting && job.rank > Rank::loss_in_days && same != due.end())
            for (const auto* today : same->second)
                if (line_key(job) != line_key(*today) && pressing(*today, job)) answered.insert(job.id);
    std::erase_if(jobs, [&](const Job& job) { return job.state < JobState::waiting && answered.contains(job.id); });
}

// A threat that came back night after night is told by its two newest times: eight such days are no news, and stand in the pot's year.
void few_passed(std::vector<Job>& jobs, const CareTables& tables) {
    constexpr std::size_t told_times = 2;
    const auto event = [&](const Job& job) {
        const auto* rule = tables.rule(job.rule);
        return job.state == JobState::passed && rule && rule->trigger == Trigger::event;
    };
    std::map<std::pair<std::string, std::string>, std::vector<LocalDay>> passed;   // newest first
    for (const auto& job : jobs)
        if (event(job)) passed[{job.pot, job.rule}].push_back(job.closes);
    for (auto& [of, days_passed] : passed) std::ranges::sort(days_passed, std::greater());
    std::erase_if(jobs, [&](const Job& job) {
        if (!event(job)) return false;
        const auto& all = passed.at({job.pot, job.rule});
        return all.size() > told_times && job.closes < all[told_times - 1];
    });
}

// What would only go along is told where a line stands for it, or stood.
void only_along(std::vector<Job>& jobs, const std::map<std::string, std::vector<LocalDay>>& shown) {
    std::set<std::string> lines;
    for (const auto& job : jobs)
        if (job.state == JobState::due) lines.insert(line_key(job));
    std::erase_if(jobs, [&](const Job& job) {
        const bool open = job.state < JobState::done;
        return job.along && !shown.contains(job.id) && !(open && lines.contains(line_key(job)));
    });
}

bool before(const Job& a, const Job& b) {
    if (a.state != b.state) return a.state < b.state;
    if (a.rank != b.rank) return a.rank < b.rank;
    if (a.closes != b.closes) return a.closes < b.closes;
    if (a.order != b.order) return a.order < b.order;
    return a.id < b.id;
}

}  // namespace

std::string_view state_word(JobState state) {
    constexpr std::array<std::string_view, 7> words{"due", "this week", "in season", "waiting", "done", "dropped", "passed"};
    return words[std::size_t(state)];
}

std::vector<Job> jobs_of(const CareAsk& ask) {
    const LocalDay today = ask.site.today();
    std::vector<Job> all;
    for (const auto& pot : ask.pots) {
        auto jobs = Teller(ask, pot, today - days(ask.passed_d)).tell({origin(today, ask.site.south()), today, today - days(ask.passed_d)});
        std::erase_if(jobs, [&](const Job& job) { return done_long_ago(job, pot, today - days(ask.passed_d)); });
        std::ranges::move(jobs, std::back_inserter(all));
    }
    one_a_rule(all, today);
    one_look(all);
    only_along(all, ask.shown);
    few_passed(all, ask.tables);
    std::ranges::stable_sort(all, before);
    return all;
}

std::vector<Job> jobs_in(const CareAsk& ask, const PotCare& pot, const WindowSpan& span) {
    auto jobs = Teller(ask, pot, span.from).tell({std::min(span.from, origin(ask.site.today(), ask.site.south())), span.to, span.from});
    std::erase_if(jobs, [](const Job& job) { return job.along; });
    std::ranges::stable_sort(jobs, {}, [](const Job& job) { return std::pair(job.opens, job.id); });
    return jobs;
}

namespace {

// What is open and has time yet goes along where its line stands anyway: one way, one tool.
void join(JobLine& line, std::span<const Job> jobs) {
    const std::string key = line_key(line.jobs.front());   // a copy: the line grows
    for (const auto& job : jobs)
        if (job.joins && job.state != JobState::due && line_key(job) == key) line.jobs.push_back(job);
}

}  // namespace

std::vector<JobLine> morning_lines(std::span<const Job> jobs, std::size_t most) {
    std::vector<JobLine> lines;
    std::map<std::string, std::size_t> place;
    for (const auto& job : jobs) {
        if (job.state != JobState::due) continue;
        const auto [found, fresh] = place.try_emplace(line_key(job), lines.size());
        if (fresh) lines.emplace_back();
        lines[found->second].jobs.push_back(job);
    }
    const auto rank_of = [](const JobLine& line) { return std::ranges::min(line.jobs, {}, &Job::rank).rank; };
    const auto closes_of = [](const JobLine& line) { return std::ranges::min(line.jobs, {}, &Job::closes).closes; };
    const auto since_of = [](const JobLine& line) { return std::ranges::min(line.jobs, {}, &Job::due).due; };
    std::ranges::stable_sort(lines, [&](const JobLine& a, const JobLine& b) {
        if (rank_of(a) != rank_of(b)) return rank_of(a) < rank_of(b);
        // What is due for longer first: by the nearer end a window of months would never have its turn.
        if (since_of(a) != since_of(b)) return since_of(a) < since_of(b);
        if (closes_of(a) != closes_of(b)) return closes_of(a) < closes_of(b);
        if (a.jobs.size() != b.jobs.size()) return a.jobs.size() > b.jobs.size();
        return a.jobs.front().order < b.jobs.front().order;
    });
    if (lines.size() > most) lines.resize(most);
    for (auto& line : lines) join(line, jobs);
    return lines;
}

std::vector<JobLine> revised_lines(std::span<const Job> now, std::span<const std::vector<std::string>> before) {
    std::set<std::string> shown;
    for (const auto& line : before) shown.insert(line.begin(), line.end());
    std::vector<Job> jobs(now.begin(), now.end());
    for (auto& job : jobs)
        if (job.joins && shown.contains(job.id)) job.state = JobState::due;   // what went along stays when its companion is answered
    const auto all = morning_lines(jobs, jobs.size());
    const auto stood = [&](const JobLine& line) { return std::ranges::any_of(line.jobs, [&](const Job& job) { return shown.contains(job.id); }); };
    const auto urgent = [](const JobLine& line) { return line.jobs.front().rank <= Rank::lost_by_tomorrow; };
    std::vector<JobLine> lines;
    std::size_t room = most_lines - std::min(most_lines, before.size());
    for (const auto& line : all) {
        if (stood(line)) lines.push_back(line);
        else if (urgent(line)) lines.push_back(line), room -= std::min<std::size_t>(room, 1);
        else if (room > 0) lines.push_back(line), --room;
    }
    if (lines.size() > most_lines) lines.resize(most_lines);
    return lines;
}

namespace {

// A text without its figures, and the first of them.
std::pair<std::string, double> without_figures(const std::string& text) {
    std::string words;
    double first = 0;
    for (const char* at = text.data(), *end = at + text.size(); at != end;) {
        double figure = 0;
        const auto read = *at >= '0' && *at <= '9' ? std::from_chars(at, end, figure) : std::from_chars_result{at, std::errc::invalid_argument};
        if (read.ec != std::errc()) words += *at++;
        else at = read.ptr, first = first == 0 ? figure : first;
    }
    return {words, first};
}

// Why a rule asks: what all of its pots share is told once, what only some have with their ids before it. Where a line has several rules
// each reason says which of them it is of, unless the one before it did; what an earlier rule told of the same pots is not told again.
using ToldOf = std::vector<std::pair<std::string, std::vector<std::string>>>;   // a reason, and its pots
void add_reasons(std::vector<Remark>& out, const JobLine& line, const std::string& rule, ToldOf& before) {
    const bool several = std::ranges::any_of(line.jobs, [&](const Job& job) { return job.rule != rule; });
    std::vector<const Job*> jobs;
    for (const auto& job : line.jobs)
        if (job.rule == rule) jobs.push_back(&job);
    std::vector<std::pair<Remark, std::vector<std::string>>> told;
    for (const auto* job : jobs)
        for (const auto& remark : job->because) {
            auto same = std::ranges::find_if(told, [&](const auto& t) { return t.first.text == remark.text; });
            if (same == told.end()) same = told.insert(same, {remark, {}});
            if (std::ranges::find(same->second, job->pot) == same->second.end()) same->second.push_back(job->pot);
        }
    std::string last_of;
    for (auto& [remark, pots] : told) {
        if (const std::pair reason(remark.text, pots); std::ranges::find(before, reason) != before.end()) continue;
        else before.push_back(reason);
        std::string of;
        for (const auto& pot : pots.size() < jobs.size() ? pots : std::vector<std::string>()) of += (of.empty() ? "" : ", ") + pot;
        if (!of.empty()) of = (pots.size() == 1 ? "pot " : "pots ") + of;
        if (several) of = jobs.front()->title + (of.empty() ? "" : " (" + of + ")");
        if (!of.empty() && of != last_of) remark.text = of + ": " + remark.text;
        last_of = of;
        if (std::ranges::find(out, remark.text, &Remark::text) == out.end()) out.push_back(std::move(remark));
    }
}

}  // namespace

void add_cautions(std::vector<std::string>& line, std::span<const std::string> cautions) {
    for (const auto& text : cautions) {
        const auto bare = without_figures(text);
        const auto same = std::ranges::find_if(line, [&](const std::string& told) { return without_figures(told).first == bare.first; });
        if (same == line.end()) line.push_back(text);
        else if (without_figures(*same).second < bare.second) *same = text;
    }
}

RoundJob line_of(const JobLine& line) {
    const auto first = std::ranges::min_element(line.jobs, {}, [](const Job& job) { return std::pair(job.rank, job.closes); });
    RoundJob out{.title = {}, .what = {}, .rank = int(first->rank), .minutes = 0, .opens = first->opens, .due = first->due, .closes = first->closes,
                 .because = {}, .caution = {}, .source = {}, .parts = {}};
    std::vector<std::string> rules;
    ToldOf told;
    for (const auto& job : line.jobs) {
        out.minutes += job.minutes;
        out.parts.push_back({job.id, job.rule, job.title, job.pot, job.label, job.bay, job.answer});
        add_cautions(out.caution, job.caution);
        if (std::ranges::find(rules, job.rule) != rules.end()) continue;
        rules.push_back(job.rule);
        out.title += (out.title.empty() ? "" : "; ") + job.title;
        out.what += (out.what.empty() ? "" : " ") + job.what;
        if (out.source.find(job.source) == std::string::npos) out.source += (out.source.empty() ? "" : "; ") + job.source;
        add_reasons(out.because, line, job.rule, told);
    }
    if (out.minutes > a_morning_min && first->rank > Rank::loss_in_days) out.what += " It is more than a morning's work: part of it can follow on other days.";
    return out;
}

void stand_as(std::vector<Job>& jobs, std::span<const std::string> morning) {
    for (auto& job : jobs) {
        const bool stands = std::ranges::find(morning, job.id) != morning.end();
        if (job.state == JobState::due && !stands) job.state = JobState::this_week;
        else if (job.joins && stands) job.state = JobState::due;
    }
    std::ranges::stable_sort(jobs, before);
}

std::optional<std::string> wait_refusal(const Job& job, LocalDay until) {
    if (until <= job.closes) return std::nullopt;
    return "its window ends " + format_day(job.closes);
}

std::string silent_without_weather(const CareSite& site) {
    if (site.has_weather()) return {};
    return "No weather of these days is known: jobs for frost, wind, heat and disease days are silent, since each needs readings or a forecast.";
}

std::optional<JobName> parse_job_id(std::string_view id) {
    const auto first = id.find('.'), last = id.rfind('.');
    if (first == id.npos || first == 0 || last <= first + 1 || last + 1 >= id.size()) return std::nullopt;
    return JobName{std::string(id.substr(0, first)), std::string(id.substr(first + 1, last - first - 1)), std::string(id.substr(last + 1))};
}

}  // namespace tubgrove
