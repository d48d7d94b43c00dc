#include "plan/beliefs.hpp"

#include "pot/capacity.hpp"
#include "pot/surface.hpp"
#include "tree/belief.hpp"

#include <algorithm>
#include <cassert>
#include <charconv>
#include <cmath>

namespace tubgrove {
namespace {

// The word for a bay's place that keeps rain off and holds the air's temperature.
constexpr std::string_view indoors = "indoors";

Prior prior_of(const PriorRow& row) {
    switch (row.spread) {
    case Spread::fixed: return fixed_prior(row.median);
    case Spread::lognormal: return lognormal_prior(row.median, row.sd_ln);
    case Spread::triangular: return triangular_prior(row.mode, {row.low, row.high});
    }
    return fixed_prior(row.median);
}

Prior spread_around(double median, const PriorRow& row) { return median > 0 ? lognormal_prior(median, row.sd_ln) : fixed_prior(0); }

// A word of a bay, a stated share, or what the table calls usual.
Prior word_prior(const Tables& tables, std::string_view about, const std::string& text, std::string_view usual) {
    if (const auto share = stated_share(text)) return fixed_prior(*share);
    const Word* word = tables.word(about, text);
    if (!word) word = tables.word(about, usual);
    if (!word) return fixed_prior(1);
    return word->low == word->high ? fixed_prior(word->middle) : triangular_prior(word->middle, {word->low, word->high});
}

Prior times(const Prior& a, const Prior& b) {
    const auto low = [](const Prior& p) { return p.spread == Spread::fixed ? p.middle : p.low; };
    const auto high = [](const Prior& p) { return p.spread == Spread::fixed ? p.middle : p.high; };
    if (a.spread == Spread::fixed && b.spread == Spread::fixed) return fixed_prior(a.middle * b.middle);
    return triangular_prior(a.middle * b.middle, {low(a) * low(b), high(a) * high(b)});
}

struct Stocked {
    const Species* species;
    const Rootstock* stock;
};
Stocked rows_of(const Tree& tree, const Tables& tables) {
    assert(!tables.species.empty() && !tables.vigours.empty());
    const Species* species = tables.one_species(tree.species);
    if (!species) species = &tables.species.front();
    const Rootstock* stock = tree.rootstock.empty() ? nullptr : tables.rootstock(tree.rootstock);
    if (!stock && !tree.vigour.empty()) stock = tables.vigour(tree.vigour);
    if (!stock) stock = tables.vigour(species->vigour);
    return {species, stock ? stock : &tables.vigours.front()};
}

const Medium& medium_of(const PotSetup& setup, const Tables& tables) {
    const Medium* medium = tables.medium(setup.medium.empty() ? unnamed_medium : setup.medium);
    if (!medium) medium = tables.medium(unnamed_medium);
    assert(medium);
    return *medium;
}

std::vector<TreeBelief> trees_of(const PotSetup& setup, const Tables& tables, Litres volume_of_medium, LocalDay day) {
    std::vector<TreeBelief> trees;
    const double part = 1.0 / double(std::max<std::size_t>(1, setup.trees.size()));
    for (const Tree& tree : setup.trees) {
        const Stocked rows = rows_of(tree, tables);
        TreeGround ground{.medium = volume_of_medium * part, .threshold_kPa = medium_of(setup, tables).threshold_kPa,
                          .in_this_pot_since = setup.in_this_pot_since};
        if (setup.grown_in) ground.grew_in = Litres(setup.grown_in->medium_l * part), ground.grew_until = setup.grown_in->until;
        trees.push_back(believe_tree(tree, *rows.species, *rows.stock, ground, day));
    }
    return trees;
}

void shape_from(Belief& b, const Vessel& vessel, const PotSetup& setup, const Medium& medium) {
    Member& m = b.shape;
    m.volume_l = litres(volume(vessel.medium));
    m.capacity_l = litres(container_capacity(vessel.medium, medium.retention));
    m.top_m2 = m2(top_area(vessel.medium));
    m.wall_m2 = m2(wall_area(vessel.medium));
    m.theta_r = medium.retention.theta_r;
    m.theta_s = medium.retention.theta_s;
    m.alpha_per_cm = medium.retention.alpha_per_cm;
    m.n = medium.retention.n;
    m.height_cm = vessel.medium.height_cm;
    m.dried_loss = medium.dried_loss;
    if (setup.container.saucer && litres(*setup.container.saucer) > 0) {
        constexpr double wider = 1.3;   // a saucer's area over the pot's base, own assumption
        m.saucer_l = litres(*setup.container.saucer);
        m.saucer_m2 = wider * section_cm2(vessel.brim, 0) / 1e4;
    }
    // With its holes blocked a pot is its own saucer: what should drain stands in the pores, up to the medium's top.
    if (setup.passing.blocked) {
        m.saucer_l = std::max(0.0, m.theta_s * m.volume_l - m.capacity_l);
        m.saucer_m2 = 0;
        b.drains = false;
        b.because.push_back("drain-blocked");
    }
}

void medium_from(Belief& b, const Vessel& vessel, const PotSetup& setup, const Medium& medium, const Priors& priors) {
    const bool unnamed = setup.medium.empty() || setup.medium == unnamed_medium;
    const double sd = priors[unnamed ? PriorKey::capacity_shop_mix : PriorKey::capacity].sd_ln;
    b[Dim::capacity] = lognormal_prior(1, vessel.rim_only ? std::hypot(sd, priors[PriorKey::capacity_rim_only].sd_ln) : sd);
    b[Dim::lower_limit] = spread_around(medium.lower_limit_kPa, priors[medium.mineral ? PriorKey::lower_limit_mineral : PriorKey::lower_limit]);
    b[Dim::bypass] = prior_of(priors[medium.coarse_bark ? PriorKey::bypass_bark : PriorKey::bypass_other]);
    if (unnamed) b.because.push_back("medium-unknown");
    if (vessel.rim_only) b.because.push_back("rim-litres-only");
}

Prior mulch_prior(const std::optional<Mulch>& mulch, const PriorRow& row) {
    if (!mulch || mulch->cover <= 0 || cm(mulch->depth) <= 0) return fixed_prior(1);
    const auto at = [&](double full_cover) { return mulch_factor(mulch->cover, cm(mulch->depth), full_cover); };
    return triangular_prior(at(row.mode), {at(row.low), at(row.high)});
}

Prior wall_prior(Wall wall, const Priors& priors) {
    switch (wall) {
    case Wall::clay: return prior_of(priors[PriorKey::wall_clay]);
    case Wall::fabric: return prior_of(priors[PriorKey::wall_fabric]);
    case Wall::wood: return prior_of(priors[PriorKey::wall_wood]);
    case Wall::plastic:
    case Wall::glazed:
    case Wall::metal:
    case Wall::concrete: return fixed_prior(0);
    }
    return fixed_prior(0);
}

// What the room of a bay indoors does to the air.
RoomAir room_air(const Priors& priors) {
    const double low = priors.fixed(PriorKey::indoors_low_degC);
    return {low, std::max(low, priors.fixed(PriorKey::indoors_high_degC))};
}

void place_from(Belief& b, const PotSetup& setup, const Tables& tables) {
    const Exposure& x = setup.exposure;
    b.bay = x.bay;
    b[Dim::radiation] = word_prior(tables, "light", x.light, "full");
    if (setup.passing.roofed) b[Dim::radiation] = times(b[Dim::radiation], prior_of(tables.priors[PriorKey::roof_left]));
    if (setup.passing.shaded) {
        const auto& told = setup.passing.shade_share;
        b[Dim::radiation] = times(b[Dim::radiation], told ? fixed_prior(1 - *told) : prior_of(tables.priors[PriorKey::shade_left]));
    }
    b[Dim::wind] = times(word_prior(tables, "shelter", x.shelter, "usual"), word_prior(tables, "place", x.place, "ground"));
    b.heat = word_prior(tables, "ground", x.ground, "paving");
    b.rain_share = word_prior(tables, "rain", x.rain, "open");
    if (x.place == indoors) {   // by kind: no rain; little wind stands in the table
        b.rain_share = fixed_prior(0);
        b.room = room_air(tables.priors);
    }
    b[Dim::rain_capture] = prior_of(tables.priors[PriorKey::rain_capture]);
    b[Dim::surface_exposure] = prior_of(tables.priors[PriorKey::surface_exposure]);
    b[Dim::mulch] = mulch_prior(setup.mulch, tables.priors[PriorKey::mulch_factor]);
    b[Dim::wall] = wall_prior(setup.container.wall, tables.priors);
    if (setup.drip) b.drip = DripTimes{litres(setup.drip->each), setup.drip->at, setup.drip->every_days, setup.drip->first};
}

double ball_sd(BallFrom from, const Priors& priors) {
    switch (from) {
    case BallFrom::stated: return priors[PriorKey::ball_stated_sd].sd_ln;
    case BallFrom::unstated: return priors[PriorKey::ball_unstated_sd].sd_ln;
    case BallFrom::bare_root: return priors[PriorKey::ball_bare_root_l].sd_ln;
    case BallFrom::bench_graft: return priors[PriorKey::ball_bench_graft_l].sd_ln;
    case BallFrom::all_rooted: return 0;
    }
    return 0;
}

// Roots: the balls of all trees together; the trees' own numbers weighted alike.
void roots_from(Belief& b, const std::vector<TreeBelief>& trees, const Priors& priors) {
    double ball_l = 0, front = 0, lag = 0, sd = 0;
    bool rooted = trees.empty();
    for (const TreeBelief& t : trees) {
        ball_l += t.ball_l;
        front += t.root_front_factor / double(trees.size());
        lag += t.start_lag_d / double(trees.size());
        sd = std::max(sd, ball_sd(t.ball_from, priors));
        rooted = rooted || t.ball_from == BallFrom::all_rooted || t.ball_l <= 0;
    }
    b[Dim::ball] = rooted ? fixed_prior(0) : lognormal_prior(ball_l, sd);
    b[Dim::front] = rooted ? fixed_prior(2) : spread_around(priors[PriorKey::root_front_mm_d].median * front, priors[PriorKey::root_front_mm_d]);
    b[Dim::exchange] = rooted ? fixed_prior(24) : prior_of(priors[PriorKey::exchange_h]);
    if (!rooted) b.shape.start_lag_d = lag;
}

// Torn roots reach less of the medium until they have grown again.
void torn_roots(Belief& b, const PotSetup& setup, const Priors& priors) {
    if (!setup.passing.rocked) return;
    b.shape.roots_kept = priors.fixed(PriorKey::rocked_roots);
    b.because.push_back("ball-rocked");
}

void trees_from(Belief& b, const std::vector<TreeBelief>& trees, const Priors& priors, double medium_threshold_kPa) {
    double leaf = 0, threshold = 0;
    bool answered = !trees.empty(), measured = !trees.empty();
    for (const TreeBelief& t : trees) {
        leaf += t.leaf_m2;
        threshold += t.leaf_m2 * t.threshold_kPa;
        answered = answered && t.leaves_answered;
        measured = measured && t.crown_measured;
        for (std::string_view code : t.because)
            if (std::find(b.because.begin(), b.because.end(), code) == b.because.end()) b.because.emplace_back(code);
    }
    const double leaf_sd = priors[answered ? PriorKey::leaf_area_answered_sd : PriorKey::leaf_area_sd].sd_ln;
    const double crown_sd = priors[measured ? PriorKey::crown_measured_sd : PriorKey::crown_sd].sd_ln;
    b[Dim::leaf_area] = lognormal_prior(1, std::hypot(leaf_sd, crown_sd));
    b.crown_share = crown_sd * crown_sd / (leaf_sd * leaf_sd + crown_sd * crown_sd);
    b[Dim::threshold] = spread_around(leaf > 0 ? threshold / leaf : medium_threshold_kPa, priors[PriorKey::threshold]);
    roots_from(b, trees, priors);
}

// Unknowns that only have a score: their spread is applied where they act.
void scores_only(Belief& b) {
    for (Dim d : {Dim::start, Dim::et0_error, Dim::rain_error, Dim::forecast, Dim::onset}) b[d] = fixed_prior(0);
}

}  // namespace

std::optional<double> stated_share(std::string_view text) {
    double x = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), x);
    if (error != std::errc()) return {};
    std::string_view rest(end, std::size_t(text.data() + text.size() - end));
    while (!rest.empty() && rest.front() == ' ') rest.remove_prefix(1);
    if (rest == "%") x /= 100;
    else if (!rest.empty()) return {};
    if (!(x >= 0 && x <= 1.5)) return {};
    return x;
}

