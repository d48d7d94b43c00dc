// Cans and walks: what is carried where, in which order, and what it weighs.
#include "catch.h"
#include "plan/trips.hpp"

#include <algorithm>
#include <map>
#include <rapidcheck.h>

using namespace tubgrove;

namespace {

PourLine line(const char* pot, const char* bay, double l, int passes = 1) {
    PourLine p;
    p.pot = pot, p.bay = bay, p.pour_l = l, p.passes = passes;
    return p;
}

Carry two_taps() {
    Carry c;
    c.taps = {{.id = "yard", .near = {"south-wall"}, .holds = {}}, {.id = "shed", .near = {"back"}, .holds = {}}};
    return c;
}

std::map<std::string, double> litres_by_pot(const std::vector<Trip>& trips) {
    std::map<std::string, double> sum;
    for (const Trip& t : trips)
        for (const Can& c : t.cans)
            for (const CanPour& p : c.pours) sum[p.pot] += p.l;
    return sum;
}

}  // namespace

TEST_CASE("labels sort as people count") {
    CHECK(label_before("7", "10"));
    CHECK_FALSE(label_before("10", "7"));
    CHECK(label_before("fig-2", "fig-10"));
    CHECK(label_before("fig", "fig-2"));
    CHECK(label_before("007", "8"));
    CHECK_FALSE(label_before("7", "7"));
    Bay near{.id = "a", .order = 1}, far{.id = "b", .order = 2};
    CHECK(walks_before(near, "9", far, "1"));
    CHECK_FALSE(walks_before(far, "1", near, "9"));
}

TEST_CASE("cans are filled in walking order, tap by tap, second passes after the first") {
    const std::vector<PourLine> pours{line("1", "south-wall", 3), line("2", "south-wall", 4, 2), line("3", "back", 2)};
    const std::vector<Trip> trips = trips_of(pours, two_taps());
    REQUIRE(trips.size() == 3);
    CHECK(trips[0].tap == "yard");
    REQUIRE(trips[0].cans.size() == 1);
    CHECK(trips[0].cans[0].can_l == 5);          // 3 L for pot 1 and the first 2 L of pot 2
    CHECK(trips[0].cans[0].pours[0].pot == "1");
    CHECK(trips[0].cans[0].pours[1].pass == 1);
    CHECK(trips[1].tap == "shed");
    CHECK(trips[2].tap == "yard");
    CHECK(trips[2].cans[0].pours[0].pass == 2);
    CHECK(trips[2].cans[0].can_l == 2);
}

TEST_CASE("a pour larger than a can is shared by cans, and two cans make a trip") {
    const std::vector<PourLine> pours{line("big", "south-wall", 12)};
    const std::vector<Trip> trips = trips_of(pours, two_taps());
    REQUIRE(trips.size() == 2);
    CHECK(trips[0].cans.size() == 2);
    CHECK(trips[1].cans.size() == 1);
    CHECK(trips[1].cans[0].can_l == 2);
    const auto heavy = weight_notice(trips);
    REQUIRE(heavy);
    CHECK(heavy->code == "carry-weight");
    CHECK(heavy->values.at("mass_kg") == "11");
    CHECK_THAT(heavy->text, ContainsSubstring("stop if your back says so"));
}

TEST_CASE("nothing to carry, nothing to say; light cans need no caution; an unknown bay goes to the first tap") {
    CHECK(trips_of({}, two_taps()).empty());
    CHECK_FALSE(weight_notice({}));
    const std::vector<PourLine> light{line("1", "nowhere", 1.5)};
    const auto trips = trips_of(light, two_taps());
    REQUIRE(trips.size() == 1);
    CHECK(trips[0].tap == "yard");
    CHECK_FALSE(weight_notice(trips));
    CHECK(trips_of(light, Carry{}).front().tap.empty());
}

TEST_CASE("every litre is carried once, and no can holds more than a can") {
    CHECK(rc::check("litres", [](const std::vector<unsigned char>& halves) {
        std::vector<PourLine> pours;
        double asked = 0;
        for (std::size_t i = 0; i < halves.size(); ++i) {
            const double l = 0.5 * (halves[i] % 30);
            pours.push_back(line(std::to_string(i).c_str(), i % 2 ? "back" : "south-wall", l, 1 + int(i % 3 == 0)));
            asked += l;
        }
        const std::vector<Trip> trips = trips_of(pours, two_taps());
        double carried = 0;
        for (const auto& [pot, l] : litres_by_pot(trips)) carried += l;
        RC_ASSERT(std::abs(carried - asked) < 1e-6);
        for (const Trip& t : trips) {
            RC_ASSERT(t.cans.size() <= 2u);
            for (const Can& c : t.cans) RC_ASSERT(c.can_l <= 5 + 1e-9 && c.can_l > 0);
        }
    }));
}
