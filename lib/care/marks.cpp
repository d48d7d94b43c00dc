#include "care/marks.hpp"

#include "care/chill.hpp"
#include "care/season.hpp"
#include "tree/degree_days.hpp"
#include "tree/phenology.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace tubgrove {
namespace {

using std::chrono::days;
using std::chrono::year_month_day;

constexpr int half_down_d = 10;   // leaves fall over 21 days; half of them are down after ten

LocalDay midwinter_of(LocalDay day, bool south) {
    const year_month_day date{day};
    const auto month = south ? std::chrono::July : std::chrono::January;
    const LocalDay this_year{year_month_day{date.year(), month, std::chrono::day(1)}};
    return this_year <= day ? this_year : LocalDay{year_month_day{date.year() - std::chrono::years(1), month, std::chrono::day(1)}};
}
LocalDay year_after(LocalDay midwinter) {
    const year_month_day date{midwinter};
    return LocalDay{year_month_day{date.year() + std::chrono::years(1), date.month(), date.day()}};
}

struct Sum {
    Mark mark;
    double dd;
};

// Heat sums of the marks, by rising sum.
std::vector<Sum> sums_of(const Species& s) {
    std::vector<Sum> sums;
    if (!s.green_tip_dd) return sums;
    const double tip = *s.green_tip_dd;
    sums.push_back({Mark::swelling, 0.6 * tip});
    sums.push_back({Mark::green_tip, tip});
    if (s.first_leaf_dd) sums.push_back({Mark::first_leaf, *s.first_leaf_dd});
    if (s.full_bloom_dd) {
        const double way = *s.full_bloom_dd - tip;
        sums.push_back({Mark::cluster, tip + 0.35 * way});
        sums.push_back({Mark::colour, tip + 0.55 * way});
        sums.push_back({Mark::first_bloom, tip + 0.9 * way});
        sums.push_back({Mark::full_bloom, *s.full_bloom_dd});
        sums.push_back({Mark::petal_fall, s.petal_fall_dd.value_or(*s.full_bloom_dd + 70)});
    }
    std::ranges::stable_sort(sums, {}, &Sum::dd);
    return sums;
}

std::optional<Mark> mark_named(std::string_view name) {
    const auto found = std::ranges::find(mark_names, name);
    return found == mark_names.end() ? std::nullopt : std::optional(Mark(found - mark_names.begin()));
}

class Maker {
public:
    Maker(const CareSite& site, const Species& species, int harvest_d, const std::map<std::string, LocalDay>& observed)
        : site_(site), species_(species), harvest_d_(harvest_d), sums_(sums_of(species)) {
        for (const auto& [name, day] : observed)
            if (const auto mark = mark_named(name)) seen_[*mark].push_back(day);
    }

    TreeYears make() {
        LocalDay season = midwinter_of(site_.first_day(), site_.south());
        if (season < site_.first_day()) season = year_after(season);
        for (; season < site_.last_day(); season = year_after(season)) one_season(season, year_after(season));
        return std::move(years_);
    }

private:
    void put(Mark m, LocalDay day, MarkFrom from) {
        auto& list = years_.marks[std::size_t(m)];
        if (day <= site_.last_day() && (list.empty() || list.back().day < day)) list.push_back({day, from});
    }
    MarkFrom from_of(LocalDay day) const { return site_.on(day).known ? MarkFrom::heat_sum : MarkFrom::usual; }
    std::optional<LocalDay> seen(Mark m, LocalDay from, LocalDay to) const {
        const auto found = seen_.find(m);
        if (found == seen_.end()) return std::nullopt;
        for (LocalDay day : found->second)
            if (day >= from && day < to) return day;
        return std::nullopt;
    }

    void one_season(LocalDay from, LocalDay to) {
        put(Mark::midwinter, from, MarkFrom::seen);
        const auto longest = longest_day(int(year_month_day(from).year()), site_.south());
        put(Mark::longest_day, longest, MarkFrom::seen);
        bloom_.reset();
        if (sums_.empty()) by_warmth(from, to);
        else by_sums(from, to);
        const MarkDay ends = species_.evergreen ? rest(longest, to) : leaf_fall(longest, to);
        if (!species_.evergreen) put(Mark::leaf_fall, ends.day, ends.from);
        rested_ = ends.from != MarkFrom::assumed || chilled(longest, to);
        put(Mark::growth_end, ends.day, ends.from == MarkFrom::seen ? from_of(ends.day) : ends.from);
        const auto frost = site_.first_frost_after(longest);
        const bool no_rest = species_.evergreen && !frost && ends.from == MarkFrom::assumed;
        put(Mark::feed_stop, stops_feeding(longest, ends.day, frost), no_rest ? MarkFrom::assumed : MarkFrom::seen);
        if (bloom_ && harvest_d_ > 0) put_harvest(ends.day);
    }