std::variant<Belief, ImpossibleContainer> belief_of(const PotSetup& setup, const Tables& tables, LocalDay since) {
    const auto found = vessel_of(setup.container);
    if (const auto* wrong = std::get_if<ImpossibleContainer>(&found)) return *wrong;
    const Vessel& vessel = std::get<Vessel>(found);
    const Medium& medium = medium_of(setup, tables);
    Belief b;
    scores_only(b);
    b.in_this_pot_since = setup.in_this_pot_since;
    b.water_in = setup.in_this_pot_since == since;
    shape_from(b, vessel, setup, medium);
    trees_from(b, trees_of(setup, tables, volume(vessel.medium), since), tables.priors, medium.threshold_kPa);
    torn_roots(b, setup, tables.priors);
    medium_from(b, vessel, setup, medium, tables.priors);
    place_from(b, setup, tables);
    return b;
}

namespace {

std::vector<SeasonDay> season_days(std::span<const DayRecord> days) {
    std::vector<SeasonDay> season;
    season.reserve(days.size());
    for (const DayRecord& d : days)
        season.push_back({d.day, d.air_temp_max_degC.value, d.air_temp_min_degC.value, d.mean_temp_degC, d.daylight_h});
    return season;
}

// A tree indoors lives through the room's warmth.
void bring_in(std::span<SeasonDay> days, const RoomAir& room) {
    for (SeasonDay& d : days)
        for (double* t : {&d.max_degC, &d.min_degC, &d.mean_degC}) *t = room.held(*t);
}

// Flowers of a graft's first two years are picked off.
bool bears(const Tree& tree, LocalDay day) { return !tree.grafted || (day - *tree.grafted).count() >= 730; }

// The years of the trees of a pot; a setup with the same trees and stages as the last one shares them.
class TreeYearsOf {
public:
    TreeYearsOf(const Tables& tables, const GrowingSite& site, std::span<const SeasonDay> season)
        : tables_(tables), site_(site), season_(season) {}

