// How far forecasts err, learned and spread. The real weather is the table weather.csv of the package vega-datasets: highest
// and lowest air temperature, rain and wind of each day of 2012 to 2015 at two airports. Two forecasts that anybody can make
// stand for a source: "as on the day before" and "as those days of the other years were".
#include "ahead/shares.hpp"
#include "ahead/spread.hpp"
#include "catch.h"
#include "climate/radiation.hpp"
#include "climate/sun.hpp"
#include "ensemble/points.hpp"
#include "intake/tables.hpp"

#include <algorithm>
#include <fstream>
#include <functional>
#include <sstream>

using namespace tubgrove;

namespace {

const Tables& tables() {
    static const auto read = read_tables();
    REQUIRE(read.ok());
    return read.value;
}
const Figures& figures() { return tables().figures; }

using Days = std::map<LocalDay, DayValues>;
double& at(DayValues& values, Foreseen q) { return values[std::size_t(q)]; }
double at(const DayValues& values, Foreseen q) { return values[std::size_t(q)]; }

Days read_days(const std::string& place) {
    std::ifstream in(VEGA_DATASETS "/data/weather.csv");
    std::string line;
    std::getline(in, line);
    REQUIRE(line == "location,date,precipitation,temp_max,temp_min,wind,weather");
    Days days;
    while (std::getline(in, line)) {
        std::istringstream cells(line);
        std::string where, date, rain, warm, cool, wind;
        for (auto* cell : {&where, &date, &rain, &warm, &cool, &wind}) std::getline(cells, *cell, ',');
        if (where != place) continue;
        DayValues values = no_values;
        at(values, Foreseen::rain) = std::stod(rain);
        at(values, Foreseen::warmest) = std::stod(warm);
        at(values, Foreseen::coldest) = std::stod(cool);
        at(values, Foreseen::wind) = std::stod(wind);
        days[*parse_day(date.substr(0, 10))] = values;
    }
    return days;
}

// What is forecast on a day for another one; empty: nothing.
using Forecaster = std::function<std::optional<DayValues>(const Days&, LocalDay issued, LocalDay target)>;

std::optional<DayValues> as_yesterday(const Days& days, LocalDay issued, LocalDay) {
    const auto found = days.find(issued - std::chrono::days(1));
    return found == days.end() ? std::nullopt : std::optional(found->second);
}

// The mean of the same fifteen days of the other years.
std::optional<DayValues> as_other_years(const Days& days, LocalDay, LocalDay target) {
    DayValues sum{};
    int count = 0;
    for (int years = -3; years <= 3; ++years)
        for (int off = -7; years != 0 && off <= 7; ++off) {
            const auto found = days.find(target + std::chrono::days(365 * years + off));
            if (found == days.end()) continue;
            for (std::size_t q = 0; q < foreseen_count; ++q) sum[q] += found->second[q];
            ++count;
        }
    if (count < 15) return std::nullopt;
    for (double& x : sum) x /= count;
    return sum;
}

struct Held {
    long held = 0, all = 0;
    double rain_held = 0;
    double share() const { return double(held) / double(all); }
};

constexpr int furthest = 7;
constexpr std::array temperatures_and_wind{Foreseen::warmest, Foreseen::coldest, Foreseen::wind};

struct Verified {
    std::array<std::array<Held, furthest + 1>, foreseen_count> of;
    int issues = 0;
};

// Each day learns from what was compared before it, and is then compared itself.
Verified verify(const Days& days, const Forecaster& forecaster) {
    Verified verified;
    std::vector<Compared> past;
    const int history = int(figures()[FigureKey::forecast_history_d]);
    const double wet = figures()[FigureKey::rain_wet_mm];
    for (const auto& [issued, unused] : days) {
        std::vector<Compared> window;
        for (const auto& c : past)
            if (c.day < issued && c.day >= issued - std::chrono::days(history)) window.push_back(c);
        const auto errors = learn(window, figures());
        bool spoke = false;
        for (int lead = 1; lead <= furthest; ++lead) {
            const auto target = issued + std::chrono::days(lead);
            const auto came = days.find(target);
            const auto said = forecaster(days, issued, target);
            if (!said || came == days.end()) continue;
            spoke = true;
            for (Foreseen q : temperatures_and_wind) {
                const auto range = range_of(q, at(*said, q), errors.at(q, lead));
                auto& held = verified.of[std::size_t(q)][std::size_t(lead)];
                ++held.all;
                held.held += range.low <= at(came->second, q) && at(came->second, q) <= range.high;
            }
            // Many days are dry, so a range of rain has an end in the middle of them: the share of the outcome's own
            // probability that lies inside counts (the spread-out form of the probability integral transform).
            const auto belief = rain_belief(at(*said, Foreseen::rain), errors.rain_at(lead), wet);
            const double rain = at(came->second, Foreseen::rain);
            const double high = belief.chance_up_to(rain < wet ? 0 : rain), low = rain < wet ? 0 : high;
            auto& held = verified.of[std::size_t(Foreseen::rain)][std::size_t(lead)];
            ++held.all;
            held.rain_held += high > low ? std::max(0.0, std::min(high, 0.9) - std::max(low, 0.1)) / (high - low) : (high >= 0.1 && high <= 0.9);
            past.push_back({lead, target, *said, came->second});
        }
        verified.issues += spoke;
        std::erase_if(past, [&](const Compared& c) { return c.day < issued - std::chrono::days(history); });
    }
    return verified;
}

}  // namespace

