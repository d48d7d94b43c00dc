// Frost at buds, roots in cold and heat, fruit in the sun, winter stores.
#include "care_rows.hpp"

#include "care/crop.hpp"
#include "care/roots.hpp"

using namespace tubgrove;
using care_rows::Row;

namespace {

std::string key_of(const std::string& printed) {
    if (printed == "sweet cherry") return "cherry";
    if (printed == "sour cherry") return "sour_cherry";
    return printed == "european plum" ? "plum" : printed;
}
void kill(Row& r) {
    const auto* row = bud_kill(key_of(r.s("species")), r.s("stage"));
    REQUIRE(row);
    r.number("kill10_degC", row->kill10_degC());
    r.number("kill90_degC", row->kill90_degC());
}
Band celsius(Band f) { return {celsius_of(f.low), celsius_of(f.high)}; }
std::string_view word(SunInjury i) { return i == SunInjury::necrosis ? "necrosis" : i == SunInjury::browning ? "browning" : "none"; }
std::string_view word(RootHeat h) { return h == RootHeat::injury ? "indirect injury" : h == RootHeat::warn ? "warn" : "fine"; }
void skin(Row& r) {
    const double air = r.g("air_temperature_degC");
    r.band("fruit_surface_degC", fruit_skin_degC(air));
    r.yes("risk", sun_risk(air));
}

const care_rows::Theme theme{
    {"frost-apple-fullbloom", kill},
    {"frost-apple-tight", kill},
    {"frost-apple-silver", kill},
    {"frost-pear-white", kill},
    {"frost-cherry-sidegreen", kill},
    {"frost-sour-green", kill},
    {"frost-peach-pink", kill},
    {"frost-apricot-green", kill},
    {"frost-plum-bloom", kill},
    {"frost-interp", [](Row& r) { r.number("kill_pct", killed_pct(*bud_kill("apple", "full bloom"), r.g("air_temperature_degC"))); }},
    {"frost-crop-tolerance", [](Row& r) { r.band("buds_needed_for_full_crop_pct", flowers_for_full_crop_pct); }},
    {"root-cold-m26",
     [](Row& r) {
         r.numbers("lt50_degC", {root_kills()[0].to_degC, root_kills()[0].from_degC});
         CHECK(root_plan_degC("M.26") == -12);
     }},
    {"root-cold-g41", [](Row& r) { r.number("plan_with_degC", root_plan_degC("G.41")); }},
    {"root-heat-warn", [](Row& r) { r.text("level", word(root_heat(r.g("medium_temperature_degC"), r.g("hours")))); }},
    {"root-heat-40", [](Row& r) { r.text("level", word(root_heat(r.g("medium_temperature_degC"), r.g("hours")))); }},
    {"root-heat-42",
     [](Row& r) {
         r.number("survival_loss_pct", elm_loss_at_42_pct);
         CHECK(r.printed<std::string>("species") == "an elm");
         CHECK(root_heat(r.g("medium_temperature_degC"), r.g("hours_per_day")) == RootHeat::injury);
     }},
    {"root-heat-lethal", [](Row& r) { r.band("ct50_degC", roots_killed_in_half_an_hour_degC); }},
    {"sunburn-browning", [](Row& r) { r.text("injury", word(sun_injury(r.g("fruit_surface_temperature_degC"), r.g("hours") * 60))); }},
    {"sunburn-necrosis", [](Row& r) { r.text("injury", word(sun_injury(r.g("fruit_surface_temperature_degC"), r.g("minutes")))); }},
    {"sunburn-air-30", skin},
    {"sunburn-air-27", skin},
    {"frost-wind",
     [](Row& r) {
         r.number("cover_gain_degC", cover_gain_K(r.g("wind_speed_m_s")));
         CHECK(r.printed<std::string>("advice").starts_with("move under a roof"));
         CHECK(cover_gain_K(3.9) > 0);
     }},
    {"pot-lag",
     [](Row& r) {
         r.number("medium_degC", medium_after_degC({r.g("start_degC"), r.g("air_temperature_degC"), r.g("hours"), r.g("tau_h")}));
         CHECK(medium_lag_h(20) == 8);
         CHECK(medium_lag_h(20, true) == 12);
     }},
    {"store-dormant", [](Row& r) { r.band("dormant_store_degC", celsius(dormant_store_degF)); }},
    {"citrus-fruit-freeze",
     [](Row& r) {
         CHECK(r.given["degF"][0].as<double>() == citrus_fruit_freezes_degF.low);
         r.band("fruit_freezes_degC", celsius(citrus_fruit_freezes_degF));
     }},
    {"fig-dormant", [](Row& r) { r.band("stands_to_degC", celsius(fig_wood_stands_degF)); }},
    {"olive-limit", [](Row& r) { r.number("critical_degC", celsius_of(olive_critical_degF)); }},
};

}  // namespace

TEST_CASE("frost in between and beyond") {
    const auto* bloom = bud_kill("apple", "full bloom");
    CHECK(killed_pct(*bloom, 0) == 0);
    CHECK(killed_pct(*bloom, bloom->kill10_degC()) == Approx(10));
    CHECK(killed_pct(*bloom, -30) == 90);
    CHECK(killed_pct(*bud_kill("apricot", "first swelling"), -12) == 10);   // no second point is published
    CHECK(bud_kill("apple", "third bloom") == nullptr);
    CHECK(bud_kill("fig", "full bloom") == nullptr);
    CHECK(bud_kill_at("apple", "dormant") == nullptr);
    CHECK(bud_kill_at("apple", "full-bloom")->stage == "full bloom");
    CHECK(bud_kill_at("apple", "fruit-growth")->stage == "post bloom");
    CHECK(bud_kill_at("quince", "full-bloom") == bud_kill_at("pear", "full-bloom"));
    CHECK(bud_kill_at("medlar", "swelling") == bud_kill_at("apple", "swelling"));
    CHECK(frost_margin_K(true, 10) == 2);
    CHECK(frost_margin_K(false, 10) == 1);
    CHECK(frost_margin_K(false, 16) == 3);
    CHECK(std::isnan(root_plan_degC("M.9")));
    CHECK(root_heat(37.9, 24) == RootHeat::fine);
    CHECK(root_heat(40, 4.9) == RootHeat::warn);
    CHECK(sun_injury(46, 59) == SunInjury::none);
}
