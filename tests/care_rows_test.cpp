// Every row of tests/data/care_checks.yaml, and every table of it against the one in the program.
#include "care_rows.hpp"

#include "care/chill.hpp"
#include "care/crop.hpp"
#include "care/infection.hpp"
#include "care/lifting.hpp"
#include "care/roots.hpp"
#include "care/wind.hpp"

using namespace tubgrove;
using care_rows::Row;

namespace {

const YAML::Node& checks() {
    static const YAML::Node file = YAML::LoadFile(std::string(TEST_DATA) + "/care_checks.yaml");
    return file;
}

bool same(const YAML::Node& printed, double ours) {
    return printed.IsNull() ? std::isnan(ours) : std::fabs(printed.as<double>() - ours) < 1e-9;
}

// "12-13" counts as its longer end.
double longest(const YAML::Node& printed) {
    if (printed.IsNull()) return std::numeric_limits<double>::quiet_NaN();
    const auto text = printed.as<std::string>();
    return std::stod(text.substr(text.find('-', 1) == text.npos ? 0 : text.find('-', 1) + 1));
}

}  // namespace

std::map<std::string, care_rows::Answer>& care_rows::answers() {
    static std::map<std::string, Answer> all;
    return all;
}

YAML::Node care_rows::table(const std::string& name) { return checks()["tables"][name]; }

TEST_CASE("every row is answered, and every answer has its row") {
    std::set<std::string> ids;
    for (const auto& row : checks()["checks"]) ids.insert(row["id"].as<std::string>());
    CHECK(ids.size() == 228);
    CHECK(checks()["checks"].size() == 228);
    for (const auto& id : ids) {
        INFO(id << " is not answered");
        CHECK(care_rows::answers().contains(id));
    }
    for (const auto& [id, answer] : care_rows::answers()) {
        INFO(id << " is no row");
        CHECK(ids.contains(id));
    }
}

TEST_CASE("what the rows expect") {
    for (const auto& node : checks()["checks"]) {
        Row row(node);
        INFO(row.id());
        const auto found = care_rows::answers().find(row.id());
        if (found == care_rows::answers().end()) continue;   // told above
        found->second(row);
        row.finish();
    }
}

TEST_CASE("every row names a source that is listed") {
    for (const auto& row : checks()["checks"])
        for (const auto& key : row["source"]) {
            INFO(row["id"].as<std::string>() << " names " << key.as<std::string>());
            CHECK(checks()["sources"][key.as<std::string>()].IsDefined());
        }
}

