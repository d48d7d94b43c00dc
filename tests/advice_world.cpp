#include "advice_world.hpp"

#include "climate/complete.hpp"
#include "climate/sun.hpp"
#include "pot/capacity.hpp"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace advice {

double uniform(const std::string& name) { return unit_interval(splitmix64(fnv1a(name))); }
double normal(const std::string& name) { return normal_quantile(uniform(name)); }

const std::vector<Climate> climates{
    {"cool", 54, 16, 4, 9, 0.35, 0.55, 5, 0, 2.8, 0.55},
    {"continental", 47, 20.5, 5, 12, 0.22, 0.45, 7, 1, 2.0, 0.62},
    {"hot", 37.5, 26, 6, 14, 0.05, 0.25, 6, 5, 2.2, 0.72},
};

namespace {

// One day's weather in plain numbers.
struct Sky {
    double max = 20, min = 10, dew = 9, wind = 2, radiation_MJ = 20, rain = 0;
};

double extraterrestrial_MJ(const Climate& c, LocalDay day) {
    return MJ_per_m2(extraterrestrial_day(Degrees(c.latitude_deg), day_of_year(day)));
}

std::vector<Sky> make_sky(const std::string& name, const Climate& c, LocalDay first, int count, int season) {
    std::vector<Sky> sky;
    double anomaly = 0;
    bool wet = false;
    for (int d = 0; d < count; ++d) {
        const std::string id = name + "/sky/" + std::to_string(d);
        const LocalDay day = first + std::chrono::days(d);
        const int in_season = d - season;
        const bool dry_spell = in_season >= 25 && in_season < 40;
        const bool heat = in_season >= 33 && in_season < 39;
        anomaly = 0.7 * anomaly + 1.8 * normal(id + "t");
        wet = !dry_spell && uniform(id + "w") < (wet ? c.wet_after_wet : c.wet_after_dry);
        const double year = std::cos((day_of_year(day) - 201) * 2 * 3.14159265358979 / 365);
        const double mean = c.warm_degC - c.swing_K * 2 * (1 - year) + anomaly + (heat ? 6 : 0) - (wet ? 1.5 : 0);
        const double range = std::max(3.0, c.range_K * (wet ? 0.65 : 1.05) + 1.5 * normal(id + "r"));
        Sky s;
        s.max = mean + range / 2;
        s.min = mean - range / 2;
        s.dew = s.min - std::max(-0.5, c.dew_gap_K + 1.5 * normal(id + "d")) + (wet ? 1 : 0);
        s.wind = std::clamp(c.wind_m_s * std::exp(0.35 * normal(id + "v")), 0.4, 9.0);
        s.radiation_MJ = extraterrestrial_MJ(c, day) * std::clamp((wet ? 0.55 : 1.0) * c.sun + 0.06 * normal(id + "s"), 0.12, 0.76);
        s.rain = wet ? 0.5 - c.rain_mm * std::log(1 - 0.98 * uniform(id + "a")) : 0;
        sky.push_back(s);
    }
    return sky;
}

enum class Station : unsigned char { extremes_and_rain, wind_too, all };

Observation observed(const Zone& zone, LocalDay day, const Sky& s, Station station) {
    Observation o(zone.start_of(day), zone.end_of(day));
    o[Channel::air_temperature_max] = s.max;
    o[Channel::air_temperature_min] = s.min;
    o[Channel::precipitation_amount_sum] = s.rain;
    if (station == Station::wind_too) o[Channel::wind_speed_mean] = s.wind;
    if (station != Station::all) return o;
    o[Channel::dew_point_temperature_mean] = s.dew;
    o[Channel::wind_speed_mean] = s.wind;
    o[Channel::surface_downwelling_shortwave_flux_in_air_mean] = s.radiation_MJ * 1e6 / 86400;
    return o;
}

// As a cheap station, or somebody far away, has it.
Sky measured(Sky s, const std::string& id) {
    s.max += 0.5 * normal(id + "x");
    s.min = std::min(s.max - 1, s.min + 0.5 * normal(id + "n"));
    s.rain *= std::exp(0.1 * normal(id + "g"));
    s.wind *= std::exp(0.15 * normal(id + "v"));
    s.radiation_MJ *= 1 + 0.06 * normal(id + "s");
    return s;
}

Sky foretold(Sky s, const std::string& id, int ahead) {
    const double k = 1 + 0.5 * ahead;
    s.max += 1.2 * k * normal(id + "x");
    s.min = std::min(s.max - 1, s.min + 1.0 * k * normal(id + "n"));
    s.dew = std::min(s.min, s.dew + 1.0 * k * normal(id + "d"));
    s.wind *= std::exp(0.2 * normal(id + "v"));
    s.radiation_MJ *= std::clamp(1 + 0.1 * k * normal(id + "s"), 0.5, 1.25);
    if (s.rain > 0 && uniform(id + "m") < 0.15) s.rain = 0;
    else if (s.rain <= 0 && uniform(id + "i") < 0.08) s.rain = 4;
    else s.rain *= std::exp(0.4 * normal(id + "a"));
    return s;
}

std::vector<DayRecord> records(const SiteClimate& site, const std::vector<Observation>& obs, Series series, DaySpan span, Instant now) {
    const SeriesReadings readings{std::move(series), obs};
    return complete_days(site, std::span(&readings, 1), span, now);
}

}  // namespace

