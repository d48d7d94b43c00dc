// Trees: heat sums, leaves by season, crowns, demand, and measured whole-plant use as bands.
#include "pot_rows.hpp"
#include "pot/surface.hpp"
#include "tree/belief.hpp"
#include "tree/degree_days.hpp"
#include "tree/demand.hpp"
#include "tree/phenology.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace tubgrove;
using namespace std::chrono_literals;
using rows::check;
using rows::flat;
using rows::Numbers;
using rows::pot_row;

namespace {

YAML::Node heat_row(const std::string& id) { return rows::find("care_checks.yaml", id); }
void heat(const std::string& id, const std::string& key, double computed) {
    const auto row = heat_row(id);
    INFO(id);
    CHECK(computed == Approx(row["expect"][key].as<double>()).margin(row["tol"] ? row["tol"].as<double>() : 1e-9).epsilon(0));
}

double published_share(const char* id) { return heat_row(id)["expect"]["share_of_full_leaf_area"].as<double>(); }

// Litres a day of so much leaf; no cap.
double use_l(double leaf_m2, double et0_mm) { return et0_mm * demand_l_mm(leaf_m2, 1e6, 2.5); }
bool within(double x, const YAML::Node& band) { return x >= band[0].as<double>() && x <= band[1].as<double>(); }

Rootstock stock(const std::string& key, const char* list = "rootstocks") {
    for (const YAML::Node& n : rows::table("rootstocks.yaml")[list])
        if (n["key"].as<std::string>() == key) {
            Rootstock r;
            r.key = key;
            r.vigour = n["vigour"].as<std::string>("");
            r.crown_max_m2 = n["crown_max_m2"].as<double>();
            r.crown_rate_per_y = n["crown_rate_per_y"].as<double>();
            r.crown_half_y = n["crown_half_y"].as<double>();
            r.leaf_factor = n["leaf_factor"].as<double>();
            r.threshold_factor = n["threshold_factor"].as<double>();
            r.root_front_factor = n["root_front_factor"].as<double>();
            r.height_low_m = n["height_low_m"].as<double>(), r.height_high_m = n["height_high_m"].as<double>();
            r.stake = n["stake"].as<std::string>() == "permanent" ? Stake::permanent : Stake::temporary;
            r.keep_clear = n["keep_clear"].as<std::string>() == "yes";
            return r;
        }
    throw std::runtime_error("no stock " + key);
}
Species species(const std::string& key) {
    for (const YAML::Node& n : rows::table("species.yaml")["species"])
        if (n["key"].as<std::string>() == key) {
            Species s;
            s.key = key;
            s.evergreen = n["evergreen"].as<std::string>() == "yes";
            s.leaf_factor = n["leaf_factor"].as<double>();
            s.threshold_factor = n["threshold_factor"].as<double>();
            s.stomatal_factor = n["stomatal_factor"].as<double>();
            s.height_over_width = n["height_over_width"].as<double>();
            s.base_degC = n["base_degC"].as<double>();
            const auto sum = [&](const char* name) { return n[name] ? std::optional(n[name].as<double>()) : std::nullopt; };
            s.green_tip_dd = sum("green_tip_dd"), s.first_leaf_dd = sum("first_leaf_dd");
            s.full_bloom_dd = sum("full_bloom_dd"), s.petal_fall_dd = sum("petal_fall_dd");
            return s;
        }
    throw std::runtime_error("no species " + key);
}

LocalDay date(int y, unsigned m, unsigned d) {
    return LocalDay{std::chrono::year_month_day{std::chrono::year(y), std::chrono::month(m), std::chrono::day(d)}};
}

// A smooth temperate year: mean 10 degC, 9 K to either side, coldest three weeks after midwinter; daylight 12 h and 4 h.
std::vector<SeasonDay> year_from(LocalDay first, int days, bool south = false) {
    std::vector<SeasonDay> all;
    for (int i = 0; i < days; ++i) {
        const LocalDay day = first + std::chrono::days(i);
        const double phase = 2 * std::numbers::pi * (day_of_year(day) + (south ? 183 : 0)) / 365.25;
        const double mean = 10 - 9 * std::cos(phase - 0.36);
        all.push_back({day, mean + 5, mean - 5, mean, 12 - 4 * std::cos(phase + 0.17)});
    }
    return all;
}
double share_on(const std::vector<SeasonDay>& days, const std::vector<double>& shares, LocalDay day) {
    for (std::size_t i = 0; i < days.size(); ++i)
        if (days[i].day == day) return shares[i];
    throw std::runtime_error("no such day");
}

const GrowingSite north{47, 300};

}  // namespace

