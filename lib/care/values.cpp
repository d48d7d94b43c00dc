#include "care/values.hpp"

#include "care/frost.hpp"
#include "care/infection.hpp"
#include "care/lifting.hpp"
#include "care/roots.hpp"
#include "care/wind.hpp"
#include "tree/belief.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tubgrove {
namespace {

using std::chrono::days;
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
constexpr double year_d = 365.25;
constexpr int lately_d = 30;   // what a pot stood so long ago is no news. Own assumption

double yes(bool b) { return b ? 1 : 0; }

// A crown that nobody measured is taken as so much narrower than high, and no wider than its pot feeds. Own assumption
constexpr double width_over_height = 0.6;
// And where it is asked whether the wind lays it down: so many times as high as the pot is wide, as trees in pots are kept. Own assumption
constexpr double crown_over_pot = 3.5;
double pot_crown_m(double volume_l) { return std::sqrt(4 / std::numbers::pi * crown_per_litre_m2 * volume_l); }

// "shaded" is any entry of it, "shaded:wall" that with the word, "shaded:" the bare one.
bool is_word(const CareEntry& e, std::string_view word) {
    const auto colon = word.find(':');
    return e.action == word.substr(0, colon) && (colon == word.npos || e.word == word.substr(colon + 1));
}

}  // namespace

double worn_mulch_cm(double laid_cm, double days_ago) { return laid_cm * std::exp(-std::max(0.0, days_ago) * std::log(4.0 / 3) / 120); }

const std::vector<const CareEntry*>& Situation::entries_of(std::string_view word) const {
    if (const auto found = by_word_.find(word); found != by_word_.end()) return found->second;
    auto& all = by_word_[std::string(word)];
    for (const auto& e : pot_.entries)
        if (is_word(e, word) && (e.tree.empty() || e.tree == tree_.tree.id)) all.push_back(&e);
    std::ranges::stable_sort(all, {}, &CareEntry::day);
    return all;
}

double Situation::days_since(std::string_view word, LocalDay day) const {
    const auto& all = entries_of(word);
    const auto later = std::ranges::upper_bound(all, day, {}, &CareEntry::day);
    return later == all.begin() ? never_d : double((day - (*std::prev(later))->day).count());
}

// Of two notes of one day the later one counts: what came off in the morning may be on again at night.
bool Situation::newer(std::string_view word, std::string_view than, LocalDay day) const {
    const auto newest = [&](std::string_view of) {
        const auto& all = entries_of(of);
        const auto later = std::ranges::upper_bound(all, day, {}, &CareEntry::day);
        return later == all.begin() ? nullptr : *std::prev(later);
    };
    const auto *one = newest(word), *other = newest(than);
    return one && (!other || std::pair(one->day, one) > std::pair(other->day, other));
}

bool Situation::holds(const Condition& c, LocalDay day, std::optional<LocalDay> done) const {
    const double v = value(c.quantity, c.entry, day, done);
    return c.compare == '<' ? v < c.bound : v > c.bound;   // NaN holds neither
}
bool Situation::all(const std::vector<Condition>& list, LocalDay day, std::optional<LocalDay> done) const {
    return std::ranges::all_of(list, [&](const Condition& c) { return holds(c, day, done); });
}
const Condition* Situation::any(const std::vector<Condition>& list, LocalDay day, std::optional<LocalDay> done) const {
    const auto found = std::ranges::find_if(list, [&](const Condition& c) { return holds(c, day, done); });
    return found == list.end() ? nullptr : &*found;
}

double Situation::value(CareValue v, std::string_view entry, LocalDay day, std::optional<LocalDay> done) const {
    if (!stated.empty())
        if (const auto found = stated.find(v); found != stated.end()) return found->second;
    if (v == CareValue::days_since) return days_since(entry, day);
    if (v == CareValue::dd10_since_done) return done ? site_.dd10(*done, day) : unknown;
    if (v <= CareValue::topple_share) return weather(v, day);
    if (v <= CareValue::move_in_margin_K) return roots(v, day);
    if (v <= CareValue::moth_dd) return disease(v, day);
    if (v <= CareValue::dormant) return tree_year(v, day);
    if (v <= CareValue::partner_here) return tree_life(v, day);
    return pot_state(v, day);
}

