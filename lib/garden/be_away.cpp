// Use case: an absence. How long each pot lasts, what makes it last, and on which days somebody must come.
#include "ahead/absence.hpp"
#include "care/words.hpp"
#include "garden/each_pot.hpp"
#include "garden/heat_help.hpp"
#include "garden/stay_away.hpp"
#include "plan/plain_text.hpp"
#include "plan/trips.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

// The moments at which the pots are filled or looked at: on leaving, each morning away, on returning.
struct Moments {
    std::vector<Instant> at;
    std::vector<LocalDay> day;                   // of the mornings; the first and last are not used
};
Moments moments_of(const Configuration& configuration, const Zone& zone, Instant now, LocalDay from, LocalDay to) {
    const auto evening = configuration.walks.evening.value_or(std::chrono::minutes(19 * 60));
    Moments m;
    m.at.push_back(std::max(now, zone.at(LocalTime(from - std::chrono::days(1)) + evening)));
    m.day.push_back(from);
    for (auto day = from; day <= to; day += std::chrono::days(1)) {
        const auto morning = zone.at(LocalTime(day) + configuration.walks.morning);
        if (morning <= m.at.front()) continue;
        m.at.push_back(morning);
        m.day.push_back(day);
    }
    m.at.push_back(std::max(m.at.back() + std::chrono::hours(1), zone.at(LocalTime(to + std::chrono::days(1)) + configuration.walks.morning)));
    m.day.push_back(to + std::chrono::days(1));
    return m;
}

struct Tried {
    std::string what;
    PotSetup setup;
    int passes = 2;
};

// Least trouble first. A saucer, shade: only where they change something.
std::vector<Tried> precautions(const PotSetup& setup, const Garden::Inside& inside) {
    const int passes = std::max(2, inside.configuration.carry.passes);
    std::vector<Tried> tried{{"as-is", setup, 1}, {"fill-twice", setup, passes}};
    const PotSetup *saucer = nullptr, *shade = nullptr;
    const auto changes = changes_that_help(setup, inside);
    for (const auto& change : changes) {
        if (change.what == "saucer") saucer = &change.setup;
        if (change.what == "shade") shade = &change.setup;
    }
    if (saucer) tried.push_back({"saucer", *saucer, passes});
    if (shade) tried.push_back({"shade", *shade, passes});
    if (saucer && shade) {
        PotSetup both = *shade;
        both.container.saucer = saucer->container.saucer;
        tried.push_back({"shade-and-saucer", both, passes});
    }
    return tried;
}

std::optional<Instant> before_return(Instant filled, double hours, Instant returns) {
    if (!std::isfinite(hours)) return std::nullopt;
    const auto at = filled + std::chrono::seconds(std::llround(hours * 3600));
    return at >= returns ? std::nullopt : std::optional(at);
}

struct Worked {
    bool known = false;
    AwayPot line;
    std::vector<Instant> safe_until;             // by moment, with what was chosen
    std::vector<Range80> pour_l;                 // of a filling at each moment
    Until until = Until::run_through;
};

}  // namespace

const char* words_of(const std::string& precaution) {
    if (precaution == "fill-twice") return "fill twice, half an hour apart";
    if (precaution == "saucer") return "put a saucer under it and fill twice";
    if (precaution == "shade") return "move it to shade or hang shade over it, and fill twice";
    if (precaution == "shade-and-saucer") return "shade, a saucer under it, and fill twice";
    return "fill once";
}

namespace {

// One pot for one precaution after the other: as it stands on the eve, and how it then runs on.
struct Eve {
    const Garden::Inside& inside;
    const PotNow& pot;
    const Moments& moments;
    Instant until;
    Outlook::Run run;