TEST_CASE("heat of a day by three methods") {
    const auto five = heat_row("gdd-avg-5d");
    double sum = 0;
    for (std::size_t i = 0; i < 5; ++i) {
        const YAML::Node d = five["given"]["tmin_tmax_degC"][i];
        const double dd = degree_days_average({d[1].as<double>(), d[0].as<double>()}, 5);
        CHECK(dd == Approx(five["expect"]["gdd"][i].as<double>()).margin(0.001));
        sum += dd;
    }
    CHECK(sum == Approx(five["expect"]["sum"].as<double>()));
    heat("gdd-plain-same-day", "gdd", degree_days_average({22, 6}, 10));
    heat("gdd-clipmin", "gdd", degree_days_average({22, 10}, 10));
    heat("gdd-upper-cut", "gdd", degree_days_average({31.1, 17}, 10));
    heat("gdd-sine-same-day", "gdd", degree_days_sine({22, 6}, 10, 100));
    heat("gdd-sine-published", "gdd", degree_days_sine({14, 7}, 12, 33));
    heat("gdd-sine-upper", "gdd", degree_days_sine({34, 17}, 10, 31.1));
    heat("gdd-sine-cold", "gdd", degree_days_sine({10, 1}, 10, 31.1));
    heat("gdd-sine-hot", "gdd", degree_days_sine({41, 32}, 10, 31.1));
    CHECK(degree_days_average({4, -8}, 5) == 0);
}

TEST_CASE("heat sums of stages") {
    heat("gdd-fullbloom-on", "gdd5_full_bloom", 131 / 0.52);
    CHECK(*species("apple").full_bloom_dd == 252);
    CHECK(*species("apple").green_tip_dd == Approx(81.9).margin(0.5));
    heat("gdd-greentip-eta", "days", (81.9 - 54) / 1.5);
    const std::vector<double> seen{95, 101};
    heat("phenology-learn", "gdd", learned_sum_dd(82, seen));
    heat("bloom-fallback", "full_bloom_doy", usual_bloom_day({47, 400}));
    CHECK(usual_bloom_day({-47, 400}) == usual_bloom_day({47, 400}));
}

TEST_CASE("leaf share by heat after first leaf") {
    heat("canopy-dd-175", "share_of_full_leaf_area", leaf_share_at(175));
    heat("canopy-dd-350", "share_of_full_leaf_area", leaf_share_at(350));
    CHECK(leaf_share_at(0) == 0);
    CHECK(leaf_share_at(2000) == Approx(1));
    heat("mulch-factor-half", "mu", mulch_factor(heat_row("mulch-factor-half")["given"]["cover"].as<double>(),
                                                           heat_row("mulch-factor-half")["given"]["depth_cm"].as<double>()));
}

TEST_CASE("an apple's leaves in full bloom and at petal fall, as published") {
    const Species apple = species("apple");
    const auto at = [&](double dd5) { return leaf_share_at(1.2 * (dd5 - *apple.first_leaf_dd)); };
    CHECK(at(*apple.full_bloom_dd) == Approx(published_share("canopy-fb")).margin(0.005));
    // Petal fall: the curve passes the published 0.23 at 304 degree days. Its sum of 330 is an own assumption and stands later;
    // by then the curve has reached 0.296. Which of the two errs is open: no paper read gives the sum on this base.
    CHECK(at(*apple.petal_fall_dd) == Approx(0.296).margin(0.0005));
    CHECK(std::fabs(at(*apple.petal_fall_dd) - published_share("canopy-pf")) > 0.005);
    CHECK(at(304) == Approx(published_share("canopy-pf")).margin(0.005));
}