TEST_CASE("80 % ranges hold 70 to 90 % of what came, for two forecasts of two places over at least 1,000 issues") {
    for (const char* place : {"Seattle", "New York"}) {
        const auto days = read_days(place);
        for (const auto& [name, forecaster] : {std::pair<const char*, Forecaster>{"as yesterday", as_yesterday},
                                               std::pair<const char*, Forecaster>{"as other years", as_other_years}}) {
            const auto verified = verify(days, forecaster);
            CHECK(verified.issues >= 1000);
            for (int lead = 1; lead <= furthest; ++lead) {
                for (Foreseen q : temperatures_and_wind) {
                    const auto& held = verified.of[std::size_t(q)][std::size_t(lead)];
                    INFO(place << ", " << name << ", lead " << lead << ", quantity " << int(q) << ": " << held.share());
                    CHECK(held.share() >= 0.70);
                    CHECK(held.share() <= 0.90);
                }
                const auto& rain = verified.of[std::size_t(Foreseen::rain)][std::size_t(lead)];
                const double share = rain.rain_held / double(rain.all);
                INFO(place << ", " << name << ", lead " << lead << ", rain: " << share);
                CHECK(share >= 0.70);
                CHECK(share <= 0.90);
            }
        }
    }
}

TEST_CASE("without a record the prior alone speaks, and it widens with each day of lead") {
    const auto errors = learn({}, figures());
    CHECK(errors.at(Foreseen::warmest, 0).sd == Approx(figures()[FigureKey::warmest_sd_K]));
    for (Foreseen q : temperatures_and_wind)
        for (int lead = 1; lead < leads; ++lead) {
            CHECK(errors.at(q, lead).bias == 0);
            CHECK(errors.at(q, lead).days == 0);
            CHECK(errors.at(q, lead).sd > errors.at(q, lead - 1).sd);
        }
    CHECK(errors.at(Foreseen::wind, 40).sd == errors.at(Foreseen::wind, leads - 1).sd);
}

