#include "ensemble/pouring.hpp"
#include "pot/pour.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

OnsetLaws onset_laws(const Ensemble& e, const Belief& belief, const Priors& priors) {
    OnsetLaws laws{depletion_l(e.state), std::vector<double>(e.size()), std::vector<double>(e.size())};
    const std::vector<double> scale = values_of(e, belief, Dim::bypass);
    const double lasting = priors[PriorKey::onset_lasting_sd].sd_ln;
    for (std::size_t i = 0; i < e.size(); ++i) {
        // A pot that is full lets through whatever is added: no pot shows water later than that, however it errs.
        laws.share[i] = std::min(1.0, onset_share(scale[i]) * exponential(lasting * e[Dim::onset][i]));
        laws.sd_ln[i] = priors[e.state.rooted_share[i] < 0.9 ? PriorKey::onset_young_sd : PriorKey::onset_sd].sd_ln;
    }
    return laws;
}

namespace {

double drained_of(double dose_l, double deficit_l, double scale, int passes) {
    if (dose_l <= 0) return 0;
    const double b = bypassed_share(scale, deficit_l > 0 ? std::min(1.0, dose_l / deficit_l) : 1, passes);
    return dose_l - std::min(deficit_l, (1 - b) * dose_l);
}

// Litres until water shows, pass by pass; what the first pass left over is met by the second.
double until_run_through(const Manner& m, double deficit_l, double share, double scale, double overrun) {
    double given = 0, missing = deficit_l;
    for (int pass = 0; pass < m.passes; ++pass) {
        const double x = std::min(missing * share * overrun, m.pour_l - given);
        given += x;
        missing -= x - drained_of(x, missing, scale, 1);
    }
    return given;
}

}  // namespace

std::vector<double> litres_until_run_through(const Members& members, const OnsetLaws& laws, const Priors& priors, int passes) {
    std::vector<double> given(laws.share.size());
    const double overrun = priors.fixed(PriorKey::stop_overrun);
    for (std::size_t i = 0; i < given.size(); ++i)
        given[i] = until_run_through({1e9, passes, Until::run_through}, laws.depletion_l[i], laws.share[i], members.bypass_scale[i], overrun);
    return given;
}

MemberPour pour_of(const Manner& manner, const PotState& state, const Members& members, const OnsetLaws& laws,
                   const Priors& priors, std::span<const double> scatter, const std::vector<bool>& ignores) {
    const std::size_t n = state.size();
    MemberPour out{std::vector<double>(n), std::vector<double>(n), manner.passes};
    const double stated_sd = priors[PriorKey::poured_sd].sd_ln, overrun = priors.fixed(PriorKey::stop_overrun);
    for (std::size_t i = 0; i < n; ++i) {
        const double z = scatter.empty() ? 0 : scatter[i];
        const bool stops = manner.until == Until::run_through && (ignores.empty() || !ignores[i]);
        const double scale = members.bypass_scale[i];
        out.pour_l[i] = stops ? until_run_through(manner, laws.depletion_l[i], laws.share[i] * exponential(laws.sd_ln[i] * z), scale, overrun)
                              : manner.pour_l * exponential(stated_sd * z);
        out.drained_l[i] = drained_of(out.pour_l[i], laws.depletion_l[i], scale, manner.passes);
    }
    return out;
}

namespace {

// Middles of equal strata of the standard normal distribution: the spread is right for any number of members.
std::vector<double> strata(std::size_t n) {
    std::vector<double> z(n);
    for (std::size_t i = 0; i < n; ++i) z[i] = normal_quantile((double(i) + 0.5) / double(n));
    return z;
}

}  // namespace

std::vector<double> event_scores(const std::string& pot, const std::string& event, std::size_t members) {
    static const std::vector<double> usual = strata(std::size_t(member_count));
    const std::uint64_t hash = fnv1a(pot + "/" + event + "/scatter");
    std::vector<std::pair<std::uint64_t, std::size_t>> order(members);
    for (std::size_t i = 0; i < members; ++i) order[i] = {splitmix64(hash + i), i};
    std::sort(order.begin(), order.end());
    const std::vector<double> z = members == usual.size() ? usual : strata(members);
    std::vector<double> scattered(members);
    for (std::size_t i = 0; i < members; ++i) scattered[order[i].second] = z[i];
    return scattered;
}

std::vector<bool> event_choice(const std::string& pot, const std::string& event, double chance, std::size_t members) {
    return poured_members(pot, event, chance, int(members));
}

}  // namespace tubgrove
