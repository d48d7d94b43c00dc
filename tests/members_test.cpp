// Drawing, weighing and updating members, against the check rows of the pot-water model.
#include "catch.h"
#include "ensemble/observations.hpp"
#include "ensemble/points.hpp"
#include "ensemble/weights.hpp"
#include "pot/pour.hpp"
#include "rows.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

using namespace tubgrove;
using rows::numbers;

namespace {

YAML::Node row(const std::string& id) { return rows::find("ensemble_checks.yaml", id); }
auto within(double tolerance) {
    return [=](double printed) { return Approx(printed).margin(tolerance + 1e-12).epsilon(0); };
}
Weights equal(std::size_t n) { return Weights(n, 1.0 / double(n)); }

double correlation(const std::vector<double>& a, const std::vector<double>& b) {
    const double n = double(a.size());
    double sa = 0, sb = 0, saa = 0, sbb = 0, sab = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        sa += a[i], sb += b[i], saa += a[i] * a[i], sbb += b[i] * b[i], sab += a[i] * b[i];
    }
    return (sab - sa * sb / n) / std::sqrt((saa - sa * sa / n) * (sbb - sb * sb / n));
}

std::vector<double> sequence(int base, std::uint64_t step, double turn) {
    std::vector<double> all;
    for (std::uint64_t i = 1; i <= 128; ++i) all.push_back(std::fmod(radical_inverse(step * i, base) + turn, 1.0));
    return all;
}

double largest_correlation(std::uint64_t step, const std::string& id) {
    std::vector<std::vector<double>> dimensions;
    for (int j = 1; j <= 14; ++j)
        dimensions.push_back(sequence(primes[std::size_t(j - 1)], step, id.empty() ? 0 : rotation(fnv1a(id), j - 1)));
    double largest = 0;
    for (std::size_t a = 0; a < 14; ++a)
        for (std::size_t b = a + 1; b < 14; ++b)
            largest = std::max(largest, std::abs(correlation(dimensions[a], dimensions[b])));
    return largest;
}

}  // namespace

TEST_CASE("chk-89 Halton points with a leap of 563, and a lognormal drawn from them") {
    const auto r = row("chk-89");
    const auto is = within(r["tol"]["points"].as<double>());
    for (std::size_t i = 0; i < 4; ++i)
        for (std::size_t j = 0; j < 3; ++j)
            CHECK(radical_inverse(leap * (i + 1), primes[j]) == is(r["expect"]["points"][i][j].as<double>()));
    std::vector<double> drawn;
    for (double p : sequence(3, leap, 0)) drawn.push_back(std::exp(0.3 * normal_quantile(p)));
    const Weights w = equal(128);
    CHECK(mean(drawn, w) == within(r["tol"]["lognormal_mean"].as<double>())(r["expect"]["lognormal_mean"].as<double>()));
    const std::vector<double> printed = numbers(r["expect"]["q10_q50_q90"]);
    const std::vector<double> p{0.1, 0.5, 0.9}, found = quantiles(drawn, w, p);
    for (std::size_t i = 0; i < 3; ++i) CHECK(found[i] == within(0.000005)(printed[i]));
    // Against the distribution that they were drawn from.
    const std::vector<double> exact = numbers(r["expect"]["exact_q10_q50_q90"]);
    CHECK(mean(drawn, w) == within(r["tol"]["lognormal_exact"].as<double>())(r["expect"]["lognormal_exact"].as<double>()));
    for (std::size_t i = 0; i < 3; ++i) CHECK(found[i] == within(r["tol"]["exact_q10_q50_q90"].as<double>())(exact[i]));
}

TEST_CASE("chk-90 a pot's id rotates its members") {
    const auto r = row("chk-90");
    const std::string id = r["given"]["pot_id"].as<std::string>();
    CHECK(fnv1a(id) == std::stoull(r["expect"]["hash_hex"].as<std::string>(), nullptr, 16));
    for (int j = 1; j <= 3; ++j) {
        CHECK(rotation(fnv1a(id), j - 1) == within(1e-9)(numbers(r["expect"]["rotation"])[std::size_t(j - 1)]));
        CHECK(point(fnv1a(id), j - 1, primes[std::size_t(j - 1)], 1)
              == within(1e-9)(numbers(r["expect"]["point"])[std::size_t(j - 1)]));
    }
    CHECK(points("quince-2", Dim::leaf_area) == points("quince-2", Dim::leaf_area));
    CHECK(points("quince-2", Dim::leaf_area) != points("quince-3", Dim::leaf_area));
}