double Situation::weather(CareValue v, LocalDay day) const {
    const auto& today = site_.on(day);
    const auto tomorrow = site_.on(day + days(1)).known;
    switch (v) {
        case CareValue::mean_7d_degC: return site_.mean_degC(day - days(6), day);
        case CareValue::mean_10d_degC: return site_.mean_degC(day - days(9), day);
        case CareValue::lowest_mean_7d_degC: return site_.lowest_mean_degC(day - days(6), day);
        case CareValue::rain_past_3d_mm: return site_.rain_mm(day - days(2), day);
        case CareValue::rain_past_14d_mm: return site_.rain_mm(day - days(13), day) * pot_.place_on(day).rain;
        case CareValue::max_degC: return today.known ? today.max_degC : unknown;
        case CareValue::gust_m_s: return today.gust_m_s * pot_.place_on(day).wind;
        default: break;
    }
    if (!today.known && !tomorrow) return unknown;   // what lies ahead is told by a forecast only
    switch (v) {
        case CareValue::max_2d_degC: return site_.highest_degC(day, day + days(2));
        case CareValue::max_5d_degC: return site_.highest_degC(day, day + days(5));
        case CareValue::min_2d_degC: return site_.lowest_degC(day + days(1), day + days(2));
        case CareValue::min_5d_degC: return site_.lowest_degC(day + days(1), day + days(5));
        case CareValue::rain_1d_mm: return site_.rain_mm(day, day + days(1));
        case CareValue::rain_2d_mm: return site_.rain_mm(day, day + days(2));
        default: break;
    }
    double wind = unknown, gust = unknown;
    const double share = pot_.place_on(day).wind;
    for (int i = 0; i <= 2; ++i) {
        const auto& d = site_.on(day + days(i));
        if (!std::isnan(d.wind_m_s)) wind = std::fmax(wind, d.wind_m_s * share);
        if (i < 2 && !std::isnan(d.gust_m_s)) gust = std::fmax(gust, d.gust_m_s * share);
    }
    if (v == CareValue::wind_2d_m_s) return wind;
    if (v == CareValue::gust_news) return gust / strongest_stood_m_s(day);
    return v == CareValue::gust_2d_m_s ? gust : gust / topple_m_s();
}

// The strongest gust in the bay of the month before; none where nothing is known of it, or where the pot fell in it.
double Situation::strongest_stood_m_s(LocalDay day) const {
    if (days_since("saw:fallen", day) <= double(lately_d)) return 0;
    double strongest = 0;
    for (LocalDay before = day - days(lately_d); before < day; before += days(1))
        if (const auto& d = site_.on(before); d.known) strongest = std::fmax(strongest, d.gust_m_s * pot_.place_on(before).wind);
    return strongest;
}

// Medium by the hour from the day's extremes, warmed by the sun on the wall: 12 K at noon on a dark one, 5 on a light one.
// Own assumption
void Situation::warm_medium(MediumCourse& course, bool wrapped) const {
    const auto all_days = site_.all();
    course.min_degC.resize(all_days.size());
    course.max_degC.resize(all_days.size());
    const double step = std::exp(-1 / medium_lag_h(std::max(1.0, pot_.volume_l), wrapped));
    const double wall_K = (pot_.setup.container.colour == Colour::light ? 5.0 : pot_.setup.container.colour == Colour::dark ? 12.0 : 8.0);
    std::array<double, 24> wave{}, sun{};
    for (std::size_t h = 0; h < 24; ++h) {
        wave[h] = std::cos(2 * std::numbers::pi * (double(h) - 15) / 24);
        sun[h] = std::max(0.0, std::cos(2 * std::numbers::pi * (double(h) - 12) / 24));
    }
    double t = all_days.front().mean_degC;
    for (std::size_t i = 0; i < all_days.size(); ++i) {
        const auto& d = all_days[i];
        const auto& where = pot_.place_on(d.day);
        const bool inside = where.place == "indoors";
        const double sun_K = where.light * wall_K;
        const double middle = (d.max_degC + d.min_degC) / 2, half = (d.max_degC - d.min_degC) / 2;
        double low = 100, high = -100;
        for (std::size_t h = 0; h < 24; ++h) {
            const double air = inside ? std::max(5.0, middle) : middle + half * wave[h] + sun_K * sun[h] * (d.calm_and_clear ? 1 : 0.4);
            t = air + (t - air) * step;
            low = std::min(low, t);
            high = std::max(high, t);
        }
        course.min_degC[i] = float(low);
        course.max_degC[i] = float(high);
    }
}

