#include "ensemble/ensemble.hpp"

#include "ensemble/learning.hpp"
#include "ensemble/member_weather.hpp"
#include "pot/exponential.hpp"
#include "pot/retention.hpp"
#include "pot/rooted.hpp"
#include "tree/demand.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>
#include <optional>

namespace tubgrove {

double value_at(const Prior& prior, double score) {
    switch (prior.spread) {
    case Spread::fixed: return prior.middle;
    case Spread::lognormal: return prior.middle * exponential(prior.sd_ln * score);
    case Spread::triangular: return triangular_quantile(normal_cdf(score), prior.low, prior.middle, prior.high);
    }
    return prior.middle;
}

namespace {

struct Lognormal {
    double middle, sd_ln;
    std::span<const double> score;
    std::span<double> value;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        store(value, at, middle * exponential_of(sd_ln * load<Real>(score, at)));
    }
};

struct MemberCanopy {
    Canopy canopy;
    double crown_share;
    std::span<const double> factor;   // of the leaf area
    std::span<double> demand_l_mm, crown_m2;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        const Real f = load<Real>(factor, at);
        const Real crown = canopy.crown_m2 * power_to(f, each<Real>(crown_share));
        store(crown_m2, at, crown);
        store(demand_l_mm, at, demand_of(canopy.leaf_m2 * f, crown, canopy.cap));
    }
};

}  // namespace

std::vector<double> values_at(const Prior& prior, std::span<const double> scores) {
    std::vector<double> values(scores.size(), prior.middle);
    if (prior.spread == Spread::lognormal) side_by_side(Lognormal{prior.middle, prior.sd_ln, scores, values}, scores.size());
    if (prior.spread == Spread::triangular)
        for (std::size_t i = 0; i < scores.size(); ++i) values[i] = value_at(prior, scores[i]);
    return values;
}

std::vector<double> values_of(const Ensemble& e, const Belief& belief, Dim d) { return values_at(belief[d], e[d]); }

void member_canopy(const Ensemble& e, const Belief& belief, const Canopy& canopy, std::span<double> demand_l_mm,
                   std::span<double> crown_m2) {
    const std::vector<double> factor = values_of(e, belief, Dim::leaf_area);
    side_by_side(MemberCanopy{canopy, belief.crown_share, factor, demand_l_mm, crown_m2}, e.size());
}

namespace {

// A capacity so small that the medium could give hardly anything is no capacity: the pot would not have been one to grow in.
// At least three tenths of the available water that the curve says remain.
double possible_capacity(double factor, const Member& m) {
    constexpr double least = 0.3;
    const double kept_l = m.volume_l * theta_at({m.theta_r, m.theta_s, m.alpha_per_cm, m.n}, Kilopascals(m.lower_limit_kPa));
    return std::max(factor, (kept_l + least * (m.capacity_l - kept_l)) / m.capacity_l);
}

}  // namespace

Members members_of(const Ensemble& e, const Belief& belief) {
    const auto of = [&](Dim d, std::size_t i) { return value_at(belief[d], e[d][i]); };
    std::vector<Member> list(e.size(), belief.shape);
    for (std::size_t i = 0; i < e.size(); ++i) {
        Member& m = list[i];
        m.threshold_kPa = of(Dim::threshold, i);
        m.lower_limit_kPa = std::max(of(Dim::lower_limit, i), 2 * m.threshold_kPa);
        m.capacity_factor = possible_capacity(of(Dim::capacity, i), m);
        m.surface_factor = of(Dim::surface_exposure, i) * of(Dim::mulch, i);
        m.wall_factor = of(Dim::wall, i);
        m.capture = of(Dim::rain_capture, i);
        m.rain_factor = value_at(belief.rain_share, e[Dim::rain_error][i]);
        m.bypass_scale = of(Dim::bypass, i);
        m.ball_l = of(Dim::ball, i);
        m.front_mm_d = of(Dim::front, i);
        m.exchange_h = of(Dim::exchange, i);
    }
    return Members(list);
}

std::vector<double> depletion_l(const PotState& s) {
    std::vector<double> sum(s.depletion_rooted_l);
    for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += s.depletion_unrooted_l[i];
    return sum;
}

std::vector<double> available_l(const PotState& s) {
    std::vector<double> sum(s.available_rooted_l);
    for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += s.available_unrooted_l[i];
    return sum;
}

Percentiles percentiles(std::span<const double> values, std::span<const double> weights) {
    const double p[] = {0.1, 0.5, 0.9};
    const std::vector<double> q = quantiles(values, weights, p);
    return {q[0], q[1], q[2]};
}

