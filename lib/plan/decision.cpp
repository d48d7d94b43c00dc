#include "plan/decision.hpp"

#include "plan/filling.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace tubgrove {

double dry_hour_price(const Prices& prices, Care care, Stage stage) {
    const double caution = care == Care::low ? prices[PriceKey::caution_low] : care == Care::high ? prices[PriceKey::caution_high] : 1;
    const PriceKey factor = stage == Stage::dormant        ? PriceKey::stage_dormant
                            : stage == Stage::first_year   ? PriceKey::stage_first_year
                            : stage == Stage::bloom_to_set ? PriceKey::stage_bloom_to_set
                            : stage == Stage::fruit        ? PriceKey::stage_fruit
                                                           : PriceKey::stage_other;
    return prices[PriceKey::dry_hour_l] * caution * prices[factor];
}

namespace {

double walk_cost(const Prices& prices, const Manner& m) {
    if (m.pour_l <= 0) return 0;
    return prices[PriceKey::pour_l] + (m.passes > 1 ? prices[PriceKey::second_pass_l] : 0);
}

double difference(const std::vector<double>& now, const std::vector<double>& before, const Weights& w) {
    double sum = 0;
    for (std::size_t i = 0; i < w.size(); ++i) sum += w[i] * (now[i] - before[i]);
    return sum;
}

}  // namespace

namespace {

// The same, given up as soon as what is certain already costs more than `bound_l`.
Loss loss_within(const Outlook& outlook, const Outlook::Run& at_walk, const Manner& manner, const Chances& chances,
                 const Prices& prices, const Means& means, double bound_l) {
    const Weights& w = outlook.ensemble().weights;
    Loss loss;
    Outlook::Run run = at_walk;
    if (manner.pour_l > 0) loss.given_l = mean(outlook.pour(run, manner), w);
    const auto add_up = [&] {
        loss.drained_l = difference(run.fluxes.lost_l, at_walk.fluxes.lost_l, w);
        loss.total_l = means.dry_hour_l * (loss.dry_h + prices[PriceKey::dry_later_share] * loss.dry_later_h)
                       + prices[PriceKey::drained_l] * loss.drained_l + walk_cost(prices, manner);
        return loss.total_l > bound_l;
    };
    if (add_up()) return loss;
    outlook.run(run, chances.next);
    const std::vector<double> dry_at_next = run.fluxes.dry_h;
    loss.dry_h = difference(dry_at_next, at_walk.fluxes.dry_h, w);
    if (add_up()) return loss;
    outlook.run(run, chances.after);
    loss.dry_later_h = difference(run.fluxes.dry_h, dry_at_next, w);
    add_up();
    return loss;
}

}  // namespace

Loss loss_of(const Outlook& outlook, const Outlook::Run& at_walk, const Manner& manner, const Chances& chances,
             const Prices& prices, const Means& means) {
    return loss_within(outlook, at_walk, manner, chances, prices, means, INFINITY);
}

namespace {

// The candidates of one manner lie on marks; a coarse grid first, then the marks around its best.
class Search {
public:
    Search(const Outlook& outlook, Outlook::Run at_walk, const Chances& chances, const Prices& prices, const Means& means)
        : outlook_(outlook), at_walk_(std::move(at_walk)), chances_(chances), prices_(prices), means_(means) {
        none_ = loss_of(outlook, at_walk_, {}, chances, prices, means);
        best_ = none_;
    }

    // Returns the mark of its best; `near` starts from the best of a like manner instead of the whole grid.
    int over(Manner manner, int marks, int near = 0) {
        tried_.clear();
        const int step = std::max(1, marks / 6);
        int centre = 0;
        double least = INFINITY;
        const auto look = [&](int k) {
            if (k < manner.passes || k > marks || tried_.contains(k)) return;   // each pass takes a mark at least
            const double loss = try_one(manner, k);
            if (loss < least) least = loss, centre = k;
        };
        if (near > 0) look(near), look(near - step), look(near + step);
        else
            for (int k = step; k <= marks; k += step) look(k);
        look(marks);
        for (int width = step / 2; width >= 1; width /= 2) {
            const int around = centre;
            look(around - width);
            look(around + width);
        }
        return centre;
    }

    // A pour that stops where water shows tells the most where its ceiling is out of the way, and what the members do not
    // dream of is found only so. So the longest ceiling is taken whose loss is within the slack of the best.
    void lengthen(int marks, double slack_l) {
        if (choice_.pour_l <= 0) return;
        const double bearable = best_.total_l + slack_l;
        Manner manner = choice_;
        manner.until = Until::run_through;
        const int least = int(std::lround(choice_.pour_l / means_.mark_l));
        int low = least - 1, high = std::max(least, marks) + 1;   // the loss rises with the ceiling: halve
        while (high - low > 1) {
            const int middle = (low + high) / 2;
            const Loss loss = loss_within(outlook_, at_walk_, at_marks(manner, middle), chances_, prices_, means_, bearable);
            if (loss.total_l <= bearable) best_ = loss, choice_ = at_marks(manner, middle), low = middle;
            else high = middle;
        }
    }

    const Manner& choice() const { return choice_; }
    const Loss& best() const { return best_; }
    const Loss& none() const { return none_; }

private:
    Manner at_marks(Manner manner, int k) const {
        manner.pour_l = k * means_.mark_l;
        return manner;
    }