// As it was expected on the morning of `from`: a wall wrapped on it or later changes nothing of what was asked for before.
double Situation::medium(LocalDay from, LocalDay to, bool lowest) const {
    if (!ever_wrapped_) ever_wrapped_ = days_since("wrapped", site_.last_day()) < never_d;
    const bool wrapped = *ever_wrapped_ && value(CareValue::wrapped, {}, from - days(1)) > 0.5;
    MediumCourse& course = wrapped ? medium_wrapped_ : medium_bare_;
    if (course.min_degC.empty()) warm_medium(course, wrapped);
    double found = lowest ? 100 : -100;
    for (auto i = site_.place_of(from); i <= site_.place_of(to); ++i)
        found = lowest ? std::min(found, double(course.min_degC[i])) : std::max(found, double(course.max_degC[i]));
    return found;
}

// So many days running before this one the medium never rose above freezing, and today it does; else none.
double Situation::thaw_after_d(LocalDay day) const {
    const auto frozen = [&](LocalDay d) { return site_.on(d).known && medium(d, d, false) <= freezing_degC; };
    if (!site_.on(day).known || frozen(day)) return 0;
    int before = 0;
    while (before < lately_d && frozen(day - days(before + 1))) ++before;
    return before;
}

std::optional<FlowerNight> Situation::flower_night(LocalDay day) const {
    const auto& night = site_.on(day + days(1));
    const auto* now = bud_kill_at(tree_.species->key, tree_.years->stage(day));
    if (!bearing(day) || !tree_.years->stage_is_known(day) || !now || !night.known) return std::nullopt;
    const auto* next = bud_kill_at(tree_.species->key, tree_.years->stage(day + days(1)));
    const bool tomorrow = next && next->kill10_degC() > now->kill10_degC();
    return FlowerNight{night.min_degC, tubgrove::frost_margin_K(night.calm_and_clear, night.max_degC - night.min_degC), tomorrow ? next : now, tomorrow};
}

double Situation::roots(CareValue v, LocalDay day) const {
    if (v == CareValue::frost_margin_K) {
        const auto night = flower_night(day);
        return night ? night->spare_K() : unknown;
    }
    if (v == CareValue::medium_degC) return (medium(day, day, true) + medium(day, day, false)) / 2;
    if (v == CareValue::medium_max_degC) return site_.on(day).known ? medium(day, day + days(1), false) : unknown;
    if (v == CareValue::medium_low_degC || v == CareValue::medium_high_degC)
        return site_.on(day).known ? medium(day, day, v == CareValue::medium_low_degC) : unknown;
    if (v == CareValue::thaw_after_d) return thaw_after_d(day);
    if (!site_.on(day + days(1)).known) return unknown;
    if (v == CareValue::medium_min_2d_degC) return medium(day, day + days(2), true);
    if (v == CareValue::medium_min_5d_degC) return medium(day, day + days(5), true);
    if (v == CareValue::cold_news_K) return medium(day - days(lately_d), day - days(1), true) - medium(day, day + days(2), true);
    if (v == CareValue::root_margin_K) {
        double plan = root_plan_degC(tree_.stock_name);
        if (std::isnan(plan)) plan = tree_.care ? tree_.care->root_plan_degC : root_alarm_degC;
        if (tree_.stock_name.empty() && tree_.species->key == "apple") plan = root_alarm_degC - 3;   // alarm 3 K above it: at -5
        return medium(day, day + days(2), true) - plan;
    }
    if (!tree_.care || !tree_.care->move_in_degC) return unknown;
    const double limit = in_leaf(day) || !tree_.care->move_in_bare_degC ? *tree_.care->move_in_degC : *tree_.care->move_in_bare_degC;
    return site_.lowest_degC(day + days(1), day + days(2)) + kept_off_K(day) - limit;
}

// What a place keeps off a crown that still stands outside: a roof the loss to a clear sky, a fleece its gain, whichever is more. Own
// assumption, by the margins of frost at the flower
double Situation::kept_off_K(LocalDay day) const {
    const double roof = pot_state(CareValue::under_roof, day) > 0.5 ? tubgrove::frost_margin_K(true, 0) - tubgrove::frost_margin_K(false, 0) : 0;
    const auto& night = site_.on(day + days(1));
    const bool covered = pot_state(CareValue::covered, day - days(1)) > 0.5;
    return std::max(roof, covered ? cover_gain_K(std::isnan(night.wind_m_s) ? 0 : night.wind_m_s * pot_.place_on(day).wind) : 0.0);
}

