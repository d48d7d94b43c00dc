#include "ensemble/outlook.hpp"

#include "ensemble/member_weather.hpp"
#include "pot/rooted.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

// Which forecast each member follows.
std::vector<std::size_t> followed_forecast(const Ensemble& e, std::size_t forecasts) {
    std::vector<std::size_t> choice(e.size());
    for (std::size_t i = 0; i < e.size(); ++i)
        choice[i] = std::min(forecasts - 1, std::size_t(normal_cdf(e[Dim::forecast][i]) * double(forecasts)));
    return choice;
}

void pick_members(MemberDay& into, const MemberDay& from, const std::vector<std::size_t>& choice, std::size_t wanted) {
    for (std::size_t i = 0; i < choice.size(); ++i) {
        if (choice[i] != wanted) continue;
        into.day_et0_mm[i] = from.day_et0_mm[i];
        for (std::size_t h = 0; h < into.rains.size() && h < from.rains.size(); ++h) {
            into.et0_mm[h * into.members + i] = from.et0_mm[h * from.members + i];
            into.rain_mm[h * into.members + i] = from.rain_mm[h * from.members + i];
            into.rains[h] |= from.rains[h];
        }
    }
}

}  // namespace

Outlook::Outlook(const Ensemble& e, const Belief& belief, const Priors& priors, const Zone& zone,
                 std::span<const std::vector<DayCourse>> forecasts, Instant until)
    : e_(e), belief_(belief), priors_(priors), zone_(zone), members_(members_of(e, belief)),
      scatter_(event_scores(e.pot, "ahead", e.size())),
      ignores_(event_choice(e.pot, "ahead/ignores", priors.fixed(PriorKey::stop_ignored), e.size())), until_(until) {
    double warm = e.warm_rate;
    const std::vector<DayCourse>& first = forecasts.front();
    for (std::size_t d = 0; d < first.size() && first[d].record->starts < until; ++d) {
        if (first[d].record->ends <= e.until) continue;
        add_day(forecasts, d, warm);
        warm = warm_rate(Celsius(first[d].record->mean_temp_degC));
    }
    until_ = stretches_.empty() ? e.until : std::min(until, stretches_.back().ends);
}

void Outlook::add_day(std::span<const std::vector<DayCourse>> forecasts, std::size_t index, double warm_rate_before) {
    const DayCourse& day = forecasts.front()[index];
    const Ahead ahead{int(days_.size()) + 1, forecasts.size() > 1};
    const MemberPlace place = member_place(e_, belief_);
    MemberDay weather = member_day(e_, place, priors_, *day.record, ahead);
    if (ahead.several) {
        const std::vector<std::size_t> choice = followed_forecast(e_, forecasts.size());
        for (std::size_t f = 1; f < forecasts.size(); ++f)
            pick_members(weather, member_day(e_, place, priors_, *forecasts[f][index].record, ahead), choice, f);
    }
    DayAhead& d = days_.emplace_back(DayAhead{weather.day_et0_mm, std::vector<double>(e_.size()), std::vector<double>(e_.size()), warm_rate_before});
    member_canopy(e_, belief_, day.canopy, d.demand_l_mm, d.crown_m2);
    const std::vector<Instant> drips = drip_times(belief_, *day.record, zone_);
    const bool begins = e_.day != day.record->day;
    for (std::size_t h = 0; h < day.record->hours.size(); ++h) {
        const HourWeather& hour = day.record->hours[h];
        const Instant ends = h + 1 < day.record->hours.size() ? day.record->hours[h + 1].starts : day.record->ends;
        if (ends <= e_.until) continue;
        Stretch s{std::max(hour.starts, e_.until), ends, 1, {}, {}, days_.size() - 1, begins && h == 0, false};
        s.length_h = double((s.ends - s.starts).count()) / 3600;
        const auto et0 = weather.et0(h);
        s.et0_mm.assign(et0.begin(), et0.end());
        if (s.length_h < hour.length_h)
            for (double& x : s.et0_mm) x *= s.length_h / hour.length_h;
        if (const auto rain = weather.rain(h); s.starts <= hour.starts) s.rain_mm.assign(rain.begin(), rain.end());
        s.drip = std::any_of(drips.begin(), drips.end(), [&](Instant t) { return s.starts <= t && t < s.ends; });
        stretches_.push_back(std::move(s));
    }
}