    double try_one(Manner manner, int k) {
        manner = at_marks(manner, k);
        const Loss loss = loss_within(outlook_, at_walk_, manner, chances_, prices_, means_, 2 * best_.total_l);
        tried_[k] = loss.total_l;
        if (loss.total_l < best_.total_l - 1e-9) best_ = loss, choice_ = manner;
        return loss.total_l;
    }

    const Outlook& outlook_;
    const Outlook::Run at_walk_;
    const Chances& chances_;
    const Prices& prices_;
    const Means& means_;
    Loss none_, best_;
    Manner choice_;
    std::map<int, double> tried_;
};

// What the members would use in a day if water were free, and what they can take up freely from a full pot.
double day_use_l(const Outlook& outlook, const Outlook::Run& at_walk) {
    Outlook::Run run = at_walk;
    std::fill(run.state.depletion_rooted_l.begin(), run.state.depletion_rooted_l.end(), 0.0);
    std::fill(run.state.depletion_unrooted_l.begin(), run.state.depletion_unrooted_l.end(), 0.0);
    const std::vector<double> before = run.fluxes.transpiration_l, top = run.fluxes.top_l, wall = run.fluxes.wall_l;
    outlook.run(run, at_walk.at + std::chrono::hours(24));
    std::vector<double> used(before.size());
    for (std::size_t i = 0; i < used.size(); ++i)
        used[i] = run.fluxes.transpiration_l[i] - before[i] + run.fluxes.top_l[i] - top[i] + run.fluxes.wall_l[i] - wall[i];
    return quantile(used, outlook.ensemble().weights, 0.5);
}

// Room of the pot: a little more than the driest member misses, in marks.
int marks_of_room(const std::vector<double>& missing_l, const Means& means) {
    constexpr double beyond_deepest = 1.15;
    const double deepest = *std::max_element(missing_l.begin(), missing_l.end());
    return int(std::ceil(beyond_deepest * deepest / means.mark_l - 1e-9));
}

// The manners of a pour, up to so many marks: as is or until it runs through, in one pass or two.
void search_draining(Search& search, int marks, double need_high_l, const Prices& prices, const Means& means) {
    const int amount = search.over({0, 1, Until::amount}, marks);
    const int ceiling = search.over({0, 1, Until::run_through}, marks);
    if (means.passes > 1) {
        search.over({0, 2, Until::run_through}, marks, ceiling);
        search.over({0, 2, Until::amount}, marks, amount);
    }
    // No longer than what nine of ten members could miss: more would only be carried, and read as a target.
    search.lengthen(std::min(marks, int(std::ceil(need_high_l / means.mark_l - 1e-9))), prices[PriceKey::ceiling_slack_l]);
}

}  // namespace

int marks_where_nothing_drains(double missing_l, double mark_l) {
    constexpr double as_good_as_none = 0.1;
    return missing_l <= as_good_as_none * mark_l ? 0 : std::max(1, int(missing_l / mark_l + 1e-9));
}

Decision decide(const Outlook& outlook, const Chances& chances, const Prices& prices, const Means& means) {
    const Weights& w = outlook.ensemble().weights;
    Outlook::Run at_walk = outlook.start();
    outlook.run(at_walk, chances.walk);
    const std::vector<double> missing = depletion_l(at_walk.state);
    Decision d;
    d.need_l = percentiles(missing, w);
    d.available_l = quantile(available_l(at_walk.state), w, 0.5);
    d.rooted_share = quantile(at_walk.state.rooted_share, w, 0.5);
    d.free_l = quantile(at_walk.state.ready_l, w, 0.5);
    d.dry_after_h = outlook.dry_after_h(at_walk);
    d.dry_h = percentiles(d.dry_after_h, w);

    // Candidates are compared in blocks of three hours: a third of the work, and the same for all of them.
    const Outlook quick = outlook.coarser(3, std::max(chances.after, chances.walk + std::chrono::hours(24)));
    Search search(quick, quick.take_up(at_walk), chances, prices, means);
    if (const int marks = marks_of_room(missing, means); marks > 0 && search.none().total_l > walk_cost(prices, {means.mark_l, 1, Until::amount})) {
        if (means.drains) search_draining(search, marks, d.need_l.high, prices, means);
        // Where nothing is lost below, too much costs the search nothing: the need is the bound, and one pass wets as well as two.
        else if (const int needed = std::min(marks, marks_where_nothing_drains(d.need_l.median, means.mark_l)); needed > 0)
            search.over({0, 1, Until::amount}, needed);
    }
    d.manner = search.choice();
    d.loss = search.best();
    d.none = search.none();
    d.day_use_l = day_use_l(quick, quick.take_up(at_walk));
    const Pouring pouring{.mark_l = means.mark_l, .passes = means.passes, .due_chance = means.due_chance};
    Outlook::Run filled = quick.take_up(at_walk);
    quick.pour(filled, filling(quick, filled, pouring));
    std::vector<double> free_l(w.size());
    for (std::size_t i = 0; i < free_l.size(); ++i) free_l[i] = std::max(0.0, filled.state.ready_l[i] - filled.state.depletion_rooted_l[i]);
    d.filled_free_l = quantile(free_l, w, 0.5);
    const FilledLasts stands = filled_lasts(quick, std::move(filled), pouring);
    d.filled_lasts_h = stands.likely_h;
    d.beyond_walks = stands.through(double((chances.next - chances.walk).count()) / 3600) == Through::hardly;
    return d;
}

}  // namespace tubgrove
