#include "ensemble/pouring.hpp"
#include "pot/pour.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

namespace {

// A pot that is full lets through whatever is added: no pot shows water later than that, however it errs.
struct OnsetShares {
    std::span<const double> scale, score;
    double lasting_sd;
    std::span<double> share;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        const Real lasting = exponential_of(lasting_sd * load<Real>(score, at));
        store(share, at, lesser(onset_share_of(load<Real>(scale, at)) * lasting, each<Real>(1)));
    }
};

}  // namespace

std::vector<double> onset_shares(const Ensemble& e, std::span<const double> bypass_scale, const Priors& priors) {
    std::vector<double> share(e.size());
    side_by_side(OnsetShares{bypass_scale, e[Dim::onset], priors[PriorKey::onset_lasting_sd].sd_ln, share}, e.size());
    return share;
}

OnsetLaws onset_laws(const PotState& state, std::span<const double> shares, const Priors& priors) {
    OnsetLaws laws{depletion_l(state), std::vector<double>(shares.begin(), shares.end()), std::vector<double>(state.size())};
    const double grown_sd = priors[PriorKey::onset_sd].sd_ln, young_sd = priors[PriorKey::onset_young_sd].sd_ln;
    for (std::size_t i = 0; i < state.size(); ++i) laws.sd_ln[i] = state.rooted_share[i] < 0.9 ? young_sd : grown_sd;
    return laws;
}

OnsetLaws onset_laws(const Ensemble& e, const Belief& belief, const Priors& priors) {
    return onset_laws(e.state, onset_shares(e, values_of(e, belief, Dim::bypass), priors), priors);
}

namespace {

// What a store in balance lets run out of a dose.
template <class Real>
TUBGROVE_LANES Real drained_of(Real dose_l, Real deficit_l, Real scale, int passes) {
    const Real part = select(deficit_l > 0.0, lesser(dose_l / deficit_l, each<Real>(1)), each<Real>(1));
    const Real drained = dose_l - lesser(deficit_l, (1 - bypassed_share_of(scale, part, passes)) * dose_l);
    return select(dose_l > 0.0, drained, each<Real>(0));
}

// How a gardener stops: at which share of what is missing, beyond it by how much, with what ceiling.
template <class Real>
struct Stop {
    Real share, scale;
    double overrun, ceiling_l;
    int passes;
};

// Litres until water shows, pass by pass; what the first pass left over is met by the second.
template <class Real>
TUBGROVE_LANES Real until_run_through(const Stop<Real>& stop, Real missing_l) {
    Real given = each<Real>(0);
    for (int pass = 1;; ++pass) {
        const Real x = lesser(missing_l * stop.share * stop.overrun, stop.ceiling_l - given);
        given += x;
        if (pass >= stop.passes) return given;
        missing_l -= x - drained_of(x, missing_l, stop.scale, 1);
    }
}

struct UntilRunThrough {
    std::span<const double> scale;
    const OnsetLaws& laws;
    double overrun;
    int passes;
    std::span<double> given;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        constexpr double no_ceiling_l = 1e9;
        const Stop<Real> stop{load<Real>(laws.share, at), load<Real>(scale, at), overrun, no_ceiling_l, passes};
        store(given, at, until_run_through(stop, load<Real>(laws.depletion_l, at)));
    }
};

struct PourOf {
    Manner manner;
    std::span<const double> scale;
    const OnsetLaws& laws;
    double overrun, stated_sd;
    std::span<const double> scatter;   // may be empty
    std::span<const double> stops;     // 1: stops where water shows; empty: none does
    std::span<double> pour_l;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        const Real z = scatter.empty() ? each<Real>(0) : load<Real>(scatter, at);
        const Real stated = manner.pour_l * exponential_of(stated_sd * z);
        if (stops.empty()) return store(pour_l, at, stated);
        const Real share = load<Real>(laws.share, at) * exponential_of(load<Real>(laws.sd_ln, at) * z);
        const Stop<Real> stop{share, load<Real>(scale, at), overrun, manner.pour_l, manner.passes};
        const Real shown = until_run_through(stop, load<Real>(laws.depletion_l, at));
        store(pour_l, at, select(load<Real>(stops, at) > 0.0, shown, stated));
    }
};

struct DrainedOf {
    std::span<const double> pour_l, deficit_l, scale;
    int passes;
    std::span<double> drained_l;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        store(drained_l, at, drained_of(load<Real>(pour_l, at), load<Real>(deficit_l, at), load<Real>(scale, at), passes));
    }
};

}  // namespace

std::vector<double> litres_until_run_through(const Members& members, const OnsetLaws& laws, const Priors& priors, int passes) {
    std::vector<double> given(laws.share.size());
    side_by_side(UntilRunThrough{members.bypass_scale, laws, priors.fixed(PriorKey::stop_overrun), passes, given}, given.size());
    return given;
}

std::vector<double> poured_l(const Manner& manner, const Members& members, const OnsetLaws& laws, const Priors& priors,
                             std::span<const double> scatter, const std::vector<bool>& ignores) {
    const std::size_t n = members.size();
    std::vector<double> pour(n), stops;
    if (manner.until == Until::run_through) {
        stops.assign(n, 1.0);
        for (std::size_t i = 0; i < ignores.size(); ++i)
            if (ignores[i]) stops[i] = 0;
    }
    side_by_side(PourOf{manner, members.bypass_scale, laws, priors.fixed(PriorKey::stop_overrun),
                        priors[PriorKey::poured_sd].sd_ln, scatter, stops, pour}, n);
    return pour;
}

MemberPour pour_of(const Manner& manner, const Members& members, const OnsetLaws& laws, const Priors& priors,
                   std::span<const double> scatter, const std::vector<bool>& ignores) {
    MemberPour out{poured_l(manner, members, laws, priors, scatter, ignores), std::vector<double>(members.size()), manner.passes};
    side_by_side(DrainedOf{out.pour_l, laws.depletion_l, members.bypass_scale, manner.passes, out.drained_l}, members.size());
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
    const std::vector<int> order = scattered_order(hash, members);
    const std::vector<double> made = members == usual.size() ? std::vector<double>() : strata(members);
    const std::vector<double>& z = made.empty() ? usual : made;
    std::vector<double> scattered(members);
    for (std::size_t i = 0; i < members; ++i) scattered[std::size_t(order[i])] = z[i];
    return scattered;
}

std::vector<bool> event_choice(const std::string& pot, const std::string& event, double chance, std::size_t members) {
    return poured_members(pot, event, chance, int(members));
}

}  // namespace tubgrove