double Situation::blight_of(LocalDay day) const {
    const auto& d = site_.on(day);
    const auto* opened = tree_.years->last(Mark::first_bloom, day);
    const auto* fallen = tree_.years->last(Mark::petal_fall, day);
    if (!d.known || !opened || opened->from >= MarkFrom::usual) return unknown;
    const bool open = !fallen || fallen->day < opened->day || (day - fallen->day).count() < 10;
    double hours = 0, age_dd = 0;
    for (LocalDay back = day; back >= opened->day && age_dd <= blossom_life_dd; back -= days(1)) {
        hours += site_.on(back).degree_hours;
        age_dd += std::max(0.0, site_.on(back).mean_degC - celsius_of(40));
    }
    const bool wet = d.wet || site_.on(day - days(1)).rain_mm >= 2.5;
    return double(int(blight({open, hours, wet, d.mean_degC})));
}

double Situation::disease(CareValue v, LocalDay day) const {
    const auto& d = site_.on(day);
    if (v == CareValue::scab) return d.known ? d.scab_leaves : unknown;
    if (v == CareValue::curl) return d.known ? d.curl : unknown;
    if (v == CareValue::blight) return blight_of(day);
    const auto* bloom = tree_.years->last(Mark::full_bloom, day);
    if (!bloom || bloom->from >= MarkFrom::usual || (day - bloom->day).count() > 200) return unknown;
    const double since_catch = days_since("saw:moth", day);
    const LocalDay biofix = since_catch < double((day - bloom->day).count()) ? day - days(long(since_catch)) : bloom->day;
    return site_.moth_dd(biofix, day);
}

bool Situation::in_leaf(LocalDay day) const {
    if (tree_.species->evergreen) return true;
    const auto* out = tree_.years->last(Mark::green_tip, day);
    const auto* down = tree_.years->last(Mark::leaf_fall, day);
    if (!out || !down || down->day < out->day) return out != nullptr;
    // After a warm winter old leaves may fall while the new ones come: that fall belongs to the summer before.
    const auto* summer = tree_.years->last(Mark::longest_day, down->day);
    return summer && summer->day < out->day;
}

double Situation::planted_years(LocalDay day) const {
    return tree_.tree.planted ? double((day - *tree_.tree.planted).count()) / year_d : unknown;
}
double Situation::graft_weeks(LocalDay day) const {
    if (!tree_.tree.grafted || *tree_.tree.grafted > day) return unknown;
    return double((day - *tree_.tree.grafted).count()) / 7;
}
// From the longest day until midwinter what is set on a tree that drops its leaves is a bud, and sleeps (common practice, no source).
std::optional<LocalDay> Situation::graft_awake() const {
    const auto& grafted = tree_.tree.grafted;
    if (!grafted || tree_.species->evergreen) return grafted;
    const auto* summer = tree_.years->last(Mark::longest_day, *grafted);
    const auto* winter = tree_.years->last(Mark::midwinter, *grafted);
    if (!summer || (winter && summer->day < winter->day)) return grafted;
    const auto* spring = tree_.years->next(Mark::green_tip, *grafted);
    return spring ? std::optional(spring->day) : std::nullopt;
}
double Situation::graft_awake_weeks(LocalDay day) const {
    constexpr double asleep_w = -26;
    if (std::isnan(graft_weeks(day))) return unknown;
    const auto awake = graft_awake();
    return awake ? double((day - *awake).count()) / 7 : asleep_w;
}
// The bloom that settles whether there is a crop: of buds that move already, the one to come.
LocalDay Situation::bloom_of(LocalDay day) const {
    const auto* bloomed = tree_.years->last(Mark::full_bloom, day);
    const auto* moved = tree_.years->last(Mark::swelling, day);
    if (bloomed && !(moved && bloomed->day < moved->day)) return bloomed->day;
    const auto* next = tree_.years->next(Mark::full_bloom, day);
    return next ? next->day : day;
}
// A tree that has stood for a season bears, its first crop about two years after planting (common practice, no source); a graft not in its
// first two seasons, whether it was made in spring or budded in summer. Both are judged by the day of the bloom.
bool Situation::bearing(LocalDay day) const {
    constexpr double season_y = 0.9, two_seasons_w = 97;
    const LocalDay bloom = bloom_of(day);
    const auto since_d = [&](const std::optional<LocalDay>& from) { return from ? double((bloom - *from).count()) : never_d; };
    return since_d(tree_.tree.planted) >= season_y * year_d && since_d(tree_.tree.grafted) >= two_seasons_w * 7 && tree_.tree.graft_taken.value_or(true);
}
bool Situation::fruiting(LocalDay day) const {
    const auto* set = tree_.years->last(Mark::fruit_set, day);
    if (!set || !bearing(day)) return false;
    const auto* bloom = tree_.years->last(Mark::full_bloom, day);
    const double since_bloom = bloom ? double((day - bloom->day).count()) : 0;
    for (const char* word : {"flowers-off", "picked", "saw:no-fruit"})
        if (days_since(word, day) <= since_bloom) return false;
    const int hangs_d = tree_.care && tree_.care->harvest_d > 0 ? tree_.care->harvest_d + 21 : 200;
    return since_bloom <= hangs_d;
}