TEST_CASE("a source that is always 2 K too warm is believed to be so after a season, and half so after twenty days") {
    std::vector<Compared> compared;
    const LocalDay first = *parse_day("2026-05-01");
    for (int i = 0; i < 120; ++i) {
        DayValues came = no_values, said = no_values;
        at(came, Foreseen::warmest) = 20 + i % 5;
        at(said, Foreseen::warmest) = 22 + i % 5;
        compared.push_back({2, first + std::chrono::days(i), said, came});
    }
    const auto known = learn(compared, figures()), young = learn(std::span(compared).first(20), figures());
    CHECK(known.at(Foreseen::warmest, 2).bias == Approx(2 * 120.0 / 140));
    CHECK(young.at(Foreseen::warmest, 2).bias == Approx(1.0));
    CHECK(known.at(Foreseen::warmest, 2).sd < young.at(Foreseen::warmest, 2).sd);
    CHECK(known.at(Foreseen::warmest, 3).bias == 0);   // another lead
    CHECK(corrected(Foreseen::warmest, 30, 2) == 28);
}

TEST_CASE("rain: its chances are counted by what was forecast") {
    std::vector<Compared> compared;
    const LocalDay first = *parse_day("2026-05-01");
    for (int i = 0; i < 100; ++i) {
        DayValues came = no_values, said = no_values;
        at(said, Foreseen::rain) = i < 50 ? 5 : 0;
        at(came, Foreseen::rain) = i < 50 ? (i % 5 == 0 ? 0 : 10) : (i % 10 == 0 ? 3 : 0);
        compared.push_back({1, first + std::chrono::days(i), said, came});
    }
    const auto& f = figures();
    const auto rain = learn(compared, f).rain_at(1);
    const double n0 = f[FigureKey::forecast_trust_days];
    CHECK(rain.missed == Approx((10 + n0 * (f[FigureKey::rain_missed] + f[FigureKey::rain_missed_growth])) / (50 + n0)));
    CHECK(rain.unforeseen == Approx((5 + n0 * (f[FigureKey::rain_unforeseen] + f[FigureKey::rain_unforeseen_growth])) / (50 + n0)));
    CHECK(rain.bias_ln == Approx(std::log(2.0) * 40 / (40 + n0)));
    const auto belief = rain_belief(5, rain, 1);
    CHECK(belief.quantile(rain.missed / 2) == 0);
    CHECK(belief.chance_up_to(belief.quantile(0.7)) == Approx(0.7).margin(1e-9));
}

TEST_CASE("members: evenly spread at each lead, the first in the middle, the order kept in part from day to day") {
    const int members = 21;
    const auto rows = member_scores(Foreseen::warmest, 10, members, 0.7);
    REQUIRE(rows.size() == 10);
    for (const auto& row : rows) {
        REQUIRE(row.size() == members);
        CHECK(row[0] == 0);
        auto sorted = row;
        std::ranges::sort(sorted);
        for (int i = 0; i < members; ++i) CHECK(sorted[std::size_t(i)] == Approx(normal_quantile((i + 0.5) / members)).margin(1e-9));
    }
    double together = 0, alone = 0;
    for (std::size_t day = 1; day < rows.size(); ++day)
        for (std::size_t i = 0; i < members; ++i) together += rows[day][i] * rows[day - 1][i], alone += rows[day][i] * rows[day][i];
    CHECK(together / alone == Approx(0.7).margin(0.15));
    CHECK(member_scores(Foreseen::warmest, 10, members, 0.7) == rows);
    CHECK(member_scores(Foreseen::wind, 10, members, 0.7) != rows);
}

