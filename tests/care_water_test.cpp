// What care does to the water: two gardens that differ in one entry, lived through the same weather.
#include "bench/garden_made.hpp"
#include "bench/measure.hpp"
#include "catch.h"

#include <algorithm>
#include <sstream>

using namespace tubgrove;
using namespace tubgrove::bench;

namespace {

constexpr int days = 70;

Instant on_day(int day) { return season_start() + std::chrono::hours(24 * day); }
Instant asked() { return on_day(days) + std::chrono::minutes(1); }

// A garden of one pot, an apple of some years in 40 L, with these entries in it.
class Lived {
public:
    explicit Lived(const std::vector<std::pair<int, std::string>>& entries) {
        plant(folder_.path() / "garden", 1, days);
        garden_.emplace(folder_.path() / "garden");
        for (const auto& [day, line] : entries) did(day, line);
    }

    std::int64_t did(int day, const std::string& line) {
        std::vector<std::string> words;
        std::istringstream text(line);
        for (std::string word; text >> word;) words.push_back(word);
        return answer(garden_->garden().did(view(), words, {.when = on_day(day), .by = {}, .note = {}, .round = {}})).entries.front().id;
    }
    void strike(std::int64_t entry) { answer(garden_->garden().strike(view(), entry)); }

    double missing_l() { return answer(garden_->garden().pot(view(), "1")).depletion_l; }
    double available_l() { return answer(garden_->garden().pot(view(), "1")).available_l; }
    // The number of a step of `why`; NaN where there is none.
    double why(std::string_view label) {
        const auto steps = answer(garden_->garden().why(view(), "1")).steps;
        const auto found = std::ranges::find(steps, label, &WhyStep::label);
        return found == steps.end() ? std::nan("") : std::stod(found->value);
    }

private:
    static View view() { return {.now = asked()}; }

    Folder folder_;
    std::optional<MadeGarden> garden_;
};

constexpr const char* asks_for = "asks for, each mm of ET0";
// Filled five days ago, so that what is missing is what left it since.
constexpr std::pair<int, const char*> filled{days - 5, "1 weighed-drained 60kg"};
std::vector<std::pair<int, std::string>> and_filled(std::vector<std::pair<int, std::string>> entries) {
    entries.emplace_back(filled);
    return entries;
}

}  // namespace

TEST_CASE("a worn mulch evaporates more than a fresh one, and less than none; why tells the wear") {
    Lived bare(and_filled({})), worn(and_filled({{1, "1 mulched 2cm"}})), fresh(and_filled({{days - 6, "1 mulched 2cm"}}));
    CHECK(bare.missing_l() > worn.missing_l());
    CHECK(worn.missing_l() > fresh.missing_l());
    CHECK(worn.why("mulch left, by its wear") == Approx(1.7));   // 2 x 0.75^(60/120)
    CHECK(fresh.why("mulch left, by its wear") == 2);
    CHECK(worn.why("share of a bare surface's evaporation under it") > fresh.why("share of a bare surface's evaporation under it"));
    CHECK(std::isnan(bare.why("mulch left, by its wear")));
}

TEST_CASE("laid anew it is as a fresh one; the entry struck, it is worn as before") {
    Lived renewed(and_filled({{1, "1 mulched 2cm"}})), worn(and_filled({{1, "1 mulched 2cm"}})), fresh(and_filled({{days - 6, "1 mulched 2cm"}}));
    const auto entry = renewed.did(days - 6, "1 mulched 2cm");
    CHECK(renewed.why("mulch left, by its wear") == 2);
    CHECK(renewed.missing_l() < worn.missing_l());
    CHECK(renewed.why("share of a bare surface's evaporation under it") == fresh.why("share of a bare surface's evaporation under it"));
    renewed.strike(entry);
    CHECK(renewed.missing_l() == worn.missing_l());
    CHECK(renewed.why("mulch left, by its wear") == Approx(1.7));
}

TEST_CASE("a pruned crown drinks less by the share that was taken, once, and striking the entry gives it back") {
    Lived whole(and_filled({})), pruned(and_filled({}));
    const double before_l = pruned.missing_l();
    const auto entry = pruned.did(days - 6, "1 pruned 30%");
    CHECK(pruned.missing_l() < before_l);
    CHECK(pruned.why(asks_for) == Approx(0.7 * whole.why(asks_for)).margin(0.011));
    CHECK(pruned.why("leaves that pruning left") == 70);
    pruned.strike(entry);
    CHECK(pruned.missing_l() == before_l);
    CHECK(pruned.why(asks_for) == whole.why(asks_for));
    CHECK(std::isnan(pruned.why("leaves that pruning left")));
}

TEST_CASE("a larger pot holds more, cut roots reach less of it, and a shadier bay asks for less") {
    Lived plain({}), larger({}), cut({}), moved(and_filled({})), stayed(and_filled({}));
    const double held_l = plain.available_l();
    larger.did(days - 20, "1 repotted container.size=60L");
    CHECK(larger.available_l() > 1.2 * held_l);
    CHECK(larger.why("share of the medium that roots have reached") < 0.9);
    cut.did(days - 6, "1 roots-pruned 30%");
    CHECK(cut.why("share of the medium that roots have reached") < 0.9);
    CHECK(plain.why("share of the medium that roots have reached") == 1);
    moved.did(days - 6, "1 moved corner");
    CHECK(moved.missing_l() < stayed.missing_l());
}
