#include "ensemble/learning.hpp"
#include "pot/exponential.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace tubgrove {
namespace {

std::string event_name(const Happened& h) {
    return std::to_string(h.at.time_since_epoch().count()) + "/" + std::to_string(h.entry);
}

// The pour reaches the pot: one zero-length step of the balance, which knows where each litre goes.
void book(Moment& m, const MemberPour& pour) {
    const std::vector<double> none(m.e.size(), 0.0);
    const Watering watering{0, pour.passes, pour.pour_l};
    Fluxes unasked(m.booked ? 0 : m.e.size());
    hour_step(m.members, {.length_h = 0, .et0_mm = none, .rain_mm = {}, .waterings = std::span(&watering, 1), .dry_after_h = {}},
              m.e.state, m.booked ? *m.booked : unasked);
    m.e.last_pour_l = pour.pour_l;
    m.e.last_drained_l = pour.drained_l;
}

// After the members were weighed, what they now say of each silent round is its answer.
void settle(Ensemble& e) {
    for (const OpenRound& round : e.open) {
        double share = 0;
        for (std::size_t i = 0; i < e.size(); ++i) share += round.poured[i] ? e.weights[i] : 0;
        e.settled.push_back({round.round, share});
    }
    e.open.clear();
}

// While a silent round is open its two stories are what is asked, and the tempering must not blur them: it applies to
// the spread inside each story only through the smaller of the two powers.
void weigh(Moment& m, std::span<const double> likelihood, double power) {
    if (!reweigh(m.e.weights, likelihood, power)) return;
    settle(m.e);
    resample_if_needed(m);
}

double temper(const Moment& m) {
    const double power = m.priors.fixed(PriorKey::temper);
    return m.e.open.empty() ? power : std::max(power, 0.5);
}

// A scalar that members predict: by the filter, after it has weighed the stories of silent rounds that are open.
struct Reading {
    std::vector<double> predicted;
    double observed = 0, sd = 0;
};

// What the members together expect to be read, with the spread of the reading itself.
struct Expected {
    double centre = 0, sd = 0;
};

Expected expected(const Weights& weights, const Reading& r) {
    const double centre = mean(r.predicted, weights);
    double variance = r.sd * r.sd;
    for (std::size_t i = 0; i < weights.size(); ++i) variance += weights[i] * (r.predicted[i] - centre) * (r.predicted[i] - centre);
    return {centre, std::sqrt(variance)};
}

bool doubtful(Moment& m, const Happened& h, const Reading& r) {
    const auto [centre, sd] = expected(m.e.weights, r);
    double nearest = INFINITY;
    for (const double x : r.predicted) nearest = std::min(nearest, std::abs(x - r.observed));
    if (std::abs(r.observed - centre) <= 3 * sd || nearest <= r.sd) return false;
    m.e.doubts.push_back({h.entry, h.at, r.observed, centre, sd});
    return true;
}

// What an observation says of the stories that silent rounds have left open, and of nothing else: each member counts by the mean
// likelihood of those that share its story of the newest rounds, so that no number of a pot is chosen with it.
std::vector<double> by_story(const Ensemble& e, std::span<const double> likelihood) {
    constexpr std::size_t told_apart = 3;   // eight stories; older silence is mostly washed out
    const std::size_t first = e.open.size() - std::min(told_apart, e.open.size());
    std::array<double, std::size_t(1) << told_apart> weight{}, sum{};
    std::vector<std::size_t> story(e.size(), 0);
    for (std::size_t i = 0; i < e.size(); ++i) {
        for (std::size_t k = first; k < e.open.size(); ++k) story[i] = 2 * story[i] + (e.open[k].poured[i] ? 1 : 0);
        weight[story[i]] += e.weights[i];
        sum[story[i]] += e.weights[i] * likelihood[i];
    }
    std::vector<double> shared(e.size());
    for (std::size_t i = 0; i < e.size(); ++i) shared[i] = weight[story[i]] > 0 ? sum[story[i]] / weight[story[i]] : 0;
    return shared;
}

void update(Moment& m, Reading r, std::vector<std::vector<double>*> moved) {
    if (!m.e.open.empty()) {
        std::vector<double> likelihood(m.e.size());
        for (std::size_t i = 0; i < m.e.size(); ++i) {
            const double z = (r.predicted[i] - r.observed) / r.sd;
            likelihood[i] = exponential(-z * z / 2) + 1e-300;
        }
        reweigh(m.e.weights, by_story(m.e, likelihood), 1);
        settle(m.e);
    }
    // The filter wants equal weights; the predictions ride along through the copying as the newest drained litres do.
    std::swap(m.e.last_drained_l, r.predicted);
    if (effective_size(m.e.weights) < double(m.e.size()) * 0.999) resample(m);
    std::swap(m.e.last_drained_l, r.predicted);
    filter(r.predicted, r.observed, r.sd * r.sd, moved);
    PotState& s = m.e.state;
    for (std::size_t i = 0; i < m.e.size(); ++i) {
        s.depletion_rooted_l[i] = std::clamp(s.depletion_rooted_l[i], 0.0, s.available_rooted_l[i]);
        s.depletion_unrooted_l[i] = std::clamp(s.depletion_unrooted_l[i], 0.0, s.available_unrooted_l[i]);
    }
    rebuild(m);
}

// What the filter may move: the water, leaf area, capacity, and while roots are still growing their numbers.
std::vector<std::vector<double>*> movable(Ensemble& e) {
    std::vector<std::vector<double>*> all{&e.state.depletion_rooted_l, &e[Dim::leaf_area], &e[Dim::capacity]};
    if (!e.state.all_rooted)
        for (std::vector<double>* q : {&e.state.depletion_unrooted_l, &e[Dim::ball], &e[Dim::front], &e[Dim::exchange]}) all.push_back(q);
    return all;
}

// Litres poured with what was seen below: told "ran through", told "nothing ran", or not told.
struct SeenBelow {
    double pour_l = 0;
    int passes = 1;
    std::optional<bool> ran_through;
    double sd_factor = 1;          // more where the litres are not from the gardener
    bool stopped = true;           // the litres are those at which it showed; false: it showed somewhere before
};

// A stop by its logarithm, as the law of run-through has it. Some gardeners pour on and tell that litre: what lies further out
// than two spreads counts as if it lay there. The capacity is not moved: these litres say what is missing, not what would fit in.
void learn_from_stop(Moment& m, std::span<const double> until_l, const SeenBelow& stop) {
    constexpr double least_l = 0.1, resolved_l = 0.1, bound = 2;
    Reading r{std::vector<double>(until_l.begin(), until_l.end()), logarithm(std::max(least_l, stop.pour_l)), 0};
    for (double& x : r.predicted) x = logarithm(std::max(least_l, x));
    const double by_hand = m.priors.fixed(PriorKey::stop_sd) * stop.sd_factor, by_can = resolved_l / std::max(least_l, stop.pour_l);
    r.sd = std::sqrt(by_hand * by_hand + by_can * by_can);
    const auto [centre, sd] = expected(m.e.weights, r);
    r.observed = std::clamp(r.observed, centre - bound * sd, centre + bound * sd);
    auto moved = movable(m.e);
    std::erase(moved, &m.e[Dim::capacity]);
    moved.push_back(&m.e[Dim::bypass]);
    moved.push_back(&m.e[Dim::onset]);
    update(m, std::move(r), moved);
}

void weigh_run_through(Moment& m, const SeenBelow& seen) {
    if (!m.belief.get().drains) return;   // what cannot run through tells nothing by not doing so
    const OnsetLaws laws = onset_laws(m.e.state, m.onset, m.priors);
    const double told = m.priors.fixed(PriorKey::run_through_told);
    const bool stopped = seen.ran_through.value_or(false) && seen.stopped;
    const std::vector<double> until_l = litres_until_run_through(m.members, laws, m.priors, stopped ? seen.passes : 1);
    // Litres at which the gardener stopped move the members (the filter reaches where none of them stands yet).
    if (stopped) return learn_from_stop(m, until_l, seen);
    std::vector<double> likelihood(m.e.size());
    for (std::size_t i = 0; i < m.e.size(); ++i) {
        const OnsetLaw law{until_l[i], 1, laws.sd_ln[i] * seen.sd_factor};
        const double before = 1 - held_likelihood(Litres(seen.pour_l), law);
        if (!seen.ran_through) likelihood[i] = 1 - told * before;
        else if (!*seen.ran_through) likelihood[i] = 0.02 + 0.98 * (1 - before);
        else likelihood[i] = 0.02 + 0.98 * (stopped ? ran_through_likelihood(Litres(seen.pour_l), law) : before);
    }
    weigh(m, likelihood, seen.ran_through ? temper(m) : m.priors.fixed(PriorKey::temper_untold));
}

void happen(Moment& m, const Happened& h, const Poured& p) {
    if (p.pour_l <= 0) return;
    // Told to have run through, the gardener is taken to have stopped there; half the litres over the onset are lost in the spread.
    // Litres alone, of somebody who tells of no pot what showed below, say only what was given.
    if (p.ran_through || p.tells)
        weigh_run_through(m, {p.pour_l, p.passes, p.ran_through, p.sd_share > 0.2 ? 2.0 : 1.0, p.stopped});
    const OnsetLaws laws = onset_laws(m.e.state, m.onset, m.priors);
    std::vector<double> z = event_scores(m.e.pot, event_name(h), m.e.size());
    const double scale = p.sd_share / m.priors[PriorKey::poured_sd].sd_ln;
    for (double& x : z) x *= scale;
    book(m, pour_of({p.pour_l, p.passes, Until::amount}, m.members, laws, m.priors, z, {}));
}

// What the walk gave to the members that got it; nothing to the others.
MemberPour poured_by(Moment& m, const Manner& manner, const std::string& event, const std::vector<bool>& got) {
    const OnsetLaws laws = onset_laws(m.e.state, m.onset, m.priors);
    const std::vector<double> z = event_scores(m.e.pot, event, m.e.size());
    const double ignored = m.priors.fixed(PriorKey::stop_ignored);
    MemberPour pour = pour_of(manner, m.members, laws, m.priors, z,
                              event_choice(m.e.pot, event + "/ignores", ignored, m.e.size()));
    for (std::size_t i = 0; i < m.e.size(); ++i)
        if (!got[i]) pour.pour_l[i] = pour.drained_l[i] = 0;
    return pour;
}

void open_round(Ensemble& e, const std::string& round, const std::vector<bool>& got) {
    constexpr std::size_t remembered = 14;   // older silence has long been washed out by the water since
    if (e.open.size() == remembered) e.open.erase(e.open.begin());
    e.open.push_back({round, std::vector<unsigned char>(got.begin(), got.end())});
}

void happen(Moment& m, const Happened&, const Listed& l) {
    if (l.pour_l <= 0 || (l.share && *l.share <= 0)) return;
    const Manner manner{l.pour_l, l.passes, l.until};
    const bool surely = l.share && *l.share >= 1;
    // "All as listed" alone may mean that every pot ran through: it says nothing of what was seen below.
    // Told to have run through, the listed litres are doubted twice as much as the gardener's own; where nothing was told the
    // whole ceiling counts, give or take what a hand pours.
    const double hand = m.priors[PriorKey::poured_sd].sd_ln / m.priors[PriorKey::onset_sd].sd_ln;
    if (surely && (l.ran_through || l.tells))
        weigh_run_through(m, {l.pour_l, l.passes, l.ran_through, l.ran_through ? 2 : std::sqrt(1 + hand * hand), false});
    const std::vector<bool> got = surely ? std::vector<bool>(m.e.size(), true)
                                         : poured_members(m.e.pot, l.round, l.share.value_or(l.followed), int(m.e.size()));
    book(m, poured_by(m, manner, l.round, got));
    if (!surely) open_round(m.e, l.round, got);
}

// Nobody knows what was given; somebody who waters without a list gives what the pot takes.
void happen(Moment& m, const Happened&, const Unlisted& u) {
    const double missing_l = quantile(depletion_l(m.e.state), m.e.weights, 0.75);
    if (missing_l < 0.25) return;
    const std::vector<bool> got =
        poured_members(m.e.pot, u.walk, m.priors.fixed(PriorKey::unlisted_poured), int(m.e.size()));
    book(m, poured_by(m, {missing_l, 1, Until::run_through}, u.walk, got));
    open_round(m.e, u.walk, got);
}

void happen(Moment& m, const Happened&, const Felt& f) {
    const double sd = m.priors.fixed(f.practised ? PriorKey::feel_practised_sd : PriorKey::feel_sd);
    std::vector<double> likelihood(m.e.size());
    for (std::size_t i = 0; i < m.e.size(); ++i)
        likelihood[i] = feel_likelihood(f.moisture, m.e.state.depletion_rooted_l[i] / m.e.state.available_rooted_l[i], sd);
    weigh(m, likelihood, temper(m));
}

void weigh_wilting(Moment& m, bool wilted) {
    const PotState& s = m.e.state;
    const double sd = m.priors.fixed(PriorKey::wilt_sd);
    std::vector<double> likelihood(m.e.size());
    for (std::size_t i = 0; i < m.e.size(); ++i) {
        const double p = normal_cdf((s.depletion_rooted_l[i] - s.ready_l[i]) / (sd * s.available_rooted_l[i]));
        likelihood[i] = 0.05 + 0.95 * (wilted ? p : 1 - p);   // a hot wall wilts a wet tree, too
    }
    weigh(m, likelihood, temper(m));
}
void happen(Moment& m, const Happened&, const Wilted&) { weigh_wilting(m, true); }
void happen(Moment& m, const Happened&, const NotWilted&) { weigh_wilting(m, false); }

double weighing_sd(const Moment& m, Instant at) {
    const auto row = [&](PriorKey k) { return m.priors.fixed(k); };
    const double weeks = double((at - m.e.reference_at).count()) / (7 * 86400.0);
    return weighing_sd_l({row(PriorKey::weigh_scale_kg), row(PriorKey::weigh_growth_kg), row(PriorKey::weigh_leaves_kg),
                          row(PriorKey::weigh_week_kg)}, std::max(0.0, weeks));
}

// The first weight gives each member the drained weight that it believes in; later ones compare with it.
void happen(Moment& m, const Happened& h, const Weighed& w) {
    Ensemble& e = m.e;
    if (w.drained) {
        if (!e.reference_kg.empty() && doubtful(m, h, {std::vector<double>(e.reference_kg), w.mass_kg, 0.5})) return;
        e.reference_kg.assign(e.size(), w.mass_kg);
        e.reference_at = h.at;
        std::fill(e.state.depletion_rooted_l.begin(), e.state.depletion_rooted_l.end(), 0.0);
        std::fill(e.state.depletion_unrooted_l.begin(), e.state.depletion_unrooted_l.end(), 0.0);
        settle(e);
        return;
    }
    const std::vector<double> missing = depletion_l(e.state);
    if (e.reference_kg.empty()) {
        e.reference_kg = missing;
        const std::vector<double> z = event_scores(e.pot, event_name(h), e.size());
        for (std::size_t i = 0; i < e.size(); ++i) e.reference_kg[i] += w.mass_kg + m.priors.fixed(PriorKey::weigh_scale_kg) * z[i];
        e.reference_at = h.at;
        return;
    }
    Reading r{e.reference_kg, w.mass_kg, weighing_sd(m, h.at)};
    for (std::size_t i = 0; i < e.size(); ++i) r.predicted[i] -= missing[i];
    if (doubtful(m, h, r)) return;
    auto moved = movable(e);
    moved.push_back(&e.reference_kg);
    update(m, std::move(r), moved);
}

void happen(Moment& m, const Happened& h, const Drained& d) {
    if (m.e.last_pour_l.empty()) return;
    const double dose_l = mean(m.e.last_pour_l, m.e.weights);
    Reading r{m.e.last_drained_l, d.drained_l, std::max(0.02, m.priors.fixed(PriorKey::drained_sd) * dose_l)};
    if (doubtful(m, h, r)) return;
    auto moved = movable(m.e);
    moved.push_back(&m.e[Dim::bypass]);
    update(m, std::move(r), moved);
}

void happen(Moment& m, const Happened&, const Emptied&) {
    std::fill(m.e.state.saucer_l.begin(), m.e.state.saucer_l.end(), 0.0);
}

}  // namespace

void apply(Moment& m, const Happened& h) {
    std::visit([&](const auto& what) { happen(m, h, what); }, h.what);
}

void apply_drip(Moment& m, double each_l) {
    const OnsetLaws laws = onset_laws(m.e.state, m.onset, m.priors);
    book(m, pour_of({each_l, 1, Until::amount}, m.members, laws, m.priors, {}, {}));
}

}  // namespace tubgrove
