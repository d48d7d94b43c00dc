// Four years of real daily weather, lived through by a few typical pots whose gardener follows the list and says what
// was poured. The weather is the table seattle-weather.csv of the package vega-datasets: highest and lowest air
// temperature, rain and wind of each day, which is what a grower without a station of the better kind has. Its wind
// is in m/s: the package's description says km/h, but a mean of 3.2 and a highest of 9.5 fit an airport mast in m/s
// only. The tree that really stands in the pot is the model's own middle one, so this shows whether list and balance
// hold together and stay inside what was measured on real plants; it cannot show that the model is right.
#include "catch.h"
#include "climate/complete.hpp"
#include "ensemble/member_weather.hpp"
#include "ensemble/outlook.hpp"
#include "intake/tables.hpp"
#include "plan/beliefs.hpp"
#include "plan/decision.hpp"
#include "pot/balance.hpp"
#include "pot/rooted.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <numeric>
#include <sstream>
#include <string>
#include <vector>

using namespace tubgrove;

namespace {

const Zone zone = *Zone::find("America/Los_Angeles");

SiteClimate site_climate() {
    SiteClimate site;
    site.latitude = Degrees(47.45);
    site.longitude = Degrees(-122.31);
    site.elevation = Metres(130);
    site.zone = zone;
    return site;
}
const SiteClimate place = site_climate();

std::vector<Observation> read_seattle() {
    std::ifstream in(VEGA_DATASETS "/data/seattle-weather.csv");
    std::string line;
    std::getline(in, line);
    REQUIRE(line == "date,precipitation,temp_max,temp_min,wind,weather");
    std::vector<Observation> found;
    while (std::getline(in, line)) {
        std::istringstream cells(line);
        std::string date, rain, warm, cool, wind;
        std::getline(cells, date, ',');
        for (auto* cell : {&rain, &warm, &cool, &wind}) std::getline(cells, *cell, ',');
        const LocalDay day = parse_day(date).value();
        Observation o(zone.start_of(day), zone.end_of(day));
        o[Channel::precipitation_amount_sum] = std::stod(rain);
        o[Channel::air_temperature_max] = std::stod(warm);
        o[Channel::air_temperature_min] = std::stod(cool);
        o[Channel::wind_speed_mean] = std::stod(wind);
        found.push_back(o);
    }
    return found;
}

const std::vector<DayRecord>& days_of_seattle() {
    static const std::vector<DayRecord> days = [] {
        const auto observations = read_seattle();
        SeriesReadings mast{{}, observations};
        mast.series.source = "airport";
        mast.series.wind_height_m = 10;
        const DaySpan all{*parse_day("2012-01-01"), *parse_day("2015-12-31")};
        return complete_days(place, std::span(&mast, 1), all, zone.end_of(all.last));
    }();
    return days;
}

const Tables& tables() {
    static const auto read = read_tables();
    REQUIRE(read.ok());
    return read.value;
}

// What one day was to the tree that really stands there. Weather, uptake and balance are the calendar day's; dry
// hours and use run from this morning's walk to the next, since they follow from this walk's pour.
struct Lived {
    LocalDay day{};
    double et0_mm = 0;   // of the bay
    double leaf_m2 = 0;  // effective, with the season
    double transpired_l = 0, evaporated_l = 0, poured_l = 0, drained_of_pour_l = 0, dry_h = 0;
    double missing_at_walk_l = 0;
    double free_l = 0;  // what the tree takes up freely from a full pot
    double use_l = 0;   // what tree, surface and wall would take from walk to walk if water is free
    double filling_lasts_d() const { return use_l > 0 ? free_l / use_l : 1e9; }
    bool warned = false;  // the list says that no walk saves it
    double off_balance_l = 0;
};

struct PotOfTest {
    PotSetup setup;
    Stage stage = Stage::other;
};

// The middle member: every unknown at its median.
Ensemble middle_of(const PotRun& run) {
    Ensemble e = begin(run, 1);
    for (auto& score : e.score) std::ranges::fill(score, 0.0);
    return e;
}

void add(Fluxes& sum, const Fluxes& more) {
    const auto one = [](std::vector<double>& a, const std::vector<double>& b) { a[0] += b[0]; };
    one(sum.rain_l, more.rain_l);
    one(sum.irrigation_l, more.irrigation_l);
    one(sum.top_l, more.top_l);
    one(sum.wall_l, more.wall_l);
    one(sum.transpiration_l, more.transpiration_l);
    one(sum.lost_l, more.lost_l);
    one(sum.saucer_l, more.saucer_l);
}
double sum_of(const Fluxes& f) {
    return f.rain_l[0] + f.irrigation_l[0] - f.top_l[0] - f.wall_l[0] - f.transpiration_l[0] - f.lost_l[0] -
           f.saucer_l[0];
}

// One pot through all the days. The list knows the weather to come, as a forecast; it knows nothing else of the
// truth.
class Life {
public:
    Life(const PotOfTest& pot, const Tables& all) : pot_(pot), tables_(all), days_(days_of_seattle()) {
        history_.pot = pot.setup.id;
        history_.starts = days_.front().starts;
        history_.setups.push_back({history_.starts, pot.setup});
        beliefs_.push_back(std::get<Belief>(belief_of(pot.setup, all, days_.front().day)));
        const GrowingSite site{degrees(place.latitude), metres(place.elevation)};
        course_ = course_of(history_, all, site, zone, days_);
    }