double Situation::tree_year(CareValue v, LocalDay day) const {
    switch (v) {
        case CareValue::bloom_d: {
            const auto* bloom = tree_.years->last(Mark::full_bloom, day);
            return bloom ? double((day - bloom->day).count()) : unknown;
        }
        case CareValue::in_leaf: return yes(in_leaf(day));
        case CareValue::growing: return yes(in_leaf(day) && site_.mean_degC(day - days(6), day) > 8);
        case CareValue::flowering: {
            const auto* open = tree_.years->last(Mark::first_bloom, day);
            const auto* fallen = tree_.years->last(Mark::petal_fall, day);
            return yes(open && (!fallen || fallen->day < open->day));
        }
        case CareValue::fruiting: return yes(fruiting(day));
        case CareValue::bearing: return yes(bearing(day));
        case CareValue::winterless: {   // the leaves of this summer hang until buds move again
            const auto* summer = tree_.years->last(Mark::longest_day, day);
            const auto* fall = summer ? tree_.years->next(Mark::leaf_fall, summer->day) : nullptr;
            return yes(fall && !tree_.years->has_winter(*fall));
        }
        default: return yes(!in_leaf(day));
    }
}

double Situation::tree_life(CareValue v, LocalDay day) const {
    const auto& tree = tree_.tree;
    switch (v) {
        case CareValue::planted_y: return planted_years(day);
        case CareValue::graft_w: return graft_weeks(day);
        case CareValue::graft_awake_w: return graft_awake_weeks(day);
        case CareValue::graft_proven: return yes(tree.graft_taken.value_or(!(graft_awake_weeks(day) < 26)));
        case CareValue::graft_failed: return yes(tree.graft_taken == std::optional(false));
        case CareValue::own_rooted: return yes(tree_.stock.vigour == "own-roots");
        case CareValue::evergreen: return yes(tree_.species->evergreen);
        case CareValue::dwarfing: return yes(tree_.stock.vigour == "very-dwarfing" || tree_.stock.vigour == "dwarfing");
        case CareValue::stake_known: return yes(tree.stake != Stake::unknown);
        case CareValue::stake_for_life: return yes(tree_.stock.stake == Stake::permanent);
        case CareValue::staked: {
            if (tree.stake != Stake::unknown) return yes(tree.stake != Stake::none);
            if (tree_.species->evergreen) return 0;   // citrus and olive seldom have one: only a stake that was told. Common practice, no source
            const double age = planted_years(day);
            return yes(tree_.stock.stake == Stake::permanent || (tree_.stock.stake == Stake::temporary && !(age > tree_.stock.stake_years)));
        }
        case CareValue::crown_cm: {
            if (tree.crown && tree.crown->height) return cm(*tree.crown->height);
            const double age = planted_years(day);
            const double in_ground = tree_.stock.height_high_m > 0 ? tree_.stock.height_high_m * 100 : 250;
            const double grown = std::min(in_ground, 100 * pot_crown_m(pot_.volume_l) / width_over_height);
            return std::isnan(age) ? grown : std::min(grown, 60 + 45 * age);
        }
        case CareValue::self_fertile: return yes(!tree_.care || tree_.care->pollination == "self");
        default: return yes(tree_.partner_here);
    }
}

double Situation::heavy_kg() const { return potful_kg({pot_.volume_l, pot_.wet_kg_l, 0.05 * pot_.volume_l, 3.0 * double(pot_.trees.size())}); }