TEST_CASE("an apple's leaves through a year, and what the published shares say of it") {
    const auto days = year_from(date(2025, 1, 1), 420);
    const Species apple = species("apple");
    const auto shares = leaf_shares(apple, north, days, {});
    double sum = 0;
    std::size_t bloom = 0;
    for (std::size_t i = 0; i < 365; ++i) {
        sum += degree_days_average({days[i].max_degC, days[i].min_degC}, 5);
        if (!bloom && sum >= 252) bloom = i;
    }
    CHECK(shares[bloom] == Approx(published_share("canopy-fb")).margin(0.03));   // whole days step over the exact heat sum
    // Eightfold in the four weeks after full bloom, says the paper, without its climate; the model counts heat and not days.
    // In this cool year it comes to 0.74 and the row is missed; at 15.4 K d a day, which is June at 19 degC, it is met.
    CHECK(shares[bloom + 28] == Approx(0.743).margin(0.005));
    CHECK(std::fabs(shares[bloom + 28] - published_share("canopy-fb28")) > 0.02);
    heat("canopy-fb28", "share_of_full_leaf_area", leaf_share_at(1.2 * (252 - 212) + 28 * 15.4));
    CHECK(share_on(days, shares, date(2025, 2, 1)) == 0);
    CHECK(share_on(days, shares, date(2025, 8, 1)) == Approx(1).margin(0.02));
    CHECK(share_on(days, shares, date(2025, 12, 31)) == 0);
    CHECK(share_on(days, shares, date(2026, 1, 15)) == 0);
    CHECK(std::ranges::all_of(shares, [](double s) { return s >= 0 && s <= 1; }));
    CHECK(leaf_shares(species("olive"), north, days, {})[10] == 1);
}

TEST_CASE("full bloom is the day of its heat sum, or the day on which it was seen") {
    const auto days = year_from(date(2025, 1, 1), 420);
    const auto on = [&](const std::map<std::string, LocalDay>& seen, LocalDay day) {
        return tree_days(species("apple"), north, days, seen)[std::size_t((day - days[0].day).count())].full_bloom;
    };
    const auto computed = on({}, date(2025, 7, 1));
    REQUIRE(computed);
    CHECK(*computed > date(2025, 4, 1));
    CHECK(*computed < date(2025, 6, 1));
    CHECK_FALSE(on({}, *computed - std::chrono::days(1)));
    CHECK_FALSE(on({}, date(2026, 1, 20)));
    CHECK(on({{"full-bloom", date(2025, 5, 20)}}, date(2025, 7, 1)) == date(2025, 5, 20));
    CHECK(on({{"full-bloom", date(2025, 4, 1)}}, date(2025, 7, 1)) == date(2025, 4, 1));
    CHECK_FALSE(tree_days(species("fig"), north, days, {})[200].full_bloom);
    CHECK_FALSE(tree_days(species("citrus"), north, days, {})[200].full_bloom);
    const auto summer = year_from(date(2025, 7, 1), 30);   // days that begin after it
    const auto late = tree_days(species("apple"), north, summer, {}).front().full_bloom;
    REQUIRE(late);
    CHECK(std::abs((*late - *computed).count()) < 45);
}

TEST_CASE("an observed stage wins over the computed one") {
    const auto days = year_from(date(2025, 1, 1), 365);
    const Species apple = species("apple");
    const auto plain = leaf_shares(apple, north, days, {});
    const auto late = leaf_shares(apple, north, days, {{"full-bloom", date(2025, 5, 20)}});
    const auto early = leaf_shares(apple, north, days, {{"full-bloom", date(2025, 4, 1)}});
    CHECK(share_on(days, late, date(2025, 5, 20)) == Approx(0.1).margin(0.02));
    CHECK(share_on(days, late, date(2025, 5, 10)) <= 0.1);
    CHECK(share_on(days, late, date(2025, 6, 1)) < share_on(days, plain, date(2025, 6, 1)));
    CHECK(share_on(days, early, date(2025, 4, 20)) > share_on(days, plain, date(2025, 4, 20)));
    const auto fallen = leaf_shares(apple, north, days, {{"leaf-fall", date(2025, 10, 10)}});
    CHECK(share_on(days, fallen, date(2025, 10, 10)) == Approx(0.5 * share_on(days, fallen, date(2025, 9, 1))).margin(0.03));
    CHECK(share_on(days, fallen, date(2025, 10, 21)) == 0);
    CHECK(share_on(days, fallen, date(2025, 9, 29)) == Approx(share_on(days, plain, date(2025, 9, 29))));
    // last year's stage says nothing of this one
    CHECK(leaf_shares(apple, north, days, {{"full-bloom", date(2024, 3, 1)}}) == plain);
}

TEST_CASE("south of the equator the year begins in July") {
    const auto south = leaf_shares(species("apple"), {-47, 300}, year_from(date(2025, 7, 1), 365, true), {});
    CHECK(south[20] == 0);
    CHECK(south[200] > 0.9);
    CHECK(south[360] == 0);
}