    std::vector<Lived> live(int years) {
        const PotRun run{history_, beliefs_, course_, tables_.priors, zone};
        Ensemble list = begin(run), truth = middle_of(run);
        const Members members = members_of(truth, beliefs_[0]);
        std::vector<Lived> lived;
        const std::size_t end =
            std::min(course_.size() - 3, std::size_t(years) * 366);  // the walk after next is still in the table
        for (std::size_t d = 0; d < end; ++d) {
            lived.push_back({.day = days_[d].day});
            live_day(d, run, list, truth, members, lived);
        }
        return lived;
    }

private:
    Decision decide_at(Instant walk, std::size_t d, const Ensemble& list) const {
        const std::vector<std::vector<DayCourse>> ahead{
            {course_.begin() + long(d), course_.begin() + long(std::min(d + 4, course_.size()))}};
        const Outlook outlook(list, beliefs_[0], tables_.priors, zone, ahead, course_[d + 2].record->ends);
        const auto morning = [&](std::size_t k) { return zone.at(days_[d + k].day + std::chrono::hours(7)); };
        const Stage stage = stage_of(pot_.setup, course_[d].canopy, days_[d].day);
        const Means means{
            .mark_l = 0.5, .passes = 2, .dry_hour_l = dry_hour_price(tables_.prices, Care::usual, stage)};
        return decide(outlook, {walk, morning(1), morning(2)}, tables_.prices, means);
    }

    void live_day(std::size_t d, const PotRun& run, Ensemble& list, Ensemble& truth, const Members& members,
                  std::vector<Lived>& lived) {
        const DayRecord& record = days_[d];
        Lived& day = lived.back();
        const MemberDay weather = member_day(truth, member_place(truth, beliefs_[0]), tables_.priors, record);
        std::array<double, 1> demand{}, crown{}, before{}, after{};
        member_canopy(truth, beliefs_[0], course_[d].canopy, demand, crown);
        const double roots = d == 0 ? 0 : warm_rate(Celsius(days_[d - 1].mean_temp_degC));
        begin_day(members, {weather.day_et0_mm, demand, crown, roots}, truth.state);
        stored_l(truth.state, before);
        Fluxes total(1);
        for (std::size_t h = 0; h < record.hours.size(); ++h) {
            const HourWeather& hour = record.hours[h];
            const bool at_walk = hour.starts == zone.at(record.day + std::chrono::hours(7));
            MemberPour pour;
            if (at_walk) {
                advance(list, run, hour.starts);
                day.free_l = truth.state.ready_l[0];
                pour = walk(d, hour.starts, list, truth, members, day);
            }
            std::vector<Watering> waterings;
            if (!pour.pour_l.empty()) waterings.push_back({0, pour.passes, pour.pour_l});
            Fluxes now(1);
            hour_step(members, {hour.length_h, weather.et0(h), weather.rain(h), waterings, {}}, truth.state, now);
            const bool before_walk = hour.starts < zone.at(record.day + std::chrono::hours(7));
            if (!before_walk || lived.size() > 1) {
                Lived& since_walk = before_walk ? lived[lived.size() - 2] : day;
                since_walk.dry_h += now.dry_h[0];
                since_walk.use_l += weather.et0(h)[0] * demand[0] + now.top_l[0] + now.wall_l[0];
            }
            add(total, now);
        }
        stored_l(truth.state, after);
        day.off_balance_l = after[0] - before[0] - sum_of(total);
        day.et0_mm = weather.day_et0_mm[0];
        day.leaf_m2 = course_[d].canopy.leaf_m2;
        day.transpired_l = total.transpiration_l[0];
        day.evaporated_l = total.top_l[0] + total.wall_l[0];
    }