namespace {

// From the sky of each day: the truth, what a station of the garden has of it, and what was foretold. `real`: what of the sky
// is known of the truth.
World world_under(World w, std::span<const Sky> sky, Station real) {
    const bool well_equipped = uniform(w.name + "/station") < 0.5;
    SiteClimate site;
    site.latitude = Degrees(w.climate.latitude_deg);
    site.elevation = Metres(w.climate.height_m);
    site.zone = w.zone;
    site.arid = w.climate.name == "hot";
    const auto series = [&](Series from) {
        if (real == Station::wind_too) from.wind_height_m = 10;   // an airport's mast
        return from;
    };
    std::vector<Observation> truth, seen;
    for (std::size_t d = 0; d < sky.size(); ++d) {
        const LocalDay day = w.first + std::chrono::days(d);
        truth.push_back(observed(w.zone, day, sky[d], real));
        seen.push_back(observed(w.zone, day, measured(sky[d], w.name + "/seen/" + std::to_string(d)),
                                well_equipped ? real : Station::extremes_and_rain));
    }
    const DaySpan all{w.first, w.first + std::chrono::days(sky.size() - 1)};
    const Instant end = w.zone.end_of(all.last);
    w.truth = records(site, truth, series({.source = "truth"}), all, end);
    w.seen = records(site, seen, series({.source = "station"}), all, end);
    for (int d = 0; d < w.days; ++d) {
        std::vector<Observation> told;
        const LocalDay today = w.first + std::chrono::days(int(w.season) + d);
        for (int k = 0; k < 3; ++k) {
            const std::string id = w.name + "/told/" + std::to_string(d) + "/" + std::to_string(k);
            told.push_back(observed(w.zone, today + std::chrono::days(k), foretold(sky[w.season + std::size_t(d + k)], id, k), real));
        }
        const Instant issued = w.zone.start_of(today) + std::chrono::hours(5);
        w.forecast.push_back(records(site, told, series({.source = "service", .rung = Rung::published, .issued = issued}),
                                     {today, today + std::chrono::days(2)}, issued));
    }
    return w;
}

World empty_world(const std::string& name, const Climate& climate, int year, int days) {
    World w;
    w.climate = climate;
    w.name = name;
    w.days = days;
    w.first = *parse_day(std::to_string(year) + "-01-01");
    w.season = std::size_t((*parse_day(std::to_string(year) + "-05-25") - w.first).count());
    return w;
}

std::vector<Sky> read_year(const std::string& csv, int year) {
    std::ifstream in(csv);
    std::vector<Sky> sky;
    std::string line;
    std::getline(in, line);
    if (line != "date,precipitation,temp_max,temp_min,wind,weather") throw std::runtime_error(csv + " is not the table seattle-weather.csv");
    while (std::getline(in, line)) {
        if (line.compare(0, 4, std::to_string(year)) != 0) continue;
        std::istringstream cells(line.substr(line.find(',') + 1));
        Sky s;
        char comma = 0;
        cells >> s.rain >> comma >> s.max >> comma >> s.min >> comma >> s.wind;
        s.dew = s.min;
        sky.push_back(s);
    }
    return sky;
}

}  // namespace

World make_world(const std::string& name, const Climate& climate, int days) {
    World w = empty_world(name, climate, 2026, days);
    const std::vector<Sky> sky = make_sky(name, climate, w.first, int(w.season) + days + 3, int(w.season));
    return world_under(std::move(w), sky, Station::all);
}