TEST_CASE("chk-158 no two of the fourteen dimensions follow each other") {
    const auto r = row("chk-158");
    const auto printed = numbers(r["expect"]["largest_correlation"]);
    const std::uint64_t steps[] = {1, 61, 563};
    for (std::size_t i = 0; i < 3; ++i)
        CHECK(largest_correlation(steps[i], "") == within(r["tol"]["largest_correlation"].as<double>())(printed[i]));
    std::vector<double> rotated;
    for (int pot = 0; pot < 60; ++pot) rotated.push_back(largest_correlation(leap, "pot-" + std::to_string(pot)));
    std::sort(rotated.begin(), rotated.end());
    const auto both = numbers(r["expect"]["rotated_median_largest"]);
    CHECK((rotated[29] + rotated[30]) / 2 == within(0.002)(both[0]));
    CHECK(rotated.back() == within(0.002)(both[1]));
}

TEST_CASE("chk-117 the prior ranges as lognormals") {
    const auto r = row("chk-117");
    for (const auto& entry : r["given"]["lognormal_median_sd_ln"]) {
        const auto given = numbers(entry.second);
        const auto printed = numbers(r["expect"]["range_90"][entry.first.as<std::string>()]);
        for (std::size_t side = 0; side < 2; ++side)
            CHECK(given[0] * std::exp(given[1] * normal_quantile(side ? 0.95 : 0.05)) == within(0.02)(printed[side]));
    }
}

TEST_CASE("the normal quantile undoes the distribution function, and a triangle's ends are its range") {
    for (double z : {-5.0, -2.4, -1.0, 0.0, 0.3, 1.96, 4.0}) CHECK(normal_quantile(normal_cdf(z)) == Approx(z).margin(1e-9));
    CHECK(std::isfinite(normal_quantile(0)));
    CHECK(std::isfinite(normal_quantile(1)));
    CHECK(triangular_quantile(0, 0.3, 0.65, 1.0) == 0.3);
    CHECK(triangular_quantile(1, 0.3, 0.65, 1.0) == 1.0);
    CHECK(triangular_quantile(0.5, 0.3, 0.65, 1.0) == Approx(0.65));
    CHECK(triangular_quantile(0.7, 0.4, 0.4, 0.4) == 0.4);   // what is known is fixed
}

TEST_CASE("chk-118 systematic resampling") {
    const auto r = row("chk-118");
    const Weights w = numbers(r["given"]["weights"]);
    CHECK(effective_size(w) == within(0.001)(r["expect"]["effective_size"].as<double>()));
    CHECK(systematic_resampling(w) == r["expect"]["resampled_index"].as<std::vector<int>>());
    CHECK(systematic_resampling(equal(5)) == std::vector<int>{0, 1, 2, 3, 4});
}

TEST_CASE("chk-119 the square-root filter on five members") {
    const auto r = row("chk-119");
    std::vector<double> d = numbers(r["given"]["members_depletion_l"]);
    std::vector<double>* moved[] = {&d};
    const double sd = r["given"]["observation_sd_l"].as<double>();
    const SquareRootGain g = filter(d, r["given"]["observed_l"].as<double>(), sd * sd, moved);
    CHECK(g.gain == within(0.0005)(r["expect"]["gain"].as<double>()));
    CHECK(g.shrink == within(0.0005)(r["expect"]["shrink"].as<double>()));
    const auto printed = numbers(r["expect"]["members_after_l"]);
    for (std::size_t i = 0; i < d.size(); ++i) CHECK(d[i] == within(0.0005)(printed[i]));
    CHECK(mean(d, equal(5)) == within(0.0005)(r["expect"]["mean_l"].as<double>()));
    double square = 0;
    for (double x : d) square += (x - mean(d, equal(5))) * (x - mean(d, equal(5))) / 4;
    CHECK(std::sqrt(square) == within(0.0005)(r["expect"]["sd_l"].as<double>()));
}

TEST_CASE("chk-87, chk-88 the filter agrees with the exact Gaussian update within 3 %") {
    for (const std::string id : {"chk-87", "chk-88"}) {
        const auto r = row(id);
        const bool loss = id == "chk-88";   // k is seen through a loss of 2 k
        const double centre = r["given"][loss ? "k_mean" : "depletion_mean_l"].as<double>();
        const double sd = r["given"][loss ? "k_sd" : "depletion_sd_l"].as<double>();
        std::vector<double> x, seen;
        for (double p : sequence(2, leap, 0)) x.push_back(centre + sd * normal_quantile(p));
        for (double v : x) seen.push_back(loss ? 2 * v : v);
        const double noise = r["given"]["observation_sd_l"].as<double>();
        std::vector<double>* moved[] = {&x};
        const SquareRootGain g = filter(seen, r["given"][loss ? "observed_loss_l" : "observed_l"].as<double>(), noise * noise, moved);
        // The filter's gain is the observed quantity's own; of a k seen through twice itself the half is k's.
        CHECK((loss ? g.gain / 2 : g.gain) == Approx(r["expect"]["gain"].as<double>()).epsilon(0.03));
        const double after = mean(x, equal(x.size()));
        double variance = 0;
        for (double v : x) variance += (v - after) * (v - after) / double(x.size() - 1);
        CHECK(after == Approx(r["expect"][loss ? "k_mean" : "mean_l"].as<double>()).epsilon(0.03));
        CHECK(std::sqrt(variance) == Approx(r["expect"][loss ? "k_sd" : "sd_l"].as<double>()).epsilon(0.03));
    }
}