    // The gardener does what the list says, stops when water shows where it says so, and writes down the litres.
    MemberPour walk(std::size_t d, Instant at, const Ensemble& list, Ensemble& truth, const Members& members,
                    Lived& day) {
        const Decision decision = decide_at(at, d, list);
        CHECK(std::isfinite(decision.need_l.median));
        CHECK(decision.need_l.low <= decision.need_l.high);
        CHECK(std::abs(decision.manner.pour_l / 0.5 - std::round(decision.manner.pour_l / 0.5)) < 1e-9);
        day.warned = decision.beyond_walks;
        day.missing_at_walk_l = depletion_l(truth.state)[0];
        if (decision.manner.pour_l <= 0) return {};
        const auto pour = pour_of(decision.manner, members,
                                  onset_laws(truth, beliefs_[0], tables_.priors), tables_.priors, {}, {});
        day.poured_l = pour.pour_l[0];
        day.drained_of_pour_l = pour.drained_l[0];
        Poured said;
        said.pour_l = pour.pour_l[0];
        said.passes = pour.passes;
        said.tells = false;   // looks below where the list asks for it, and nowhere else
        if (decision.manner.until == Until::run_through)
            said.ran_through = pour.pour_l[0] < decision.manner.pour_l - 1e-9;
        history_.events.push_back({at, std::int64_t(history_.events.size() + 1), said});
        return pour;
    }

    PotOfTest pot_;
    const Tables& tables_;
    const std::vector<DayRecord>& days_;
    PotHistory history_;
    std::vector<Belief> beliefs_;
    std::vector<DayCourse> course_;
};

Tree tree(std::string species, std::string stock, std::string_view planted) {
    Tree t;
    t.id = "a";
    t.species = std::move(species);
    t.rootstock = std::move(stock);
    t.planted = parse_day(planted);
    return t;
}

PotSetup pot(std::string id, Container container, std::string medium, Tree one) {
    PotSetup p;
    p.id = std::move(id);
    p.container = container;
    p.medium = std::move(medium);
    p.in_this_pot_since = *one.planted;
    p.trees.push_back(std::move(one));
    p.exposure = {"yard", "full", "usual", "open", "ground", "paving"};
    return p;
}

Container rim(double litres_on_rim) {
    Container c;
    c.size = Litres(litres_on_rim);
    return c;
}

template <class Which, class What>
double mean_where(const std::vector<Lived>& days, Which which, What what) {
    double sum = 0, n = 0;
    for (const auto& d : days)
        if (which(d)) sum += what(d), ++n;
    REQUIRE(n > 0);
    return sum / n;
}

bool in_months(const Lived& d, unsigned from, unsigned to) {
    const unsigned month =
        unsigned(std::chrono::year_month_day(std::chrono::sys_days(d.day.time_since_epoch())).month());
    return month >= from && month <= to;
}

// With the sanitizers in the program a day takes ten times as long; one year shows what they can find.
int years(int released) {
#ifdef __SANITIZE_ADDRESS__
    return std::min(1, released);
#else
    return released;
#endif
}

// Holds for every pot: each morning answered, the balance closed, nothing poured onto a full pot, and where one
// filling lasts a day hardly an hour dry. One filling is what two passes get into a pot: they leave up to a third of
// what is missing unfilled ([LAM]), so it lasts a day where free water is half as much again as a day's use. That the
// list may leave such a tree dry for half a hundredth of the time is our own choice; it weighs dry hours against
// drained litres and does not forbid them.
enum class Roots { everywhere, in_their_ball };
void check_life(const std::vector<Lived>& days, Roots roots = Roots::everywhere) {
    double worst = 0, poured = 0, drained = 0, dry_h = 0, lasting_h = 0;
    int onto_full = 0, hopeless = 0, warned = 0;
    for (const auto& d : days) {
        worst = std::max(worst, std::abs(d.off_balance_l));
        poured += d.poured_l;
        drained += d.drained_of_pour_l;
        onto_full += d.poured_l > 0 && d.missing_at_walk_l < 0.05 * d.poured_l;
        if (d.filling_lasts_d() >= 1.5) dry_h += d.dry_h, lasting_h += 24;
        if (d.filling_lasts_d() < 0.5) ++hopeless, warned += d.warned;
    }
    INFO("poured " << poured << " L, of it drained " << drained << " L; dry " << dry_h << " of " << lasting_h
                   << " h; " << warned << " of " << hopeless << " hopeless days told; off balance " << worst << " L");
    CHECK(worst < 1e-9);
    CHECK(poured > 0);
    CHECK(onto_full == 0);
    // Of a whole filling in one pass 62 to 67 % stayed, in coarse bark all rooted ([LAM]). Around a ball the medium
    // is full and what misses the ball runs out, or a dry ball in a wet pot would get nothing: no published share to
    // hold it to.
    if (roots == Roots::everywhere) CHECK(drained < 0.38 * poured);
    CHECK(dry_h <= lasting_h / 200);
    CHECK(warned == hopeless);
}

}  // namespace