    const std::vector<std::vector<TreeDay>>& of(const std::vector<Tree>& trees) {
        const auto alike = [](const Tree& a, const Tree& b) { return a.species == b.species && a.stages == b.stages; };
        if (!trees_ || !std::ranges::equal(*trees_, trees, alike)) {
            years_.clear();
            for (const Tree& tree : trees) years_.push_back(tree_days(*rows_of(tree, tables_).species, site_, season_, tree.stages));
            trees_ = &trees;
        }
        return years_;
    }

private:
    const Tables& tables_;
    const GrowingSite& site_;
    std::span<const SeasonDay> season_;
    const std::vector<Tree>* trees_ = nullptr;
    std::vector<std::vector<TreeDay>> years_;
};

// The canopies of one setup on the days from..to of the season.
struct SeasonPart {
    std::size_t from = 0, to = 0;
};
void add_canopies(std::vector<DayCourse>& course, const PotSetup& setup, const Tables& tables, TreeYearsOf& tree_years,
                  std::span<const SeasonDay> season, SeasonPart range) {
    const auto vessel = vessel_of(setup.container);
    if (std::holds_alternative<ImpossibleContainer>(vessel)) return;
    const Litres medium = volume(std::get<Vessel>(vessel).medium);
    const auto& years = tree_years.of(setup.trees);
    for (std::size_t d = range.from; d < range.to; ++d) {
        const std::vector<TreeBelief> trees = trees_of(setup, tables, medium, season[d].day);
        Canopy& c = course[d].canopy;
        double cap = 0;
        for (std::size_t t = 0; t < trees.size(); ++t) {
            c.leaf_m2 += trees[t].leaf_m2 * years[t][d].leaf_share;
            if (bears(setup.trees[t], season[d].day)) c.full_bloom = std::max(c.full_bloom, years[t][d].full_bloom);
            c.crown_m2 += trees[t].crown_m2;
            cap += trees[t].cap * trees[t].crown_m2;
        }
        if (c.crown_m2 > 0) c.cap = cap / c.crown_m2;
        if (setup.passing.weeds) {
            const double more = 1 + tables.priors.fixed(PriorKey::weeds_demand);
            c.leaf_m2 *= more, c.cap *= more;
        }
    }
}

}  // namespace