TEST_CASE("chk-151, chk-152 run-through and what it says") {
    const auto onset = row("chk-151");
    const auto scales = numbers(onset["given"]["bypass_scale"]), shares = numbers(onset["expect"]["onset_over_depletion"]);
    const auto medians = numbers(onset["expect"]["depletion_median_l"]);
    for (std::size_t i = 0; i < scales.size(); ++i) {
        CHECK(onset_share(scales[i]) == within(0.001)(shares[i]));
        CHECK(2.0 / onset_share(scales[i]) == within(0.005)(medians[i]));
        for (std::size_t side : {0, 1}) {
            const double factor = std::exp((side ? 1 : -1) * 1.6448536 * 0.25);
            CHECK(medians[i] * factor == within(onset["tol"]["depletion_range_90_l"].as<double>())(onset["expect"]["depletion_range_90_l"][i][side].as<double>()));
        }
    }
    const auto r = row("chk-152");
    const auto members = numbers(r["given"]["members_depletion_l"]);
    for (const bool ran : {true, false}) {
        Weights w = equal(members.size());
        std::vector<double> likelihood;
        for (double d : members) {
            const OnsetLaw law{.depletion_l = d, .share = onset_share(0.5), .sd_ln = 0.25};
            likelihood.push_back(ran ? ran_through_likelihood(Litres(2), law) : held_likelihood(Litres(2), law));
        }
        CHECK(reweigh(w, likelihood, 1));
        const auto printed = numbers(r["expect"][ran ? "weight_if_ran_through" : "weight_if_nothing_ran"]);
        for (std::size_t i = 0; i < w.size(); ++i) CHECK(w[i] == within(0.0005)(printed[i]));
        CHECK(mean(members, w) == within(0.005)(r["expect"][ran ? "mean_l" : "mean_if_nothing_ran_l"].as<double>()));
        if (ran) CHECK(effective_size(w) == within(0.005)(r["expect"]["effective_size"].as<double>()));
    }
}

TEST_CASE("chk-153 what is still missing where a gardener stopped when it ran through") {
    const auto r = row("chk-153");
    for (std::size_t i = 0; i < r["given"]["poured_l_bypass_scale"].size(); ++i) {
        const auto given = numbers(r["given"]["poured_l_bypass_scale"][i]), printed = numbers(r["expect"]["before_absorbed_drained_after_l"][i]);
        const double poured = given[0], before = poured / onset_share(given[1]);
        const double drained = poured * bypassed_share(given[1], poured / before, 1);
        const std::vector<double> found{before, poured - drained, drained, before - (poured - drained)};
        for (std::size_t k = 0; k < 4; ++k) CHECK(found[k] == within(0.005)(printed[k]));
    }
}

TEST_CASE("chk-83, chk-84, chk-85, chk-86 weighing, feel, drainage") {
    const auto w = row("chk-83");
    CHECK(w["given"]["weight_ref_kg"].as<double>() - w["given"]["weight_kg"].as<double>()
          == within(0)(w["expect"]["depletion_l"].as<double>()));
    const auto sd = numbers(row("chk-84")["expect"]["sd_l"]);
    CHECK(weighing_sd_l({}, 0) == within(0.001)(sd[0]));
    CHECK(weighing_sd_l({}, 4) == within(0.001)(sd[1]));
    const auto shares = numbers(row("chk-85")["expect"]["depletion_fraction"]);
    const Moisture classes[] = {Moisture::dry, Moisture::barely_moist, Moisture::moist, Moisture::wet};
    for (std::size_t i = 0; i < 4; ++i) CHECK(depletion_share(classes[i]) == shares[i]);
    double all = 0;
    for (Moisture m : classes) all += feel_likelihood(m, 0.4, 0.2);
    CHECK(all == Approx(1));
    const auto d = row("chk-86");
    const DrainedReading read = read_drained(Litres(d["given"]["dose_l"].as<double>()),
                                             Litres(d["given"]["drained_l"].as<double>()), d["given"]["bypass"].as<double>());
    CHECK(read.depletion_before_l == within(0)(d["expect"]["depletion_before_l"].as<double>()));
    CHECK(read.bypassed_l == within(0)(d["expect"]["bypass_part_l"].as<double>()));
    CHECK(read.overfill_l == within(0)(d["expect"]["overfill_part_l"].as<double>()));
    CHECK_FALSE(read.at_least);
    CHECK(read_drained(Litres(3), Litres(0.2), 0.1).at_least);
}

