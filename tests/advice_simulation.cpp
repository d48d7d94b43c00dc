// Is the advice better than a habit? Gardens with a hidden truth, drawn wider than the priors and never shown to the list,
// in three climates, with a gardener who misses walks, pours otherwise than listed and often does not answer. The same pots
// are kept by habits, by somebody who knows everything, and by the list; hours dry, litres and passes are compared.
//   advice_simulation [gardens=21] [pots=12] [days=100] [seed=1] [KEY=NUMBER …]   any key of priors.yaml or prices.yaml
//   weather=FILE   gardens in the four years of the table seattle-weather.csv instead of three invented climates
//   rules=fixed,habit,et0,clairvoyant,drench,knowing,told,half-told,list,evening   which to run
#include "advice_world.hpp"
#include "trial_tables.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <iostream>
#include <map>
#include <stdexcept>

using namespace advice;
using std::chrono::hours;

namespace {

struct Options {
    int gardens = 21, pots = 12, days = 100, seed = 1;   // as the first trial of the rule had
    double ignores = 0.1;        // share of stops that are ignored
    double feels = 0.04;         // share of the days on which the gardener feels the medium unasked
    double wilts = 0;            // share of the days dry at noon on which hanging leaves are told
    double hopeless_days = 1.2;  // pots that hold less are judged apart
    double knowing_price = 1, knowing_later = 0.5;   // of an hour dry, and of one in the day after, to the one who knows
    bool smoke = false, verbose = false, daily = false;
    int pot = -1;                // one pot
    int only = -1;               // one garden
    std::string weather;         // a table of real weather instead of the three climates
    std::vector<std::string> rules{"fixed", "habit", "et0", "clairvoyant", "knowing", "list", "evening"};
};

// What one rule made of one pot.
struct Account {
    double dry_h = 0, given_l = 0, lost_l = 0;
    int pours = 0, passes = 0, walks = 0;
    long below = 0;                          // days on which more was missing than the range said
    long held = 0, asked = 0;                // days on which the range held the true need
    std::vector<double> error;               // |D - median|/A, a value a day
    int told_beyond = 0;                     // days on which the list said that no walk saves it
};

// One pot under one rule, day by day.
struct Trial {
    const World& world;
    const Pot& pot;
    const Tables& tables;   // the list's
    const Tables& truth;
    const Options& options;
    std::optional<double> shows{};   // score of where this pot shows water, for a list that was told everything of the pot
    std::string id(int day, const char* what) const { return pot.setup.id + "/" + what + "/" + std::to_string(day); }
    bool missed(int day) const { return uniform(world.name + "/missed/" + std::to_string(day)) < 0.1; }
    bool silent(int day) const { return uniform(world.name + "/silent/" + std::to_string(day)) < 0.3; }
    Truth::Hand hand(int day) const { return {normal(id(day, "hand")), uniform(id(day, "ignores")) < options.ignores}; }
};

void close_account(Account& a, const Truth& truth) {
    a.dry_h = truth.booked.dry_h[0];
    a.given_l = truth.booked.irrigation_l[0];
    a.lost_l = truth.booked.lost_l[0];
}

void count(Account& a, const Manner& m) {
    if (m.pour_l <= 0) return;
    ++a.pours;
    a.passes += m.passes;
}

// A habit: the same manner every day that somebody walks.
template <class MannerOfDay>
Account keep_habit(const Trial& t, MannerOfDay manner_of) {
    Account a;
    Truth truth(t.world, t.pot, t.truth.priors);
    for (int day = 0; day < t.world.days; ++day) {
        truth.to(t.world.walk(day));
        if (t.missed(day)) continue;
        const Manner m = manner_of(day);
        truth.pour(m, t.hand(day));
        count(a, m);
    }
    truth.to(t.world.midnight(t.world.days - 1) + hours(24));
    close_account(a, truth);
    return a;
}

// Knows pot and weather, never misses, never spills. The yardstick's prices are its own, so that choosing the list's does
// not move it.
Account keep_clairvoyantly(const Trial& t, Prices prices) {
    prices.row(PriceKey::ceiling_slack_l).value = 0;   // nothing is left to learn
    prices.row(PriceKey::dry_hour_l).value = 1;
    prices.row(PriceKey::dry_later_share).value = 0.1;
    prices.row(PriceKey::pour_l).value = 0.1;
    prices.row(PriceKey::second_pass_l).value = 0.25;
    prices.row(PriceKey::drained_l).value = 1;
    Account a;
    Truth truth(t.world, t.pot, t.truth.priors);
    Priors sure = t.truth.priors;
    sure[PriorKey::stop_ignored].median = 0;
    sure[PriorKey::onset_sd].sd_ln = sure[PriorKey::onset_young_sd].sd_ln = sure[PriorKey::et0_forecast].sd_ln = 0;
    sure[PriorKey::rain_missed].median = 0;
    for (int day = 0; day < t.world.days; ++day) {
        const Instant walk = t.world.walk(day);
        truth.to(walk);
        std::vector<std::vector<DayCourse>> ahead(1);
        for (std::size_t k = 0; k < 3; ++k) ahead[0].push_back(t.pot.real_course[t.world.season + std::size_t(day) + k]);
        const Chances chances{walk, walk + hours(24), walk + hours(48)};
        const Outlook outlook(truth.state(), t.pot.real, sure, t.world.zone, ahead, chances.after);
        const Decision d = decide(outlook, chances, prices, {0.25, 2, dry_hour_price(prices, Care::usual, Stage::other)});
        truth.pour(d.manner, {});
        count(a, d.manner);
    }
    truth.to(t.world.midnight(t.world.days - 1) + hours(24));
    close_account(a, truth);
    return a;
}

// Knows pot and weather to the walk after next, but misses walks and spills like everybody: what no list can beat by much.
Account keep_knowingly(const Trial& t, Prices prices) {
    prices.row(PriceKey::dry_later_share).value = t.options.knowing_later;
    prices.row(PriceKey::dry_hour_l).value = t.options.knowing_price;
    Account a;
    Truth truth(t.world, t.pot, t.truth.priors);
    for (int day = 0; day < t.world.days; ++day) {
        const Instant walk = t.world.walk(day);
        truth.to(walk);
        if (t.missed(day)) continue;
        std::vector<std::vector<DayCourse>> ahead(1);
        for (std::size_t k = 0; k < 3; ++k) ahead[0].push_back(t.pot.real_course[t.world.season + std::size_t(day) + k]);
        const Chances chances{walk, walk + hours(24), walk + hours(48)};
        const Outlook outlook(truth.state(), t.pot.real, t.truth.priors, t.world.zone, ahead, chances.after);
        const Decision d = decide(outlook, chances, prices, {0.5, 2, dry_hour_price(prices, Care::usual, Stage::other)});
        truth.pour(d.manner, t.hand(day));
        count(a, d.manner);
    }
    truth.to(t.world.midnight(t.world.days - 1) + hours(24));
    close_account(a, truth);
    return a;
}

// The list's side: an ensemble that lives on what is seen and told.
class Listener {
public:
    explicit Listener(const Trial& t) : t_(t), beliefs_{t.pot.believed}, history_(t.pot.real_history) {
        e_ = begin(run(), member_count);
        if (t.shows) std::fill(e_[Dim::onset].begin(), e_[Dim::onset].end(), *t.shows);
    }
    PotRun run() { return {history_, beliefs_, t_.pot.believed_course, t_.tables.priors, t_.world.zone}; }

