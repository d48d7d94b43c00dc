#pragma once
// What the tests of pot and tree share: their check rows, the media table, and pots built from a row's words.
#include "catch.h"
#include "pot/balance.hpp"
#include "pot/capacity.hpp"
#include "pot/geometry.hpp"
#include "pot/retention.hpp"
#include "rows.hpp"

#include <map>
#include <string>
#include <vector>

namespace rows {

using namespace tubgrove;
using Numbers = std::vector<double>;

inline YAML::Node pot_row(const std::string& id) { return find("pot_checks.yaml", id); }

// Every number below a node, in order.
inline std::vector<double> flat(const YAML::Node& node) {
    if (node.IsScalar()) return {node.as<double>()};
    std::vector<double> all;
    for (const auto& child : node) {
        const std::vector<double> part = flat(node.IsMap() ? child.second : YAML::Node(child));
        all.insert(all.end(), part.begin(), part.end());
    }
    return all;
}

// The row's expectation `key` against what was computed; `tol` names the tolerance where it is not the key's own.
inline void check(const YAML::Node& row, const std::string& key, const std::vector<double>& computed) {
    const std::vector<double> expected = flat(row["expect"][key]);
    const YAML::Node own = row["tol"][key] ? row["tol"][key] : row["tol"]["all"];
    REQUIRE(own);
    const double tolerance = own.as<double>() + 1e-9;
    INFO(row["id"].as<std::string>() << " " << key);
    REQUIRE(computed.size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        INFO("number " << i + 1);
        CHECK(computed[i] == Approx(expected[i]).margin(tolerance).epsilon(0));
    }
}
inline void check(const YAML::Node& row, const std::string& key, double computed) {
    check(row, key, std::vector<double>{computed});
}

inline Retention retention_of(const YAML::Node& n) {
    return {n["theta_r"].as<double>(), n["theta_s"].as<double>(), n["alpha_per_cm"].as<double>(), n["n"].as<double>()};
}

inline YAML::Node table(const std::string& file) { return YAML::LoadFile(std::string(PROJECT_ROOT) + "/config/" + file); }

inline YAML::Node medium_row(const std::string& key) {
    static const YAML::Node media = table("media.yaml")["media"];
    for (const YAML::Node& m : media)
        if (m["key"].as<std::string>() == key) return m;
    throw std::runtime_error("no medium " + key);
}
inline Retention medium(const std::string& key) { return retention_of(medium_row(key)); }

inline const std::vector<std::string> media{"peat", "coir", "bark", "peat_perlite", "bark_peat_sand", "loam", "green", "mineral"};

// Bottom, top and height in cm.
inline Body round_pot(const std::vector<double>& d) { return round_body(Centimetres(d[0]), Centimetres(d[1]), Centimetres(d[2])); }
inline Body round_pot(const YAML::Node& pot) {
    return round_pot({pot["d_bottom_cm"].as<double>(), pot["d_top_cm"].as<double>(), pot["height_cm"].as<double>()});
}

// One member with the reference's constants in this body and medium.
inline Member member_of(const Body& body, const Retention& r) {
    Member m;
    m.volume_l = litres(volume(body));
    m.capacity_l = litres(container_capacity(body, r));
    m.top_m2 = m2(top_area(body));
    m.wall_m2 = m2(wall_area(body));
    m.theta_r = r.theta_r, m.theta_s = r.theta_s, m.alpha_per_cm = r.alpha_per_cm, m.n = r.n;
    m.height_cm = body.height_cm;
    return m;
}

// A pot of one member, and one day of it.
struct Single {
    explicit Single(const Member& m) : constants(std::vector<Member>{m}), state(1), fluxes(1) {}
    void begin(double et0_day_mm, double demand, double crown_m2, double warm = 0) {
        const std::vector<double> e{et0_day_mm}, d{demand}, c{crown_m2};
        begin_day(constants, {e, d, c, warm}, state);
    }
    // Returns the hours after this hour's start at which it runs dry, infinity if it does not.
    double hour(double et0_mm, double rain_mm = 0, std::vector<Watering> waterings = {}) {
        const std::vector<double> e{et0_mm}, p{rain_mm};
        std::vector<double> dry(1);
        Hour h;
        h.et0_mm = e;
        if (rain_mm > 0) h.rain_mm = p;
        h.waterings = waterings;
        h.dry_after_h = dry;
        hour_step(constants, h, state, fluxes);
        return dry[0];
    }
    double& d_r() { return state.depletion_rooted_l[0]; }
    double& d_u() { return state.depletion_unrooted_l[0]; }
    double a_r() const { return state.available_rooted_l[0]; }
    double a_u() const { return state.available_unrooted_l[0]; }
    double ready() const { return state.ready_l[0]; }
    double stored() const {
        std::vector<double> s(1);
        stored_l(state, s);
        return s[0];
    }
    double losses() const {
        return fluxes.top_l[0] + fluxes.wall_l[0] + fluxes.transpiration_l[0] + fluxes.lost_l[0] + fluxes.saucer_l[0];
    }

    Members constants;
    PotState state;
    Fluxes fluxes;
};

inline Body tall() { return round_pot(Numbers{32, 42, 40}); }
inline Member tall_member(const std::string& name, double ball_l) {
    Member m = member_of(tall(), medium(name));
    m.ball_l = ball_l;
    return m;
}

}  // namespace rows