namespace {

bool shared_by_bay(Dim d) { return d == Dim::wind || d == Dim::radiation; }

void draw(Ensemble& e, Dim d, const std::string& id, int members) {
    e[d] = points(id, d, members);
    for (double& z : e[d]) z = normal_quantile(z);
}

// Depletion of a pot of which nothing is known yet, or that was just watered in.
void start_water(Ensemble& e, const Belief& belief, const Priors& priors) {
    const PriorRow& row = priors[belief.water_in ? PriorKey::start_planted : PriorKey::start_depletion];
    for (std::size_t i = 0; i < e.size(); ++i) {
        const double share = triangular_quantile(normal_cdf(e[Dim::start][i]), row.low, row.mode, row.high);
        e.state.depletion_rooted_l[i] = share * e.state.available_rooted_l[i];
        e.state.depletion_unrooted_l[i] = share * e.state.available_unrooted_l[i];
    }
}

void midnight(Ensemble& e, const Belief& belief, const Members& members, const DayCourse& day, const MemberDay& weather, double warm_rate) {
    std::vector<double> demand(e.size()), crown(e.size());
    member_canopy(e, belief, day.canopy, demand, crown);
    begin_day(members, {weather.day_et0_mm, demand, crown, warm_rate}, e.state);
}

double root_of_squares(double a, double b) { return std::sqrt(a * a + b * b); }   // the same digits everywhere, unlike hypot

double spread_of(const std::vector<double>& values, double& centre) {
    centre = std::accumulate(values.begin(), values.end(), 0.0) / double(values.size());
    double variance = 0;
    for (double x : values) variance += (x - centre) * (x - centre);
    return std::sqrt(variance / double(values.size()));
}

// Grows the spread of scores from sd to sqrt(sd^2 + step^2) by stretching deviations from the mean, up to that of the prior, 1:
// what nobody looks at becomes no less known than it was at first.
void stretch(std::vector<double>& values, double step) {
    double centre = 0;
    const double sd = spread_of(values, centre);
    if (sd <= 0 || sd >= 1) return;
    const double factor = std::min(1.0, root_of_squares(sd, step)) / sd;
    for (double& x : values) x = centre + (x - centre) * factor;
}

// What the model does not know of a day: leaves grow otherwise than thought, some water goes ways that it lacks.
void drift(Ensemble& e, const Belief& belief, const Priors& priors, const DayRecord& day) {
    const double sd_ln = belief[Dim::leaf_area].sd_ln;
    if (sd_ln > 0) stretch(e[Dim::leaf_area], priors.fixed(PriorKey::drift_leaf_area_week) / std::sqrt(7.0) / sd_ln);
    // Each member is scattered by itself, not stretched from the mean: copies of one member must part again.
    PotState& s = e.state;
    const double least_l = priors.fixed(PriorKey::drift_depletion_day_l), share = priors.fixed(PriorKey::drift_use_share);
    const std::vector<double> z = event_scores(e.pot, "drift/" + std::to_string(day.day.time_since_epoch().count()), e.size());
    for (std::size_t i = 0; i < e.size(); ++i) {
        const double step_l = root_of_squares(least_l, share * s.demand_l_mm[i] * day.et0_mm);
        s.depletion_rooted_l[i] = std::clamp(s.depletion_rooted_l[i] + step_l * z[i], 0.0, s.available_rooted_l[i]);
    }
}

// Another tree or other medium, put in on the day that `now` begins; what is only known better is no new filling.
bool filled_anew(const Belief& before, const Belief& now) { return now.water_in && now.in_this_pot_since != before.in_this_pot_since; }

bool same_filling(const Belief& a, const Belief& b) {
    return a.shape.volume_l == b.shape.volume_l && a.shape.theta_s == b.shape.theta_s && a.shape.n == b.shape.n
           && a.shape.alpha_per_cm == b.shape.alpha_per_cm;
}

// Of what each store could give, the share that is missing.
struct Missing {
    std::vector<double> rooted, unrooted;
};
Missing missing_shares(const PotState& s) {
    Missing m{std::vector<double>(s.size(), 0.0), {}};
    for (std::size_t i = 0; i < s.size(); ++i)
        if (s.available_rooted_l[i] > 0) m.rooted[i] = s.depletion_rooted_l[i] / s.available_rooted_l[i];
    m.unrooted = m.rooted;   // where all was rooted, what roots turn out not to have reached is as moist as the rest
    for (std::size_t i = 0; i < s.size(); ++i)
        if (s.available_unrooted_l[i] > 0) m.unrooted[i] = s.depletion_unrooted_l[i] / s.available_unrooted_l[i];
    return m;
}

class Runner {
public:
    Runner(Ensemble& e, const PotRun& run, Fluxes* booked)
        : e_(e), run_(run), unasked_(booked ? 0 : e.size()), fluxes_(booked ? *booked : unasked_) {}