Outlook::Run Outlook::start() const { return {e_.state, Fluxes(e_.size()), e_.until, 0}; }

Outlook Outlook::coarser(int hours) const {
    Outlook out = *this;
    out.stretches_.clear();
    for (const Stretch& s : stretches_) {
        const bool joins = !out.stretches_.empty() && out.stretches_.back().day == s.day && !s.drip && !out.stretches_.back().drip
                           && out.stretches_.back().length_h + s.length_h <= hours + 1e-9;
        if (!joins) {
            out.stretches_.push_back(s);
            continue;
        }
        Stretch& block = out.stretches_.back();
        block.ends = s.ends;
        block.length_h += s.length_h;
        for (std::size_t i = 0; i < block.et0_mm.size(); ++i) block.et0_mm[i] += s.et0_mm[i];
        if (block.rain_mm.empty()) block.rain_mm = s.rain_mm;
        else
            for (std::size_t i = 0; i < s.rain_mm.size(); ++i) block.rain_mm[i] += s.rain_mm[i];
    }
    return out;
}

Outlook::Run Outlook::take_up(Run r) const {
    r.next = 0;
    while (r.next < stretches_.size() && stretches_[r.next].ends <= r.at) ++r.next;
    return r;
}

// One stretch, or the part of it up to `until`: midnight, drip line, the hour itself.
void Outlook::step(Run& r, Instant until, std::span<double> dry_within_h) const {
    const Stretch& s = stretches_[r.next];
    const DayAhead& day = days_[s.day];
    const bool opens = r.at <= s.starts;
    if (s.midnight && opens) begin_day(members_, {day.et0_mm, day.demand_l_mm, day.crown_m2, day.warm_rate_before}, r.state);
    if (s.drip && opens) pour(r, {belief_.drip->each_l, 1, Until::amount});
    const Instant to = std::min(until, s.ends);
    const double part_h = double((to - std::max(r.at, s.starts)).count()) / 3600;
    std::vector<double> scaled;
    std::span<const double> et0 = s.et0_mm;
    if (part_h < s.length_h) {
        scaled = s.et0_mm;
        for (double& x : scaled) x *= part_h / s.length_h;
        et0 = scaled;
    }
    hour_step(members_, {.length_h = part_h, .et0_mm = et0, .rain_mm = opens ? std::span<const double>(s.rain_mm) : std::span<const double>(),
                         .waterings = {}, .dry_after_h = dry_within_h}, r.state, r.fluxes);
    r.at = to;
    if (to == s.ends) ++r.next;
}

void Outlook::run(Run& r, Instant until) const {
    while (r.next < stretches_.size() && r.at < until) step(r, until, {});
}

MemberPour Outlook::pour(Run& r, const Manner& manner) const {
    const std::size_t n = e_.size();
    OnsetLaws laws = onset_laws(e_, belief_, priors_);
    laws.depletion_l = depletion_l(r.state);
    MemberPour poured = pour_of(manner, r.state, members_, laws, priors_, scatter_, ignores_);
    const std::vector<double> none(n, 0.0);
    const Watering watering{0, poured.passes, poured.pour_l};
    hour_step(members_, {.length_h = 0, .et0_mm = none, .rain_mm = {}, .waterings = std::span(&watering, 1), .dry_after_h = {}},
              r.state, r.fluxes);
    return poured;
}

std::vector<double> Outlook::dry_after_h(Run r) const {
    constexpr double never = std::numeric_limits<double>::infinity();
    std::vector<double> first(e_.size(), never), within(e_.size());
    const Instant from = r.at;
    while (r.next < stretches_.size()) {
        const double offset_h = double((r.at - from).count()) / 3600;
        step(r, stretches_[r.next].ends, within);
        bool all = true;
        for (std::size_t i = 0; i < first.size(); ++i) {
            if (first[i] == never && within[i] < never) first[i] = offset_h + within[i];
            all = all && first[i] < never;
        }
        if (all) break;
    }
    return first;
}

}  // namespace tubgrove