World make_real_world(const std::string& name, const std::string& csv, int year, int days) {
    World w = empty_world(name, {.name = "Seattle", .latitude_deg = 47.45, .height_m = 130}, year, days);
    const std::vector<Sky> sky = read_year(csv, year);
    if (sky.size() < w.season + std::size_t(days) + 3) throw std::runtime_error("the table has no such season");
    return world_under(std::move(w), std::span(sky).first(w.season + std::size_t(days) + 3), Station::wind_too);
}

namespace {

template <class T>
const T& choose(const std::vector<T>& list, const std::string& name) {
    return list[std::min(list.size() - 1, std::size_t(uniform(name) * double(list.size())))];
}

PotSetup make_setup(const World& w, const std::string& name, double rim_l) {
    static const std::vector<std::string> media{"peat", "coir", "peat_perlite", "bark_peat_sand", "bark", "loam", "green", "shop_mix", "shop_mix", ""};
    static const std::vector<std::pair<std::string, std::string>> kinds{
        {"apple", "M.27"}, {"apple", "M.9"}, {"apple", "M.26"}, {"pear", "quince C"}, {"plum", "Pixy"}, {"cherry", "Gisela 5"},
        {"peach", ""}, {"fig", ""}, {"apple", ""}};
    PotSetup s;
    s.id = name;
    s.container.size = Litres(rim_l);
    const double wall = uniform(name + "wall");
    s.container.wall = wall < 0.7 ? Wall::plastic : wall < 0.88 ? Wall::clay : Wall::fabric;
    s.container.form = s.container.wall == Wall::fabric ? Form::bag : Form::round;
    s.medium = choose(media, name + "medium");
    const auto [species, stock] = choose(kinds, name + "kind");  // a copy: one compiler fears for the reference
    Tree t;
    t.id = "a";
    t.species = species;
    t.rootstock = stock;
    const int age_days = 200 + int(uniform(name + "age") * 2000);
    t.planted = w.first + std::chrono::days(int(w.season) - age_days);
    const bool young = uniform(name + "young") < 0.2;
    s.in_this_pot_since = young ? w.first + std::chrono::days(60 + int(60 * uniform(name + "spring"))) : *t.planted;
    if (young) t.planting = Planting::ball, t.ball = Litres(rim_l * (0.15 + 0.3 * uniform(name + "ball")));
    if (uniform(name + "leaves") < 0.5) t.leaves = uniform(name + "dense") < 0.3 ? Leaves::few : uniform(name + "dense") < 0.75 ? Leaves::usual : Leaves::dense;
    if (uniform(name + "measured") < 0.3) {
        const double side_cm = 100 * std::sqrt(0.02 * rim_l * std::exp(0.5 * normal(name + "side")) * 1.2);
        t.crown = Crown{Centimetres(side_cm), Centimetres(side_cm), Centimetres(1.3 * side_cm), w.first + std::chrono::days(int(w.season))};
    }
    s.trees.push_back(t);
    if (uniform(name + "mulch") < 0.35) s.mulch = Mulch{Centimetres(4), 0.9};
    const int bay = int(uniform(name + "bay") * 3);
    s.exposure = {w.name + "-bay-" + std::to_string(bay), bay == 2 ? "half" : "full", bay == 0 ? "sheltered" : "usual", bay == 0 ? "eaves" : "open", "ground", "paving"};
    return s;
}

// Wider than the priors by a quarter, in every unknown; the medium's curve is not the table's either.
constexpr double wider = 1.25;

Prior drawn(const Prior& prior, double score) { return fixed_prior(value_at(prior, wider * score)); }

void hide_medium(Pot& pot, const Tables& tables, const std::string& name) {
    static const std::vector<std::string> sold{"peat", "coir", "peat_perlite", "bark_peat_sand"};
    const bool unnamed = pot.setup.medium.empty() || pot.setup.medium == unnamed_medium;
    Retention r = tables.medium(unnamed ? choose(sold, name + "sold") : pot.setup.medium)->retention;
    r.theta_s = std::min(0.96, r.theta_s + 0.03 * normal(name + "theta"));
    r.alpha_per_cm *= std::exp(0.35 * normal(name + "alpha"));
    r.n = 1 + (r.n - 1) * std::exp(0.15 * normal(name + "n"));
    Member& m = pot.real.shape;
    m.theta_r = r.theta_r, m.theta_s = r.theta_s, m.alpha_per_cm = r.alpha_per_cm, m.n = r.n;
    m.capacity_l = litres(container_capacity(std::get<Vessel>(vessel_of(pot.setup.container)).medium, r));
}

void hide(Pot& pot, const Belief& reference, const Tables& tables, const std::string& name) {
    pot.real = reference;
    for (int d = 0; d < dim_count; ++d) pot.real.of[std::size_t(d)] = drawn(reference.of[std::size_t(d)], normal(name + "/dim/" + std::to_string(d)));
    // A bay's wind and light are its pots' together.
    for (Dim d : {Dim::wind, Dim::radiation}) pot.real[d] = drawn(pot.believed[d], normal(pot.believed.bay + "/dim/" + std::to_string(int(d))));
    pot.real[Dim::capacity] = fixed_prior(std::exp(0.1 * wider * normal(name + "/capacity")));
    pot.real.heat = fixed_prior(value_at(pot.believed.heat, normal(pot.believed.bay + "/heat")) * std::exp(0.1 * wider * normal(name + "/model")));
    pot.real.rain_share = drawn(pot.believed.rain_share, normal(pot.believed.bay + "/rain"));
    hide_medium(pot, tables, name);
}

}  // namespace