TEST_CASE("printed tables are the program's tables") {
    CHECK(checks()["tables"].size() == 11);
    SECTION("wet hours of scab") {
        const auto rows = care_rows::table("scab_wetness_h")["rows"];
        REQUIRE(rows.size() == scab_rows().size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const auto& ours = scab_rows()[i];
            INFO("row " << i);
            const double values[] = {ours.from_degC, ours.to_degC, ours.light_h, ours.moderate_h, ours.severe_h};
            for (std::size_t k = 0; k < 5; ++k) CHECK(same(rows[i][k], values[k]));
            CHECK(longest(rows[i][5]) == ours.conidia_h);
            CHECK((std::isnan(ours.lesions_after_d) ? rows[i][6].IsNull() : longest(rows[i][6]) == ours.lesions_after_d));
        }
    }
    SECTION("the other table of wet hours, and its degrees") {
        const auto rows = care_rows::table("scab_wetness_wvu_h")["rows"];
        REQUIRE(rows.size() == scab_hours_wvu().size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const auto& ours = scab_hours_wvu()[i];
            CHECK(same(rows[i][0], ours.degF));
            CHECK(std::fabs(celsius_of(ours.degF) - rows[i][1].as<double>()) <= 0.05 + 1e-9);
            CHECK(same(rows[i][2], ours.hours));
        }
    }
    SECTION("buds and frost") {
        const std::map<std::string, std::string> names{{"sweet cherry", "cherry"}, {"sour cherry", "sour_cherry"}, {"european plum", "plum"}};
        std::size_t count = 0;
        for (const auto& species : care_rows::table("bud_kill")["rows"])
            for (const auto& row : species.second) {
                const auto printed = species.first.as<std::string>();
                const auto* ours = bud_kill(names.contains(printed) ? names.at(printed) : printed, row[0].as<std::string>());
                INFO(printed << ", " << row[0].as<std::string>());
                REQUIRE(ours);
                ++count;
                CHECK(same(row[1], ours->kill10_degF));
                CHECK(same(row[2], ours->kill90_degF));
                CHECK(std::fabs(row[3].as<double>() - ours->kill10_degC()) <= 0.05 + 1e-9);
                if (!row[4].IsNull()) CHECK(std::fabs(row[4].as<double>() - ours->kill90_degC()) <= 0.05 + 1e-9);
            }
        CHECK(count == bud_kills().size());
    }
    SECTION("Beaufort's edges") {
        for (const auto& row : care_rows::table("beaufort_m_s")["rows"]) {
            const int force = row[0].as<int>();
            CHECK(beaufort_force(row[1].as<double>()) == force);
            if (!row[2].IsNull()) CHECK(beaufort_force(row[2].as<double>()) == force);
            if (force > 0) CHECK(beaufort_force(row[1].as<double>() - 0.1) == force - 1);
        }
    }
    SECTION("chill units at both edges of each band") {
        for (const auto& row : care_rows::table("utah_units_per_h")["rows"])
            for (std::size_t edge = 0; edge < 2; ++edge)
                if (!row[edge].IsNull()) CHECK(chill_units(row[edge].as<double>()) == row[2].as<double>());
    }
    SECTION("roots in the cold") {
        const auto rows = care_rows::table("root_lt50_degC")["rows"];
        REQUIRE(rows.size() == root_kills().size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            CHECK(rows[i][0].as<std::string>() == root_kills()[i].rootstock);
            CHECK(same(rows[i][1], root_kills()[i].from_degC));
            CHECK(same(rows[i][2], root_kills()[i].to_degC));
        }
    }
    SECTION("chill portions") {
        const auto rows = care_rows::table("chill_portions_by_species")["rows"];
        REQUIRE(rows.size() == chill_needs().size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            CHECK(rows[i][0].as<std::string>() == chill_needs()[i].species);
            CHECK(same(rows[i][1], chill_needs()[i].from));
            CHECK(same(rows[i][2], chill_needs()[i].to));
        }
    }
    SECTION("lifting") {
        const auto rows = care_rows::table("hse_filter_kg")["rows"];
        REQUIRE(rows.size() == lift_filters().size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            CHECK(rows[i][0].as<std::string>() == lift_filters()[i].zone);
            CHECK(same(rows[i][1], lift_filters()[i].men_kg));
            CHECK(same(rows[i][2], lift_filters()[i].women_kg));
        }
    }
    SECTION("weeds") {
        const auto rows = care_rows::table("weeds_in_containers_loss_pct")["rows"];
        REQUIRE(rows.size() == weed_losses().size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const auto& ours = weed_losses()[i];
            const double values[] = {ours.pot_l, ours.a_half_pct, ours.a_full_pct, ours.b_half_pct, ours.b_full_pct};
            for (std::size_t k = 0; k < 5; ++k) CHECK(same(rows[i][k], values[k]));
        }
    }
    SECTION("apple's stages above 6.1 degC are those above 43 degF") {
        for (const auto& row : care_rows::table("apple_stage_windows")["rows"])
            for (std::size_t k : {1, 2}) CHECK(std::fabs(row[k].as<double>() / 1.8 - row[k + 2].as<double>()) <= 0.05 + 1e-9);
    }
    SECTION("the dynamic model's constants give the rows dynamic-6 to dynamic-14") {
        CHECK(care_rows::table("dynamic_constants")["E0_K"].as<double>() == 4153.5);
        CHECK(care_rows::table("dynamic_constants")["A1_per_h"].as<double>() == 2.567e18);
    }
}