TEST_CASE("weather that begins in mid-season starts from latitude and height") {
    const auto july = year_from(date(2025, 7, 1), 60);
    const auto shares = leaf_shares(species("apple"), north, july, {});
    CHECK(shares[0] > 0.5);
    CHECK(leaf_shares(species("fig"), north, july, {})[0] > 0.4);
    CHECK(leaf_shares(species("apple"), north, year_from(date(2025, 12, 10), 20), {})[0] == 0);
    CHECK(leaf_shares(species("apple"), north, year_from(date(2025, 2, 20), 10), {})[0] == 0);
    CHECK(leaf_shares(species("apple"), north, {}, {}).empty());
}

TEST_CASE("chk-38, chk-57 to chk-61 demand of leaves and the cap of a lone crown") {
    const auto cap = pot_row("chk-38"), leaves = pot_row("chk-57"), crown = pot_row("chk-58"), lai = pot_row("chk-59");
    Numbers kc, used, of_lai;
    for (std::size_t i = 0; i < 4; ++i)
        kc.push_back(lone_crown_cap(cap["given"]["canopy_height_m"][i].as<double>() / cap["given"]["width_m"][i].as<double>(),
                                    cap["given"]["stomatal_factor"][i].as<double>()));
    check(cap, "kc", kc);
    for (double a : flat(leaves["given"]["leaf_m2"])) used.push_back(use_l(a, 5));
    check(leaves, "transpiration_l_d", used);
    check(crown, "transpiration_l_d", 0.93 * 5 * 1.0);
    check(crown, "equivalent_lai", 0.93 * reference_leaf_index);
    for (double l : flat(lai["given"]["lai"])) of_lai.push_back(use_l(l, 1));
    check(lai, "kc", of_lai);
    const auto footprint = pot_row("chk-60"), three = pot_row("chk-61");
    const auto eq97 = [](double h, double l) { return std::min(1 + 0.1 * h, 1.2) * (1 - std::exp(-0.7 * l)); };
    check(footprint, "kcb_on_footprint", eq97(2, 2.65));
    const Numbers routes{use_l(3, 5), 0.93 * 5, 5 * eq97(2, 3)};
    check(three, "leaf_route_l_d", routes[0]);
    check(three, "crown_route_l_d", routes[1]);
    check(three, "eq97_route_l_d", routes[2]);
    check(three, "cap_l_d", 5 * demand_l_mm(100, 1, lone_crown_cap(1.4 / 1.13, 1)));
    check(three, "spread_fraction", 1 - *std::ranges::min_element(routes) / *std::ranges::max_element(routes));
}

TEST_CASE("chk-146 three routes agree only where the leaf index is chosen so") {
    const auto row = pot_row("chk-146");
    Numbers leaf, crown, eq97, apart;
    for (double l : flat(row["given"]["lai"])) {
        leaf.push_back(use_l(l, 1));
        crown.push_back(0.93);
        eq97.push_back(1.2 * (1 - std::exp(-0.7 * l)));
        apart.push_back(std::max({leaf.back(), 0.93, eq97.back()}) / std::min({leaf.back(), 0.93, eq97.back()}));
    }
    check(row, "leaf_route", leaf);
    check(row, "crown_route", crown);
    check(row, "eq97_route", eq97);
    check(row, "largest_over_smallest", apart);
    double low = 2, high = 4;
    for (int i = 0; i < 50; ++i) {
        const double l = (low + high) / 2;
        (use_l(l, 1) < 1.2 * (1 - std::exp(-0.7 * l)) ? low : high) = l;
    }
    check(row, "crossing_lai_leaf_eq97", low);
}