TEST_CASE("a day's hours are turned so that its extremes move by their own errors, and stay in order") {
    const Zone zone = Zone::utc();
    const LocalDay day = *parse_day("2026-07-10");
    std::vector<Observation> hours;
    for (int h = 0; h < 48; ++h) {
        Observation o(zone.start_of(day) + std::chrono::hours(h), zone.start_of(day) + std::chrono::hours(h + 1));
        o[Channel::air_temperature_mean] = 20 - 8 * std::cos(3.14159265358979 * (h % 24 - 3) / 12.0);
        o[Channel::surface_downwelling_shortwave_flux_in_air_mean] = h % 24 > 5 && h % 24 < 19 ? 500 : 0;
        o[Channel::precipitation_amount_sum] = h == 30 ? 4 : 0;
        hours.push_back(o);
    }
    auto errors = learn({}, figures());
    for (auto& lead : errors.of[std::size_t(Foreseen::warmest)]) lead.bias = 2;
    for (auto& lead : errors.of[std::size_t(Foreseen::coldest)]) lead.bias = -1;
    const SpreadPlace place{.zone = zone, .latitude_deg = 46, .elevation_m = 400};
    const Instant issued = zone.start_of(day) - std::chrono::hours(6);
    const auto middle = member_of_forecast(hours, issued, errors, figures(), place, 0);
    const auto before = days_of(hours, zone), after = days_of(middle, zone);
    CHECK(at(after.at(day), Foreseen::warmest) == Approx(at(before.at(day), Foreseen::warmest) - 2));
    CHECK(at(after.at(day), Foreseen::coldest) == Approx(at(before.at(day), Foreseen::coldest) + 1));
    CHECK(at(after.at(day + std::chrono::days(1)), Foreseen::rain) == Approx(4));   // the middle keeps its rain
    for (std::size_t i = 1; i < hours.size(); ++i)
        CHECK((hours[i][Channel::air_temperature_mean] < hours[i - 1][Channel::air_temperature_mean]) ==
              (middle[i][Channel::air_temperature_mean] < middle[i - 1][Channel::air_temperature_mean]));

    const double clear_MJ_m2 = MJ_per_m2(clear_sky(extraterrestrial_day(Degrees(46), day_of_year(day)), Metres(400)));
    double low = 1e9, high = -1e9, wet = 0;
    for (int m = 1; m <= 20; ++m) {
        const auto days = days_of(member_of_forecast(hours, issued, errors, figures(), place, m), zone);
        low = std::min(low, at(days.at(day), Foreseen::warmest));
        high = std::max(high, at(days.at(day), Foreseen::warmest));
        wet += at(days.at(day + std::chrono::days(1)), Foreseen::rain) > 0;
        CHECK(at(days.at(day), Foreseen::radiation) * 0.0864 <= clear_MJ_m2 + 1e-9);
        CHECK(at(days.at(day), Foreseen::coldest) < at(days.at(day), Foreseen::warmest));
    }
    CHECK(low < 26 - 1);
    CHECK(high > 26 + 1);
    CHECK(wet / 20 == Approx(1 - errors.rain_at(2).missed).margin(0.06));
}

TEST_CASE("sources count by how far they erred: a record takes over from being unproven, and a bias that stays counts") {
    const auto& f = figures();
    const double n0 = f[FigureKey::forecast_trust_days], u = f[FigureKey::forecast_unproven_miss], sd0 = f[FigureKey::warmest_sd_K];
    std::vector<Compared> right, wrong;
    const LocalDay first = *parse_day("2026-05-01");
    for (int i = 0; i < 40; ++i) {
        DayValues came = no_values, said = no_values;
        at(came, Foreseen::warmest) = 20;
        at(said, Foreseen::warmest) = 20;
        right.push_back({0, first + std::chrono::days(i), said, came});
        at(said, Foreseen::warmest) = i % 2 ? 24 : 16;
        wrong.push_back({0, first + std::chrono::days(i), said, came});
    }
    CHECK(relative_miss(learn({}, f), 0, false, f) == Approx(u * u));
    CHECK(relative_miss(learn({}, f), 9, true, f) == Approx(u * u));
    CHECK(relative_miss(learn(right, f), 0, false, f) == Approx(n0 * u * u / (40 + n0)));
    CHECK(relative_miss(learn(wrong, f), 0, false, f) == Approx((n0 * u * u + 40 * 16 / (sd0 * sd0)) / (40 + n0)));
    // Of ten days of lead one is proven.
    CHECK(relative_miss(learn(right, f), 9, false, f) == Approx((9 * u * u + n0 * u * u / (40 + n0)) / 10));
    auto biased = learn({}, f);
    for (auto& lead : biased.of[std::size_t(Foreseen::warmest)]) lead.bias = 3;
    CHECK(relative_miss(biased, 0, false, f) == Approx(u * u));
    CHECK(relative_miss(biased, 0, true, f) == Approx(u * u + 9 / (sd0 * sd0)));
}

