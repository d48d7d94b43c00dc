#include "draw_jobs.hpp"

#include "daybook.hpp"
#include "phrases.hpp"

#include <algorithm>
#include <array>
#include <map>

namespace tubgrove {
namespace {

std::string sentence(std::string text) {
    text = capitalised(std::move(text));
    if (!text.empty() && text.back() != '.' && text.back() != '?') text += '.';
    return text;
}

std::string reasons(const std::vector<Remark>& because) {
    std::string out;
    for (const auto& remark : because) out += (out.empty() ? "" : "; ") + remark.text;
    return out.empty() ? out : sentence(out);
}

// The words after the pot of "did 7 looked scab", with an example of the figure that the action cannot do without.
std::string answered_with(const std::string& answer) {
    const auto at = answer.find(' ', std::string("did ").size());
    if (at == std::string::npos) return {};
    const auto words = answer.substr(at + 1);
    const auto* action = find_action(words);
    const bool measured = action && (action->takes == Takes::litres || action->takes == Takes::depth || action->takes == Takes::mass);
    return measured ? std::string(action->example) : words;
}

// "did 7 8 weeded; did 3 leaves-cleared": the words that answer each rule of the line.
std::string answer_said(const RoundJob& job) {
    std::vector<std::pair<std::string, std::string>> pots_of;   // the same words for several pots stand once
    for (const auto& part : job.parts) {
        const auto words = answered_with(part.answer);
        auto same = std::ranges::find(pots_of, words, &std::pair<std::string, std::string>::first);
        if (same == pots_of.end()) same = pots_of.insert(same, {words, {}});
        if ((" " + same->second + " ").find(" " + part.pot + " ") == std::string::npos) same->second += (same->second.empty() ? "" : " ") + part.pot;
    }
    std::string said;
    for (const auto& [words, pots] : pots_of) said += (said.empty() ? "did " : "; did ") + pots + (words.empty() ? "" : " " + words);
    return said;
}

void cautions(Drawing& drawing, int indent, const std::vector<std::string>& lines) {
    for (const auto& line : lines) drawing.paragraph({indent, indent + 2}, {{"Care: ", Style::warning}, {line}});
}

std::string when_said(const Job& job, LocalDay today) {
    switch (job.state) {
        case JobState::waiting: return "waits until " + day_from(*job.waits_until, today);
        case JobState::done: return "done, entry " + std::to_string(job.entry);
        case JobState::dropped: return "dropped" + (job.told.empty() ? "" : ": " + job.told);
        case JobState::passed: return "passed " + day_from(job.closes, today);
        case JobState::due: return (job.along ? "goes along, has time until " : "until ") + day_from(job.closes, today);
        default: return job.due > today ? "from " + day_from(job.due, today) + ", until " + day_from(job.closes, today) : "until " + day_from(job.closes, today);
    }
}

// The same job of several pots is told once; what differs of it is told of its own pots only.
using Alike = std::vector<const Job*>;
std::vector<Alike> gathered(const std::vector<Job>& jobs, JobState state) {
    std::vector<Alike> found;
    for (const auto& job : jobs) {
        if (job.state != state) continue;
        const auto same = std::ranges::find_if(found, [&](const Alike& all) { return all.front()->rule == job.rule; });
        if (same == found.end()) found.push_back({&job});
        else same->push_back(&job);
    }
    return found;
}
// The pots with the same days and the same reasons, in the order in which they are met.
std::vector<Alike> told_alike(const Alike& same, LocalDay today) {
    std::vector<Alike> parts;
    for (const auto* job : same) {
        const auto said = when_said(*job, today), why = reasons(job->because);
        const auto open = job->state < JobState::waiting;
        const auto part = std::ranges::find_if(parts, [&](const Alike& p) { return when_said(*p.front(), today) == said && (!open || reasons(p.front()->because) == why); });
        if (part == parts.end()) parts.push_back({job});
        else part->push_back(job);
    }
    return parts;
}

std::string pots_of(const Alike& jobs) {
    std::vector<std::string> pots;
    for (const auto* job : jobs) pots.push_back(job->pot);
    return (pots.size() == 1 ? "pot " : "pots ") + joined(pots, ", ");
}

void one_job(Drawing& drawing, const Alike& same, LocalDay today) {
    const Job& job = *same.front();
    const auto parts = told_alike(same, today);
    const bool open = job.state < JobState::waiting;
    if (parts.size() == 1) {
        drawing.paragraph({2, 4}, {{capitalised(job.title), Style::strong}, {", " + pots_of(same) + "; " + when_said(job, today) + "."}});
        if (const auto why = reasons(job.because); open && !why.empty()) drawing.paragraph({4, 4}, why);
    } else {
        drawing.paragraph({2, 4}, {{capitalised(job.title), Style::strong}, {":"}});
        for (const auto& part : parts) {
            const auto why = open ? reasons(part.front()->because) : std::string();
            drawing.paragraph({4, 6}, capitalised(pots_of(part)) + "; " + when_said(*part.front(), today) + "." + (why.empty() ? "" : " " + why));
        }
    }
    if (job.state == JobState::passed) drawing.paragraph({4, 4}, job.lapsed);
    if (!open) return;
    if (job.state == JobState::due) {
        drawing.paragraph({4, 4}, job.what);
        if (!job.water.empty()) drawing.paragraph({4, 6}, "For the water: " + job.water + ".");
        std::vector<std::string> caution;
        for (const auto* one : same) add_cautions(caution, one->caution);
        cautions(drawing, 4, caution);
        drawing.paragraph({4, 6}, {{"Source: " + sentence(job.source), Style::faint}});
    }
    std::string ids;
    for (const auto* one : same) ids += (ids.empty() ? "" : ", ") + one->id;
    drawing.paragraph({4, 6}, {{ids, Style::faint}});
}

// What can be said of an open job by its id, with the figure that its action cannot do without.
std::string answers_by_id(const Job& job) {
    const auto words = answered_with(job.answer), bare = job.answer.substr(std::min(job.answer.size(), ("did " + job.pot + " ").size()));
    const auto figure = words.size() > bare.size() ? words.substr(bare.size()) : std::string();
    return "Answer: tubgrove job done " + job.id + figure + ", job wait " + job.id + " --until DAY, or job drop " + job.id + " --because TEXT";
}

std::string state_heading(JobState state) {
    constexpr std::array words{"Due", "This week", "In season", "Waiting", "Done lately", "Dropped", "Passed"};
    return words[std::size_t(state)];
}

std::string season_title(const std::string& mark) {
    std::string out = mark;
    std::ranges::replace(out, '-', ' ');
    return capitalised(out);
}

}  // namespace

void draw_round_jobs(Drawing& drawing, const Round& round) {
    if (round.jobs.empty()) return;
    drawing.blank();
    drawing.heading("Jobs");
    for (const auto& job : round.jobs) {
        drawing.paragraph({2, 4}, {{joined_titles(job), Style::strong}, {". About " + counted(job.minutes, "minute", "minutes") + "."}});
        if (const auto why = reasons(job.because); !why.empty()) drawing.paragraph({4, 4}, why);
        drawing.paragraph({4, 4}, job.what);
        cautions(drawing, 4, job.caution);
        drawing.paragraph({4, 6}, {{"Done? tubgrove " + answer_said(job) + ". Source: " + sentence(job.source), Style::faint}});
    }
}

std::string draw_jobs(const JobsAnswer& answer, Page page) {
    Drawing drawing(page);
    drawing.heading("Jobs, " + long_day(answer.day));
    if (answer.jobs.empty()) drawing.paragraph({0, 0}, "Nothing is due, and no window is open.");
    for (const JobState state : {JobState::due, JobState::this_week, JobState::in_season, JobState::waiting, JobState::done, JobState::dropped, JobState::passed}) {
        const auto all = gathered(answer.jobs, state);
        if (all.empty()) continue;
        drawing.blank();
        drawing.heading(state_heading(state));
        for (const auto& same : all) one_job(drawing, same, answer.day);
    }
    if (!answer.remarks.empty()) drawing.blank();
    for (const auto& remark : answer.remarks) drawing.paragraph({0, 2}, remark);
    const auto open = std::ranges::find_if(answer.jobs, [](const Job& job) { return job.state <= JobState::waiting; });
    if (open != answer.jobs.end()) {
        drawing.blank();
        drawing.paragraph({0, 2}, {{answers_by_id(*open), Style::faint}});
    }
    return drawing.text();
}

std::string draw_season(const SeasonAnswer& answer, LocalDay today, Page page) {
    Drawing drawing(page);
    const bool labelled = !answer.pot.label.empty() && answer.pot.label != answer.pot.id;
    drawing.heading("Pot " + answer.pot.id + (labelled ? ", " + answer.pot.label : "") + ": " + answer.pot.trees);
    drawing.paragraph({0, 0}, "The season from " + long_day(answer.from) + " to " + long_day(answer.to) + ".");
    drawing.blank();
    drawing.heading("Weather");
    if (answer.weather_days == 0) drawing.paragraph({2, 4}, "No readings of this season.");
    else
        drawing.paragraph({2, 4}, counted(answer.weather_days, "day", "days") + " of weather known: rain " + plain(answer.rain_mm, 0) + " mm, evaporation (ET0) " +
                                      plain(answer.et0_mm, 0) + " mm; hottest " + plain(answer.hottest_degC, 1) + " °C on " + short_day(*answer.hottest) + ", coldest " +
                                      plain(answer.coldest_degC, 1) + " °C on " + short_day(*answer.coldest) + "; " + counted(answer.frost_nights, "night", "nights") + " of frost, " +
                                      counted(answer.hot_days, "day", "days") + " from 30 °C on.");
    drawing.blank();
    drawing.heading("Water");
    drawing.paragraph({2, 4}, counted(answer.pours, "pour", "pours") + " told or answered for, " + litres_said(answer.poured_l, 1) + " in all. Felt dry " + counted(answer.felt_dry, "time", "times") +
                                  ", wilted " + counted(answer.wilted, "time", "times") + ". Dry already on " + std::to_string(answer.listed_dry) + " of " +
                                  counted(answer.lists, "morning list", "morning lists") + ".");
    if (!answer.stages.empty()) {
        drawing.blank();
        drawing.heading("Stages");
        for (const auto& stage : answer.stages)
            drawing.paragraph({2, 4}, season_title(stage.stage) + ": " + (stage.from == "seen" ? "" : "about ") + short_day(stage.day) +
                                          (stage.from == "usual year" ? ", in a usual year" : stage.from == "weather" ? ", by the weather" : stage.from == "assumed" ? ", assumed" : ""));
    }
    drawing.blank();
    drawing.heading("Jobs: " + std::to_string(answer.done) + " done, " + std::to_string(answer.passed) + " passed, " + std::to_string(answer.dropped) + " dropped");
    for (const auto& [job, ahead] : answer.jobs)
        drawing.paragraph({2, 6}, {{short_day(job.opens) + " to " + short_day(job.closes) + ": "}, {job.title, job.state <= JobState::this_week && !ahead ? Style::strong : Style::plain},
                                   {ahead ? ", ahead" : ", " + (job.state <= JobState::in_season ? std::string(state_word(job.state)) : when_said(job, today))}});
    return drawing.text();
}

}  // namespace tubgrove