TEST_CASE("chk-154 to chk-157 a round that nobody answered") {
    const auto r = row("chk-154");
    std::vector<std::vector<bool>> poured;
    for (std::size_t k = 0; k < 2; ++k) {
        poured.push_back(poured_members(r["given"]["pot_id"].as<std::string>(), r["given"]["round_id"][k].as<std::string>(), 0.8));
        std::vector<int> without;
        for (int i = 0; i < 128; ++i)
            if (!poured[k][std::size_t(i)]) without.push_back(i + 1);
        CHECK(int(without.size()) == r["expect"]["not_poured_count"][k].as<int>());
        CHECK(std::vector<int>(without.begin(), without.begin() + 6) == r["expect"]["first_members"][k].as<std::vector<int>>());
    }
    const double missed = 1 - r["given"]["followed_prior"].as<double>();
    CHECK(128 * missed * missed == within(0.01)(r["expect"]["expected_in_both"].as<double>()));
    int both = 0;
    for (std::size_t i = 0; i < 128; ++i) both += !poured[0][i] && !poured[1][i];
    CHECK(both == r["expect"]["in_both"].as<int>());

    const auto beta = row("chk-155");
    const auto means = numbers(beta["expect"]["mean_after_each"]), shares = numbers(beta["given"]["answers_share"]);
    Followed counts;
    CHECK(counts.mean() == beta["expect"]["prior_mean"].as<double>());
    for (std::size_t i = 0; i < shares.size(); ++i) {
        counts = add(counts, shares[i]);
        CHECK(counts.mean() == within(0.0001)(means[i]));
    }
    const Followed capped = add(Followed{95, 4}, 1);
    CHECK(capped.done == within(1e-9)(numbers(beta["expect"]["capped"])[0]));
    CHECK(capped.undone == within(1e-9)(numbers(beta["expect"]["capped"])[1]));
    CHECK(capped.mean() == within(1e-9)(beta["expect"]["capped_mean"].as<double>()));

    const auto seen = row("chk-156");
    Weights w{0.8, 0.2};
    CHECK(reweigh(w, numbers(seen["given"]["likelihood_poured_not_poured"]), 1));
    CHECK(w[0] == within(0.0005)(seen["expect"]["posterior_poured"].as<double>()));
    const Followed after = add(Followed{}, w[0]);
    CHECK(after.done == within(0.0005)(numbers(seen["expect"]["beta_counts_after"])[0]));
    CHECK(after.undone == within(0.0005)(numbers(seen["expect"]["beta_counts_after"])[1]));

    const auto mixed = row("chk-157");
    std::vector<double> d;
    for (bool got : poured_members("7", "2026-07-14-morning", 0.8)) d.push_back(got ? 2.2 - 0.9 * 2.0 : 2.2);
    CHECK(mean(d, equal(128)) == within(0.001)(mixed["expect"]["mean_after_l"].as<double>()));
    double square = 0;
    for (double x : d) square += (x - mean(d, equal(128))) * (x - mean(d, equal(128))) / 128;
    CHECK(std::sqrt(square) == within(0.001)(mixed["expect"]["sd_after_l"].as<double>()));
    CHECK(quantile(d, equal(128), 0.1) == within(0.001)(mixed["expect"]["quantile_10_l"].as<double>()));
    CHECK(quantile(d, equal(128), 0.9) == within(0.001)(mixed["expect"]["quantile_90_l"].as<double>()));
}

TEST_CASE("silence teaches nothing, and only earlier rounds count") {
    const Instant t{};
    const std::vector<RoundAnswered> all{{"a", t, 1.0}, {"b", t + std::chrono::hours(1), {}}, {"c", t + std::chrono::hours(2), 0.0}};
    CHECK(followed(all, t).mean() == 0.8);
    CHECK(followed(all, t + std::chrono::hours(2)).mean() == Approx(9.0 / 11));
    CHECK(followed(all, t + std::chrono::hours(3)).mean() == Approx(9.0 / 12));
}

TEST_CASE("impossible or wild observations leave the weights as they were") {
    Weights w = equal(4);
    const std::vector<double> none(4, 0.0), wild(4, std::numeric_limits<double>::quiet_NaN());
    CHECK_FALSE(reweigh(w, none, 1));
    CHECK_FALSE(reweigh(w, wild, 1));
    CHECK(w == equal(4));
    CHECK(std::isfinite(ran_through_likelihood(Litres(0), {.depletion_l = 0})));
}