    // Calls work(outlook, pouring) with the pot as the precaution makes it; not where such a pot cannot be.
    template <class Work>
    bool with(const Tried& tried, Work work) const {
        const auto there = otherwise(pot, tried.setup, inside.tables, inside.zone);
        if (!there) return false;
        auto pouring = pouring_of(inside.configuration, inside.tables.figures);
        pouring.passes = tried.passes;
        work(there->outlook(pot, inside.tables.priors, inside.zone, until).coarser(3, until), pouring);
        return true;
    }
    Lasts from(const Outlook& outlook, const Pouring& pouring, const Outlook::Run& at) const {
        const auto& f = inside.tables.figures;
        return lasts_from(outlook, pouring, at, f[FigureKey::harmed_share], f[FigureKey::safe_chance]);
    }
};

// How long each lasts from the filling on leaving; the chosen one is the first that is safe, else the one that lasts longest.
std::optional<Tried> choose(const Eve& eve, AwayPot& line) {
    const Instant leaves = eve.moments.at.front(), returns = eve.moments.at.back();
    std::optional<Tried> chosen;
    double longest_h = -1;
    for (const auto& tried : precautions(eve.pot.setup(), eve.inside)) {
        Lasts lasts;
        if (!eve.with(tried, [&](const Outlook& outlook, const Pouring& pouring) { lasts = eve.from(outlook, pouring, outlook.take_up(eve.run)); })) continue;
        line.tried.push_back({.what = tried.what, .checked_h = lasts.checked_after_h, .harmed_h = lasts.harmed_after_h,
                              .safe_until = before_return(leaves, lasts.safe_h, returns)});
        if (lasts.safe_h <= longest_h) continue;
        longest_h = lasts.safe_h;
        chosen = tried;
        line.chosen = tried.what;
        line.safe = !line.tried.back().safe_until;
        line.checked_at = before_return(leaves, lasts.checked_after_h.median, returns);
        line.harmed_at = before_return(leaves, lasts.harmed_after_h.median, returns);
        if (line.safe) break;                    // no more trouble is needed
    }
    return chosen;
}

Worked work_out(const Garden::Inside& inside, const PotNow& pot, const Moments& moments, Instant until) {
    Worked w;
    w.line = {.pot = pot.life->id, .label = pot.setup().label, .bay = pot.setup().exposure.bay, .tried = {}, .chosen = {}, .checked_at = {},
              .harmed_at = {}, .safe = false};
    const auto courses = days_ahead(pot, inside.zone);
    const Outlook as_is(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, courses, until);
    Eve eve{.inside = inside, .pot = pot, .moments = moments, .until = until, .run = as_is.start()};
    as_is.run(eve.run, moments.at.front());
    const auto chosen = choose(eve, w.line);
    w.known = chosen.has_value();
    // The same from each morning on, for somebody who comes by.
    if (chosen)
        eve.with(*chosen, [&](const Outlook& outlook, const Pouring& pouring) {
            Outlook::Run run = outlook.take_up(eve.run);
            for (const Instant t : std::span(moments.at).first(moments.at.size() - 1)) {
                outlook.run(run, t);
                const Lasts lasts = eve.from(outlook, pouring, run);
                w.safe_until.push_back(moment_after(t, lasts.safe_h));
                w.pour_l.push_back(lasts.pour_l);
                w.until = lasts.until;
            }
        });
    return w;
}

std::vector<StockLine> stocks_of(const Carry& carry, const AbsenceAnswer& answer) {
    std::vector<StockLine> stocks;
    for (std::size_t t = 0; t < carry.taps.size(); ++t) {
        const auto& tap = carry.taps[t];
        if (!tap.holds) continue;
        StockLine stock{.tap = tap.id, .holds_l = litres(*tap.holds), .needed_l = {}, .lasts_until = {}};
        for (const auto& visit : answer.visits)
            for (const auto& pour : visit.pours) {
                const auto pot = std::ranges::find(answer.pots, pour.pot, &AwayPot::pot);
                if (tap_of(pot->bay, carry) != t) continue;
                stock.needed_l.low += pour.pour_l.low;
                stock.needed_l.median += pour.pour_l.median;
                stock.needed_l.high += pour.pour_l.high;
            }
        stocks.push_back(stock);
    }
    return stocks;
}

std::string name_of(const AwayPot& pot) { return pot.label.empty() ? "pot " + pot.pot : "pot " + pot.label; }

std::string how_much(const WalkPour& pour) {
    const std::string most = litres_text(std::ceil(2 * pour.pour_l.high) / 2);
    return pour.until == Until::run_through ? " until it runs through, " + most + " at most" : " " + most + " and no more, since nothing runs through";
}

std::string pours_said(const AwayVisit& visit) {
    std::string said;
    for (const auto& pour : visit.pours)
        said += (said.empty() ? "" : ", ") + (pour.label.empty() ? "pot " + pour.pot : pour.label) + how_much(pour);
    return said;
}
bool follows(const AwayVisit& before, const AwayVisit& visit) { return visit.day - before.day == std::chrono::days(1); }

// Mornings in a row on which the same is poured are told once.
void write_sheet(AbsenceAnswer& answer) {
    std::map<std::string, std::vector<std::string>> by_precaution;
    for (const auto& pot : answer.pots) by_precaution[pot.chosen].push_back(pot.label.empty() ? pot.pot : pot.label);
    for (const auto& [what, names] : by_precaution) {
        std::string all;
        for (const auto& name : names) all += (all.empty() ? "" : ", ") + name;
        answer.sheet.push_back("On leaving, " + std::string(names.size() == 1 ? "pot " : "pots ") + all + ": " + words_of(what) + ".");
    }
    if (answer.visits.empty()) {
        if (answer.safe) answer.sheet.push_back("Nobody needs to come until the return.");
        return;
    }
    for (std::size_t first = 0, next = 0; first < answer.visits.size(); first = next) {
        const auto what = pours_said(answer.visits[first]);
        for (next = first + 1; next < answer.visits.size() && follows(answer.visits[next - 1], answer.visits[next]) && pours_said(answer.visits[next]) == what;) ++next;
        const auto from = answer.visits[first].day, to = answer.visits[next - 1].day;
        answer.sheet.push_back((next - first == 1 ? day_words(from) + ", in the morning: " : "Each morning, " + day_words(from) + " to " + day_words(to) + ": ") + what + ".");
    }
    answer.sheet.push_back("Pour slowly, stop when water shows below, and come back after half an hour for the same again.");
    answer.sheet.push_back("Droops in the morning, too, or a pot strikingly light: water it, and ring.");
}

}  // namespace

