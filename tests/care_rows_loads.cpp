// Wind, stakes, lifting, floors, ladders and standing water.
#include "care_rows.hpp"

#include "care/lifting.hpp"
#include "care/wind.hpp"

using namespace tubgrove;
using care_rows::Row;

namespace {

void force(Row& r) { r.number("force", beaufort_force(r.g("wind_speed_m_s"))); }
void topple(Row& r) {
    r.number("topple_gust_m_s", topple_gust_m_s({r.g("mass_kg"), r.g("base_radius_m"), r.g("frontal_area_m2"), r.g("centre_height_m"),
                                                 r.g("drag_coefficient"), r.g("air_density_kg_m3")}));
}

const care_rows::Theme theme{
    {"beaufort-8-low", force},
    {"beaufort-7-high", force},
    {"beaufort-6", force},
    {"beaufort-formula", [](Row& r) { r.number("mid_m_s", beaufort_middle_m_s(int(r.g("force")))); }},
    {"pot-topple-wet", topple},
    {"pot-topple-dry", topple},
    {"stake-gap", [](Row& r) { r.numbers("gap_stem_stake_cm", {stake_gap_low_cm, stake_gap_high_cm}); }},
    {"girth-growth", [](Row& r) { r.number("girth_growth_mm", girth_growth_mm(r.g("stem_diameter_start_mm"), r.g("stem_diameter_end_mm"))); }},
    {"pot-mass-60",
     [](Row& r) { r.number("mass_kg", potful_kg({r.g("volume_l"), r.g("wet_density_kg_l"), r.g("pot_kg"), r.g("tree_kg")})); }},
    {"pot-footprint-load",
     [](Row& r) {
         const double load = footprint_kg_m2(r.g("mass_kg"), r.g("base_diameter_m"));
         r.number("load_kg_m2", load);
         r.number("load_kN_m2", kN_m2(load));
         CHECK(kN_m2(load) > balcony_kN_m2.high);
     }},
    {"kn-to-kg",
     [](Row& r) {
         CHECK(r.given["kN_m2"][0].as<double>() == balcony_kN_m2.low);
         r.numbers("kg_m2", {kg_m2(balcony_kN_m2.low), kg_m2(balcony_kN_m2.high)});
     }},
    {"can-10l", [](Row& r) { r.number("mass_kg", cans_kg(int(r.g("cans")), r.g("can_l"), r.g("can_kg"))); }},
    {"niosh-can",
     [](Row& r) {
         const Lift lift{r.g("H_cm"), r.g("V_cm"), r.g("D_cm"), r.g("A_deg"), r.g("FM"), r.g("CM")};
         r.number("rwl_kg", recommended_lift_kg(lift));
         r.number("lifting_index", lifting_index(r.g("load_kg"), lift));
     }},
    {"niosh-am", [](Row& r) { r.numbers("AM", {twist_factor(r.given["A_deg"][0].as<double>()), twist_factor(r.given["A_deg"][1].as<double>())}); }},
    {"hse-elbow",
     [](Row& r) {
         for (const auto& filter : lift_filters())
             if (filter.zone == r.s("zone")) {
                 r.number("men_kg", filter.men_kg);
                 r.number("women_kg", filter.women_kg);
             }
     }},
    {"hse-frequency",
     [](Row& r) {
         std::vector<double> left;
         for (double rate : r.given["lifts_per_min"].as<std::vector<double>>()) left.push_back(filter_by_frequency_kg(r.g("base_kg"), rate));
         r.numbers("filter_kg", left);
         CHECK(filter_by_frequency_kg(25, 0.5) == 25);
     }},
    {"hse-carry", [](Row& r) { r.number("max_distance_m_without_rest", carried_without_rest_m); }},
    {"ladder-angle", [](Row& r) { r.number("angle_deg", ladder_angle_deg(r.g("out"), r.g("up"))); }},
    {"ladder-working-length", [](Row& r) { r.number("angle_deg", ladder_angle_by_length_deg(r.g("out_over_working_length"))); }},
    {"balcony-flat-us",
     [](Row& r) {
         r.number("load_lbf_ft2", r.g("occupancy_lbf_ft2") * r.g("factor"));
         r.number("load_kN_m2", balcony_us_kN_m2(r.g("occupancy_lbf_ft2"), r.g("factor")));
     }},
    {"legionella-band",
     [](Row& r) {
         r.band("growth_degC", legionella_grows_degC);
         r.band("optimum_degC", legionella_best_degC);
         r.number("no_growth_below_degC", legionella_none_below_degC);
     }},
    {"drowning-depth",
     [](Row& r) {
         r.text("enough_to_drown", drowning_depth);
         r.yes("caution_on_any_open_vessel", true);
     }},
};

}  // namespace