    // Counted from the bloom, be it seen: no day that somebody saw. Where half the leaves are down before the usual days are over, as far north
    // as apples grow, a kind is grown that ripens before they fall, and no heat tells when. Own assumption
    void put_harvest(LocalDay growth_ends) {
        const LocalDay ripe = bloom_->day + days(harvest_d_);
        const bool in_leaf = species_.evergreen || ripe <= growth_ends;
        put(Mark::harvest, in_leaf ? ripe : growth_ends - days(half_down_d), std::max(bloom_->from, in_leaf ? MarkFrom::heat_sum : MarkFrom::usual));
    }

    void by_sums(LocalDay from, LocalDay to) {
        double heat = 0;
        std::size_t next = 0;
        for (LocalDay day = from; day < to && day <= site_.last_day() && next < sums_.size(); day += days(1)) {
            const auto& d = site_.on(day);
            heat += degree_days_average({d.max_degC, d.min_degC}, species_.base_degC);
            for (std::size_t i = next; i < sums_.size(); ++i)
                if (const auto at = seen(sums_[i].mark, from, to)) {
                    if (*at == day) heat = std::max(heat, sums_[i].dd);
                    else if (*at > day) heat = std::min(heat, sums_[i].dd - 0.001);
                }
            for (; next < sums_.size() && heat >= sums_[next].dd; ++next) {
                const bool was_seen = seen(sums_[next].mark, from, to) == std::optional(day);
                rested_ = rested_ || was_seen;
                const MarkFrom how = was_seen ? MarkFrom::seen : rested_ ? from_of(day) : MarkFrom::assumed;
                put(sums_[next].mark, day, how);
                if (sums_[next].mark == Mark::full_bloom) bloom_ = MarkDay{day, how};
                if (sums_[next].mark == Mark::petal_fall) put(Mark::fruit_set, day + days(10), how);
            }
        }
    }

    // Kinds without heat sums: spring begins when ten days' mean passes the base.
    void by_warmth(LocalDay from, LocalDay to) {
        for (LocalDay day = from; day < to && day <= site_.last_day(); day += days(1)) {
            if (site_.mean_degC(day - days(9), day) < species_.base_degC) continue;
            const MarkFrom how = day == from ? MarkFrom::assumed : from_of(day);   // warm enough at midwinter: it may never have stopped
            put(Mark::swelling, day - days(7), how);
            put(Mark::green_tip, day, how);
            put(Mark::first_leaf, first_leaf(from, day, to), how);
            break;
        }
        for (Mark m : {Mark::full_bloom, Mark::petal_fall})
            if (const auto at = seen(m, from, to)) {
                put(m, *at, MarkFrom::seen);
                if (m == Mark::full_bloom) bloom_ = MarkDay{*at, MarkFrom::seen};
                if (m == Mark::petal_fall) put(Mark::fruit_set, *at + days(10), MarkFrom::seen);
            }
    }

    // By the heat since midwinter, as tree/phenology.hpp has it; of kinds without a sum a week after growth begins.
    LocalDay first_leaf(LocalDay midwinter, LocalDay grows, LocalDay to) const {
        if (!species_.first_leaf_dd) return grows + days(7);
        double heat = 0;
        for (LocalDay day = midwinter; day < to && day <= site_.last_day(); day += days(1)) {
            heat += degree_days_average({site_.on(day).max_degC, site_.on(day).min_degC}, species_.base_degC);
            if (heat >= *species_.first_leaf_dd) return std::max(day, grows);
        }
        return to;
    }

