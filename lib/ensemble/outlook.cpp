#include "ensemble/outlook.hpp"

#include "ensemble/member_weather.hpp"
#include "pot/rooted.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

// The members that follow one forecast, as an ensemble of their own: what a day's weather asks of them.
struct Followers {
    std::vector<std::size_t> members;
    Ensemble scores;
    MemberPlace place;
};

std::vector<double> picked(const std::vector<double>& all, const std::vector<std::size_t>& members) {
    std::vector<double> some;
    for (const std::size_t i : members) some.push_back(all[i]);
    return some;
}

std::vector<Followers> followers_of(const Ensemble& e, const MemberPlace& place, std::size_t forecasts) {
    std::vector<Followers> all(forecasts);
    for (std::size_t i = 0; i < e.size(); ++i)
        all[std::min(forecasts - 1, std::size_t(normal_cdf(e[Dim::forecast][i]) * double(forecasts)))].members.push_back(i);
    for (Followers& some : all) {
        some.scores.pot = e.pot;
        some.scores.weights = picked(e.weights, some.members);
        for (const Dim d : {Dim::et0_error, Dim::rain_error, Dim::forecast}) some.scores[d] = picked(e[d], some.members);
        some.place = {picked(place.light, some.members), picked(place.wind, some.members), picked(place.heat, some.members), place.room};
    }
    return all;
}

void put_back(MemberDay& into, const MemberDay& from, const std::vector<std::size_t>& members) {
    if (into.rain_mm.empty() && !from.rain_mm.empty()) into.rain_mm.assign(into.et0_mm.size(), 0.0);
    for (std::size_t k = 0; k < members.size(); ++k) into.day_et0_mm[members[k]] = from.day_et0_mm[k];
    for (std::size_t h = 0; h < into.rains.size() && h < from.rains.size(); ++h) {
        for (std::size_t k = 0; k < members.size(); ++k) {
            into.et0_mm[h * into.members + members[k]] = from.et0_mm[h * from.members + k];
            if (!into.rain_mm.empty()) into.rain_mm[h * into.members + members[k]] = from.rains[h] ? from.rain_mm[h * from.members + k] : 0;
        }
        into.rains[h] |= from.rains[h];
    }
}

}  // namespace

Outlook::Outlook(const Ensemble& e, const Belief& belief, const Priors& priors, const Zone& zone,
                 std::span<const std::vector<DayCourse>> forecasts, Instant until)
    : e_(e), belief_(belief), priors_(priors), zone_(zone), members_(members_of(e, belief)),
      onset_(onset_shares(e, members_.bypass_scale, priors)), place_(member_place(e, belief)),
      scatter_(event_scores(e.pot, "ahead", e.size())),
      ignores_(event_choice(e.pot, "ahead/ignores", priors.fixed(PriorKey::stop_ignored), e.size())), until_(until) {
    double warm = e.warm_rate;
    const std::vector<Followers> followers = forecasts.size() > 1 ? followers_of(e, place_, forecasts.size()) : std::vector<Followers>();
    const auto weather_of = [&](std::size_t d, const Ahead& ahead) {
        MemberDay weather = member_day(e, place_, priors, *forecasts.front()[d].record, ahead);
        for (std::size_t f = 1; f < followers.size(); ++f)
            if (!followers[f].members.empty())
                put_back(weather, member_day(followers[f].scores, followers[f].place, priors, *forecasts[f][d].record, ahead), followers[f].members);
        return weather;
    };
    Grid grid{.members = e.size(), .stretches = {}, .rows = {}};
    const std::vector<DayCourse>& first = forecasts.front();
    for (std::size_t d = 0; d < first.size() && first[d].record->starts < until; ++d) {
        if (first[d].record->ends <= e.until) continue;
        add_day(grid, first[d], weather_of(d, {int(days_.size()) + 1, forecasts.size() > 1}), warm);
        warm = warm_rate(Celsius(first[d].record->mean_temp_degC));
    }
    until_ = grid.stretches.empty() ? e.until : std::min(until, grid.stretches.back().ends);
    grid_ = std::make_shared<const Grid>(std::move(grid));
}

std::size_t Outlook::Grid::add_row(std::span<const double> values) {
    rows.insert(rows.end(), values.begin(), values.end());
    return rows.size() / members - 1;
}

void Outlook::add_day(Grid& grid, const DayCourse& day, const MemberDay& weather, double warm_rate_before) {
    DayAhead& d = days_.emplace_back(DayAhead{weather.day_et0_mm, std::vector<double>(e_.size()), std::vector<double>(e_.size()), warm_rate_before});
    member_canopy(e_, belief_, day.canopy, d.demand_l_mm, d.crown_m2);
    const std::vector<Instant> drips = drip_times(belief_, *day.record, zone_);
    const bool begins = e_.day != day.record->day;
    for (std::size_t h = 0; h < day.record->hours.size(); ++h) {
        const HourWeather& hour = day.record->hours[h];
        const Instant ends = h + 1 < day.record->hours.size() ? day.record->hours[h + 1].starts : day.record->ends;
        if (ends <= e_.until) continue;
        const Instant starts = std::max(hour.starts, e_.until);
        Stretch s{.starts = starts, .ends = ends, .length_h = double((ends - starts).count()) / 3600, .et0_row = grid.add_row(weather.et0(h)),
                  .rain_row = {}, .day = days_.size() - 1, .midnight = begins && h == 0, .drip = false};
        if (s.length_h < hour.length_h)
            for (double& x : grid.row(s.et0_row)) x *= s.length_h / hour.length_h;
        if (const auto rain = weather.rain(h); !rain.empty() && s.starts <= hour.starts) s.rain_row = grid.add_row(rain);
        s.drip = std::any_of(drips.begin(), drips.end(), [&](Instant t) { return s.starts <= t && t < s.ends; });
        grid.stretches.push_back(s);
    }
}