    void to(Instant until) {
        for (const DayCourse& day : run_.days) {
            if (day.record->ends <= e_.until) continue;
            if (day.record->starts >= until || e_.until >= until) break;
            live(day, until);
        }
    }

    // From one thing that happens to the next: the hours between go to the balance in one piece.
    void live(const DayCourse& day, Instant until) {
        open_day(day);
        const std::vector<Instant> drips = drip_times(belief(), *day.record, run_.zone);
        const Instant ends = std::min(until, day.record->ends);
        while (e_.until < ends) {
            settle_filling();
            apply_due();
            for (Instant drip : drips)
                if (drip == e_.until) apply_drip(*now_, belief().drip->each_l);
            run_to(next_of(drips, ends));
            if (next_setup() && *next_setup() <= e_.until) change_setup();
        }
    }

private:
    void open_day(const DayCourse& day) {
        const bool changed = take_setups();
        if (!now_ || changed) now_.emplace(moment(day));
        now_->day = &day;
        now_->weather = member_day(e_, now_->place, run_.priors, *day.record);
        if (e_.day == day.record->day) {
            if (changed) rebuild(*now_);
            return;
        }
        midnight(e_, belief(), now_->members, day, now_->weather, e_.warm_rate);
        drift(e_, belief(), run_.priors, *day.record);
        e_.day = day.record->day;
        e_.warm_rate = warm_rate(Celsius(day.record->mean_temp_degC));
    }

    Moment moment(const DayCourse& day) {
        Members members = members_of(e_, belief());
        std::vector<double> onset = onset_shares(e_, members.bypass_scale, run_.priors);
        return {e_, belief(), run_.priors, &day, std::move(members), member_place(e_, belief()), std::move(onset), {}, &fluxes_};
    }

    const Belief& belief() const { return run_.beliefs[e_.setup]; }

    bool take_setups() {
        const std::uint32_t before = e_.setup;
        while (e_.setup + 1 < run_.history.setups.size() && run_.history.setups[e_.setup + 1].since <= e_.until) {
            const Belief& old = belief();
            ++e_.setup;
            if (belief().bay != old.bay)
                for (Dim d : {Dim::wind, Dim::radiation}) draw(e_, d, belief().bay, int(e_.size()));
            if (filled_anew(old, belief())) refill_ = true;
            else if (!same_filling(old, belief()) && !kept_) kept_ = missing_shares(e_.state);
        }
        return e_.setup != before;
    }

    // Once the new setup's stores are known. A pot whose litres or medium are only told better keeps its roots and is as moist as it was.
    void settle_filling() {
        if (refill_) {
            refill();
        } else if (kept_) {
            PotState& s = e_.state;
            for (std::size_t i = 0; i < e_.size(); ++i) {
                s.depletion_rooted_l[i] = kept_->rooted[i] * s.available_rooted_l[i];
                s.depletion_unrooted_l[i] = kept_->unrooted[i] * s.available_unrooted_l[i];
            }
        }
        kept_.reset();
    }

    // Water in a pot that was filled anew; its reference weight and silent rounds belong to the old one.
    void refill() {
        std::fill(e_.state.warm_days.begin(), e_.state.warm_days.end(), 0.0);
        rebuild(*now_);
        start_water(e_, belief(), run_.priors);
        e_.reference_kg.clear();
        e_.open.clear();
        refill_ = false;
    }

    void apply_due() {
        const auto& events = run_.history.events;
        for (; e_.events < events.size() && events[e_.events].at <= e_.until; ++e_.events)
            if (events[e_.events].at >= run_.history.starts) apply(*now_, events[e_.events]);
    }

    Instant next_of(const std::vector<Instant>& drips, Instant ends) const {
        Instant next = ends;
        if (e_.events < run_.history.events.size()) next = std::min(next, run_.history.events[e_.events].at);
        if (next_setup()) next = std::min(next, *next_setup());
        for (Instant drip : drips)
            if (drip > e_.until) next = std::min(next, drip);
        return next;
    }

    void change_setup() {
        take_setups();
        now_->belief = belief();
        rebuild(*now_);
        settle_filling();
    }