// The pot as a cylinder as wide as high, the crown as half of its rectangle: an order of magnitude. Own assumption
double Situation::topple_m_s() const {
    const double width_m = std::cbrt(4 * pot_.volume_l / 1000 / std::numbers::pi);
    const double told_m = value(CareValue::crown_cm, {}, site_.today()) / 100;
    const bool measured = std::ranges::any_of(pot_.trees, [](const TreeCare& t) { return t.tree.crown && t.tree.crown->height; });
    const double crown_m = measured ? told_m : std::min(told_m, crown_over_pot * width_m);
    const double crown_m2 = 0.5 * crown_m * width_over_height * crown_m;
    const double dry_kg = 0.3 * pot_.volume_l * std::min(1.0, pot_.dry_share.value_or(0.3));
    const double frontal = width_m * width_m + crown_m2;
    const double centre = (width_m * width_m * width_m / 2 + crown_m2 * (width_m + crown_m / 2)) / frontal;
    return topple_gust_m_s({heavy_kg() - dry_kg, 0.42 * width_m, frontal, centre, in_leaf(site_.today()) ? 0.5 : 0.25});
}

double Situation::rain_on_it_mm(LocalDay from, LocalDay to) const {
    double mm = 0;
    for (const auto& stood : pot_.stood) {
        const LocalDay until = std::min(to, stood.until);
        if (from <= until) mm += site_.rain_mm(from, until) * stood.at.rain, from = until + days(1);
    }
    return from <= to ? mm + site_.rain_mm(from, to) * pot_.rain : mm;
}

// Half of the rain on a leafy pot's top runs through, since the rest fills it; nine tenths where it is bare. Of a pour until it ran through
// a tenth, of a measured drainage all. Own assumption
double Situation::drained_l(LocalDay from, LocalDay to) const {
    constexpr double leafy = 0.5, bare = 0.9, poured_through = 0.1;
    double rain_mm = leafy * rain_on_it_mm(from, to);
    if (!tree_.species->evergreen)
        for (const auto& fall : tree_.years->of(Mark::leaf_fall)) {
            if (!tree_.years->has_winter(fall)) continue;   // its leaves are back before they are down
            const auto* spring = tree_.years->next(Mark::green_tip, fall.day);
            rain_mm += (bare - leafy) * rain_on_it_mm(std::max(from, fall.day), std::min(to, spring ? spring->day : to));
        }
    double litres = rain_mm * 0.8 * std::cbrt(pot_.volume_l / 1000) * std::cbrt(pot_.volume_l / 1000);
    for (const auto& e : pot_.entries)
        if (const auto l = e.values.find("amount_l"); l != e.values.end() && e.day >= from && e.day <= to)
            litres += (e.action == "drained" ? 1 : e.action == "ran-through" ? poured_through : 0) * std::strtod(l->second.c_str(), nullptr);
    return litres;
}

double Situation::pot_state(CareValue v, LocalDay day) const {
    const auto& setup = pot_.setup;
    switch (v) {
        case CareValue::in_pot_y: return double((day - setup.in_this_pot_since).count()) / year_d;
        case CareValue::pot_l: return pot_.volume_l;
        case CareValue::pot_kg: return heavy_kg();
        case CareValue::mulched: return yes(setup.mulch && cm(setup.mulch->depth) > 0);
        case CareValue::mulch_cm: return setup.mulch ? worn_mulch_cm(cm(setup.mulch->depth), double((day - pot_.mulched).count())) : 0;
        case CareValue::has_saucer: return yes(setup.container.saucer.has_value());
        case CareValue::fabric: return yes(setup.container.wall == Wall::fabric);
        case CareValue::indoors: return yes(pot_.place_on(day).place == "indoors");
        case CareValue::under_roof: return yes(pot_.place_on(day).rain < 0.1);
        case CareValue::balcony: return yes(pot_.place_on(day).place == "balcony" || pot_.place_on(day).place == "roof");
        case CareValue::on_grass: return yes(pot_.place_on(day).ground == "grass");
        case CareValue::dark_wall: return yes(setup.container.colour == Colour::dark || setup.container.wall == Wall::metal);
        case CareValue::colour_untold: return yes(setup.container.colour == Colour::unknown && setup.container.wall != Wall::metal);
        case CareValue::in_sun: return yes(pot_.place_on(day).light > 0.5);
        case CareValue::sheltered: return yes(pot_.place_on(day).wind < 0.5);
        case CareValue::wrapped: return yes(newer("wrapped", "unwrapped", day));
        case CareValue::covered: return yes(newer("covered", "uncovered", day));
        case CareValue::dry_share: return day == site_.today() ? pot_.dry_share.value_or(unknown) : unknown;
        default: {
            const double since = std::min(days_since("flushed", day), double((day - pot_.added).count()));
            return drained_l(day - days(long(since)), day) / std::max(1.0, pot_.volume_l);
        }
    }
}

}  // namespace tubgrove
