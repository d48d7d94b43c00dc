// Rows that ask whether a job stands: answered by the shipped table of jobs at work on invented days, those where none may
// stand included.
#include "care_rows.hpp"
#include "care_scene.hpp"

#include "care/crop.hpp"
#include "care/infection.hpp"
#include "care/words.hpp"

using namespace tubgrove;
using namespace care_world;
using care_rows::Row;
using std::chrono::days;

namespace {

const care_rows::Theme theme{
    {"root-cold-alarm",
     [](Row& r) {
         const LocalDay today = date(2026, 1, 20);
         const auto cold = [&](double medium) {
             return Scene{.today = today, .tree = {.stock = {}, .planted = date(2020, 1, 1)}, .pot = [](PotCare& pot) { pot.light = 0; }, .weather = from_on(today - days(20), steady(medium, 0))};
         };
         r.told("job", rule("root-frost").title, "protect roots");
         CHECK(asked(cold(r.g("medium_temperature_degC") - 0.1), "root-frost"));
         CHECK_FALSE(stands(cold(-4), "root-frost"));
         CHECK(r.printed<std::string>("level") == "warn");
         CHECK(rule("root-frost").rank == Rank::lost_by_tomorrow);
     }},
    {"wind-job-gust",
     [](Row& r) {
         const LocalDay today = date(2026, 6, 1);
         const auto all = jobs({.today = today, .weather = gust_on(today - days(1), r.g("wind_speed_of_gust_m_s")), });
         Scene open{.today = today, .pot = [](PotCare& pot) { pot.wind = 1; }, .weather = gust_on(today, r.g("wind_speed_of_gust_m_s"))};
         r.told("job", rule("stake-gale").title, "stake and ties");
         CHECK(stands(open, "stake-gale"));
         r.number("due_within_h", 24.0 * rule("stake-gale").due_d);
         CHECK(std::ranges::none_of(all, [](const Job& job) { return job.rule == "stake-gale"; }));   // a sheltered bay
     }},
    {"curl-shelter",
     [](Row& r) {
         const auto& cover = rule("curl-cover");
         CHECK(r.printed<std::string>("cover_from").starts_with("leaf fall"));
         CHECK(text_of(*cover.opens) == "leaf-fall");
         CHECK(r.printed<std::string>("cover_to").starts_with("daily mean above 16 degC for 7 days"));
         CHECK(cover.ends.front().text == "lowest_mean_7d_degC > 16");
         r.told("sides", cover.what, "Open at the sides for air and bees");
     }},
    {"silverleaf-window",
     [](Row& r) {
         const LocalDay winter = date(2026, 1, 20);
         r.yes("prune", stands({.today = winter, .tree = kind("plum")}, "prune-stone") || stands({.today = winter, .tree = kind("plum")}, "prune-winter"));
         r.told("why", rule("prune-stone").what, "wet cuts let canker and silver leaf in");
     }},
    {"stake-permanent",
     [](Row& r) {
         Scene s{.today = date(2028, 12, 1), .tree = {.stock = r.s("rootstock"), .planted = date(2022, 11, 12)}};
         r.yes("job_remove_stake", stands(s, "stake-trial-removal"));
         s.notes = [&](Pots& pots) { pots.note("1", s.today - days(184), "stake-checked"); };
         r.yes("job_routine_check", stands(s, "stake-routine"));
     }},
    {"stake-trial-removal",
     [](Row& r) {
         // The stock itself is not in the table; its class of vigour has the same stake rule.
         Scene s{.today = date(2024, 12, 20), .tree = {.stock = {}, .vigour = "semi-vigorous", .planted = date(2022, 11, 12)}, .added = date(2022, 11, 12)};
         r.yes("job_try_without_stake", stands(s, "stake-trial-removal"));
     }},
    {"stake-check-due", [](Row& r) { r.yes("job", stands(noted("stake-checked", int(r.g("months_since_check") * 30.5)), "stake-routine")); }},
    {"stake-check-fresh", [](Row& r) { r.yes("job", stands(noted("stake-checked", int(r.g("months_since_check") * 30.5)), "stake-routine")); }},
    {"tie-growing", [](Row& r) { r.yes("job", stands(noted("tie-loosened", int(r.g("days_since_tie_check")), date(2026, 7, 10)), "tie-loosen")); }},
    {"tie-dormant", [](Row& r) { r.yes("job", stands(noted("tie-loosened", int(r.g("days_since_tie_check")), date(2026, 1, 20)), "tie-loosen")); }},
    {"gust-from-mean",
     [](Row& r) {
         const LocalDay today = date(2026, 6, 1);
         const double mean = r.g("wind_speed_m_s");
         Scene s{.today = today, .pot = [](PotCare& pot) { pot.wind = 1; }, .weather = [=](DayRecord& d) {
                     d.gust_m_s.reset();
                     if (d.day != today) return;
                     d.hourly = true;
                     d.hours.resize(1);
                     d.hours[0].et0.wind_2m_m_s = mean * 0.748;
                 }};
         const CareSite site(still.place, calm_days(today, s.weather), today);
         r.number("gust_m_s", site.on(today).gust_m_s);
         CHECK(site.on(today).gust_estimated);
         r.yes("job", stands(s, "stake-gale"));
     }},
    {"gust-below",
     [](Row& r) {
         r.yes("job", stands({.pot = [](PotCare& pot) { pot.wind = 1; }, .weather = gust_on(date(2026, 6, 1), r.g("wind_speed_of_gust_m_s"))}, "stake-gale"));
     }},
    {"gust-sheltered",
     [](Row& r) {
         const double factor = r.g("bay_wind_factor"), gust = r.g("wind_speed_of_gust_m_s");
         Scene s{.pot = [=](PotCare& pot) { pot.wind = factor; }, .weather = gust_on(date(2026, 6, 1), gust)};
         r.number("gust_in_bay_m_s", gust * factor);
         r.yes("job", stands(s, "stake-gale"));
         CHECK(stands({.pot = [](PotCare& pot) { pot.wind = 1; }, .weather = gust_on(date(2026, 6, 1), gust)}, "stake-gale"));
     }},
    {"gust-no-beaufort",
     [](Row& r) {
         const auto all = jobs({.pot = [](PotCare& pot) { pot.wind = 1; }, .weather = gust_on(date(2026, 6, 1), r.g("wind_speed_of_gust_m_s"))});
         const auto job = std::ranges::find(all, "stake-gale", &Job::rule);
         REQUIRE(job != all.end());
         bool force = false;
         for (const auto& why : job->because) force = force || why.text.find("Beaufort") != std::string::npos || why.text.find("force") != std::string::npos;
         r.none("beaufort", !force);
         CHECK(job->because.front().text == "gust 18.0 m/s in this bay on Monday 1 June");
     }},
    {"gust-cover-off",
     [](Row& r) {
         const LocalDay today = date(2026, 2, 1);
         Scene s{.today = today, .tree = kind("peach"), .pot = [](PotCare& pot) { pot.wind = 1; },
                 .notes = [=](Pots& pots) { pots.note("1", today - days(60), "roofed"); }, .weather = gust_on(today, r.g("wind_speed_of_gust_m_s"))};
         r.yes("job_secure_cover", asked(s, "cover-gale"));
     }},
    {"mulch-due", [](Row& r) { r.yes("job", stands(mulched(r.g("depth_cm"), date(2026, 6, 1)), "mulch-top-up")); }},
    {"mulch-enough", [](Row& r) { r.yes("job", stands(mulched(r.g("depth_cm"), date(2026, 6, 1)), "mulch-top-up")); }},
    {"mulch-cold-wet",
     [](Row& r) {
         const double medium = r.g("medium_temperature_degC");
         r.yes("job", stands(mulched(r.g("depth_cm"), date(2026, 2, 20), from_on(date(2026, 2, 1), steady(medium, 0))), "mulch-top-up"));
     }},
    {"mulch-collar",
     [](Row& r) {
         // How near it lies is the grower's to see: the job comes with mulch, and names the gap.
         Scene s = mulched(4, date(2026, 8, 1));
         s.added = date(2025, 9, 1);
         r.yes("job_pull_back", stands(s, "mulch-collar"));
         r.printed<std::vector<double>>("wanted_gap_cm");
         CHECK(rule("mulch-collar").what.find("3 to 5 cm") != std::string::npos);
     }},
    {"weed-due-days", [](Row& r) { r.yes("job", stands(noted("weeded", int(r.g("days_since")), date(2026, 6, 1), steady(r.g("mean_7d_degC"))), "weed")); }},
    {"weed-due-heat",
     [](Row& r) {
         const int since = int(r.g("days_since"));
         const double mean = 10 + r.g("gdd10_since") / since;
         CHECK(rule("weed").every_dd10 == r.g("due_gdd10"));
         CHECK(rule("weed").least_d == int(r.g("min_days")));
         const LocalDay today = date(2026, 7, 20);
         r.yes("job", stands(noted("weeded", since, today, from_on(today - days(since), steady(mean))), "weed"));
     }},
    {"weed-not-yet",
     [](Row& r) {
         const int since = int(r.g("days_since"));
         const LocalDay today = date(2026, 7, 20);
         r.yes("job", stands(noted("weeded", since, today, from_on(today - days(since), steady(10 + r.g("gdd10_since") / since))), "weed"));
     }},
    {"weed-winter", [](Row& r) { r.yes("job", stands(noted("weeded", int(r.g("days_since")), date(2026, 2, 1), from_on(date(2025, 12, 1), steady(r.g("mean_7d_degC")))), "weed")); }},
    {"feed-dry",
     [](Row& r) {
         const double share = r.g("depletion_l") / r.g("readily_available_l");
         const auto scene = [](double dry) { return Scene{.today = date(2026, 5, 15), .added = date(2025, 9, 1), .pot = [=](PotCare& pot) { pot.dry_share = dry; }}; };
         CHECK(asked(scene(0.5), "feed"));
         r.yes("job", asked(scene(share), "feed"));
         r.told("why", rule("feed").what, "Never on dry medium");
     }},
    {"feed-late", [](Row& r) { r.yes("job", stands({.today = *parse_day("2026-" + r.s("day")), .tree = apple()}, "feed")); }},
    {"feed-fresh-medium",
     [](Row& r) {
         CHECK(rule("feed").unless[0].bound == r.g("rest_d"));
         r.yes("job", stands(noted("repotted", int(r.g("days_since_repot"))), "feed"));
     }},
    {"leach-due",
     [](Row& r) {
         Scene s{.today = date(2026, 6, 1), .added = date(2026, 6, 1) - days(int(r.g("months_since") * 30.5) + 30)};
         r.yes("job", stands(s, "leach"));
     }},
    {"leach-rain",
     [](Row& r) {
         const double volume = r.g("pot_l");
         Scene s{.today = date(2026, 6, 1), .added = date(2026, 6, 1) - days(int(r.g("months_since") * 30.5) + 30), .volume_l = volume};
         s.weather = [](DayRecord& d) { d.rain_mm.value = 9; };   // drains 65 L and more through the pot
         r.yes("job", stands(s, "leach"));
     }},
    {"repot-in-leaf", [](Row& r) { r.yes("job", stands({.today = date(2026, 7, 10), .tree = apple(), .added = date(2021, 3, 1)}, "repot")); }},
    {"repot-citrus-season",
     [](Row& r) {
         const LocalDay growth = mark_day(Mark::green_tip, date(2026, 5, 1), "citrus");
         const auto on = [](LocalDay day) { return Scene{.today = day, .tree = kind("citrus"), .added = date(2021, 3, 1)}; };
         r.yes("job", stands(on(growth - days(4)), "repot-tender"));
         CHECK_FALSE(stands(on(growth - days(4)), "repot"));            // no bud swells on a citrus
         CHECK_FALSE(stands(on(growth + days(60)), "repot-tender"));    // in growth
     }},
    {"topdress-instead",
     [](Row& r) {
         const LocalDay spring = mark_day(Mark::swelling, date(2026, 3, 1)) + days(2);
         Scene s{.today = spring, .tree = apple(), .added = spring - days(int(r.g("years_since_repot") * 365.25))};
         r.yes("job_repot", stands(s, "repot"));
         r.yes("job_top_dress", stands(s, "top-dress"));
         s.added = spring - days(int(r.g("interval_years") * 365.25));
         CHECK(stands(s, "repot"));
     }},
    {"load-first-year",
     [](Row& r) {
         Scene s{.today = bloom_26 + days(1), .tree = {.planted = bloom_26 - days(60), .grafted = bloom_26 - days(60)}, .added = bloom_26 - days(60)};
         CHECK(stands(s, "graft-deblossom"));
         CHECK_FALSE(stands(s, "young-load"));
         r.number("fruit_to_leave", 0);
     }},
    {"thin-too-early", [](Row& r) { r.yes("job", stands(thinning(int(r.g("days_after_full_bloom"))), "thin")); }},
    {"thin-too-late",
     [](Row& r) {
         r.yes("job", stands(thinning(int(r.g("days_after_full_bloom"))), "thin"));
         CHECK(stands(thinning(30), "thin"));
     }},
    {"thin-not-cherry", [](Row& r) { r.yes("job", stands({.today = bloom(date(2026, 7, 1), "cherry") + days(30), .tree = kind("cherry")}, "thin")); }},
    {"ripe-pear",
     [](Row& r) {
         r.yes("ripen_on_tree", false);
         r.told("pick", rule("harvest-check").what, "picked firm and ripen indoors");
         r.band("ripen_indoors_weeks", pears_ripen_indoors_weeks);
     }},
    {"pollen-self", [](Row& r) { r.yes("job", stands({.today = bloom(date(2026, 7, 1), "sour_cherry") + days(1), .tree = kind("sour_cherry")}, "pollen-partner")); }},
    {"pollen-lone-apple",
     [](Row& r) {
         r.yes("job", stands({.today = bloom_26 + days(1), .tree = apple()}, "pollen-partner"));
         CHECK_FALSE(stands({.today = bloom_26 + days(1), .tree = apple(), .pot = [](PotCare& pot) { pot.trees.front().partner_here = true; }}, "pollen-partner"));
     }},
    {"pollen-out-of-bloom", [](Row& r) { r.yes("job", stands({.today = mark_day(Mark::leaf_fall, date(2025, 11, 20)) + days(2), .tree = apple()}, "pollen-partner")); }},
    {"frost-job",
     [](Row& r) {
         r.number("compare_degC", r.g("forecast_min_degC") - r.g("margin_degC"));
         CHECK(frost_margin_K(true, 10) == r.g("margin_degC"));
         r.yes("job_cover", asked(frost(bloom_26, r.g("forecast_min_degC")), "frost-cover"));
     }},
    {"frost-no-job", [](Row& r) { r.yes("job_cover", stands(frost(bloom_26, r.g("forecast_min_degC")), "frost-cover")); }},
    {"frost-dormant",
     [](Row& r) {
         const LocalDay silver = mark_day(Mark::swelling, date(2026, 4, 1)) + days(1);
         r.yes("job_cover", stands(frost(silver, r.g("forecast_min_degC")), "frost-cover"));
         CHECK(stands(frost(silver, -8), "frost-cover"));
     }},
    {"frost-uncover",
     [](Row& r) {
         Scene s = noted("covered", 1, bloom_26, from_on(bloom_26, steady(r.g("air_temperature_degC") - 3, 3)));
         r.yes("job_uncover", asked(s, "frost-uncover"));
     }},
    {"wrap-light",
     [](Row& r) {
         const LocalDay today = date(2025, 12, 20);
         const double minimum = r.g("forecast_min_degC");
         const auto winter = [&](double low) { return Scene{.today = today, .tree = apple(), .weather = from_on(today - days(10), steady(low + 4, 4)), .volume_l = r.g("pot_l")}; };
         r.yes("job_wrap", stands(winter(minimum), "winter-wrap"));
         CHECK(stands(winter(-12), "winter-wrap"));
     }},
    {"winter-water",
     [](Row& r) {
         const LocalDay today = date(2026, 1, 20);
         const auto at_noon = [&](double max) { return Scene{.today = today, .tree = apple(), .weather = from_on(today - days(15), steady(max - 1.5, 1.5))}; };
         r.yes("water_now", stands(at_noon(r.g("air_temperature_degC")), "winter-water"));
         r.number("water_from_degC", celsius_of(winter_water_degF));
         CHECK(stood(at_noon(5), "winter-water"));
     }},
    {"winter-moist",
     [](Row& r) {
         const LocalDay today = date(2026, 1, 20);
         Scene s{.today = today, .tree = apple(), .weather = [=](DayRecord& d) {
                     if (d.day == today) steady(4, 3)(d);
                     if (d.day > today) steady(-4, 4)(d);
                 }};
         r.yes("job_water_before_frost", stands(s, "winter-water-frost"));
     }},
    {"lemon-in",
     [](Row& r) {
         const LocalDay today = date(2026, 3, 20);
         const auto night = [&](double low) { return Scene{.today = today, .tree = kind("citrus"), .weather = from_on(today, steady(low + 5, 5))}; };
         r.yes("job_bring_in", asked(night(r.g("forecast_min_degC")), "move-in"));
         CHECK_FALSE(stands(night(3), "move-in"));
     }},
    {"root-heat-shade", [](Row& r) { r.yes("job_shade_pot", stands(heat(r.given["pot_in_shade"].as<bool>(), Colour::light, r.g("forecast_max_degC")), "root-shade")); }},
    {"root-heat-dark", [](Row& r) { r.yes("job_shade_pot", asked(heat(r.given["pot_in_shade"].as<bool>(), Colour::dark, r.g("forecast_max_degC")), "root-shade")); }},
    {"moth-wrong-host",
     [](Row& r) {
         r.yes("job", stands({.today = date(2026, 7, 5), .tree = kind("cherry"), .weather = from_on(date(2026, 6, 1), steady(20))}, "moth"));
         CHECK(stood({.today = date(2026, 7, 5), .tree = apple(), .weather = from_on(date(2026, 6, 20), steady(20))}, "moth"));
     }},
    {"moth-no-fruit",
     [](Row& r) {
         Scene s{.today = date(2026, 7, 5), .tree = apple(), .notes = [](Pots& pots) { pots.note("1", bloom_26 + days(2), "flowers-off"); },
                 .weather = from_on(date(2026, 6, 20), steady(20))};
         r.yes("job", stands(s, "moth"));
     }},
    {"blight-no-flower", [](Row& r) { r.yes("warning", stands(blossom("apple", true, false), "blight-watch")); }},
    {"blight-dry",
     [](Row& r) {
         r.yes("warning", stands(blossom("apple", false, true), "blight-watch"));
         CHECK(stands(blossom("apple", true, true), "blight-watch"));
         CHECK(blight({true, r.g("degree_hours"), false, r.g("mean_degC")}) == Blight::one_rain_away);
         CHECK(r.printed<std::string>("note").find("rain") != std::string::npos);
     }},
    {"blight-wrong-host", [](Row& r) { r.yes("warning", stands(blossom("plum", true, true), "blight-watch")); }},
    {"scab-dormant",
     [](Row& r) {
         r.yes("warning", stands(wet_day("apple", date(2026, 1, 15)), "scab-wet"));
         CHECK(stands(wet_day("apple", bloom_26), "scab-wet"));
     }},
    {"scab-wrong-host", [](Row& r) { r.yes("warning", stands(wet_day("peach", bloom_26), "scab-wet")); }},
    {"curl-wrong-host",
     [](Row& r) {
         const LocalDay tip = mark_day(Mark::green_tip, date(2026, 4, 1), "peach");
         r.yes("warning", stands(wet_day("apple", tip), "curl-watch"));
         CHECK(stands(wet_day("peach", tip), "curl-watch"));
     }},
    {"curl-covered",
     [](Row& r) {
         const LocalDay tip = mark_day(Mark::green_tip, date(2026, 4, 1), "peach");
         Scene s = wet_day("peach", tip);
         s.notes = [=](Pots& pots) { pots.note("1", tip - days(90), "roofed"); };
         r.yes("warning", stands(s, "curl-watch"));
     }},
    {"prune-apple-late-winter",
     [](Row& r) {
         const LocalDay late = mark_day(Mark::swelling, date(2026, 4, 1)) - days(7);
         const auto month = unsigned(std::chrono::year_month_day(late).month());
         CHECK((month >= r.given["months"][0].as<unsigned>() && month <= r.given["months"][1].as<unsigned>()));
         r.yes("prune", asked({.today = late, .tree = apple(), .weather = from_on(late, steady(6))}, "prune-winter"));
         CHECK_FALSE(asked({.today = late, .tree = apple(), .weather = from_on(late, steady(-6))}, "prune-winter"));   // hard frost
     }},
    {"prune-autumn", [](Row& r) { r.yes("prune", stands({.today = mark_day(Mark::leaf_fall, date(2025, 11, 20)), .tree = apple()}, "prune-winter")); }},
    {"prune-apricot-summer",
     [](Row& r) {
         const LocalDay picked = mark_day(Mark::harvest, date(2026, 8, 1), "apricot");
         const LocalDay cut = picked + days(14);
         const auto month = unsigned(std::chrono::year_month_day(cut).month());
         CHECK((month >= r.given["months"][0].as<unsigned>() && month <= r.given["months"][1].as<unsigned>()));
         r.yes("prune", asked({.today = cut, .tree = kind("apricot")}, "prune-stone"));
     }},
    {"prune-heatwave",
     [](Row& r) {
         const LocalDay today = date(2026, 8, 6);
         Scene s{.today = today, .tree = apple()};
         CHECK(asked(s, "prune-summer"));
         s.weather = from_on(today, steady(r.g("forecast_max_degC") - 7, 7));
         r.yes("prune", asked(s, "prune-summer"));
         r.told("why", rule("prune-summer").what, "leave leaves over fruit and bark");
     }},
    {"scion-swollen",
     [](Row& r) {
         const LocalDay swelling = mark_day(Mark::swelling, date(2026, 4, 1));
         const auto planned = [&](LocalDay today) {
             return Scene{.today = today, .tree = apple(), .notes = [=](Pots& pots) { pots.note("1", today - days(60), "planned", "graft"); }};
         };
         r.yes("job_collect", stands(planned(swelling + days(1)), "scion-wood"));
         CHECK(stands(planned(swelling - days(20)), "scion-wood"));
     }},
    {"graft-release", [](Row& r) { r.yes("job_slit_tape", asked(grafted(int(r.g("weeks_since_graft"))), "graft-release")); }},
    {"graft-not-moving",
     [](Row& r) {
         r.yes("job_declare_failed", stands(grafted(int(r.g("weeks_since_graft"))), "graft-verdict"));
         CHECK(stands(grafted(6), "graft-verdict"));
         CHECK(rule("graft-verdict").what.find("keeps one strong stock shoot") != std::string::npos);
     }},
    {"stock-shoot-remove", [](Row& r) {
         Scene s = grafted(40, true);
         s.today = date(2026, 7, 1);
         r.yes("job_remove", stands(s, "stock-shoots"));
     }},
    {"stock-shoot-keep",
     [](Row& r) {
         Scene s = grafted(40, false);
         s.today = date(2026, 7, 1);
         r.yes("job_remove", stands(s, "stock-shoots"));
         r.told("keep", rule("graft-verdict").what, "one strong stock shoot to graft again");
     }},
    {"saucer-weekly", [](Row& r) { r.yes("job_empty", stood(saucer(r.g("daily_min_degC")), "saucer-empty")); }},
    {"saucer-winter", [](Row& r) { r.yes("job_empty", stood(saucer(r.g("daily_min_degC")), "saucer-empty")); }},
    {"morning-cap",
     [](Row& r) {
         std::vector<Job> due;
         for (int i = 0; i < int(r.g("due")); ++i) due.push_back({.id = std::to_string(i), .rule = "r" + std::to_string(i), .pot = "1", .label = {}, .bay = {}, .title = {}, .what = {}, .state = JobState::due});
         r.number("shown", double(morning_lines(due).size()));
         CHECK(r.printed<std::string>("rest") == "this week");
     }},
    {"morning-order",
     [](Row& r) {
         const LocalDay today = date(2026, 6, 1);
         const auto job = [&](const char* title, Rank rank, int closes_d) {
             return Job{.id = title, .rule = title, .pot = "1", .label = {}, .bay = {}, .title = title, .what = {}, .closes = today + days(closes_d), .state = JobState::due, .rank = rank};
         };
         const std::vector<Job> due{job("weed", Rank::routine, 20), job("frost cover tonight", Rank::lost_by_tomorrow, 1), job("tie cutting in", Rank::loss_in_days, 14),
                                    job("thin closes in 2 d", Rank::closing, 2)};
         std::vector<std::string> order;
         for (const auto& line : morning_lines(due)) order.push_back(line.jobs.front().title);
         CHECK(order == r.printed<std::vector<std::string>>("order"));
     }},
    {"wait-past-close",
     [](Row& r) {
         const auto refused = wait_refusal({.id = "1.thin.2026", .rule = "thin", .pot = "1", .label = {}, .bay = {}, .title = "thin", .what = {}, .closes = *parse_day("2026-" + r.s("closes"))},
                                           *parse_day("2026-" + r.s("wait_until")));
         r.yes("accepted", !refused);
         r.told("say", refused.value_or(""), "2026-" + r.s("closes"));
     }},
    {"lapse-not-done",
     [](Row& r) {
         const auto all = jobs({.today = bloom_26 + days(52), .tree = apple()});
         const auto job = std::ranges::find(all, "thin", &Job::rule);
         REQUIRE(job != all.end());
         CHECK(r.printed<std::string>("state") == "lapsed");
         CHECK(job->state == JobState::passed);
         CHECK_FALSE(job->lapsed.empty());
         r.yes("counted_as_done", job->state == JobState::done);
     }},
    {"group-one-line",
     [](Row& r) {
         std::vector<Job> due;
         for (const auto& pot : r.given["pots"]) due.push_back({.id = pot.as<std::string>(), .rule = "tie-loosen", .pot = pot.as<std::string>(), .label = {}, .bay = {}, .title = {}, .what = {}, .state = JobState::due});
         const auto lines = morning_lines(due);
         r.number("lines", double(lines.size()));
         r.number("jobs", double(lines.front().jobs.size()));
     }},
    {"no-weather-spray",
     [](Row& r) {
         Pots pots;
         pots.add("1", apple(), date(2023, 3, 1));
         const CareSite site(still.place, {}, bloom_26);
         const auto all_pots = pots.at(site);
         const auto all = jobs_of({.tables = tables().care, .site = site, .pots = all_pots, .shown = {}});
         const auto absent = [&](const std::string& key) { return std::ranges::none_of(all, [&](const Job& job) { return job.rule == key; }); };
         for (const auto& [key, name] : {std::pair("scab", "scab-wet"), {"blight", "blight-watch"}, {"frost", "frost-cover"}}) {
             CHECK(r.printed<std::string>(key) == "absent");
             CHECK(absent(name));
             CHECK(rule(name).needs_weather);
         }
         r.told("say_once", silent_without_weather(site), "needs");
         CHECK_FALSE(all.empty());   // what hangs on intervals and states goes on
     }},
    {"stock-citrus",
     [](Row& r) {
         r.yes("smaller", trifoliate_is_smaller);
         r.yes("hardier", trifoliate_is_hardier);
     }},
};

}  // namespace