TEST_CASE("chk-91 to chk-106 measured use as bands") {
    const auto clear = pot_row("chk-91"), cloudy = pot_row("chk-92"), olive = pot_row("chk-93"), mature = pot_row("chk-94");
    const Numbers on_clear{use_l(37.95, 3.8), use_l(37.95, 5.3)}, on_cloudy{use_l(37.95, 0.8), use_l(37.95, 1.6)};
    check(clear, "model_l_d", on_clear);
    check(cloudy, "model_l_d", on_cloudy);
    for (double l : on_clear) CHECK(within(l, clear["expect"]["band_l_d"]));
    for (double l : on_cloudy) CHECK(within(l, cloudy["expect"]["band_l_d"]));
    for (std::size_t i = 0; i < 2; ++i) CHECK(on_clear[i] == Approx(clear["expect"]["measured_l_d"][i].as<double>()).margin(0.5));
    const double measured_cloudy = cloudy["expect"]["measured_l_d"].as<double>();
    CHECK((on_cloudy[0] < measured_cloudy && measured_cloudy < on_cloudy[1]));
    check(olive, "measured_mean_l_d", olive["expect"]["measured_total_l"].as<double>() / olive["given"]["days"].as<double>());
    for (double leaf : {0.15 + 0.21, 0.4 + 0.21})
        CHECK(within(use_l(0.8 * leaf, 5), olive["expect"]["band_mean_l_d"]));
    check(mature, "per_leaf_mm_d", use_l(1, 4.75));
    check(mature, "measured_per_leaf_mm_d", use_l(1, 4.75));
    check(mature, "stress_ratio", mature["expect"]["dry_per_leaf_mm_d"].as<double>() / mature["expect"]["measured_per_leaf_mm_d"].as<double>());

    const auto peach = pot_row("chk-95");
    const Numbers lysimeter{8.82 * 7 * 1.1, 8.82 * 7 * 1.2};
    check(peach, "use_l_d", lysimeter);
    for (double l : lysimeter) CHECK(within(l, peach["expect"]["band_l_d"]));
    const auto shrub = pot_row("chk-96"), second = pot_row("chk-97");
    check(shrub, "evaporation_mm_d", 0.16 / 0.0508);
    check(shrub, "mean_use_mm_d", 0.6 / 0.0508);
    check(shrub, "total_m", 0.155 / 0.0508);
    check(shrub, "f_e_if_et0_4", 0.16 / 0.0508 / (1.2 * 4));
    CHECK(Member{}.surface_factor == Approx(0.656).margin(0.01));   // the default rests on it
    check(second, "depth_m", 0.101 / 0.0508);
    check(second, "printed_m", 0.101 / 0.0508);

    const auto orange = pot_row("chk-98");
    Numbers use, transpired, et0;
    for (std::size_t i = 0; i < 2; ++i) {
        const double et = orange["given"]["et_mm_d"][i].as<double>();
        use.push_back(et * std::numbers::pi / 4 * 1.5 * 1.5);
        transpired.push_back(use.back() * (1 - orange["given"]["soil_share"][i].as<double>()));
        et0.push_back(et / orange["given"]["kc"][i].as<double>());
    }
    check(orange, "use_l_d", use);
    check(orange, "transpiration_l_d", transpired);
    check(orange, "implied_et0_mm_d", et0);
    const auto oak = pot_row("chk-99"), bed = pot_row("chk-100"), young = pot_row("chk-101");
    Numbers mean;
    for (std::size_t i = 0; i < 2; ++i) {
        mean.push_back(oak["given"]["total_l"][i].as<double>() / (365.25 * oak["given"]["years"][i].as<double>()));
        CHECK(within(mean.back(), oak["expect"]["band_l_d"][i]));
    }
    check(oak, "mean_l_d", mean);
    const double ground = 10000.0 / 8889, leaf = 3.3 * ground;
    check(bed, "ground_per_tree_m2", ground);
    check(bed, "leaf_per_tree_m2", leaf);
    check(bed, "use_l_d", use_l(leaf, 4.5));
    check(bed, "use_mm_d", use_l(leaf, 4.5) / ground);
    check(bed, "yield_per_tree_kg", 78 * ground / 10);
    CHECK(within(use_l(leaf, 4.5), bed["expect"]["band_l_d"]));
    CHECK(2.6 * 0.95 * stock("M.27").crown_max_m2 <= leaf);   // the largest leaf area to expect of such a tree
    check(young, "kc_at_et0_6", {1.7 / 6, 5.0 / 6});
    for (double kc : {1.7 / 6, 5.0 / 6}) CHECK(within(kc, young["expect"]["band_kcb"]));
    const auto potted = pot_row("chk-102");   // lower anchors: what a potted cherry draws when it flowers is no drought
    check(potted, "below_is_drought_l_d", 0.25);
    for (const char* drawn : {"flowering_l_d", "drought_fall_l_d"})
        for (double l : flat(potted["expect"][drawn])) CHECK(l > potted["expect"]["below_is_drought_l_d"].as<double>());
    const auto fig = pot_row("chk-103"), thumb = pot_row("chk-104"), july = pot_row("chk-105"), conifer = pot_row("chk-106");
    check(fig, "mulch_change_pct", 100 * (1.47 / 1.67 - 1));
    check(fig, "total_change_pct", 100 * (409.4 / 465.8 - 1));
    const double inch_m = 0.0254, foot_m = 0.3048;
    check(thumb, "litres_d", 10 * foot_m * foot_m * 0.2 * inch_m * 1000);
    check(thumb, "gallons_check", 10 * foot_m * foot_m * 0.2 * inch_m * 1000 / 3.785411784);
    check(july, "mm_d", {0.27 * 25.4, 0.32 * 25.4, 0.38 * 25.4});
    check(conifer, "mean_l_d", 117.0 / 114);
    check(conifer, "replaced_l_d", 117.0 / 114 * (1 - 0.22));
}

