// Use cases of care: the jobs of a day, answering them, and a pot's year looking back.
#include "garden/care_now.hpp"
#include "garden/inside.hpp"
#include "intake/complaint.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

using std::chrono::days;

// The weather is seen no further.
constexpr days asked_ahead{10};

// The newest issued morning or evening list: it knows how dry each pot is.
DryShares newest_shares(const GardenPast& past, LocalDay day, const Zone& zone) {
    for (auto issued = past.issued.rbegin(); issued != past.issued.rend(); ++issued)
        if (zone.day_of(issued->walk.starts) == day) return dry_shares(issued->round);
    return {};
}

// Jobs that wait or were dropped are told by their id; any open one may be.
Outcome<Job> open_job(const Garden::Inside& inside, const View& view, std::string_view id) {
    const auto name = parse_job_id(id);
    if (!name) return Refusal{tubgrove::quoted(id) + " is no job", "an id that tubgrove jobs shows, such as 7.stake-gale.2026-07-14"};
    const auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    if (auto refusal = not_here(garden.past.lives, name->pot, view.now)) return *refusal;
    const auto today = inside.zone.day_of(view.now);
    const auto care = care_now(garden, inside.configuration, inside.tables, inside.zone, today, {});
    const auto all = care.jobs(inside.tables);
    const auto found = std::ranges::find(all, id, &Job::id);
    if (found != all.end()) return *found;
    std::vector<std::string> ids;
    for (const auto& job : all)
        if (job.pot == name->pot) ids.push_back(job.id);
    const auto near = nearest(id, ids);
    return Refusal{"there is no job " + tubgrove::quoted(id) + " now", near.empty() ? "an id that tubgrove jobs --pot " + name->pot + " shows" : "did you mean " + near + "?"};
}

std::optional<Refusal> still_open(const Job& job) {
    if (job.state == JobState::done) return Refusal{"job " + job.id + " is done by entry " + std::to_string(job.entry), "strike " + std::to_string(job.entry) + " opens it again"};
    if (job.state == JobState::dropped) return Refusal{"job " + job.id + " was dropped by entry " + std::to_string(job.entry), "strike " + std::to_string(job.entry) + " opens it again"};
    if (job.state == JobState::passed) return Refusal{"job " + job.id + " passed on " + format_day(job.closes), "write what was done all the same: " + job.answer};
    return std::nullopt;
}

std::vector<std::string> split_words(const std::string& text) {
    std::vector<std::string> words;
    for (std::size_t at = 0; at < text.size();) {
        const auto end = std::min(text.find(' ', at), text.size());
        if (end > at) words.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return words;
}

std::string from_words(MarkFrom from) { return from == MarkFrom::seen ? "seen" : from == MarkFrom::heat_sum ? "weather" : from == MarkFrom::usual ? "usual year" : "assumed"; }

void add_weather(SeasonAnswer& answer, std::span<const DayRecord> records, LocalDay today) {
    for (const auto& r : records) {
        if (r.day < answer.from || r.day > std::min(answer.to, today) || r.rung == Rung::normals) continue;
        ++answer.weather_days;
        answer.rain_mm += r.rain_mm.value;
        answer.et0_mm += r.et0_mm;
        answer.frost_nights += r.air_temp_min_degC.value < 0;
        answer.hot_days += r.air_temp_max_degC.value >= 30;
        if (!answer.hottest || r.air_temp_max_degC.value > answer.hottest_degC) answer.hottest = r.day, answer.hottest_degC = r.air_temp_max_degC.value;
        if (!answer.coldest || r.air_temp_min_degC.value < answer.coldest_degC) answer.coldest = r.day, answer.coldest_degC = r.air_temp_min_degC.value;
    }
}

// Pours told by an entry or by the answer to a list; a list that nobody answered tells of none.
void add_pours(SeasonAnswer& answer, const PotHistory& history, const Zone& zone) {
    for (const auto& event : history.events) {
        const auto day = zone.day_of(event.at);
        const auto pour = pour_of(event);
        if (!pour || pour->known == "silent" || day < answer.from || day > answer.to) continue;
        ++answer.pours;
        answer.poured_l += pour->pour_l;
    }
}

void add_water(SeasonAnswer& answer, const PotLife& life, const GardenPast& past, const Zone& zone) {
    for (const auto& entry : life.entries) {
        const auto day = zone.day_of(entry.when);
        if (day < answer.from || day > answer.to) continue;
        const auto felt = entry.values.find("class");
        answer.felt_dry += entry.action == "felt" && felt != entry.values.end() && felt->second == "dry";
        answer.wilted += entry.action == "wilted";
    }
    for (const auto& issued : past.issued) {
        if (issued.walk.day < answer.from || issued.walk.day > answer.to || issued.walk.name != "morning") continue;
        ++answer.lists;
        const auto line = std::ranges::find(issued.round.pours, life.id, &PourLine::pot);
        answer.listed_dry += line != issued.round.pours.end() && line->dry_at && *line->dry_at <= issued.walk.starts;
    }
}

void add_stages(SeasonAnswer& answer, const PotCare& pot) {
    for (const auto& tree : pot.trees)
        for (std::size_t m = 0; m < mark_count; ++m) {
            const bool no_stage = Mark(m) == Mark::midwinter || Mark(m) == Mark::longest_day || Mark(m) == Mark::feed_stop || Mark(m) == Mark::growth_end;
            // Kinds without heat sums have no buds that swell or break: only the warmth that they grow in.
            const bool by_warmth = !tree.species->green_tip_dd;
            if (no_stage || (by_warmth && (Mark(m) == Mark::swelling || Mark(m) == Mark::first_leaf))) continue;
            for (const auto& mark : tree.years->marks[m]) {
                if (mark.day < answer.from || mark.day > answer.to) continue;
                const auto name = by_warmth && Mark(m) == Mark::green_tip ? std::string("growth") : std::string(mark_names[m]);
                if (std::ranges::none_of(answer.stages, [&](const SeasonStage& s) { return s.stage == name; }))
                    answer.stages.push_back({name, mark.day, from_words(mark.from)});
            }
        }
    std::ranges::stable_sort(answer.stages, {}, &SeasonStage::day);
}

}  // namespace