    // Half the leaves down: as in tree/phenology.hpp, which computes the beginning of the fall. Where nothing brings it, leaves
    // give way at midwinter.
    MarkDay leaf_fall(LocalDay longest, LocalDay to) const {
        if (const auto at = seen(Mark::leaf_fall, longest, to + days(60))) return {*at, MarkFrom::seen};
        std::optional<LocalDay> frost;
        for (LocalDay day = longest + days(1); day < to && day <= site_.last_day(); day += days(1)) {
            const auto& d = site_.on(day);
            if (!frost && d.min_degC <= -3) frost = day;
            const bool dark_and_cold = d.daylight_h < 11 && site_.mean_degC(day - days(9), day) < 8;
            if (dark_and_cold || (frost && day >= *frost + days(5))) return {day + days(half_down_d), from_of(day + days(half_down_d))};
        }
        return {to + days(half_down_d), MarkFrom::assumed};
    }
    // Where frost comes the same day for all; what keeps its leaves is fed on only where none does. Source: as feed_stop's
    LocalDay stops_feeding(LocalDay longest, LocalDay ends, std::optional<LocalDay> frost) const {
        if (!species_.evergreen) return feed_stop(longest, frost);
        return frost ? std::min(ends, feed_stop(longest, frost)) : ends;
    }
    // Whether a winter that took no leaves was cold enough for buds all the same: by its portions until two months after midwinter,
    // hours from a day's extremes. Forcing counts after 60 % of the need: own assumption; needs [PORTIONS]
    bool chilled(LocalDay longest, LocalDay midwinter) const {
        const auto needs = chill_needs();
        const auto need = std::ranges::find(needs, species_.key, &ChillNeed::species);
        if (need == needs.end()) return true;
        ChillPortions sum;
        for (LocalDay day = longest + days(60); day <= std::min(midwinter + days(60), site_.last_day()); day += days(1)) {
            const auto& d = site_.on(day);
            const double middle = (d.max_degC + d.min_degC) / 2, half = (d.max_degC - d.min_degC) / 2;
            for (int h = 0; h < 24; ++h) sum.hour(middle + half * std::cos(2 * std::numbers::pi * (h - 15) / 24));
            if (sum.portions() >= 0.6 * need->from) return true;
        }
        return false;
    }
    MarkDay rest(LocalDay longest, LocalDay to) const {
        for (LocalDay day = longest + days(30); day < to && day <= site_.last_day(); day += days(1))
            if (site_.mean_degC(day - days(9), day) < species_.base_degC) return {day, from_of(day)};
        return {to - days(1), MarkFrom::assumed};
    }

    const CareSite& site_;
    const Species& species_;
    int harvest_d_;
    std::vector<Sum> sums_;
    std::map<Mark, std::vector<LocalDay>> seen_;
    std::optional<MarkDay> bloom_;
    bool rested_ = true;   // a winter came before the season: without one no heat sum tells when buds move
    TreeYears years_;
};

constexpr std::array stage_marks{Mark::swelling, Mark::green_tip, Mark::first_leaf, Mark::cluster, Mark::colour, Mark::first_bloom,
                                 Mark::full_bloom, Mark::petal_fall, Mark::fruit_set, Mark::leaf_fall};

}  // namespace

const MarkDay* TreeYears::last(Mark m, LocalDay day) const {
    const auto& list = of(m);
    const auto after = std::ranges::upper_bound(list, day, {}, &MarkDay::day);
    return after == list.begin() ? nullptr : &*std::prev(after);
}
const MarkDay* TreeYears::next(Mark m, LocalDay day) const {
    const auto& list = of(m);
    const auto found = std::ranges::lower_bound(list, day, {}, &MarkDay::day);
    return found == list.end() ? nullptr : &*found;
}

namespace {

// The newest stage of a season, and whose day tells it. A fall soon after midwinter, where buds have moved already, is that of the
// year before.
std::pair<Mark, const MarkDay*> newest_stage(const TreeYears& years, LocalDay day) {
    constexpr int old_leaves_d = 90;
    const auto* winter = years.last(Mark::midwinter, day);
    std::pair<Mark, const MarkDay*> newest{Mark::midwinter, nullptr};
    for (Mark m : stage_marks) {
        const auto* passed = years.last(m, day);
        if (!passed || (winter && passed->day < winter->day) || (newest.second && passed->day < newest.second->day)) continue;
        if (m == Mark::leaf_fall && newest.second && winter && passed->day < winter->day + days(old_leaves_d)) continue;
        newest = {m, passed};
    }
    return newest;
}

}  // namespace

std::string_view TreeYears::stage(LocalDay day) const {
    const auto [mark, told] = newest_stage(*this, day);
    return told && mark != Mark::leaf_fall ? mark_names[std::size_t(mark)] : "dormant";
}

bool TreeYears::stage_is_known(LocalDay day) const {
    const auto* told = newest_stage(*this, day).second;
    return told && told->from < MarkFrom::usual;
}

bool TreeYears::has_winter(const MarkDay& fall) const {
    if (fall.from == MarkFrom::assumed) return false;
    const auto* summer = last(Mark::longest_day, fall.day);
    const auto* buds = summer ? next(Mark::swelling, summer->day) : nullptr;
    return !buds || buds->day > fall.day;
}

TreeYears tree_years(const CareSite& site, const Species& species, int harvest_d, const std::map<std::string, LocalDay>& observed) {
    return Maker(site, species, harvest_d, observed).make();
}

}  // namespace tubgrove