Pot make_pot(const World& w, const Tables& tables, const Tables& truth, const std::string& name) {
    static const std::vector<double> sizes{10, 15, 20, 25, 30, 40, 50, 65};
    Pot pot;
    pot.rim_l = choose(sizes, name + "size");
    pot.setup = make_setup(w, name, pot.rim_l);
    const LocalDay start_day = w.first + std::chrono::days(int(w.season));
    pot.believed = std::get<Belief>(belief_of(pot.setup, tables, start_day));
    hide(pot, std::get<Belief>(belief_of(pot.setup, truth, start_day)), tables, name);
    pot.real_history = {name, w.midnight(0), {{w.midnight(0) - std::chrono::days(400), pot.setup}}, {}};
    const GrowingSite site{w.climate.latitude_deg, w.climate.height_m};
    pot.believed_course = course_of(pot.real_history, tables, site, w.zone, w.seen);
    pot.real_course = course_of(pot.real_history, tables, site, w.zone, w.truth);
    const std::vector<Belief> beliefs{pot.real};
    Ensemble e = begin(PotRun{pot.real_history, beliefs, pot.real_course, truth.priors, w.zone}, 1);
    for (int d = 0; d < dim_count; ++d) e.score[std::size_t(d)] = {0.0};
    e[Dim::onset] = {wider * normal(name + "/onset")};
    pot.real_start = e;
    // Days that free water lasts: use of a July day at 6 mm.
    const std::size_t mid = w.season + std::size_t(w.days) / 2;
    const Canopy& c = pot.real_course[mid].canopy;
    std::vector<double> demand(1), crown(1);
    member_canopy(e, pot.real, c, demand, crown);
    const Members members = members_of(e, pot.real);
    PotState full(1);
    full.warm_days = e.state.warm_days;
    const std::vector<double> et0{6.0};
    begin_day(members, {et0, demand, crown, 60}, full);
    pot.young = full.rooted_share[0] < 0.9;
    const double surface = 0.5 * 6 * pot.real.shape.top_m2 * members.surface_rate[0] + 6 * members.wall_kappa_m2[0];
    pot.held_days = full.ready_l[0] / std::max(1e-6, 6 * demand[0] + full.rooted_share[0] * surface);
    return pot;
}

Truth::Truth(const World& w, const Pot& pot, const Priors& priors)
    : world_(w), pot_(pot), priors_(priors), history_(pot.real_history), e_(*pot.real_start) {}

void Truth::to(Instant t) {
    const std::vector<Belief> beliefs{pot_.real};
    advance(e_, PotRun{history_, beliefs, pot_.real_course, priors_, world_.zone}, t, &booked);
}

Truth::Given Truth::pour(const Manner& manner, Hand hand) {
    if (manner.pour_l <= 0) return {};
    const Members members = members_of(e_, pot_.real);
    const OnsetLaws laws = onset_laws(e_, pot_.real, priors_);
    const std::vector<double> score{hand.score};
    const MemberPour given = pour_of(manner, members, laws, priors_, score, std::vector<bool>{hand.ignores});
    OnsetLaws here = laws;
    here.share[0] *= std::exp(laws.sd_ln[0] * hand.score);
    const double shows_l = litres_until_run_through(members, here, priors_, manner.passes)[0];
    history_.events.push_back({e_.until, 0, Poured{given.pour_l[0], manner.passes, 0.0, {}, true}});
    return {given.pour_l[0], given.pour_l[0] >= 0.99 * shows_l};
}

}  // namespace advice