void Garden::Inside::add_jobs(Round& round, const GardenNow& garden, const Round* before) const {
    const auto care = care_now(garden, configuration, tables, zone, round.day, dry_shares(round));
    tell_frozen(round, care);
    auto jobs = care.jobs(tables);
    // In the evening only what cannot wait for the morning.
    if (round.walk != "morning") std::erase_if(jobs, [](const Job& job) { return job.rank > Rank::lost_by_tomorrow; });
    std::vector<std::vector<std::string>> shown;
    if (before)
        for (const auto& job : before->jobs) {
            shown.emplace_back();
            for (const auto& part : job.parts) shown.back().push_back(part.id);
        }
    for (const auto& line : before ? revised_lines(jobs, shown) : morning_lines(jobs)) round.jobs.push_back(line_of(line));
}

Outcome<JobsAnswer> Garden::jobs(const View& asked, std::optional<LocalDay> day, std::string_view pot) {
    auto& inside = *inside_;
    const auto today = inside.zone.day_of(asked.now);
    const auto on = day.value_or(today);
    if (on > today + asked_ahead)
        return Refusal{"the weather is seen no further than " + format_day(today + asked_ahead), "a day until then; season POT shows the windows ahead"};
    View view = asked;
    if (on < today) {
        view.now = hour_of_issue(on);
        view.replay = true;
    }
    const auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    if (!pot.empty())
        if (auto refusal = not_here(garden.past.lives, pot, view.now)) return *refusal;
    const auto care = care_now(garden, inside.configuration, inside.tables, inside.zone, on, newest_shares(garden.past, on, inside.zone));
    JobsAnswer answer{.day = on, .jobs = care.jobs(inside.tables), .morning = {}, .remarks = {}};
    const auto* issued = [&]() -> const IssuedWalk* {
        for (const auto& walk : garden.past.issued)
            if (walk.walk.day == on && walk.walk.name == "morning") return &walk;
        return nullptr;
    }();
    if (issued) {
        for (const auto& job : issued->round.jobs)
            for (const auto& part : job.parts) answer.morning.push_back(part.id);
    } else {
        for (const auto& line : morning_lines(answer.jobs))
            for (const auto& job : line.jobs) answer.morning.push_back(job.id);
    }
    stand_as(answer.jobs, answer.morning);
    if (!pot.empty()) std::erase_if(answer.jobs, [&](const Job& job) { return job.pot != pot; });
    if (auto silent = silent_without_weather(care.site); !silent.empty()) answer.remarks.push_back(std::move(silent));
    return answer;
}

Outcome<EntriesAnswer> Garden::job_done(const View& view, std::string_view id, std::span<const std::string> more, const DidOptions& options) {
    auto found = open_job(*inside_, view, id);
    if (auto* refusal = std::get_if<Refusal>(&found)) return *refusal;
    const auto& job = std::get<Job>(found);
    if (auto refusal = still_open(job)) return *refusal;
    auto words = split_words(job.answer);
    words.erase(words.begin());   // `did`
    const bool own_bay = !more.empty() && words.size() == 3 && words[1] == "moved";
    if (own_bay) words.pop_back();   // the bay that the grower names stands instead
    words.insert(words.end(), more.begin(), more.end());
    auto answer = did(view, words, options);
    if (auto* written = std::get_if<EntriesAnswer>(&answer)) written->remarks.push_back("job " + job.id + " is done: " + job.title);
    return answer;
}

