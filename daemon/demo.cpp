// The demo garden: lives through the invented season of config/demo as a gardener would have, under a simulated
// clock, so that any of its mornings can be asked for. Everything goes in through the same door as a real garden's.
#include "garden/walks.hpp"
#include "progress.hpp"
#include "run.hpp"
#include "safe_file.hpp"

#include <unistd.h>

#include <algorithm>
#include <ostream>
#include <sstream>

namespace tubgrove {
namespace {

namespace fs = std::filesystem;

// Rows of a weather file with the time from which they may be known, oldest first.
struct TimedRows {
    std::string header;
    std::vector<std::pair<Instant, std::string>> rows;
    std::size_t next = 0;

    // The rows known by `t` that were not given yet, all of one moment or all up to it.
    std::string until(Instant t) {
        std::string text;
        for (; next < rows.size() && rows[next].first <= t; ++next) text += rows[next].second + "\n";
        return text.empty() ? text : header + "\n" + text;
    }
};

struct Said {
    Instant when;
    std::vector<std::string> words;
    int line;
};

[[noreturn]] void damaged(const fs::path& file, int line) {
    refuse(file.string() + ":" + std::to_string(line) + ": this line of the demo cannot be read",
           "the file as it was shipped");
}

std::vector<std::string> lines_of(const fs::path& file) {
    std::istringstream in(read_whole(file));
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

// `first_only`: the first cell is when the row became known, and is no part of the weather.
TimedRows timed_rows(const fs::path& file, bool first_only) {
    TimedRows timed;
    const auto lines = lines_of(file);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const auto comma = lines[i].find(',');
        const std::string rest = first_only ? lines[i].substr(comma + 1) : lines[i];
        if (i == 0) {
            timed.header = rest;
            continue;
        }
        const auto known = parse_rfc3339(lines[i].substr(0, comma));
        if (!known) damaged(file, int(i) + 1);
        timed.rows.emplace_back(*known, rest);
    }
    return timed;
}

std::vector<Said> read_story(const fs::path& file) {
    std::vector<Said> story;
    const auto lines = lines_of(file);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (lines[i].empty() || lines[i][0] == '#') continue;
        const auto words = words_of_line(lines[i]);
        const auto when = words.empty() ? std::nullopt : parse_rfc3339(words[0]);
        if (!when || words.size() < 2) damaged(file, int(i) + 1);
        story.push_back({*when, {words.begin() + 1, words.end()}, int(i) + 1});
    }
    return story;
}

// A season in the living: the garden so far, and what is still to come in.
struct Season {
    Opened opened;
    fs::path folder;  // of the demo's files
    TimedRows weather, forecasts;
    std::ostringstream out, err;
    Face face{out, err, Page{}, false};
};

template <class Answer>
void must(const Outcome<Answer>& outcome, const std::string& what) {
    if (const auto* refusal = std::get_if<Refusal>(&outcome))
        refuse("the demo's " + what + ": " + refusal->what, refusal->right);
}

void take_rows(Season& season, const std::string& text, const WeatherFile& file, Instant now) {
    if (text.empty()) return;
    std::istringstream in(text);
    must(season.opened.garden->weather_add({.now = now, .replay = true}, in, file), file.name);
}

void take_weather(Season& season, Instant now) {
    take_rows(season, season.weather.until(now),
              {.name = "invented-weather.csv", .source = "invented", .mapping = {}, .issued = {}, .progress = {}},
              now);
    while (season.forecasts.next < season.forecasts.rows.size()) {
        const Instant issued = season.forecasts.rows[season.forecasts.next].first;
        if (issued > now) break;
        take_rows(season, season.forecasts.until(issued),
                  {.name = "invented-forecast.csv",
                   .source = "invented-forecast",
                   .mapping = {},
                   .issued = issued,
                   .progress = {}},
                  now);
    }
}

std::int64_t newest_entry(Season& season, const View& view) {
    const auto outcome = season.opened.garden->daybook(view, {}, {}, {});
    const auto* answer = std::get_if<DaybookAnswer>(&outcome);
    std::int64_t newest = 0;
    if (answer != nullptr)
        for (const Entry& entry : answer->entries) newest = std::max(newest, entry.id);
    return newest;
}

void carry_out(Season& season, const Said& said) {
    const View view{.now = said.when, .replay = true};
    const auto read = read_words(said.words);
    const std::string where = (season.folder / "daybook.txt").string() + ":" + std::to_string(said.line);
    if (good(read) == nullptr) refuse(where + ": " + fault(read).what, fault(read).right);
    Asked asked = *good(read);
    if (asked.command->first == Kind::file) asked.arguments[0] = (season.folder / asked.arguments[0]).string();
    if (asked.command->does == Does::strike && asked.arguments[0] == "last")
        asked.arguments[0] = std::to_string(newest_entry(season, view));
    season.out.str("");
    season.err.str("");
    const auto status = run_in(season.opened, asked, view, season.face);
    if (status != ExitStatus::done) refuse(where + ": " + season.err.str(), "");
}

// The hours at which a timer would issue rounds, oldest first.
std::vector<Walk> walks_between(const Garden& garden, Instant first, Instant last) {
    std::vector<Walk> walks;
    const Walks& settings = garden.configuration().walks;
    const Zone& zone = garden.zone();
    for (LocalDay day = zone.day_of(first); day <= zone.day_of(last); day += std::chrono::days(1)) {
        walks.push_back(morning_walk(settings, zone, day));
        if (const auto evening = evening_walk(settings, zone, day)) walks.push_back(*evening);
    }
    std::erase_if(walks, [&](const Walk& walk) { return walk.issues < first || walk.issues > last; });
    return walks;
}

// A morning is always issued; an evening only where the garden, asked for its current walk, says that it is one.
void issue(Season& season, const Walk& walk) {
    const View view{.now = walk.issues, .replay = true};
    if (walk.name == "evening" && season.opened.garden->walk_now(view) != walk.name) return;
    must(season.opened.garden->round(view), "round of " + format_day(walk.day));
}

void live_through(Season& season, const std::vector<Said>& story) {
    const Instant first = story.front().when;
    const Instant last = season.weather.rows.back().first;
    const auto walks = walks_between(*season.opened.garden, first, last);
    std::size_t done = 0;
    Progress progress("living through the season", [&] { return double(done) / double(walks.size()); });
    auto said = story.begin();
    const auto speak_until = [&](Instant t) {
        for (; said != story.end() && said->when <= t; ++said) {
            take_weather(season, said->when);
            carry_out(season, *said);
        }
    };
    for (const Walk& walk : walks) {
        speak_until(walk.issues);
        take_weather(season, walk.issues);
        issue(season, walk);
        progress.step(long(++done));
    }
    speak_until(Instant::max());
    take_weather(season, std::max(last, story.back().when));
}

// Made under another name and renamed when whole, so that a demo cut short is never taken for one.
class Unfinished {
public:
    explicit Unfinished(fs::path folder) : folder_(std::move(folder)) {
        fs::remove_all(folder_);
        fs::create_directories(folder_);
    }
    ~Unfinished() {
        std::error_code none;
        if (!folder_.empty()) fs::remove_all(folder_, none);
    }
    Unfinished(const Unfinished&) = delete;
    Unfinished& operator=(const Unfinished&) = delete;
    const fs::path& folder() const { return folder_; }
    void finish_as(const fs::path& name) {
        fs::rename(folder_, name);
        folder_.clear();
    }

private:
    fs::path folder_;
};

void plant(const fs::path& target, const fs::path& shipped) {
    if (!fs::exists(shipped / "daybook.txt"))
        refuse("the demo's files are not where they should be: " + shipped.string(), "a whole installation");
    Unfinished unfinished(target.string() + ".unfinished");
    write_whole(unfinished.folder() / "tubgrove.yaml", read_whole(shipped / "tubgrove.yaml"));
    const auto story = read_story(shipped / "daybook.txt");
    {
        const Places inside{unfinished.folder() / "tubgrove.yaml", unfinished.folder() / "data", shipped};
        Season season{.opened = open_garden(inside),
                      .folder = shipped,
                      .weather = timed_rows(shipped / "invented-weather.csv", false),
                      .forecasts = timed_rows(shipped / "invented-forecast.csv", true),
                      .out = {},
                      .err = {}};
        try {
            live_through(season, story);
        } catch (const Stopped&) {
            throw Stopped{"nothing of the demo was kept; asked again, it begins anew"};
        }
    }
    unfinished.finish_as(target);
}

void tell_how_to_look(const Face& face, const fs::path& target) {
    Drawing drawing(page_of(STDERR_FILENO));
    drawing.paragraph({0, 2},
                      "The demo garden stands in " + target.string() + ". Its weather is invented. Look around:");
    drawing.row("  export TUBGROVE_CONFIG='" + target.string() + "/tubgrove.yaml' TUBGROVE_DATA='" + target.string() +
                "/data'");
    drawing.row("  tubgrove --at 2026-06-10 | tubgrove --at 2026-07-16 why 7 | tubgrove daybook --pot 7");
    drawing.row("");
    face.err << drawing.text() << std::flush;
}

// A morning in the heatwave, when the list has most to say.
constexpr std::string_view shown_morning = "2026-07-16";

}  // namespace

ExitStatus run_demo(const Places& places, const Asked& asked, const Face& face) {
    const fs::path target = fs::absolute(asked.has("--into") ? fs::path(asked.value("--into")) : places.demo_garden);
    if (!fs::exists(target / "tubgrove.yaml")) {
        if (fs::exists(target))
            refuse(target.string() + " is there and is no demo garden", "another folder: --into DIR");
        talk(face.err, "the demo garden lives through its season, once; this takes a minute or two");
        plant(target, places.demo);
    }
    tell_how_to_look(face, target);
    Opened opened = open_garden({target / "tubgrove.yaml", target / "data", places.demo});
    Asked round{.command = &command_of(Does::round), .arguments = {}, .options = asked.options};
    round.options.try_emplace("--at", shown_morning);
    return run_in(opened, round, view_of(round, *opened.garden), face);
}

}  // namespace tubgrove