void without_usual_rain(WeatherSeen& seen) {
    for (auto& days : seen.members)
        for (auto& day : days)
            if (day.guessed.rain && day.rung == Rung::normals)
                for (auto& hour : day.hours) hour.rain_mm = 0;
}

std::optional<Refusal> too_long_away(LocalDay today, LocalDay from, LocalDay to) {
    constexpr std::chrono::days longest{60}, furthest{90};
    if (to < today) return Refusal{format_day(to) + " is past", "a last day from today on"};
    if (from > to) return Refusal{"the first day lies after the last", "absence FROM TO, the earlier day first"};
    if (from < today) return Refusal{format_day(from) + " is past", "a first day from today on"};
    if (to - from > longest || to - today > furthest)
        return Refusal{"nothing can be said of so long a time", "up to 60 days away, the last of them within 90 days from now"};
    return std::nullopt;
}

Refusal no_pot_yet() { return {"there is no pot with a tree yet", "tubgrove setup, or pot add 7 container.size=40L tree.a.species=apple bay=…"}; }

Instant moment_after(Instant t, double hours) {
    return std::isfinite(hours) ? t + std::chrono::seconds(std::llround(hours * 3600)) : Instant::max();
}

Outcome<AbsenceAnswer> Garden::absence(const View& view, LocalDay from, LocalDay to) { return be_away(*inside_, view, from, to); }