Outcome<EntriesAnswer> Garden::job_wait(const View& view, std::string_view id, LocalDay until) {
    auto found = open_job(*inside_, view, id);
    if (auto* refusal = std::get_if<Refusal>(&found)) return *refusal;
    const auto& job = std::get<Job>(found);
    if (auto refusal = still_open(job)) return *refusal;
    if (until <= inside_->zone.day_of(view.now)) return Refusal{format_day(until) + " is not ahead", "a day after today, until " + format_day(job.closes)};
    if (auto closed = wait_refusal(job, until)) return Refusal{"job " + job.id + " cannot wait until " + format_day(until) + ": " + *closed, "a day until then, or job drop"};
    auto entry = inside_->entry(view, job.pot, "job-waits");
    entry.values = {{"job", job.id}, {"until", format_day(until)}};
    const auto before = entries_seen(inside_->store, view);
    const auto waits = std::ranges::count_if(before, [&](const Entry& e) { return e.action == "job-waits" && e.values.contains("job") && e.values.at("job") == job.id; });
    auto written = inside_->write(view, {entry});
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    EntriesAnswer answer{std::get<std::vector<Entry>>(std::move(written)), {}};
    if (waits >= 2) answer.remarks.push_back("it has waited before; job drop " + job.id + " --because TEXT leaves it out this season");
    return answer;
}

Outcome<EntriesAnswer> Garden::job_drop(const View& view, std::string_view id, std::string_view because) {
    if (because.empty()) return Refusal{"a job is dropped with a reason", "a reason, such as 'no fruit this year'"};
    auto found = open_job(*inside_, view, id);
    if (auto* refusal = std::get_if<Refusal>(&found)) return *refusal;
    const auto& job = std::get<Job>(found);
    if (auto refusal = still_open(job)) return *refusal;
    auto entry = inside_->entry(view, job.pot, "job-dropped");
    entry.values = {{"job", job.id}, {"text", std::string(because)}};
    auto written = inside_->write(view, {entry});
    if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
    return EntriesAnswer{std::get<std::vector<Entry>>(std::move(written)), {}};
}

Outcome<SeasonAnswer> Garden::season(const View& view, std::string_view pot, std::optional<int> year) {
    auto& inside = *inside_;
    const auto lives = inside.lives(view);
    if (const auto* life = find_life(lives, pot); life && life->retired && *life->retired <= view.now) {
        View while_it_stood = view;      // a pot that is gone is looked back at from its last moment
        while_it_stood.now = *life->retired - std::chrono::seconds(1);
        while_it_stood.replay = while_it_stood.hindsight = true;
        return season(while_it_stood, pot, year);
    }
    const auto garden = garden_now(inside.store, view, inside.configuration, inside.zone, inside.forecasts);
    if (auto refusal = not_here(garden.past.lives, pot, view.now)) return *refusal;
    const auto today = inside.zone.day_of(view.now);
    const bool south = degrees(inside.configuration.site.latitude) < 0;
    const auto care = care_now(garden, inside.configuration, inside.tables, inside.zone, today, {});
    const auto found = std::ranges::find(care.pots, pot, &PotCare::id);
    if (found == care.pots.end()) return Refusal{"no tree stands in pot " + tubgrove::quoted(pot), "a pot with a tree"};
    const std::chrono::year_month_day now{today};
    const auto month = south ? std::chrono::July : std::chrono::January;
    int start = int(now.year()) - (south && now.month() < std::chrono::July ? 1 : 0);
    if (year) start = *year;
    SeasonAnswer answer;
    answer.pot = pot_line(*find_life(garden.past.lives, pot), view.now, inside.zone, inside.tables);
    answer.from = LocalDay{std::chrono::year(start) / month / 1};
    answer.to = LocalDay{std::chrono::year(start + 1) / month / 1} - days(1);
    if (answer.from > today) return Refusal{"the season of " + std::to_string(start) + " has not begun", "a season that has"};
    add_weather(answer, garden.weather.members.front(), today);
    add_water(answer, *find_life(garden.past.lives, pot), garden.past, inside.zone);
    const auto history = history_of(*find_life(garden.past.lives, pot), garden.past, inside.configuration, inside.zone,
                                    {.starts = inside.zone.start_of(answer.from), .until = view.now, .lasting = lasting_of(inside.tables.priors)});
    add_pours(answer, history, inside.zone);
    add_stages(answer, *found);
    for (auto& job : jobs_in(care.ask(inside.tables), *found, {answer.from, answer.to})) {
        answer.done += job.state == JobState::done;
        answer.dropped += job.state == JobState::dropped;
        answer.passed += job.state == JobState::passed;
        const bool ahead = job.opens > today;
        answer.jobs.push_back({std::move(job), ahead});
    }
    return answer;
}

}  // namespace tubgrove