Outlook::Run Outlook::start() const { return {e_.state, Fluxes(e_.size()), e_.until, 0}; }

Outlook Outlook::coarser(int hours, Instant until) const {
    Grid out{.members = grid_->members, .stretches = {}, .rows = {}};
    const auto add = [&](std::size_t into, std::size_t from) {
        const auto to = out.row(into);
        const auto more = grid_->row(from);
        for (std::size_t i = 0; i < to.size(); ++i) to[i] += more[i];
    };
    for (const Stretch& s : grid_->stretches) {
        const bool joins = !out.stretches.empty() && out.stretches.back().day == s.day && !s.drip && !out.stretches.back().drip
                           && out.stretches.back().length_h + s.length_h <= hours + 1e-9;
        if (!joins && s.starts >= until) break;
        if (!joins) {
            Stretch& block = out.stretches.emplace_back(s);
            block.et0_row = out.add_row(grid_->row(s.et0_row));
            if (s.rain_row) block.rain_row = out.add_row(grid_->row(*s.rain_row));
            continue;
        }
        Stretch& block = out.stretches.back();
        block.ends = s.ends;
        block.length_h += s.length_h;
        add(block.et0_row, s.et0_row);
        if (s.rain_row && block.rain_row) add(*block.rain_row, *s.rain_row);
        else if (s.rain_row) block.rain_row = out.add_row(grid_->row(*s.rain_row));
    }
    Outlook coarse = *this;
    coarse.until_ = out.stretches.empty() ? until_ : std::min(until_, out.stretches.back().ends);
    coarse.grid_ = std::make_shared<const Grid>(std::move(out));
    return coarse;
}

Outlook::Run Outlook::take_up(Run r) const {
    const auto& all = grid_->stretches;
    r.next = 0;
    while (r.next < all.size() && all[r.next].ends <= r.at) ++r.next;
    return r;
}

// What opens the run's stretch is done (midnight, drip line); the hours from there to the next of these, or to `until`, come
// back, and the run stands behind them. `part` holds the ET0 of a last hour that is not run whole.
std::vector<Hour> Outlook::hours_to(Run& r, Instant until, std::vector<double>& part) const {
    const auto& all = grid_->stretches;
    std::vector<Hour> hours;
    while (r.next < all.size() && r.at < until) {
        const Stretch& s = all[r.next];
        const bool opens = r.at <= s.starts;
        if (opens && (s.midnight || s.drip)) {
            if (!hours.empty()) break;
            const DayAhead& day = days_[s.day];
            if (s.midnight) begin_day(members_, {day.et0_mm, day.demand_l_mm, day.crown_m2, day.warm_rate_before}, r.state);
            if (s.drip) pour(r, {belief_.drip->each_l, 1, Until::amount});
        }
        const Instant to = std::min(until, s.ends);
        const double part_h = double((to - std::max(r.at, s.starts)).count()) / 3600;
        std::span<const double> et0 = grid_->row(s.et0_row);
        if (part_h < s.length_h) {
            std::vector<double> scaled(et0.begin(), et0.end());
            for (double& x : scaled) x *= part_h / s.length_h;
            if (!hours.empty() && !part.empty()) break;   // one such hour at a time
            part = std::move(scaled);
            et0 = part;
        }
        hours.push_back({.length_h = part_h, .et0_mm = et0, .rain_mm = {}, .waterings = {}, .dry_after_h = {}});
        if (opens && s.rain_row) hours.back().rain_mm = grid_->row(*s.rain_row);
        r.at = to;
        if (to == s.ends) ++r.next;
    }
    return hours;
}

void Outlook::run(Run& r, Instant until) const {
    while (r.next < grid_->stretches.size() && r.at < until) {
        std::vector<double> part;
        run_hours(members_, hours_to(r, until, part), r.state, r.fluxes);
    }
}

std::vector<double> Outlook::pour(Run& r, const Manner& manner, const std::vector<bool>& whom) const {
    const std::size_t n = e_.size();
    std::vector<double> poured = poured_l(manner, members_, onset_laws(r.state, onset_, priors_), priors_, scatter_, ignores_);
    for (std::size_t i = 0; i < whom.size(); ++i)
        if (!whom[i]) poured[i] = 0;
    const std::vector<double> none(n, 0.0);
    const Watering watering{0, manner.passes, poured};
    hour_step(members_, {.length_h = 0, .et0_mm = none, .rain_mm = {}, .waterings = std::span(&watering, 1), .dry_after_h = {}},
              r.state, r.fluxes);
    return poured;
}

std::vector<double> Outlook::dry_after_h(Run r) const {
    constexpr double never = std::numeric_limits<double>::infinity();
    const std::size_t n = e_.size();
    std::vector<double> first(n, never), within, part;
    double offset_h = 0;
    while (r.next < grid_->stretches.size() && std::find(first.begin(), first.end(), never) != first.end()) {
        part.clear();
        std::vector<Hour> hours = hours_to(r, grid_->stretches.back().ends, part);
        within.resize(hours.size() * n);
        for (std::size_t h = 0; h < hours.size(); ++h) hours[h].dry_after_h = std::span(within).subspan(h * n, n);
        run_hours(members_, hours, r.state, r.fluxes);
        for (const Hour& hour : hours) {
            for (std::size_t i = 0; i < n; ++i)
                if (first[i] == never && hour.dry_after_h[i] < never) first[i] = offset_h + hour.dry_after_h[i];
            offset_h += hour.length_h;
        }
    }
    return first;
}

}  // namespace tubgrove