    std::optional<Instant> next_setup() const {
        const auto& setups = run_.history.setups;
        if (e_.setup + 1 < setups.size()) return setups[e_.setup + 1].since;
        return {};
    }

    // The day's hours from the present to `next`, the first and the last perhaps in part.
    void run_to(Instant next) {
        const std::vector<HourWeather>& hours = now_->day->record->hours;
        hours_.clear();
        for (std::size_t h = 0; h < hours.size() && hours[h].starts < next; ++h) {
            const Instant ends = h + 1 < hours.size() ? hours[h + 1].starts : now_->day->record->ends;
            if (ends <= e_.until) continue;
            add_hour(h, double((std::min(ends, next) - e_.until).count()) / 3600);
            e_.until = std::min(ends, next);
        }
        run_hours(now_->members, hours_, e_.state, fluxes_);
    }

    void add_hour(std::size_t h, double length_h) {
        const HourWeather& hour = now_->day->record->hours[h];
        std::span<const double> et0 = now_->weather.et0(h);
        if (length_h < hour.length_h) {
            std::vector<double>& part = parts_[hours_.empty() ? 0 : 1];
            part.assign(et0.begin(), et0.end());
            for (double& x : part) x *= length_h / hour.length_h;
            et0 = part;
        }
        const bool first = e_.until <= hour.starts;   // an hour's rain falls at its start
        hours_.push_back({.length_h = length_h, .et0_mm = et0, .rain_mm = first ? now_->weather.rain(h) : std::span<const double>(),
                          .waterings = {}, .dry_after_h = {}});
    }

    Ensemble& e_;
    const PotRun& run_;
    std::optional<Moment> now_;
    Fluxes unasked_;
    Fluxes& fluxes_;
    bool refill_ = false;
    std::optional<Missing> kept_;   // while a setup changes that is no new filling
    std::vector<Hour> hours_;                      // of the stretch being run
    std::array<std::vector<double>, 2> parts_;     // ET0 of its first and last hour, where they are no whole ones
};

}  // namespace

std::vector<Instant> drip_times(const Belief& belief, const DayRecord& day, const Zone& zone) {
    std::vector<Instant> times;
    if (!belief.drip || belief.drip->each_l <= 0) return times;
    const auto since = (day.day - belief.drip->first).count();
    if (since < 0 || since % std::max(1, belief.drip->every_days) != 0) return times;
    for (std::chrono::minutes clock : belief.drip->at) times.push_back(zone.at(LocalTime(day.day) + clock));
    std::sort(times.begin(), times.end());
    return times;
}

namespace {

// Warm days between planting and the first day whose weather is known. The day's length tells the hemisphere.
double warm_days_before(const DayRecord& first, LocalDay planted) {
    using namespace std::chrono;
    constexpr LocalDay midwinter{year(2000) / January / 15};
    const double years = double((first.day - midwinter).count()) / 365.25, season = years - std::floor(years);
    const bool bright_half = season > 0.18 && season < 0.68, long_day = first.daylight_h > 12;
    const double shift = first.daylight_h > 0 && bright_half != long_day ? 0.5 : 0;   // south of the equator
    const double ago = double((first.day - planted).count()) / 365.25;
    return usual_warm_days(years + shift - ago, years + shift);
}

}  // namespace

Ensemble begin(const PotRun& run, int members) {
    assert(!run.beliefs.empty() && run.beliefs.size() == run.history.setups.size());
    Ensemble e;
    e.pot = run.history.pot;
    e.until = run.history.starts;
    while (e.setup + 1 < run.history.setups.size() && run.history.setups[e.setup + 1].since <= e.until) ++e.setup;
    const Belief& belief = run.beliefs[e.setup];
    for (int d = 0; d < dim_count; ++d) draw(e, Dim(d), shared_by_bay(Dim(d)) ? belief.bay : e.pot, members);
    e.weights.assign(std::size_t(members), 1.0 / members);
    e.state = PotState(std::size_t(members));
    for (const DayCourse& day : run.days) {
        if (day.record->ends <= e.until) continue;
        e.state.warm_days.assign(std::size_t(members), warm_days_before(*day.record, belief.in_this_pot_since));
        midnight(e, belief, members_of(e, belief), day, member_day(e, member_place(e, belief), run.priors, *day.record), 0);
        e.day = day.record->day;
        e.warm_rate = warm_rate(Celsius(day.record->mean_temp_degC));
        break;
    }
    start_water(e, belief, run.priors);
    return e;
}

void advance(Ensemble& e, const PotRun& run, Instant until, Fluxes* booked) { Runner(e, run, booked).to(until); }

}  // namespace tubgrove
