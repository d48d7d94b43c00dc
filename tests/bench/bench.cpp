// How fast and how large: ET0 a day record, weather in against the sqlite3 shell, rounds of ten to ten thousand pots,
// and the program from outside. It prints figures and judges nothing; a machine that does other work makes them
// worse.
//
// What the figures are of. The season has 105 days of hourly weather, which comes in day by day; a pot has 128 members.
// rounds, "whole season": one list at the season's end, with nothing kept of the days before: each pot lives through all its
// 2,520 hours and 105 walks that nobody spoke of, and is decided. It is the price of a changed table or a lost cache, and
// as far as a list can be from the usual. "next morning": one more day, from the states that were kept two days before
// the present. "asked again": the stored list. Each is asked of a garden opened anew; the memory is the largest of all three.
// program: 25 pots whose list was asked for on each of the 105 mornings and answered on two of three, so that the past has
// rounds and entries to be read; from the command's start to its end.
// CPU time stands beside the clock's, since the pots of a list are shared among the processors. usage: bench TUBGROVE SQLITE3 [et0|ingest|rounds|program|ahead]…
#include "garden_made.hpp"
#include "measure.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <sstream>

using namespace tubgrove;
using namespace tubgrove::bench;

namespace {

namespace fs = std::filesystem;

constexpr int ingest_rows = 260'000;
constexpr int repeats = 5;

void et0(const Options&) {
    const auto year = made_weather(season_start(), 365 * 24);
    const SiteClimate site = made_climate();
    const SeriesReadings series{own_series(), year};
    const LocalDay first = site.zone.day_of(season_start()) + std::chrono::days(1);
    const DaySpan days{first, first + std::chrono::days(362)};
    const double best_s = best_of(repeats, [&] {
        if (complete_days(site, std::span(&series, 1), days, year.back().ends).size() != 363) std::abort();
    });
    fmt::print("ET0 from hourly readings: {:.1f} us a day record, gaps, quality checks and marks included\n",
               best_s / 363 * 1e6);
}

// The sqlite3 shell takes the same file into a typed table whose key is the time, with the store's settings.
double shell_import_s(const Options& options, const fs::path& csv, const fs::path& folder) {
    const fs::path database = folder / "import.db";
    for (const char* suffix : {"", "-wal", "-shm"}) fs::remove(database.string() + suffix);
    const std::string command = fmt::format(
        "'{}' '{}' 'PRAGMA journal_mode = WAL' 'PRAGMA synchronous = FULL' "
        "'CREATE TABLE readings (time TEXT PRIMARY KEY NOT NULL, a REAL, b REAL, c REAL, d REAL, e REAL, f REAL) "
        "STRICT'"
        " '.mode csv' '.import --skip 1 \"{}\" readings' >/dev/null",
        options.sqlite3, database.string(), csv.string());
    return seconds_of([&] {
        if (std::system(command.c_str()) != 0) throw std::runtime_error("the sqlite3 shell failed");
    });
}

void take_file(Garden& garden, const fs::path& csv, Instant now) {
    std::ifstream in(csv);
    WeatherFile file{.name = csv.filename().string(), .source = "roof", .mapping = {}, .issued = {}, .progress = {}};
    answer(garden.weather_add({.now = now}, in, file));
}

void ingest(const Options& options) {
    Folder folder;
    const fs::path csv = folder.path() / "hours.csv";
    const auto hours = made_weather(season_start(), ingest_rows);
    {
        std::ofstream out(csv);
        write_csv(out, hours);
    }
    double ours_s = 1e9, shell_s = 1e9, again_s = 1e9;
    for (int i = 0; i < repeats; ++i) {
        MadeGarden made(folder.path() / std::to_string(i));
        ours_s = std::min(ours_s, seconds_of([&] { take_file(made.garden(), csv, hours.back().ends); }));
        shell_s = std::min(shell_s, shell_import_s(options, csv, folder.path()));
        again_s = std::min(again_s, seconds_of([&] { take_file(made.garden(), csv, hours.back().ends); }));
    }
    fmt::print(
        "weather of {} hours ({:.1f} MB): {:.2f} s; the sqlite3 shell {:.2f} s; ratio {:.2f}; the same again {:.2f} "
        "s\n",
        ingest_rows, double(fs::file_size(csv)) / 1e6, ours_s, shell_s, ours_s / shell_s, again_s);
}

struct RoundTimes {
    double cold_s = 0, cold_cpu_s = 0, next_day_s = 0, again_s = 0;
    long peak_kB = 0;
};

// Every answer by a garden opened anew, as a command would: the store's cache is what is left of the day before.
double round_s(const fs::path& folder, Instant now) {
    return seconds_of([&] {
        MadeGarden made(folder);
        if (answer(made.garden().round({.now = now})).round.id.empty()) std::abort();
    });
}

// The morning after the season, when its last reading has come in.
Instant first_asked() { return season_start() + std::chrono::hours(season_hours) + std::chrono::minutes(1); }

// The first day after the season.
void live_a_day(const fs::path& folder) {
    MadeGarden made(folder);
    const auto weather = made_weather(season_start(), season_hours + 24);
    add_weather(made.garden(), std::span(weather).last(24));
}

RoundTimes rounds_of(int pots) {
    Folder folder;
    const fs::path at = folder.path() / "garden";
    in_child([&] { plant(at, pots); });
    RoundTimes times;
    const auto child = in_child([&](const Report& report) {
        const double cpu_before_s = cpu_s();
        report(round_s(at, first_asked()));
        report(cpu_s() - cpu_before_s);
        live_a_day(at);
        report(round_s(at, first_asked() + std::chrono::hours(24)));
        report(round_s(at, first_asked() + std::chrono::hours(24) + std::chrono::minutes(1)));
    });
    times.cold_s = child.figures.at(0);
    times.cold_cpu_s = child.figures.at(1);
    times.next_day_s = child.figures.at(2);
    times.again_s = child.figures.at(3);
    times.peak_kB = child.peak_kB;
    return times;
}

// The slope of a straight line through the logarithms: 1 is time in proportion to pots.
double growth_exponent(const std::vector<std::pair<double, double>>& points) {
    double x = 0, y = 0, xx = 0, xy = 0;
    for (auto [pots, time_s] : points) {
        x += std::log(pots);
        y += std::log(time_s);
        xx += std::log(pots) * std::log(pots);
        xy += std::log(pots) * std::log(time_s);
    }
    const double n = double(points.size());
    return (n * xy - x * y) / (n * xx - x * x);
}

void rounds(const Options&) {
    std::vector<std::pair<double, double>> points, of_cpu;
    fmt::print("rounds after a season of {} hourly readings, nobody having written anything down\n", season_hours);
    fmt::print("   pots   whole season    of CPU time   next morning   asked again   peak memory\n");
    for (int pots : {10, 100, 1'000, 10'000}) {
        const auto times = rounds_of(pots);
        fmt::print("{:7d} {:12.3f} s {:12.3f} s {:12.3f} s {:11.3f} s {:10.1f} MB\n", pots, times.cold_s, times.cold_cpu_s,
                   times.next_day_s, times.again_s, double(times.peak_kB) / 1024);
        std::cout.flush();
        if (pots < 100) continue;
        points.emplace_back(pots, times.cold_s);
        of_cpu.emplace_back(pots, times.cold_cpu_s);
    }
    fmt::print("growth exponent of the whole season, 100 to 10,000 pots: {:.3f}, of CPU time {:.3f}\n", growth_exponent(points),
               growth_exponent(of_cpu));
}

// What one question took: by the clock, and of all processors together.
struct Took {
    double wall_s = 1e9, cpu_s = 1e9;
    void least(const Took& other) { wall_s = std::min(wall_s, other.wall_s), cpu_s = std::min(cpu_s, other.cpu_s); }
};

Took ask_program(const Options& options, const fs::path& garden, Instant now, const char* options_more = "") {
    const std::string command = fmt::format(
        "'{}' --config '{}' --data '{}' --at {} {} round >/dev/null", options.tubgrove, (garden / "tubgrove.yaml").string(),
        (garden / "data").string(), format_rfc3339(now, Zone::utc()), options_more);
    const double before_s = children_cpu_s();
    const double wall_s = seconds_of([&] {
        if (std::system(command.c_str()) != 0) throw std::runtime_error("the program failed: " + command);
    });
    return {wall_s, children_cpu_s() - before_s};
}

// 25 pots after a season that was lived through, asked as a gardener does: a new process each time. The first answer is
// asked of several copies of the garden, since it is the first only once.
void program(const Options& options) {
    Folder folder;
    const fs::path at = folder.path() / "garden";
    in_child([&] { tend(at, 25); });
    live_a_day(at);
    const Instant morning = first_asked() + std::chrono::hours(24);
    Took first, again;
    for (int i = 0; i < repeats; ++i) {
        const fs::path copy = folder.path() / fmt::format("copy-{}", i);
        fs::copy(at, copy, fs::copy_options::recursive);
        fs::permissions(copy / "data", fs::perms::owner_all);
        first.least(ask_program(options, copy, morning));
        for (int k = 0; k < repeats; ++k) again.least(ask_program(options, copy, morning + std::chrono::minutes(1)));
    }
    for (const char* suffix : {"", "-wal", "-shm"}) fs::remove(at / "data" / (std::string("tubgrove-cache.db") + suffix));
    const Took cold = ask_program(options, at, morning, "--recompute");
    fmt::print("the program, 25 pots and 105 lists (of CPU time): first answer of the day {:.3f} s ({:.3f}), asked again {:.3f} s "
               "({:.3f}), the whole season {:.3f} s ({:.3f})\n",
               first.wall_s, first.cpu_s, again.wall_s, again.cpu_s, cold.wall_s, cold.cpu_s);
}

// Ten days ahead for 25 pots, an absence and a visit in it; the members of a single forecast and of one that has 20 of its own; the morning's list is made.
void look_ahead(const Options&) {
    Folder folder;
    for (const int forecast_members : {1, 20}) {
        const fs::path at = folder.path() / ("garden-" + std::to_string(forecast_members));
        in_child([&] { tend(at, 25); });
        live_a_day(at);
        const Instant now = first_asked() + std::chrono::hours(24);
        const auto child = in_child([&](const Report& report) {
            MadeGarden made(at);
            for (int member = 0; member < forecast_members; ++member) {
                auto hours = made_weather(season_start() + std::chrono::hours(member), season_hours + 24 + 24 * 11);
                std::stringstream csv;
                const auto ahead = std::span(hours).last(24 * 11);
                for (auto& o : ahead) o.starts -= std::chrono::hours(member), o.ends -= std::chrono::hours(member);
                write_csv(csv, ahead);
                const WeatherFile file{.name = "forecast.csv", .source = "service", .mapping = {}, .issued = now - std::chrono::hours(1), .member = member, .progress = {}};
                answer(made.garden().weather_add({.now = now}, csv, file));
            }
            if (answer(made.garden().round({.now = now})).round.id.empty()) std::abort();
            const auto seen = answer(made.garden().ahead({.now = now}));
            const auto forecast = std::ranges::count(seen.days, "forecast", &DayAheadLine::from);
            // One forecast becomes a middle one and twenty around it; twenty members of one source get their middle one besides.
            if (seen.pots.size() != 25 || seen.members != 21 || forecast < 10) throw std::runtime_error(fmt::format("{} pots, {} members, {} days of forecast", seen.pots.size(), seen.members, forecast));
            report(best_of(repeats, [&] { answer(made.garden().ahead({.now = now})); }));
            const auto back = seen.from + std::chrono::days(14);
            report(best_of(repeats, [&] { answer(made.garden().absence({.now = now}, seen.from + std::chrono::days(1), back)); }));
            report(best_of(repeats, [&] { answer(made.garden().visit({.now = now}, back)); }));
        });
        fmt::print("25 pots, a forecast of {}: ahead, 10 days {:.3f} s; an absence of 14 days {:.3f} s; a visit in it {:.3f} s\n",
                   forecast_members == 1 ? "one member" : "20 members", child.figures.at(0), child.figures.at(1), child.figures.at(2));
    }
}

}  // namespace

int main(int count, char** words) try {
    if (count < 3) throw std::invalid_argument("usage: bench TUBGROVE SQLITE3 [et0|ingest|rounds|program|ahead]...");
    const Options options{words[1], words[2]};
    const std::vector<std::string> wanted(words + 3, words + count);
    const auto run = [&](const char* name, void (*part)(const Options&)) {
        if (!wanted.empty() && std::find(wanted.begin(), wanted.end(), name) == wanted.end()) return;
        part(options);
        std::cout.flush();
    };
    run("et0", et0);
    run("ingest", ingest);
    run("program", program);
    run("ahead", look_ahead);
    run("rounds", rounds);
} catch (const std::exception& error) {
    std::cerr << "bench: " << error.what() << '\n';
    return 1;
}