TEST_CASE("chk-112, chk-113 crowns by age, and what the pot allows") {
    const auto row = pot_row("chk-112"), pots = pot_row("chk-113");
    Numbers crown;
    for (const char* key : {"M.27", "M.9", "M.26", "MM.106"})
        for (double a : flat(row["given"]["age_y"])) crown.push_back(crown_by_age_m2(stock(key), a, Litres(1e6)));
    check(row, "crown_m2", crown);
    Numbers m27, m9;
    for (double v : flat(pots["given"]["volume_l"])) {
        m27.push_back(crown_by_age_m2(stock("M.27"), 100, Litres(v)));
        m9.push_back(crown_by_age_m2(stock("M.9"), 100, Litres(v)));
    }
    check(pots, "crown_limit_m27_m2", m27);
    check(pots, "crown_limit_m9_m2", m9);
    for (const char* key : {"very-dwarfing", "dwarfing", "semi-dwarfing", "semi-vigorous", "own-roots"})
        CHECK(stock(key, "vigours").crown_max_m2 > 0);
}

TEST_CASE("chk-114 to chk-116 stocks") {
    const auto pear = pot_row("chk-114"), gust = pot_row("chk-115"), m27 = pot_row("chk-116");
    Numbers yield, each, relative;
    for (std::size_t i = 0; i < 3; ++i) {
        const double area = pear["given"]["trunk_area_cm2"][i].as<double>();
        yield.push_back(area * pear["given"]["cumulative_efficiency_kg_cm2"][i].as<double>());
        each.push_back(yield.back() / 7);
        relative.push_back(area / 157.4);
    }
    check(pear, "cumulative_yield_kg", yield);
    check(pear, "yield_kg_per_crop", each);
    check(pear, "trunk_area_relative_to_ba29", relative);
    Numbers tips;
    for (double mass : flat(gust["given"]["mass_kg"])) tips.push_back(std::sqrt(2 * mass * 9.80665 * 0.14 / (1.2 * 0.5 * 0.94 * 1.2)));
    check(gust, "tipping_gust_m_s", tips);
    const Rootstock s = stock("M.27");
    check(m27, "height_m", {s.height_low_m, s.height_high_m});
    CHECK((s.stake == Stake::permanent) == m27["expect"]["permanent_stake"].as<bool>());
    CHECK(s.keep_clear == m27["expect"]["keep_clear_of_weeds_and_grass"].as<bool>());
    const Numbers full = flat(m27["expect"]["full_size_y"]);
    CHECK(crown_by_age_m2(s, (full[0] + full[1]) / 2, Litres(1e6)) > 0.95 * s.crown_max_m2);
    // Its first crop hangs on a tree of half its size, and the model has no crop: what is printed of it only bounds the age.
    CHECK(crown_by_age_m2(s, m27["expect"]["first_crop_after_planting_y"].as<double>(), Litres(1e6)) > 0.5 * s.crown_max_m2);
    CHECK(flat(m27["expect"]["yield_kg"])[1] < 8.8);   // the bed system under orchard care gave more
}

