// The rules "when" and "dose" that stand beside the decision, against the check rows of the pot-water model.
#include "catch.h"
#include "plan/cross_check.hpp"
#include "rows.hpp"

#include <limits>

using namespace tubgrove;
using rows::numbers;

namespace {

YAML::Node row(const std::string& id) { return rows::find("ensemble_checks.yaml", id); }
Approx near(double printed) { return Approx(printed).margin(0.001 + 1e-9).epsilon(0); }

void check_cases(const YAML::Node& r, const std::vector<std::vector<double>>& cases, int most_passes_of_case) {
    const YAML::Node expect = r["expect"];
    for (std::size_t i = 0; i < cases.size(); ++i) {
        const auto& c = cases[i];
        const Refill found = refill_dose({c[0], c[1], c[2], c[3], c[4]}, r["given"]["max_leaching_fraction"].as<double>(),
                                         most_passes_of_case > 0 ? most_passes_of_case : int(c[5]));
        INFO(r["id"].as<std::string>() << " case " << i + 1);
        CHECK(found.passes == expect[expect["passes"] ? "passes" : "pulses"][i].as<int>());
        CHECK(found.dose_l == near(expect["dose_l"][i].as<double>()));
        CHECK(found.refill_l == near(expect["refill_l"][i].as<double>()));
        CHECK(found.short_l == near(expect["short_l"][i].as<double>()));
        if (expect["leaching_fraction"]) CHECK(found.leaching == near(expect["leaching_fraction"][i].as<double>()));
    }
}

}  // namespace

TEST_CASE("chk-73 three litres missing in three media") {
    const auto r = row("chk-73");
    std::vector<std::vector<double>> cases;
    for (double scale : numbers(r["given"]["scale"])) cases.push_back({r["given"]["depletion_l"].as<double>(), 0, 0, 1, scale});
    check_cases(r, cases, r["given"]["max_pulses"].as<int>());
}

TEST_CASE("chk-149, chk-150 few passes, and new plantings") {
    for (const std::string id : {"chk-149", "chk-150"}) {
        const auto r = row(id);
        check_cases(r, r["given"]["cases_d_r_d_u_a_u_top_share_bypass_scale_max_passes"].as<std::vector<std::vector<double>>>(), 0);
    }
}

TEST_CASE("a full pot gets nothing, and a pot that many members see dry is due") {
    CHECK(refill_dose({.rooted_l = 0}, 0.15, 3).dose_l == 0);
    const double never = std::numeric_limits<double>::infinity();
    const Weights w{0.1, 0.1, 0.4, 0.4};
    const std::vector<double> dry{5, 20, 60, never};
    CHECK_FALSE(due_by_quantile(dry, w, 24, 0.2));   // exactly a fifth is not more than a fifth
    CHECK(due_by_quantile(dry, w, 24, 0.19));
    CHECK(due_by_quantile(dry, w, 72, 0.2));
    CHECK_FALSE(due_by_quantile(dry, w, 0, 0.0));
}