    // At a walk: the morning's knowledge is yesterday's readings and today's forecast.
    Decision ask(int day, const Chances& chances) {
        advance(e_, run(), t_.world.midnight(day));
        std::vector<std::vector<DayCourse>> ahead(1);
        for (std::size_t k = 0; k < 3; ++k)
            ahead[0].push_back({&t_.world.forecast[std::size_t(day)][k], t_.pot.believed_course[t_.world.season + std::size_t(day) + k].canopy});
        if (chances.walk - t_.world.midnight(day) < hours(12)) return decide_from(e_, ahead, chances);
        Ensemble later = e_;   // through today's forecast to the evening
        advance(later, PotRun{history_, beliefs_, ahead[0], t_.tables.priors, t_.world.zone}, chances.walk);
        return decide_from(later, ahead, chances);
    }

    // Oldest first, as a history is: what is told out of turn would be taken for what was seen after the pour.
    void happened(Instant at, decltype(Happened::what) what) {
        if (!history_.events.empty() && at < history_.events.back().at) throw std::logic_error("told out of turn");
        history_.events.push_back({at, std::int64_t(history_.events.size() + 1), std::move(what)});
    }
    const Ensemble& members() const { return e_; }
    double followed() const { return counts_.mean(); }
    void answered(double share) { counts_ = add(counts_, share); }

private:
    Decision decide_from(const Ensemble& e, const std::vector<std::vector<DayCourse>>& ahead, const Chances& chances) {
        const Outlook outlook(e, beliefs_[0], t_.tables.priors, t_.world.zone, ahead, chances.after);
        return decide(outlook, chances, t_.tables.prices, {0.5, 2, dry_hour_price(t_.tables.prices, Care::usual, Stage::other)});
    }
    const Trial& t_;
    std::vector<Belief> beliefs_;
    PotHistory history_;
    Ensemble e_;
    Followed counts_;
};

Moisture class_of(double share) {
    return share > 0.75 ? Moisture::dry : share > 0.5 ? Moisture::barely_moist : share > 0.25 ? Moisture::moist : Moisture::wet;
}

// What the gardener tells of a walk: all, litres with what was seen, or nothing.
void tell(const Trial& t, Listener& list, int day, const char* walk, Instant at, const Manner& m, bool walked, const Truth::Given& given) {
    const std::string round = "round-" + std::to_string(day) + walk;
    Listed listed{round, m.pour_l, m.passes, m.until, {}, list.followed(), {}};
    if (t.silent(day)) return list.happened(at, listed);
    list.answered(walked ? 1 : 0);
    listed.share = walked ? 1.0 : 0.0;
    const bool tells = given.ran_through && uniform(t.id(day, walk)) < 0.6;
    if (walked && tells && m.pour_l > 0)
        return list.happened(at, Poured{given.pour_l * std::exp(0.05 * normal(t.id(day, "reads"))), m.passes, 0.08, true, m.until == Until::run_through});
    list.happened(at, listed);
}

void judge(Account& a, const Decision& d, double missing_l, double available_l) {
    ++a.asked;
    a.held += d.need_l.low - 1e-9 <= missing_l && missing_l <= d.need_l.high + 1e-9;
    a.below += missing_l > d.need_l.high + 1e-9;
    a.error.push_back(std::abs(d.need_l.median - missing_l) / std::max(0.1, available_l));
    a.told_beyond += d.beyond_walks || (d.rooted_share < 0.9 && d.free_l < d.day_use_l);
}

Account keep_list(const Trial& t, bool evenings) {
    Account a;
    Truth truth(t.world, t.pot, t.truth.priors);
    Listener list(t);
    for (int day = 0; day < t.world.days; ++day) {
        const Instant morning = t.world.walk(day), evening = morning + hours(12);
        const bool hot = evenings && t.world.forecast[std::size_t(day)][0].et0_mm > t.tables.prices[PriceKey::hot_evening_et0_mm];
        truth.to(morning);
        const Chances chances{morning, hot ? evening : morning + hours(24), morning + hours(hot ? 24 : 48)};
        const Decision d = list.ask(day, chances);
        const double truth_missing = truth.missing_l();
        judge(a, d, truth_missing, truth.available_l());
        if (uniform(t.id(day, "feels")) < t.options.feels) {
            const double share = truth.state().state.depletion_rooted_l[0] / truth.state().state.available_rooted_l[0];
            list.happened(morning, Felt{class_of(share + 0.2 * normal(t.id(day, "feel")))});
        }
        const bool walked = !t.missed(day);
        const Truth::Given given = walked ? truth.pour(d.manner, t.hand(day)) : Truth::Given{};
        if (walked) count(a, d.manner);
        if (t.options.daily)
            std::printf("day %2d missing %.2f of %.2f believed %.2f %.2f %.2f of %.2f; %s %.1f L in %d, given %.2f%s%s%s; N %.0f leaf %.2f loss %.2f none %.2f\n", day, truth_missing, truth.available_l(),
                        d.need_l.low, d.need_l.median, d.need_l.high, d.available_l, d.manner.until == Until::run_through ? "until" : "amount", d.manner.pour_l, d.manner.passes, given.pour_l,
                        given.ran_through ? " ran" : "", walked ? "" : " missed", t.silent(day) ? " silent" : "", effective_size(list.members().weights),
                        quantile(values_of(list.members(), t.pot.believed, Dim::leaf_area), list.members().weights, 0.5), d.loss.total_l, d.none.total_l);
        tell(t, list, day, "-morning", morning, d.manner, walked, given);
        if (t.options.wilts > 0) {
            const Instant noon = morning + hours(6);
            truth.to(noon);
            const PotState& s = truth.state().state;
            if (s.depletion_rooted_l[0] > s.ready_l[0] && uniform(t.id(day, "wilts")) < t.options.wilts) list.happened(noon, Wilted{});
        }
        if (!hot) continue;
        truth.to(evening);
        ++a.walks;
        const Decision e = list.ask(day, {evening, morning + hours(24), evening + hours(24)});
        const bool out = uniform(t.world.name + "/missed-evening/" + std::to_string(day)) >= 0.1;
        const Truth::Given more = out ? truth.pour(e.manner, {normal(t.id(day, "evening-hand")), t.hand(day).ignores}) : Truth::Given{};
        if (out) count(a, e.manner);
        tell(t, list, day, "-evening", evening, e.manner, out, more);
    }
    truth.to(t.world.midnight(t.world.days - 1) + hours(24));
    close_account(a, truth);
    return a;
}

// A list that was told the truth of its pot beforehand, but sees, hears and foresees no more than the others: what is left of
// its dry hours no learning of a pot's numbers can mend.
Account keep_told(const Trial& t, const Belief& believed) {
    Pot told = t.pot;
    told.believed = believed;
    Tables tables = t.tables;
    tables.priors[PriorKey::onset_lasting_sd] = t.truth.priors[PriorKey::onset_lasting_sd];
    return keep_list({t.world, told, tables, t.truth, t.options, (*t.pot.real_start)[Dim::onset][0]}, false);
}

// All of the truth but what the pot holds and from which suction on its tree is thirsty: litres at which water shows tell
// of use, and next to nothing of these.
Belief without_its_stores(const Pot& pot) {
    Belief told = pot.believed;
    for (Dim d : {Dim::leaf_area, Dim::surface_exposure, Dim::mulch, Dim::wall, Dim::rain_capture, Dim::bypass, Dim::wind, Dim::radiation,
                  Dim::ball, Dim::front, Dim::exchange})
        told[d] = pot.real[d];
    told.heat = pot.real.heat;
    told.rain_share = pot.real.rain_share;
    return told;
}

Account keep(const std::string& rule, const Trial& t) {
    const double rim = t.pot.rim_l;
    if (rule == "told") return keep_told(t, t.pot.real);
    if (rule == "half-told") return keep_told(t, without_its_stores(t.pot));
    if (rule == "drench") return keep_habit(t, [&](int) { return Manner{rim, 2, Until::amount}; });
    if (rule == "fixed") return keep_habit(t, [&](int) { return Manner{rim / 10, 1, Until::amount}; });
    if (rule == "habit") return keep_habit(t, [&](int) { return Manner{rim / 2, 2, Until::run_through}; });
    if (rule == "et0")
        return keep_habit(t, [&](int day) {
            const std::size_t yesterday = t.world.season + std::size_t(std::max(0, day - 1));
            const double l = t.world.truth[yesterday].et0_mm * t.pot.believed_course[yesterday].canopy.crown_m2;
            return Manner{l, 1, Until::amount};
        });
    if (rule == "knowing") return keep_knowingly(t, t.tables.prices);
    if (rule == "clairvoyant") return keep_clairvoyantly(t, t.tables.prices);
    return keep_list(t, rule == "evening");
}

struct Sum {
    double dry = 0, beyond = 0, given = 0, lost = 0, pours = 0, passes = 0, held = 0, asked = 0, early = 0, late = 0, told = 0, days = 0;
    int pots = 0;
    void add(const Account& a, const Account& best, int count_days) {
        ++pots;
        dry += a.dry_h, given += a.given_l, lost += a.lost_l, pours += a.pours, passes += a.passes;
        beyond += std::max(0.0, a.dry_h - best.dry_h);
        held += double(a.held), asked += double(a.asked), told += a.told_beyond, days += count_days;
        const std::size_t quarter = a.error.size() / 4;
        for (std::size_t i = 0; i < quarter; ++i) {
            early += a.error[i] / double(quarter);
            late += a.error[a.error.size() - 1 - i] / double(quarter);
        }
    }
};

using Table = std::map<std::string, Sum>;

void print(const char* title, const Table& table, const Options& o) {
    if (!table.contains("fixed") || !table.contains("clairvoyant")) return;
    const Sum &fixed = table.at("fixed"), &best = table.at("clairvoyant");
    if (fixed.pots == 0) return;
    std::printf("\n%s: %d pots, %d days; hours dry scaled to 100 days\n", title, fixed.pots, o.days);
    std::printf("%-12s %8s %8s %8s %8s %8s %7s %7s %6s %13s %6s\n", "rule", "dry h", "x fixed", "L/clair", "L/fixed", "leached", "pours", "passes", "cover", "error", "warned");
    for (const std::string& rule : o.rules) {
        const Sum& s = table.at(rule);
        const double scale = 100.0 / s.days;
        std::printf("%-12s %8.1f %8.3f %8.3f %8.3f %8.3f %7.2f %7.2f", rule.c_str(), s.dry * scale, fixed.beyond > 0 ? s.beyond / fixed.beyond : 0,
                    s.given / best.given, s.given / fixed.given, s.lost / std::max(1e-9, s.given), s.pours / s.days, s.passes / s.days);
        if (s.asked > 0) std::printf(" %6.3f  %.3f>%.3f %6.2f", s.held / s.asked, s.early / s.pots, s.late / s.pots, s.told / s.asked);
        std::printf("\n");
    }
}

// The targets beside what was measured. Returns how many fail.
int print_targets(const Table& t) {
    const Sum &fixed = t.at("fixed"), &habit = t.at("habit"), &best = t.at("clairvoyant"), &list = t.at("list");
    int failed = 0;
    const auto line = [&](const char* what, double measured, double low, double high) {
        const bool good = measured >= low && measured <= high;
        failed += !good;
        std::printf("  %-78s %7.3f   target %.2f to %.2f   %s\n", what, measured, low, high, good ? "held" : "MISSED");
    };
    std::printf("\ntargets\n");
    line("hours dry beyond the clairvoyant's, over the fixed pour's", list.beyond / fixed.beyond, 0, 0.2);
    line("litres over the fixed pour's", list.given / fixed.given, 0, 1.0);
    line("dry hours over the good habit's, daily walk", list.dry / habit.dry, 0, 1.0);
    line("passes over the good habit's", list.passes / habit.passes, 0, 0.75);
    if (t.contains("evening")) line("dry hours over the good habit's, with evenings on hot days", t.at("evening").dry / habit.dry, 0, 0.5);
    line("litres over the clairvoyant's", list.given / best.given, 0, 1.25);
    line("share of true needs inside the 10-90 % range", list.held / list.asked, 0.75, 0.85);
    line("depletion error, last quarter over first", list.late / list.early, 0, 0.9999);
    return failed;
}

// Four weeks are too short for the targets: the list begins in May without knowing what water is in the pots, fills and asks
// more than later, and uses 1.5 times the clairvoyant's water in such weeks however many pots there are. These bounds are
// wide enough for the pots of the short run and narrow enough to fail where nothing is learned, where ranges are
// asserted and not known, or where dryness costs next to nothing (each was tried).
int check_smoke(const Table& t) {
    const Sum &fixed = t.at("fixed"), &list = t.at("list");
    int failed = 0;
    const auto check = [&](const char* what, double measured, double low, double high) {
        const bool good = measured >= low && measured <= high;
        failed += !good;
        std::printf("  %-78s %7.3f   %.2f to %.2f   %s\n", what, measured, low, high, good ? "held" : "BROKEN");
    };
    std::printf("\nsmoke\n");
    check("hours dry beyond the clairvoyant's, over the fixed pour's", list.beyond / fixed.beyond, 0, 0.5);
    check("litres over the fixed pour's", list.given / fixed.given, 0, 1);
    check("share of true needs inside the 10-90 % range", list.held / list.asked, 0.68, 0.92);
    check("depletion error, last quarter over first", list.late / list.early, 0, 0.95);
    return failed;
}

bool set_number(Tables& tables, const std::string& key, double value) {
    if (const auto k = prior_key(key)) {
        PriorRow& row = tables.priors[*k];
        (row.spread == Spread::lognormal ? row.sd_ln : row.median) = value;
        return true;
    }
    if (const auto k = price_key(key)) return tables.prices.row(*k).value = value, true;
    return false;
}

void read_options(Options& o, Tables& tables, int count, char** words) {
    for (int i = 1; i < count; ++i) {
        const std::string word = words[i];
        if (word == "--smoke") {
            o.smoke = true, o.gardens = 6, o.pots = 5, o.days = 28, o.rules = {"fixed", "habit", "clairvoyant", "list"};
            continue;
        }
        const auto equals = word.find('=');
        if (equals == std::string::npos) throw std::runtime_error("not understood: " + word + "; right would be KEY=NUMBER");
        const std::string key = word.substr(0, equals), value = word.substr(equals + 1);
        if (key == "rules") {
            o.rules.clear();
            for (std::size_t from = 0; from <= value.size();) {
                const std::size_t to = std::min(value.find(',', from), value.size());
                o.rules.push_back(value.substr(from, to - from));
                from = to + 1;
            }
            continue;
        }
        if (key == "weather") {
            o.weather = value;
            continue;
        }
        const double number = std::stod(value);
        if (key == "verbose") {
            o.verbose = number > 0, o.daily = number > 1;
            continue;
        }
        if (key == "gardens") o.gardens = int(number);
        else if (key == "pots") o.pots = int(number);
        else if (key == "days") o.days = int(number);
        else if (key == "seed") o.seed = int(number);
        else if (key == "only") o.only = int(number);
        else if (key == "pot") o.pot = int(number);
        else if (key == "ignores") o.ignores = number;
        else if (key == "feels") o.feels = number;
        else if (key == "wilts") o.wilts = number;
        else if (key == "hopeless_days") o.hopeless_days = number;
        else if (key == "knowing_price") o.knowing_price = number;
        else if (key == "knowing_later") o.knowing_later = number;
        else if (!set_number(tables, key, number)) throw std::runtime_error("no such key: " + key);
    }
}

void print_pot(const Pot& pot, const std::string& rule, const Account& a) {
    const auto real = [&](Dim d) { return pot.real[d].middle; };
    std::printf("%-20s %-11s rim %3.0f held %4.1f young %d %-14s dry %6.1f given %6.1f lost %6.1f passes %3d cover %.2f below %.2f | leaf %.2f cap %.2f hp %.1f by %.2f wind %.2f light %.2f rad-heat %.2f\n",
                pot.setup.id.c_str(), rule.c_str(), pot.rim_l, pot.held_days, pot.young, pot.setup.medium.c_str(), a.dry_h, a.given_l, a.lost_l, a.passes,
                a.asked ? double(a.held) / double(a.asked) : 0, a.asked ? double(a.below) / double(a.asked) : 0, real(Dim::leaf_area), real(Dim::capacity) * pot.real.shape.capacity_l / pot.believed.shape.capacity_l,
                real(Dim::threshold), real(Dim::bypass), real(Dim::wind) / pot.believed[Dim::wind].middle, real(Dim::radiation), pot.real.heat.middle);
}

void run_garden(const Options& o, const Tables& tables, const Tables& truth, int garden, Table& main, Table& hopeless, std::vector<Table>& by_climate) {
    const std::size_t which = std::size_t(garden) % climates.size();
    const std::string name = std::to_string(o.seed) + "/garden-" + std::to_string(garden);
    const World world = o.weather.empty() ? make_world(name, climates[which], o.days)
                                          : make_real_world(name, o.weather, 2012 + garden % 4, o.days);
    for (int p = 0; p < o.pots; ++p) {
        if (o.pot >= 0 && o.pot != p) continue;
        const Pot pot = make_pot(world, tables, truth, name + "/pot-" + std::to_string(p));
        const Trial trial{world, pot, tables, truth, o};
        const Account best = keep("clairvoyant", trial);
        const bool lost = pot.held_days < o.hopeless_days;
        for (const std::string& rule : o.rules) {
            const Account a = rule == "clairvoyant" ? best : keep(rule, trial);
            (lost ? hopeless : main)[rule].add(a, best, o.days);
            if (!lost && o.weather.empty()) by_climate[which][rule].add(a, best, o.days);
            if (o.verbose) print_pot(pot, rule, a);
        }
    }
}

// The truth is drawn around the spreads of the published model, whatever the table that the list is given says.
Tables reference_spreads(Tables t) {
    t.priors[PriorKey::leaf_area_sd].sd_ln = 0.40;
    t.priors[PriorKey::leaf_area_answered_sd].sd_ln = 0.30;
    t.priors[PriorKey::crown_sd].sd_ln = 0.35;
    t.priors[PriorKey::capacity].sd_ln = t.priors[PriorKey::capacity_shop_mix].sd_ln = 0.123;
    t.priors[PriorKey::capacity_rim_only].sd_ln = 0;
    t.priors[PriorKey::threshold].sd_ln = 0.42;
    t.priors[PriorKey::onset_sd].sd_ln = 0.25;
    t.priors[PriorKey::onset_lasting_sd].sd_ln = 0.25;
    return t;
}

int simulate(int count, char** words) {
    Options o;
    Tables tables = trial::tables();
    const Tables truth = reference_spreads(tables);
    read_options(o, tables, count, words);
    Table main, hopeless;
    std::vector<Table> by_climate(climates.size());
    for (const std::string& rule : o.rules) main[rule], hopeless[rule];
    for (int g = 0; g < o.gardens; ++g)
        if (o.only < 0 || o.only == g) run_garden(o, tables, truth, g, main, hopeless, by_climate);
    print("pots that a daily list can save", main, o);
    for (std::size_t c = 0; c < climates.size(); ++c) print(climates[c].name.c_str(), by_climate[c], o);
    print("pots that hold less than 1.2 days of use", hopeless, o);
    if (!main.contains("list") || !main.contains("habit")) return 0;
    const int failed = print_targets(main);
    if (!o.smoke) return failed;
    return check_smoke(main);
}

}  // namespace

int main(int count, char** words) {
    try {
        return simulate(count, words);
    } catch (const std::exception& wrong) {
        std::cerr << "advice_simulation: " << wrong.what() << '\n';
        return 2;
    }
}