Outcome<AbsenceAnswer> be_away(const Garden::Inside& inside, const View& view, LocalDay from, LocalDay to) {
    const auto today = inside.zone.day_of(view.now);
    if (auto refusal = too_long_away(today, from, to)) return *refusal;
    auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts, (to - today) + std::chrono::days(3));
    without_usual_rain(garden.weather);
    const auto lives = in_walking_order(garden.past.lives, inside.configuration, view.now);
    if (lives.empty()) return no_pot_yet();
    const auto moments = moments_of(inside.configuration, inside.zone, view.now, from, to);
    const auto until = inside.zone.end_of(to + std::chrono::days(1));

    std::vector<Worked> worked(lives.size());
    each_pot(inside, garden, lives, [&](std::size_t i, const PotNow& pot) { worked[i] = work_out(inside, pot, moments, until); });

    AbsenceAnswer answer{.from = from, .to = to, .leaves = moments.at.front(), .returns = moments.at.back(), .pots = {}, .safe = false, .visits = {},
                         .stocks = {}, .sheet = {}, .cautions = {}, .remarks = {}};
    std::vector<std::vector<Instant>> safe_until;
    for (const auto& w : worked)
        if (w.known) safe_until.push_back(w.safe_until);
    auto plan = least_visits(moments.at, safe_until);
    answer.safe = plan.has_value();
    if (!plan) {                                 // every morning is not enough for all: say so, and come every morning
        plan.emplace();
        for (std::size_t m = 1; m + 1 < moments.at.size(); ++m) plan->push_back(m);
    }
    for (const std::size_t m : *plan) {
        AwayVisit visit{.day = moments.day[m], .at = moments.at[m], .pours = {}, .total_l = 0};
        for (const auto& w : worked) {
            if (!w.known || w.pour_l[m].high <= 0) continue;
            visit.pours.push_back({.pot = w.line.pot, .label = w.line.label, .pour_l = w.pour_l[m], .until = w.until});
            visit.total_l += w.pour_l[m].high;
        }
        answer.visits.push_back(std::move(visit));
    }
    for (auto& w : worked)
        if (w.known) answer.pots.push_back(std::move(w.line));
    answer.stocks = stocks_of(inside.configuration.carry, answer);
    write_sheet(answer);
    if (!answer.safe) {
        std::string names;
        std::vector<std::vector<Instant>> others;
        for (std::size_t i = 0, p = 0; i < worked.size(); ++i) {
            if (!worked[i].known) continue;
            bool kept = true;
            for (std::size_t m = 0; m + 1 < moments.at.size(); ++m) kept = kept && worked[i].safe_until[m] >= moments.at[m + 1];
            if (kept) others.push_back(worked[i].safe_until);
            else names += (names.empty() ? "" : ", ") + name_of(answer.pots[p]);
            ++p;
        }
        answer.remarks.push_back("Not even a visit each morning keeps these safe: " + names + ". A larger pot, a drip line or another place would.");
        if (const auto fewer = others.empty() ? std::nullopt : least_visits(moments.at, others)) {
            std::string days;
            for (const std::size_t m : *fewer) days += (days.empty() ? ": " : ", ") + day_words(moments.day[m]);
            answer.remarks.push_back("All others are safe with " + (fewer->empty() ? std::string("no visit") : std::to_string(fewer->size()) + (fewer->size() == 1 ? " visit" : " visits")) + days + ".");
        }
    }
    answer.remarks.push_back("Rain that is not forecast is not counted on.");
    if (to > today + std::chrono::days(10)) answer.remarks.push_back("Beyond ten days this stands on usual weather; ask again nearer the time.");
    for (const auto& pot : answer.pots)
        if (pot.chosen.find("saucer") != std::string::npos) {
            answer.cautions.push_back("Empty saucers on the return: roots that stand in water for long suffer, and mosquitoes breed in it.");
            break;
        }
    answer.cautions.push_back("A full pot is heavy: two people or a trolley before it is moved. Water that stands in butts and cans is a danger to small children: cover it.");
    answer.remarks.push_back("A helper's phone: tubgrove pair --name NAME --until " + format_day(to + std::chrono::days(1)) + "; their entries carry the name.");
    return answer;
}

}  // namespace tubgrove