TEST_CASE("a tree that was moved into a larger pot is on that day the tree that it was, and grows to what the larger one feeds") {
    Tree t;
    t.planted = date(2016, 3, 1);
    const LocalDay moved = date(2026, 3, 1);
    const TreeGround old_pot{.medium = Litres(20), .threshold_kPa = 8, .in_this_pot_since = date(2016, 3, 1)};
    TreeGround larger{.medium = Litres(40), .threshold_kPa = 8, .in_this_pot_since = moved}, smaller = larger;
    larger.grew_in = Litres(20), larger.grew_until = moved;
    const auto crown_m2 = [&](const TreeGround& ground, LocalDay day) { return believe_tree(t, species("apple"), stock("MM.106"), ground, day).crown_m2; };
    CHECK(crown_m2(larger, moved) == Approx(crown_m2(old_pot, moved)));
    double before = crown_m2(larger, moved);
    for (int y = 2027; y < 2040; ++y) {
        const double now = crown_m2(larger, date(y, 3, 1));
        CHECK(now > before);
        before = now;
    }
    TreeGround always = larger;
    always.grew_in.reset();
    CHECK(before == Approx(crown_m2(always, date(2039, 3, 1))).epsilon(0.02));
    smaller.medium = Litres(10), smaller.grew_in = Litres(20), smaller.grew_until = moved;      // roots are what a smaller one can hold
    TreeGround small = smaller;
    small.grew_in.reset();
    CHECK(crown_m2(smaller, moved) == crown_m2(small, moved));
}

TEST_CASE("chk-145 thresholds by species, stock and medium") {
    const auto row = pot_row("chk-145");
    const auto threshold = [](const char* s, const char* r, double medium_kPa) {
        const Rootstock root = r[0] ? stock(r) : stock("own-roots", "vigours");
        return believe_tree(Tree{}, species(s), root, {Litres(30), medium_kPa, {}}, date(2026, 5, 1)).threshold_kPa;
    };
    const YAML::Node expected = row["expect"]["median_by_species_kpa"];
    for (const char* s : {"apple", "pear", "plum", "apricot", "citrus"})
        CHECK(threshold(s, "", 8) == Approx(expected["apple_pear_plum_apricot_citrus"].as<double>()));
    for (const char* s : {"peach", "cherry"}) CHECK(threshold(s, "", 8) == Approx(expected["peach_cherry"].as<double>()));
    CHECK(threshold("fig", "", 8) == Approx(expected["fig"].as<double>()));
    CHECK(threshold("olive", "", 8) == Approx(expected["olive"].as<double>()));
    const double loam = rows::medium_row("loam")["threshold_kPa"].as<double>();
    check(row, "apple_on_m9_in_loam_kpa", threshold("apple", "M.9", loam));
    check(row, "range_90_kpa", {8 * std::exp(-1.6448536 * 0.42), 8 * std::exp(1.6448536 * 0.42)});
}

TEST_CASE("chk-147, chk-148 effective leaf area and what is known of it") {
    const auto row = pot_row("chk-147"), crown = pot_row("chk-148");
    const double k = 0.4, answered = 0.3, area = 0.35, measured = 0.08;
    check(row, "sd_ln_effective_leaf_area", {std::hypot(k, area), std::hypot(answered, area), std::hypot(k, measured), std::hypot(answered, measured)});
    // Independent priors of k, leaf area index and crown would be wider; shading denies that they are.
    CHECK(std::hypot(k, area) < row["expect"]["separate_priors_sd_ln"].as<double>());
    check(row, "crown_share_of_ln", {area * area / (k * k + area * area), measured * measured / (k * k + measured * measured)});

    Tree tree;
    tree.crown = Crown{Centimetres(100), Centimetres(100), {}, date(2026, 5, 1)};
    const double circle = std::numbers::pi / 4;
    Numbers leaf, use, shift;
    for (Leaves leaves : {Leaves::few, Leaves::usual, Leaves::dense}) {
        tree.leaves = leaves;
        const TreeBelief b = believe_tree(tree, species("apple"), stock("MM.106"), {Litres(1e6), 8, {}}, date(2026, 5, 1));
        CHECK(b.crown_m2 == Approx(circle));
        shift.push_back(std::log(b.leaf_m2 / (2.6 * circle)));
        leaf.push_back(b.leaf_m2 / circle * 0.6);
        use.push_back(use_l(leaf.back(), 5));
    }
    check(row, "shift_ln", shift);
    check(crown, "effective_leaf_m2", leaf);
    check(crown, "use_l_d", use);
    const double spread = std::exp(1.6448536 * std::hypot(k, area));   // usual leaves assumed, not answered
    check(crown, "range_90_usual_l_d", {use[1] / spread, use[1] * spread});
    CHECK(species("citrus").leaf_factor == Approx(2.6 * 0.7).margin(0.03));
    CHECK(species("olive").leaf_factor == Approx(2.6 * 0.8).margin(0.03));
}