TEST_CASE("real weather: four years of an apple on M.27 in 40 L") {
    const auto days =
        Life({pot("1", rim(40), "bark_peat_sand", tree("apple", "M.27", "2008-11-15"))}, tables()).live(years(4));
    CHECK(days.size() == std::size_t(std::min(1461 - 3, years(4) * 366)));
    check_life(days);
    // [PALMER]: 3.5 to 7.5 L a day from 3.7 m2 of leaves at 4.5 mm of ET0, as its largest tree.
    const auto clear = [](const Lived& d) {
        return d.et0_mm > 3.8 && d.et0_mm < 5.3 && d.leaf_m2 > 1 && d.dry_h == 0;
    };
    const double per_leaf_mm =
        mean_where(days, clear, [](const Lived& d) { return d.transpired_l / d.leaf_m2 / d.et0_mm; });
    CHECK(per_leaf_mm > 3.5 / 3.712 / 4.5);
    CHECK(per_leaf_mm < 7.5 / 3.712 / 4.5);
    for (const auto& d : days) CHECK(d.transpired_l < 7.5);
    // [GAO]: 40 to 85 L on clear days, 10 to 22 L on cloudy ones, from 37.95 m2 of leaves.
    const double on_clear = mean_where(days, clear, [](const Lived& d) { return d.transpired_l / d.leaf_m2; });
    const auto cloudy = [](const Lived& d) {
        return d.et0_mm > 0.8 && d.et0_mm < 1.6 && d.leaf_m2 > 1 && d.dry_h == 0;
    };
    const double on_cloudy = mean_where(days, cloudy, [](const Lived& d) { return d.transpired_l / d.leaf_m2; });
    CHECK(on_clear > 40 / 37.95);
    CHECK(on_clear < 85 / 37.95);
    CHECK(on_cloudy > 10 / 37.95);
    CHECK(on_cloudy < 22 / 37.95);
}

TEST_CASE("real weather: two years of a cherry on Gisela 5 in 60 L") {
    const auto days =
        Life({pot("cherry", rim(60), "loam", tree("cherry", "Gisela 5", "2009-03-01"))}, tables()).live(years(2));
    check_life(days);
    // [CHERRYP]: below 0.25 L a day a potted cherry on a dwarfing stock is in drought.
    for (const auto& d : days)
        if (in_months(d, 6, 8) && d.et0_mm > 2) CHECK(d.transpired_l > 0.25);
}

TEST_CASE("real weather: a young olive in 45 L") {
    Tree olive = tree("olive", "", "2011-04-01");
    olive.crown = Crown{Centimetres(45), Centimetres(45), Centimetres(90), *parse_day("2012-05-01")};
    const auto days = Life({pot("olive", rim(45), "peat_perlite", olive)}, tables()).live(years(1));
    check_life(days);
    // [OLIVP]: 0.25 to 1.05 L a day over 155 days of a young olive's summer outdoors in 45 L.
    const double use = mean_where(
        days, [](const Lived& d) { return in_months(d, 5, 9); }, [](const Lived& d) { return d.transpired_l; });
    CHECK(use > 0.25);
    CHECK(use < 1.05);
}

TEST_CASE("real weather: a tree planted this year in 11 L") {
    Tree young = tree("apple", "M.27", "2012-01-01");
    young.planting = Planting::ball;
    const auto days = Life({pot("young", rim(11), "bark", young)}, tables()).live(years(1));
    check_life(days, Roots::in_their_ball);
    // [VIB]: pots of 11 L evaporate 0.16 L a day, and use up to 1.3 L with a plant of market size.
    const auto summer = [](const Lived& d) { return in_months(d, 6, 9); };
    const double use = mean_where(days, summer, [](const Lived& d) { return d.transpired_l + d.evaporated_l; });
    CHECK(use > 0.16);
    CHECK(use < 1.3);
}

TEST_CASE("real weather: a tree too large for its pot, and the list says so") {
    const auto days =
        Life({pot("tight", rim(20), "bark", tree("pear", "quince A", "2006-03-01"))}, tables()).live(years(2));
    check_life(days);
    int hopeless = 0;
    for (const auto& d : days) hopeless += d.filling_lasts_d() < 0.5;
    CHECK(hopeless > 0);
}
