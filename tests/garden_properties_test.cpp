// A whole garden at random: in which order its pots were written down, and in how many files its weather came, changes
// nothing; and a past morning asked for again is the morning that was, from the stored list and worked out anew.
#include "bench/garden_made.hpp"
#include "bench/measure.hpp"
#include "catch.h"
#include "garden/json.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <sstream>

using namespace tubgrove;
using namespace tubgrove::bench;

namespace {

using std::chrono::hours;
using std::chrono::minutes;

// What may differ from one garden to the next, and what its gardener does each morning.
struct Case {
    std::vector<int> pots;                 // their numbers, in the order of the file
    int days = 0;
    std::vector<std::vector<int>> cuts;    // of each day's 24 hours of weather into files
    std::vector<int> deeds;                // a day: 0 nothing, 1 all, 2 none, 3 a watering, 4 a feel
};

Case any_case() {
    Case c;
    for (int i = 1, n = *rc::gen::inRange(2, 5); i <= n; ++i) c.pots.push_back(i);
    c.days = *rc::gen::inRange(4, 8);
    for (int d = 0; d < c.days; ++d) {
        std::vector<int> cuts{0, 24};
        for (int k = *rc::gen::inRange(0, 3); k > 0; --k) cuts.push_back(*rc::gen::inRange(1, 24));
        std::ranges::sort(cuts);
        cuts.erase(std::ranges::unique(cuts).begin(), cuts.end());
        c.cuts.push_back(cuts);
        c.deeds.push_back(*rc::gen::inRange(0, 5));
    }
    return c;
}

std::string garden_file(const std::vector<int>& pots) {
    std::string yaml = "pots:\n";
    for (int p : pots)
        yaml += "  - {id: " + std::to_string(p) + ", bay: " + (p % 2 ? "wall" : "lawn") + ", since: 2026-03-01, container: {size: "
                + std::to_string(10 + 10 * p) + " L}, medium: " + (p % 3 ? "bark_peat_sand" : "peat")
                + ", trees: [{id: a, species: apple, rootstock: M.9, planted: 2023-11-12}]}\n";
    return yaml;
}

void do_something(Garden& garden, int deed, Instant now) {
    using Words = std::vector<std::string>;
    const Words words[] = {{}, {"round", "all"}, {"round", "none"}, {"2", "watered", "1.5L"}, {"1", "felt", "dry"}};
    if (deed > 0) answer(garden.did({.now = now}, words[deed], {}));
}

Instant morning(int day) { return season_start() + hours(24 * (day + 1)) + minutes(1); }

std::string asked(Garden& garden, const View& view) { return to_json(answer(garden.round(view)), Zone::utc()); }

// Lives the case; returns the list of each morning as it was first shown.
std::vector<std::string> live(Garden& garden, const Case& c) {
    answer(garden.pot_take({.now = season_start() - hours(24)}, "garden.yaml", garden_file(c.pots), true));
    const auto weather = made_weather(season_start(), 24 * c.days);
    std::vector<std::string> lists;
    for (int d = 0; d < c.days; ++d) {
        const auto day = std::span(weather).subspan(std::size_t(24 * d), 24);
        const auto& cuts = c.cuts[std::size_t(d)];
        for (std::size_t k = 0; k + 1 < cuts.size(); ++k) {
            std::stringstream csv;
            write_csv(csv, day.subspan(std::size_t(cuts[k]), std::size_t(cuts[k + 1] - cuts[k])));
            answer(garden.weather_add({.now = day.back().ends}, csv, {.name = "part.csv", .source = "roof", .mapping = {}, .issued = {}, .progress = {}}));
        }
        lists.push_back(asked(garden, {.now = morning(d)}));
        do_something(garden, c.deeds[std::size_t(d)], morning(d) + hours(2));
    }
    return lists;
}

}  // namespace

TEST_CASE("the order of pots and the cuts between weather files change no list") {
    CHECK(rc::check("permuted and split", [] {
        const Case c = any_case();
        Case other = c;
        for (std::size_t i = other.pots.size(); i > 1; --i) std::swap(other.pots[i - 1], other.pots[std::size_t(*rc::gen::inRange(0, int(i)))]);
        for (auto& cuts : other.cuts) cuts = {0, 24};
        const Folder folder;
        MadeGarden one(folder.path() / "one"), two(folder.path() / "two");
        RC_ASSERT(live(one.garden(), c) == live(two.garden(), other));
    }));
}

TEST_CASE("a past morning asked for again is the morning that was") {
    CHECK(rc::check("replayed", [] {
        const Case c = any_case();
        const Folder folder;
        MadeGarden made(folder.path() / "garden");
        const auto lists = live(made.garden(), c);
        answer(made.garden().weather_note({.now = morning(c.days)}, std::vector<std::string>{"max=39degC", "min=20degC"}, {}));
        for (int d = 0; d < c.days; ++d) {
            View view{.now = morning(d)};
            view.replay = true;
            const auto shown = answer(made.garden().round(view));
            view.recompute = true;
            const auto anew = answer(made.garden().round(view));
            const auto was = lists[std::size_t(d)];
            // "fresh" tells that a list was worked out just now, and is no part of it.
            RC_ASSERT(to_json({.round = shown.round, .fresh = true, .changed = {}}, Zone::utc()) == was);
            RC_ASSERT(to_json({.round = anew.round, .fresh = true, .changed = {}}, Zone::utc()) == was);
        }
    }));
}