TEST_CASE("what is believed of a tree says what was never told") {
    const auto has = [](const TreeBelief& b, std::string_view code) { return std::ranges::count(b.because, code) == 1; };
    const LocalDay day = date(2026, 5, 1);
    const TreeGround ground{Litres(36), 8, date(2026, 3, 1)};
    Tree t;
    const TreeBelief nothing = believe_tree(t, species("apple"), stock("dwarfing", "vigours"), ground, day);
    for (const char* code : {"crown-never-measured", "age-unknown", "leaves-not-answered", "rootstock-unknown", "ball-unknown"})
        CHECK(has(nothing, code));
    CHECK(nothing.ball_l == Approx(9));
    CHECK(nothing.crown_m2 < 0.04 * 36);
    t.rootstock = "M.9", t.planted = date(2023, 11, 1), t.leaves = Leaves::dense, t.ball = Litres(5);
    t.crown = Crown{Centimetres(90), Centimetres(80), Centimetres(140), day};
    const TreeBelief told = believe_tree(t, species("apple"), stock("M.9"), ground, day);
    CHECK(told.because.empty());
    CHECK(told.crown_m2 == Approx(std::numbers::pi / 4 * 0.72));
    CHECK(told.cap == Approx(2.5));
    CHECK(told.ball_from == BallFrom::stated);
    const TreeBelief next_year = believe_tree(t, species("apple"), stock("M.9"), ground, date(2027, 5, 1));
    CHECK(next_year.crown_m2 > told.crown_m2);
    t.ball.reset();
    CHECK(believe_tree(t, species("apple"), stock("M.9"), {Litres(36), 8, date(2023, 11, 1)}, day).ball_from == BallFrom::all_rooted);
    t.planting = Planting::bare_root;
    CHECK(believe_tree(t, species("apple"), stock("M.9"), ground, day).start_lag_d == 21);
    t.ball = Litres(50);
    CHECK(believe_tree(t, species("apple"), stock("M.9"), ground, day).ball_l == 0);
    t.leaf_share = 0.7;
    CHECK(believe_tree(t, species("apple"), stock("M.9"), ground, day).leaf_m2 == Approx(0.7 * told.leaf_m2));
}

TEST_CASE("a graft bears hardly a leaf until it has taken") {
    const TreeGround ground{Litres(9), 8, date(2026, 3, 10)};
    Tree t;
    t.rootstock = "M.27", t.planting = Planting::bench_graft, t.grafted = date(2026, 3, 10);
    const auto believe = [&](LocalDay day) { return believe_tree(t, species("apple"), stock("M.27"), ground, day); };
    CHECK(believe(date(2026, 4, 1)).crown_m2 <= 0.01);
    CHECK(std::ranges::count(believe(date(2026, 4, 1)).because, "graft-not-taken-yet") == 1);
    CHECK(believe(date(2026, 4, 1)).ball_l == 1);
    t.graft_taken = true;
    CHECK(believe(date(2026, 7, 1)).crown_m2 < 0.05);
    // One shoot by then: some 25 leaves of 25 cm2 in July, some 40 in autumn, in any pot and on any stock.
    for (const char* key : {"M.27", "M.26", "MM.106"}) {
        t.rootstock = key;
        const auto leaf_m2 = [&](LocalDay day) { return believe_tree(t, species("apple"), stock(key), ground, day).leaf_m2; };
        CHECK(leaf_m2(date(2026, 4, 10)) < 0.03);
        CHECK(leaf_m2(date(2026, 7, 14)) == Approx(0.065).margin(0.015));
        CHECK(leaf_m2(date(2026, 10, 1)) == Approx(0.1).margin(0.01));
        CHECK(leaf_m2(date(2027, 5, 1)) >= leaf_m2(date(2026, 10, 1)));
    }
    t.rootstock = "M.27";
    CHECK(believe(date(2028, 7, 1)).crown_m2 > believe(date(2026, 7, 1)).crown_m2);
    t.graft_taken = false;
    CHECK(believe(date(2026, 7, 1)).crown_m2 == 0.05);
    CHECK(std::ranges::count(believe(date(2026, 7, 1)).because, "graft-failed") == 1);
}
