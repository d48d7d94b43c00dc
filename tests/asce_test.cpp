// [ASCE2005] Appendix C (Greeley), and the library [REFET]: the standardised equation, short and tall, days and
// hours.
#include "catch.h"
#include "climate/bay.hpp"
#include "climate/radiation.hpp"
#include "climate/sun.hpp"
#include "climate_rows.hpp"

#include <cmath>

using namespace tubgrove;

TEST_CASE("ASCE: every transcribed value and every library output comes out, or its disagreement stands") {
    rows::check_all("asce.tsv", {285, 32});
}

TEST_CASE("the bay's door and the standardised hour are one equation") {
    int hours = 0;
    for (const rows::Row& row : rows::read("asce.tsv")) {
        if (row.quantity != "etos_mm_h") continue;
        INFO(row.id);
        rows::Reckoning r(row);
        const double ratio = (r("fcd") + 0.35) / 1.35;
        const Et0Terms hour = et0_terms(HourAir{.air_temp_degC = r("t_degc"),
                                                .vapour_pressure_kPa = r("ea_kpa"),
                                                .wind_2m_m_s = r("u2_mps"),
                                                .rs_MJ_m2 = r("rs_mj_m2_h"),
                                                .rs_over_rso = ratio,
                                                .pressure_kPa = r("p_kpa")});
        CHECK_THAT(et0_mm(hour, 1, 1), WithinAbs(std::max(0.0, r("etos_mm_h")), 1e-12));
        ++hours;
    }
    CHECK(hours == 54);
}

TEST_CASE("Greeley: cloudiness carried whenever the sun is under 0.3 rad gives the table's longwave") {
    // Hour after hour, the row's own factor must be what carrying reproduces from its Rs.
    double carried = NAN;
    int compared = 0;
    for (const rows::Row& row : rows::read("asce.tsv")) {
        if (row.quantity != "etos_mm_h" || row.id.rfind("greeley-h", 0) != 0) continue;
        rows::Reckoning r(row);
        INFO(row.id);
        const Degrees latitude(r("lat_deg"));
        const int j = int(r("day_of_year"));
        if (sun_elevation_rad(latitude, j, r("omega_rad")) > 0.3)
            carried = cloud_factor(r("rs_mj_m2_h") / r("rso_mj_m2_h"));
        if (std::isnan(carried)) continue;
        CHECK_THAT(r("fcd"), WithinAbs(carried, 0.006));  // Rs is printed to 0.01 of some 2 MJ m-2
        ++compared;
    }
    CHECK(compared >= 28);
}
