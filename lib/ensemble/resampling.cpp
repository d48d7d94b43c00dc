#include "ensemble/learning.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tubgrove {
namespace {

void pick(std::vector<double>& values, const std::vector<int>& source) {
    if (values.empty()) return;
    std::vector<double> next(values.size());
    for (std::size_t i = 0; i < next.size(); ++i) next[i] = values[std::size_t(source[i])];
    values = std::move(next);
}

void pick_state(PotState& s, const std::vector<int>& source) {
    for (std::vector<double>* q :
         {&s.depletion_rooted_l, &s.depletion_unrooted_l, &s.surface_mm, &s.saucer_l, &s.held_mm, &s.dried, &s.warm_days,
          &s.rooted_share, &s.top_share, &s.available_rooted_l, &s.available_unrooted_l, &s.ready_l, &s.threshold_water_l,
          &s.demand_l_mm})
        pick(*q, source);
}

// Liu and West's kernel: deviations shrink by 0.995 and a normal of 0.1 of their spread is added, so that the spread stays.
void shake(Ensemble& e, Dim d, const Priors& priors) {
    std::vector<double>& z = e[d];
    const double n = double(z.size()), a = priors.fixed(PriorKey::shrink), h = priors.fixed(PriorKey::jitter);
    const double centre = std::accumulate(z.begin(), z.end(), 0.0) / n;
    double variance = 0;
    for (double x : z) variance += (x - centre) * (x - centre) / n;
    const double sd = std::sqrt(variance);
    const std::uint64_t hash = fnv1a(e.pot + "/shake/" + std::to_string(e.resamplings));
    const int j = int(d);
    for (std::size_t i = 0; i < z.size(); ++i)
        z[i] = centre + a * (z[i] - centre) + h * sd * normal_quantile(point(hash, j, primes[std::size_t(j)], int(i) + 1));
}

}  // namespace

void rebuild(Moment& m) {
    m.members = members_of(m.e, m.belief);
    m.place = member_place(m.e, m.belief);
    m.onset = onset_shares(m.e, m.members.bypass_scale, m.priors);
    m.weather = member_day(m.e, m.place, m.priors, *m.day->record);
    const std::size_t n = m.e.size();
    std::vector<double> demand(n), crown(n);
    member_canopy(m.e, m.belief, m.day->canopy, demand, crown);
    begin_day(m.members, {m.weather.day_et0_mm, demand, crown, 0}, m.e.state);
    // What a saucer that is gone, or a drain that was cleared, held has run away.
    for (std::size_t i = 0; i < n; ++i) m.e.state.saucer_l[i] = std::min(m.e.state.saucer_l[i], m.members.saucer_l[i]);
}

void resample(Moment& m) {
    Ensemble& e = m.e;
    const std::vector<int> source = systematic_resampling(e.weights);
    pick_state(e.state, source);
    for (auto& z : e.score) pick(z, source);
    for (std::vector<double>* q : {&e.reference_kg, &e.last_pour_l, &e.last_drained_l}) pick(*q, source);
    for (OpenRound& round : e.open) {
        std::vector<unsigned char> next(source.size());
        for (std::size_t i = 0; i < next.size(); ++i) next[i] = round.poured[std::size_t(source[i])];
        round.poured = std::move(next);
    }
    std::fill(e.weights.begin(), e.weights.end(), 1.0 / double(e.size()));
    ++e.resamplings;
    for (int d = 0; d < dim_count; ++d) shake(e, Dim(d), m.priors);
    rebuild(m);
}

void resample_if_needed(Moment& m) {
    if (effective_size(m.e.weights) < m.priors.fixed(PriorKey::resample_below) * double(m.e.size())) resample(m);
}

}  // namespace tubgrove
