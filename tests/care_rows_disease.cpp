// Scab, leaf curl, fire blight, codling moth, litter and blades.
#include "care_rows.hpp"

#include "care/infection.hpp"

using namespace tubgrove;
using care_rows::Row;

namespace {

std::string_view word(std::optional<Infection> i) {
    if (!i) return "null";
    constexpr std::string_view words[] = {"none", "light", "moderate", "severe"};
    return words[std::size_t(*i)];
}
void ascospores(Row& r) {
    const auto* row = scab_row(r.g("air_temperature_degC"));
    REQUIRE(row);
    r.number("light_h", row->light_h);
    r.number("moderate_h", row->moderate_h);
    r.number("severe_h", row->severe_h);
    if (r.id() == "scab-asc-10") r.number("lesions_after_d", row->lesions_after_d);
}
double clock_h(const std::string& text) { return std::stod(text.substr(0, 2)) + std::stod(text.substr(3, 2)) / 60; }
void night(Row& r, double summer_h, Spores spores) {
    const double begins = clock_h(r.s("rain_start")) - summer_h, ends = 24 + clock_h(r.s("leaves_dry").substr(0, 5)) - summer_h;
    const double counted = counted_wet_h(begins, ends, spores);
    r.number("counted_h", counted);
    const auto found = scab_infection(counted, r.g("air_temperature_degC"), spores);
    r.text("infection", spores == Spores::from_lesions ? (found == Infection::none ? "no" : "yes") : word(found));
}
// Wet spells with one gap between: joined when it is short.
std::vector<double> spells(const Row& r) {
    const auto wet = r.given["wet_h"].as<std::vector<double>>();
    return r.g("dry_gap_h") < joining_gap_h ? std::vector{wet[0] + wet[1]} : wet;
}
Wetting wetting(const Row& r) { return {r.g("precipitation_mm"), r.g("leaf_wetness_h"), r.g("air_temperature_degC")}; }
void shoots(Row& r) { r.yes("infection_possible", curl_possible_on_shoots(wetting(r))); }
double degree_hours(const Row& r) {
    double sum = 0;
    for (const auto& item : r.given["hours_at_degC"]) sum += item.second.as<double>() * std::max(0.0, item.first.as<double>() - r.g("base_degC"));
    return sum;
}
void warmth(Row& r) {
    const double dh = degree_hours(r);
    r.number("degree_hours", dh);
    r.yes("reached", dh >= blight_degree_hours - 1e-9);
    CHECK(r.g("base_degC") == blight_base_degC);
}
std::string_view word(DailyScab s) { return s == DailyScab::possible ? "possible" : s == DailyScab::unlikely ? "unlikely" : "silent"; }
DailyScab daily(const Row& r) {
    return scab_by_days(r.g("precipitation_mm"), r.g("mean_degC"), r.given["wet_days_running"] ? int(r.g("wet_days_running")) : 1);
}

const care_rows::Theme theme{
    {"scab-asc-10", ascospores},
    {"scab-asc-20", ascospores},
    {"scab-asc-2", ascospores},
    {"scab-con-6",
     [](Row& r) {
         const auto* row = scab_row(6);
         r.number("min_h", row->conidia_h);
         r.number("lesions_after_d", row->lesions_after_d);
     }},
    {"scab-day-light",
     [](Row& r) {
         const double begins = clock_h(r.s("rain_start"));
         const double counted = counted_wet_h(begins, begins + r.g("leaf_wetness_h"), Spores::from_leaves);
         CHECK(counted == r.g("leaf_wetness_h"));
         r.text("infection", word(scab_infection(counted, r.g("air_temperature_degC"), Spores::from_leaves)));
     }},
    {"scab-night-07", [](Row& r) { night(r, 0, Spores::from_leaves); }},
    {"scab-night-08-dst",
     [](Row& r) {
         // The rule stays on standard time: 22:00 and 12:00 of summer time are an hour earlier.
         night(r, 1, Spores::from_leaves);
     }},
    {"scab-night-con", [](Row& r) { night(r, 0, Spores::from_lesions); }},
    {"scab-gap-short",
     [](Row& r) {
         const auto found = spells(r);
         REQUIRE(found.size() == 1);
         r.number("counted_h", found[0]);
         r.text("infection", word(scab_infection(found[0], r.g("air_temperature_degC"), Spores::from_leaves)));
     }},
    {"scab-gap-long",
     [](Row& r) {
         const auto found = spells(r);
         r.numbers("counted_h", found);
         for (double wet : found) CHECK(scab_infection(wet, 10, Spores::from_leaves) == Infection::none);
         CHECK(r.printed<std::string>("infection") == "none");
     }},
    {"scab-mills-minus3",
     [](Row& r) {
         r.number("revised_light_h", r.g("mills_light_h_at_10_degC") - 3);
         CHECK(scab_row(10)->light_h == r.g("mills_light_h_at_10_degC") - 3);
     }},
    {"scab-off-table", [](Row& r) { r.none("infection", !scab_infection(r.g("leaf_wetness_h"), r.g("air_temperature_degC"), Spores::from_leaves)); }},
    {"scab-daily-dry", [](Row& r) { r.text("answer", word(daily(r))); }},
    {"scab-daily-wet",
     [](Row& r) {
         r.text("answer", word(daily(r)));
         CHECK(scab_row(r.g("mean_degC"))->light_h == r.g("needed_h"));
         CHECK(r.printed<std::string>("severity") == "not given");   // the answer has none
     }},
    {"scab-daily-cold",
     [](Row& r) {
         r.text("answer", word(daily(r)));
         CHECK(scab_row(r.g("mean_degC"))->light_h == r.g("needed_h"));
         CHECK(scab_by_days(r.g("precipitation_mm"), r.g("mean_degC"), 2) == DailyScab::possible);
     }},
    {"curl-dryish", shoots},
    {"curl-yes", shoots},
    {"curl-short", shoots},
    {"curl-warm", shoots},
    {"curl-fruit", [](Row& r) { r.yes("infection_possible", curl_possible_on_fruit(wetting(r), r.g("max_gap_h"))); }},
    {"blight-heat", warmth},
    {"blight-cool", warmth},
    {"blight-day-mean", [](Row& r) { r.number("at_least_degC", blight_day_mean_degC); }},
    {"blight-bloom-mean", [](Row& r) { r.number("severe_from_mean_degC", blight_severe_mean_degC); }},
    {"blight-sine", [](Row& r) { r.number("degree_hours", degree_hours_of_day(r.g("tmax_degC"), r.g("tmin_degC"), r.g("base_degC"))); }},
    {"blight-bloom-life", [](Row& r) { r.number("ddC4_4", blossom_life_dd); }},
    {"moth-cool-dusk",
     [](Row& r) {
         r.yes("biofix", is_moth_biofix(true, r.g("sunset_temperature_degC")));
         r.number("needs_degC", moth_dusk_degC);
         CHECK(is_moth_biofix(true, 17));
         CHECK_FALSE(is_moth_biofix(false, 17));
     }},
    {"litter-all", [](Row& r) { r.band("risk_cut_pct", litter_cut_pct(r.g("shredded_share"))); }},
    {"litter-part",
     [](Row& r) {
         r.band("risk_cut_pct", litter_cut_pct(r.given["shredded_share"][0].as<double>()));
         CHECK(litter_cut_pct(r.given["shredded_share"][1].as<double>()).high == 65);
     }},
    {"blade-bleach",
     [](Row& r) {
         CHECK(r.g("bleach_parts") / r.g("total_parts") == blade_bleach_parts / blade_bleach_of);
         CHECK(r.printed<std::string>("use_on") == "fire blight cuts");
         CHECK(r.printed<std::string>("then") == "rinse and oil");
     }},
};

}  // namespace

TEST_CASE("wetness at the edges") {
    CHECK(scab_row(0.9) == nullptr);
    CHECK(scab_row(26.1) == nullptr);
    CHECK(scab_row(20)->light_h == 6);
    CHECK(scab_row(13.4)->to_degC == 13);   // the nearer row of a gap
    CHECK(scab_infection(10.9, 10, Spores::from_leaves) == Infection::none);
    CHECK(scab_infection(11, 10, Spores::from_leaves) == Infection::light);
    CHECK(scab_infection(26, 10, Spores::from_leaves) == Infection::severe);
    CHECK(scab_by_days(5, 30, 1) == DailyScab::silent);
    CHECK(counted_wet_h(3, 9, Spores::from_leaves) == 2);      // rain before dawn counts from seven
    CHECK(counted_wet_h(22, 25, Spores::from_leaves) == 0);
    CHECK_FALSE(curl_possible_on_fruit({12, 24, 16}, 5));
    CHECK_FALSE(curl_possible_on_fruit({11, 24, 16}, 4));
    CHECK(blight({true, 110, true, 15.6}) == Blight::warning);
    CHECK(blight({true, 109, true, 15.6}) == Blight::none);
    CHECK(blight({true, 110, true, 15.5}) == Blight::none);
}