TEST_CASE("members are shared out in pairs by the largest remainders") {
    using Shares = std::vector<int>;
    CHECK(share_out(20, std::vector<double>{1}) == Shares{20});
    CHECK(share_out(20, std::vector<double>{1, 1}) == Shares{10, 10});
    CHECK(share_out(20, std::vector<double>{1, 4}) == Shares{16, 4});
    CHECK(share_out(20, std::vector<double>{1, 1, 1}) == Shares{8, 6, 6});
    CHECK(share_out(20, std::vector<double>{1, 50}) == Shares{20, 0});
}

TEST_CASE("the middle of members: medians, and rain that comes to the day's median") {
    const Zone zone = Zone::utc();
    const Instant start = zone.start_of(*parse_day("2026-07-10"));
    std::vector<std::vector<Observation>> members(5);
    for (int m = 0; m < 5; ++m)
        for (int h = 0; h < 24; ++h) {
            Observation o(start + std::chrono::hours(h), start + std::chrono::hours(h + 1));
            o[Channel::air_temperature_mean] = 20 + h + 2 * m;
            if (m != 4) o[Channel::wind_speed_mean] = m;
            o[Channel::precipitation_amount_sum] = h == 10 + m ? 2 + 3 * m : 0;   // 2, 5, 8, 11 and 14 mm, each in its own hour
            members[std::size_t(m)].push_back(o);
        }
    const auto middle = middle_of(members, zone);
    REQUIRE(middle.size() == 24);
    CHECK(middle[5][Channel::air_temperature_mean] == 20 + 5 + 4);
    CHECK(middle[5][Channel::wind_speed_mean] == Approx(1.5));
    CHECK_FALSE(middle[5].has(Channel::relative_humidity_mean));
    CHECK(at(days_of(middle, zone).begin()->second, Foreseen::rain) == Approx(8));
    CHECK(middle[14][Channel::precipitation_amount_sum] > middle[10][Channel::precipitation_amount_sum]);
    for (int m = 0; m < 3; ++m) members[std::size_t(m)].erase(members[std::size_t(m)].begin() + 10, members[std::size_t(m)].end());   // three of five are dry
    CHECK(at(days_of(middle_of(members, zone), zone).begin()->second, Foreseen::rain) == Approx(0));
    CHECK(middle_of({}, zone).empty());
}

TEST_CASE("what is no day is not taken for one") {
    const Zone zone = Zone::utc();
    const LocalDay day = *parse_day("2026-07-10");
    std::vector<Observation> few;
    for (int h = 0; h < 19; ++h) {
        few.emplace_back(zone.start_of(day) + std::chrono::hours(h), zone.start_of(day) + std::chrono::hours(h + 1));
        few.back()[Channel::air_temperature_mean] = h;
        few.back()[Channel::precipitation_amount_sum] = 1;
    }
    const auto days = days_of(few, zone);
    CHECK(std::isnan(at(days.at(day), Foreseen::warmest)));
    CHECK(std::isnan(at(days.at(day), Foreseen::rain)));
    CHECK(std::isnan(error_of(Foreseen::wind, NAN, 3)));
    Observation week(zone.start_of(day), zone.start_of(day) + std::chrono::days(7));
    week[Channel::air_temperature_max] = 30;
    CHECK(days_of(std::span(&week, 1), zone).empty());
}
