#include "tree/belief.hpp"

#include "tree/demand.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tubgrove {
namespace {

constexpr double few_shift_ln = -0.375, dense_shift_ln = 0.219;   // leaf route and [FAO56] eq. 97 at LAI 1.5 and 3.5 against 2.5
constexpr double usual_age_y = 3;                    // of a tree whose age nobody stated. Own assumption
constexpr double graft_younger_y = 1.5;              // a tree is planted out one and a half years after its graft. Own assumption
constexpr double untaken_crown_m2 = 0.01, failed_crown_m2 = 0.05;   // Own assumption
// A graft that took makes one shoot in its first season: from the buds' first leaves six weeks after the graft to some forty
// leaves of 25 cm2 half a year later. Age curves begin with a tree that is planted out and say too little of it. Own assumption
constexpr double whip_crown_m2 = 0.04;
constexpr double whip_from_d = 42, whip_until_d = 200;
constexpr int taken_by_days = 90;                    // a graft of which nothing bad was told. Own assumption
constexpr int rooted_after_days = 730;               // in the same pot. Own assumption
constexpr double ball_share = 0.25, bare_root_l = 2, bench_graft_l = 1;   // Own assumption
constexpr double ball_lag_d = 7, bare_lag_d = 21;    // Own assumption

double years(LocalDay from, LocalDay to) { return double((to - from).count()) / 365.25; }

bool grafted_after_planting(const Tree& t) {
    return t.grafted && (t.planting == Planting::bench_graft || t.planting == Planting::grafted_in_place || !t.planted
                         || *t.grafted > *t.planted);
}

// Years since planting on `day`, or what stands for them.
double age_y(const Tree& t, LocalDay day) {
    if (grafted_after_planting(t)) return years(*t.grafted, day) - graft_younger_y;
    return t.planted ? years(*t.planted, day) : usual_age_y;
}

double measured_m2(const Crown& c) { return std::numbers::pi / 4 * cm(c.across_1) * cm(c.across_2) / 1e4; }

// A larger pot doubles no tree on the day of the move: its crown goes from the size that the smaller one fed to the new size at the
// stock's own rate of growth. Own assumption
double crown_in_ground_m2(const Tree& t, const Rootstock& stock, const TreeGround& ground, LocalDay day) {
    const double here = crown_by_age_m2(stock, age_y(t, day), ground.medium);
    if (!ground.grew_in || litres(*ground.grew_in) >= litres(ground.medium)) return here;
    const LocalDay moved = std::min(day, ground.grew_until);
    const double age = age_y(t, moved);
    const double behind = crown_by_age_m2(stock, age, ground.medium) - crown_by_age_m2(stock, age, *ground.grew_in);
    return here - behind * std::exp(-stock.crown_rate_per_y * std::max(0.0, years(moved, day)));
}

void set_crown(const Tree& t, const Rootstock& stock, const TreeGround& ground, LocalDay day, TreeBelief& b) {
    const double by_age = crown_in_ground_m2(t, stock, ground, day);
    if (t.crown) {
        const double then = crown_in_ground_m2(t, stock, ground, t.crown->measured);
        b.crown_m2 = measured_m2(*t.crown) * by_age / then;   // grows on along its curve from what was measured
        b.crown_measured = true;
        return;
    }
    b.crown_m2 = by_age;
    b.because.push_back("crown-never-measured");
    if (!t.planted && !t.grafted) b.because.push_back("age-unknown");
}

double whip_m2(double days) {
    const double grown = std::clamp((days - whip_from_d) / (whip_until_d - whip_from_d), 0.0, 1.0);
    return untaken_crown_m2 + grown * (whip_crown_m2 - untaken_crown_m2);
}

// A graft that failed, or of which nobody knows yet whether it took, bears hardly a leaf; one that took has at least its shoot.
void set_graft(const Tree& t, LocalDay day, TreeBelief& b) {
    if (!t.grafted || b.crown_measured) return;
    if (t.graft_taken && !*t.graft_taken) {
        b.crown_m2 = failed_crown_m2;
        b.because.push_back("graft-failed");
    } else if (!t.graft_taken && (day - *t.grafted).count() < taken_by_days) {
        b.crown_m2 = std::min(b.crown_m2, untaken_crown_m2);
        b.because.push_back("graft-not-taken-yet");
    } else {
        b.crown_m2 = std::max(b.crown_m2, whip_m2(double((day - *t.grafted).count())));
    }
}

double shift_of(Leaves leaves) {
    if (leaves == Leaves::few) return few_shift_ln;
    return leaves == Leaves::dense ? dense_shift_ln : 0;
}

double cap_of(const Tree& t, const Species& species) {
    if (t.crown && t.crown->height) {
        const double width = (cm(t.crown->across_1) + cm(t.crown->across_2)) / 2;
        return lone_crown_cap(cm(*t.crown->height) / width, species.stomatal_factor);
    }
    return lone_crown_cap(species.height_over_width, species.stomatal_factor);
}

void set_ball(const Tree& t, const TreeGround& ground, LocalDay day, TreeBelief& b) {
    const double medium_l = litres(ground.medium);
    const bool bare = t.planting == Planting::bare_root || t.planting == Planting::bench_graft;
    b.start_lag_d = bare ? bare_lag_d : ball_lag_d;
    if (t.ball) {
        b.ball_from = BallFrom::stated;
        b.ball_l = litres(*t.ball);
    } else if (t.planting == Planting::bare_root) {
        b.ball_from = BallFrom::bare_root;
        b.ball_l = bare_root_l;
    } else if (t.planting == Planting::bench_graft) {
        b.ball_from = BallFrom::bench_graft;
        b.ball_l = bench_graft_l;
    } else {
        b.ball_from = BallFrom::unstated;
        b.ball_l = ball_share * medium_l;
    }
    if ((day - ground.in_this_pot_since).count() >= rooted_after_days || b.ball_l >= medium_l) {
        b.ball_from = BallFrom::all_rooted;
        b.ball_l = 0;
    }
    if (b.ball_from == BallFrom::unstated) b.because.push_back("ball-unknown");
}

}  // namespace

double crown_by_age_m2(const Rootstock& stock, double age, Litres medium) {
    const double most = std::min(stock.crown_max_m2, crown_per_litre_m2 * litres(medium));
    return most / (1 + std::exp(-stock.crown_rate_per_y * (age - stock.crown_half_y)));
}

TreeBelief believe_tree(const Tree& t, const Species& species, const Rootstock& stock, const TreeGround& ground, LocalDay day) {
    TreeBelief b;
    set_crown(t, stock, ground, day, b);
    set_graft(t, day, b);
    b.leaves_answered = t.leaves != Leaves::unknown;
    if (!b.leaves_answered) b.because.push_back("leaves-not-answered");
    b.leaf_m2 = species.leaf_factor * stock.leaf_factor * std::exp(shift_of(t.leaves)) * b.crown_m2 * t.leaf_share;
    b.cap = cap_of(t, species);
    b.threshold_kPa = ground.threshold_kPa * species.threshold_factor * stock.threshold_factor;
    b.root_front_factor = stock.root_front_factor;
    set_ball(t, ground, day, b);
    if (t.rootstock.empty() && t.vigour.empty()) b.because.push_back("rootstock-unknown");
    return b;
}

}  // namespace tubgrove