std::vector<DayCourse> course_of(const PotHistory& history, const Tables& tables, const GrowingSite& site, const Zone& zone,
                                 std::span<const DayRecord> days) {
    std::vector<DayCourse> course;
    for (const DayRecord& d : days) course.push_back({&d, {}});
    std::vector<SeasonDay> season = season_days(days);
    std::vector<SeasonPart> parts;
    for (std::size_t k = 0; k < history.setups.size(); ++k) {
        const auto first_day = [&](std::size_t setup) { return zone.day_of(history.setups[setup].since); };
        std::size_t from = 0, to = days.size();
        while (k > 0 && from < days.size() && days[from].day < first_day(k)) ++from;
        if (k + 1 < history.setups.size())
            while (to > from && days[to - 1].day >= first_day(k + 1)) --to;
        parts.push_back({from, std::max(from, to)});
        if (history.setups[k].setup.exposure.place == indoors) bring_in(std::span(season).subspan(from, parts.back().to - from), room_air(tables.priors));
    }
    TreeYearsOf tree_years(tables, site, season);
    for (std::size_t k = 0; k < parts.size(); ++k)
        if (parts[k].from < parts[k].to) add_canopies(course, history.setups[k].setup, tables, tree_years, season, parts[k]);
    return course;
}

namespace {

constexpr int bloom_to_set_days = 40;
// So long after a bloom that was seen its crop is taken to hang, unless something else was told. Own assumption
constexpr int usual_crop_days = 150;
// A stage seen longer ago belongs to another season. Own assumption
constexpr int same_season_days = 240;

// The day on which a stage of this season was seen.
std::optional<LocalDay> seen(const Tree& tree, const char* stage, LocalDay day) {
    const auto it = tree.stages.find(stage);
    const bool now = it != tree.stages.end() && it->second <= day && (day - it->second).count() < same_season_days;
    return now ? std::optional(it->second) : std::nullopt;
}

Stage stage_of_tree(const Tree& tree, const std::optional<LocalDay>& computed_bloom, LocalDay day) {
    if (tree.planted && (day - *tree.planted).count() < 365) return Stage::first_year;
    const auto seen_bloom = seen(tree, "full-bloom", day);
    const auto bloom = seen_bloom ? seen_bloom : computed_bloom;
    const auto set = seen(tree, "fruit-set", day);
    constexpr long long never = 100'000;
    const long long since_bloom = bloom && *bloom <= day ? (day - *bloom).count() : never;
    if (since_bloom < bloom_to_set_days && !set) return Stage::bloom_to_set;
    const bool over = seen(tree, "harvest-over", day) || seen(tree, "leaf-fall", day);
    // Whether a tree bears this year no heat sum tells: a crop counts where its bloom or its set was seen.
    if (!over && (set || (seen_bloom && since_bloom < usual_crop_days))) return Stage::fruit;
    return Stage::other;
}

}  // namespace

Stage stage_of(const PotSetup& setup, const Canopy& canopy, LocalDay day) {
    if (canopy.leaf_m2 <= 0) return Stage::dormant;
    Stage of_all = Stage::other;
    for (const Tree& tree : setup.trees) {
        const Stage stage = stage_of_tree(tree, canopy.full_bloom, day);
        if (stage == Stage::first_year || stage == Stage::bloom_to_set) return stage;
        if (stage == Stage::fruit) of_all = stage;
    }
    return of_all;
}

}  // namespace tubgrove
