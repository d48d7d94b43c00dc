#include "garden_made.hpp"

#include "intake/read_configuration.hpp"
#include "intake/tables.hpp"
#include "processors.hpp"

#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <functional>
#include <numbers>
#include <sstream>

namespace tubgrove::bench {

namespace {

namespace fs = std::filesystem;

constexpr const char* configuration_text = R"(site:
  name: Bench
  latitude: 46.5
  longitude: 8.0
  elevation: 410 m
  timezone: UTC
bays:
  - {id: wall, light: full, shelter: sheltered, rain: eaves, order: 1}
  - {id: lawn, light: full, shelter: open, rain: open, ground: grass, order: 2}
  - {id: corner, light: half, shelter: usual, rain: open, order: 3}
walks: {morning: 07:00, evening: 19:00, issue_before: 1 h}
carry: {can: 10 L, cans: 2, mark: 0.5 L, passes: 2, taps: [{id: yard, near: [wall, lawn, corner]}]}
)";

struct Kind {
    const char *size, *medium, *species, *rootstock;
};
constexpr Kind kinds[] = {{"40 L", "bark_peat_sand", "apple", "M.27"},
                          {"30 L", "shop_mix", "apple", "M.9"},
                          {"60 L", "loam", "pear", "quince A"},
                          {"25 L", "peat_perlite", "apple", "M.26"}};
constexpr const char* bays[] = {"wall", "lawn", "corner"};

std::string garden_text(int pots) {
    std::string yaml = "pots:\n";
    for (int i = 1; i <= pots; ++i) {
        const Kind& kind = kinds[i % std::size(kinds)];
        yaml += fmt::format(
            "  - id: {}\n    bay: {}\n    since: 2026-03-01\n    container: {{size: {}}}\n    medium: {}\n"
            "    trees: [{{id: a, species: {}, rootstock: {}, planted: 202{}-11-12}}]\n",
            i, bays[i % std::size(bays)], kind.size, kind.medium, kind.species, kind.rootstock, i % 4 + 1);
    }
    return yaml;
}

double wave(double hours, double period_h) { return std::sin(2 * std::numbers::pi * hours / period_h); }

Observation hour_of_weather(Instant starts, int hour) {
    Observation o(starts, starts + std::chrono::hours(1));
    const double warmth_degC = 16 + 8 * wave(hour - 24.0 * 30, 24.0 * 365) + 4 * wave(hour, 24.0 * 11);
    const double sun = std::max(0.0, wave(hour + 1, 24));  // the season starts at six in the morning
    const bool shower = hour % (24 * 9) < 5;
    o[Channel::air_temperature_mean] = std::round(10 * (warmth_degC + 6 * wave(hour - 2, 24))) / 10;
    o[Channel::relative_humidity_mean] = std::round(shower ? 95 : 65 - 25 * wave(hour - 2, 24));
    o[Channel::wind_speed_mean] = std::round(10 * (1.5 + sun)) / 10;
    o[Channel::surface_downwelling_shortwave_flux_in_air_mean] = std::round((shower ? 150 : 750) * sun);
    o[Channel::precipitation_amount_sum] = shower ? 1.2 : 0;
    o[Channel::air_pressure_mean] = 96.5;
    return o;
}

constexpr std::pair<Channel, const char*> csv_columns[] = {
    {Channel::air_temperature_mean, "air_temperature [degC]"},
    {Channel::relative_humidity_mean, "relative_humidity [%]"},
    {Channel::wind_speed_mean, "wind_speed [m s-1]"},
    {Channel::surface_downwelling_shortwave_flux_in_air_mean, "surface_downwelling_shortwave_flux_in_air [W m-2]"},
    {Channel::precipitation_amount_sum, "precipitation_amount:sum [mm]"},
    {Channel::air_pressure_mean, "air_pressure [kPa]"}};

template <class Value>
Value whole(Read<Value> read) {
    if (!read.complaints.empty()) throw std::runtime_error(format(read.complaints.front()));
    return std::move(read.value);
}

}  // namespace

Instant season_start() { return parse_rfc3339("2026-04-01T06:00:00Z").value(); }

Series own_series() { return {.source = "roof"}; }

SiteClimate made_climate() {
    return {.latitude = Degrees(46.5),
            .longitude = Degrees(8.0),
            .elevation = Metres(410),
            .zone = Zone::utc(),
            .normals = {},
            .feel = {}};
}

std::vector<Observation> made_weather(Instant start, int hours) {
    std::vector<Observation> made;
    made.reserve(static_cast<std::size_t>(hours));
    for (int hour = 0; hour < hours; ++hour) made.push_back(hour_of_weather(start + std::chrono::hours(hour), hour));
    return made;
}

void write_csv(std::ostream& out, std::span<const Observation> hours) {
    out << "time";
    for (const auto& [channel, title] : csv_columns) out << ',' << title;
    out << '\n';
    for (const auto& o : hours) {
        out << format_rfc3339(o.ends, Zone::utc());
        for (const auto& [channel, title] : csv_columns) out << ',' << o[channel];
        out << '\n';
    }
}

MadeGarden::MadeGarden(const fs::path& folder) {
    fs::create_directories(folder);
    std::ofstream(folder / "tubgrove.yaml") << configuration_text;
    tables_ = std::make_unique<Tables>(whole(read_tables()));
    store_ = std::make_unique<Store>(Store::open(folder / "data"));
    garden_ = std::make_unique<Garden>(whole(read_configuration("tubgrove.yaml", configuration_text)),
                                       GardenTexts{.configuration = configuration_text, .tables = tables_text()},
                                       *tables_, *store_);
    garden_->use(on_all_processors);
}

void add_weather(Garden& garden, std::span<const Observation> hours) {
    std::stringstream csv;
    write_csv(csv, hours);
    const WeatherFile file{.name = "day.csv", .source = "roof", .mapping = {}, .issued = {}, .progress = {}};
    answer(garden.weather_add({.now = hours.back().ends}, csv, file));
}

namespace {

// Day by day, as the hours become known; `morning` is what happens at the end of each of them.
struct Season {
    int pots, days;
};
void live(Garden& garden, Season season, const std::function<void(Instant)>& morning) {
    answer(garden.pot_take({.now = season_start() - std::chrono::hours(24)}, "garden.yaml", garden_text(season.pots), true));
    const auto weather = made_weather(season_start(), 24 * season.days);
    for (std::size_t from = 0; from < weather.size(); from += 24) {
        const auto day = std::span(weather).subspan(from, 24);
        add_weather(garden, day);
        morning(day.back().ends);
    }
}

}  // namespace

void plant(const fs::path& folder, int pots, int days) {
    MadeGarden made(folder);
    live(made.garden(), {pots, days}, [](Instant) {});
}

void tend(const fs::path& folder, int pots) {
    MadeGarden made(folder);
    int mornings = 0;
    live(made.garden(), {pots, season_hours / 24}, [&](Instant issue) {
        answer(made.garden().round({.now = issue + std::chrono::minutes(1)}));
        const std::vector<std::string> all{"round", "all"};
        if (++mornings % 3) answer(made.garden().did({.now = issue + std::chrono::hours(2)}, all, {}));
    });
}

}  // namespace tubgrove::bench
