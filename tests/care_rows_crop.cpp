// Thinning, load, ripeness, storage, pollination, weeds' cost, pots, scion wood and stocks.
#include "care_rows.hpp"

#include "care/crop.hpp"
#include "care/lifting.hpp"

using namespace tubgrove;
using care_rows::Row;

namespace {

Band celsius(Band f) { return {celsius_of(f.low), celsius_of(f.high)}; }
void thin(Row& r) {
    const auto* row = thinning_of(r.s("species"));
    REQUIRE(row);
    r.band("spacing_cm", {row->low_cm, row->high_cm});
    if (row->per_cluster > 0) r.number("fruit_per_cluster", row->per_cluster);
}
void load(Row& r) {
    r.number("trunk_area_cm2", trunk_cm2(r.g("trunk_diameter_mm")));
    r.number("fruit", fruits_to_leave(r.g("trunk_diameter_mm"), r.g("fruit_per_cm2")));
}
void groups(Row& r) { r.yes("partners", partners({int(r.g("group_a")), 2, ""}, {int(r.g("group_b")), 2, ""})); }

const care_rows::Theme theme{
    {"thin-apple", thin},
    {"thin-pear", thin},
    {"thin-plum", thin},
    {"thin-peach", thin},
    {"thin-apricot", thin},
    {"load-biennial", load},
    {"load-annual", load},
    {"ripe-spread",
     [](Row& r) {
         const Band band = ripe_from_bloom_d(r.g("usual_days_from_full_bloom"));
         r.number("check_from_d", band.low);
         r.number("check_to_d", band.high);
     }},
    {"store-apple",
     [](Row& r) {
         r.band("best_degC", celsius(apples_keep_best_degF));
         r.band("chill_sensitive_degC", celsius(tender_apples_keep_degF));
         r.band("home_degC", celsius(apples_at_home_degF));
         r.band("freezes_degC", celsius(apples_freeze_degF));
     }},
    {"store-pear",
     [](Row& r) {
         r.band("best_degC", celsius(pears_keep_best_degF));
         r.number("freezes_at_most_degC", celsius_of(pears_freeze_degF));
         r.band("ripen_at_degC", celsius(pears_ripen_degF));
     }},
    {"store-rate",
     [](Row& r) {
         std::vector<double> rates;
         for (double t : r.given["degC"].as<std::vector<double>>()) rates.push_back(ripening_rate(t));
         r.numbers("relative_ripening_rate", rates);
     }},
    {"pollen-adjacent", groups},
    {"pollen-two-apart", groups},
    {"pollen-triploid",
     [](Row& r) {
         std::vector<PollenTree> trees;
         for (const auto& t : r.given["trees"]) trees.push_back({t["group"].as<int>(), t["ploidy"].as<int>(), ""});
         r.yes("all_served", all_served(trees));
         CHECK(r.printed<std::string>("why") == "the diploid has no pollen giver");
         trees.push_back({3, 2, ""});   // with a second giver all are served
         CHECK(all_served(trees));
     }},
    {"pollen-plum-kinds",
     [](Row& r) {
         const auto kinds = r.given["trees"].as<std::vector<std::string>>();
         r.yes("partners", partners({0, 2, kinds[0]}, {0, 2, kinds[1]}));
         CHECK(partners({0, 2, kinds[0]}, {0, 2, kinds[0]}));
     }},
    {"weed-pot-25", [](Row& r) { r.numbers("shoot_weight_loss_pct", {weed_losses()[2].a_half_pct, weed_losses()[2].b_half_pct}); }},
    {"weed-free-young", [](Row& r) { r.band("weed_free_months", weed_free_new_months); }},
    {"weed-free-bearing",
     [](Row& r) {
         CHECK(r.printed<std::string>("from") == "bud burst");
         CHECK(r.printed<std::string>("to") == std::to_string(int(weed_free_after_bloom_d)) + " d after bloom");
     }},
    {"weed-free-days", [](Row& r) { r.band("best_weed_free_days", weed_free_best_d); }},
    {"pot-45cm", [](Row& r) { r.number("volume_l", cylinder_l(r.g("diameter_cm"), r.g("depth_cm"))); }},
    {"pot-60cm", [](Row& r) { r.number("volume_l", cylinder_l(r.g("diameter_cm"), r.g("depth_cm"))); }},
    {"repot-interval",
     [](Row& r) {
         r.band("repot_every_years", repot_every_years);
         r.band("cut_from_ball_cm", ball_cut_cm);
         r.band("other_years_topdress_cm", top_dress_cm);
     }},
    {"leach-amount", [](Row& r) { r.number("water_l", leaching_l(r.g("pot_l"))); }},
    {"scion-piece",
     [](Row& r) {
         r.band("length_cm", scion_length_cm);
         r.number("buds_at_least", scion_buds_least);
         r.number("wood_years", scion_wood_years);
     }},
    {"stock-cherry",
     [](Row& r) {
         r.number("vigour_cut_at_least_pct", dwarf_cherry_cut_pct);
         r.number("full_crop_by_leaf", dwarf_cherry_full_crop_leaf);
     }},
    {"stock-stone",
     [](Row& r) {
         for (const auto& species : r.given["species"]) CHECK_FALSE(stock_rules_size(species.as<std::string>()));
         r.yes("size_control_as_apple", stock_rules_size("peach"));
         CHECK(stock_rules_size("apple"));
     }},
};

}  // namespace

TEST_CASE("who is not thinned and who is not served") {
    CHECK(thinning_of("cherry") == nullptr);
    CHECK(thinning_of("fig") == nullptr);
    CHECK_FALSE(all_served(std::vector<PollenTree>{{3, 2, ""}}));
    CHECK(all_served(std::vector<PollenTree>{{3, 2, ""}, {4, 2, ""}}));
}
