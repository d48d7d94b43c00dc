#include "draw_jobs.hpp"

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

// "did 7 8 weeded; did 3 leaves-cleared": the words that answer each rule of the line.
std::string answer_said(const RoundJob& job) {
    std::string said;
    for (const auto& parts : parts_by_rule(job)) {
        const auto& answer = parts.front().answer;
        const auto action = answer.find(' ', std::string("did ").size());
        said += said.empty() ? "did" : "; did";
        for (const auto& part : parts) said += " " + part.pot;
        if (action != std::string::npos) said += answer.substr(action);
    }
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
        default: return job.due > today ? "from " + day_from(job.due, today) + ", until " + day_from(job.closes, today) : "until " + day_from(job.closes, today);
    }
}

// The same job of several pots is told once; the ids stand one a pot.
struct Same {
    const Job* first;
    std::vector<const Job*> all;
};
std::vector<Same> gathered(const std::vector<Job>& jobs, JobState state) {
    std::vector<Same> found;
    for (const auto& job : jobs) {
        if (job.state != state) continue;
        const auto same = std::ranges::find_if(found, [&](const Same& s) { return s.first->rule == job.rule; });
        if (same == found.end()) found.push_back({&job, {&job}});
        else same->all.push_back(&job);
    }
    return found;
}

void one_job(Drawing& drawing, const Same& same, LocalDay today) {
    const Job& job = *same.first;
    std::string pots = same.all.size() == 1 ? "pot " : "pots ";
    for (std::size_t i = 0; i < same.all.size(); ++i) pots += (i == 0 ? "" : ", ") + same.all[i]->pot;
    drawing.paragraph({2, 4}, {{capitalised(job.title), Style::strong}, {", " + pots + "; " + when_said(job, today) + "."}});
    if (job.state == JobState::passed) {
        drawing.paragraph({4, 4}, job.lapsed);
        return;
    }
    if (job.state > JobState::waiting) return;
    if (const auto why = reasons(job.because); !why.empty()) drawing.paragraph({4, 4}, why);
    if (job.state == JobState::due) {
        drawing.paragraph({4, 4}, job.what);
        if (!job.water.empty()) drawing.paragraph({4, 6}, "For the water: " + job.water + ".");
        std::vector<std::string> caution;
        for (const auto* one : same.all) add_cautions(caution, one->caution);
        cautions(drawing, 4, caution);
        drawing.paragraph({4, 6}, {{"Source: " + sentence(job.source), Style::faint}});
    }
    std::string ids;
    for (const auto* one : same.all) ids += (ids.empty() ? "" : ", ") + one->id;
    drawing.paragraph({4, 6}, {{ids, Style::faint}});
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
    if (!answer.jobs.empty()) {
        drawing.blank();
        const auto& id = answer.jobs.front().id;
        drawing.paragraph({0, 2}, {{"Answer: tubgrove job done " + id + ", job wait " + id + " --until DAY, or job drop " + id + " --because TEXT", Style::faint}});
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
        drawing.paragraph({2, 4}, counted(answer.weather_days, "day", "days") + " of weather known: rain " + trimmed(answer.rain_mm, 0) + " mm, evaporation (ET0) " +
                                      trimmed(answer.et0_mm, 0) + " mm; hottest " + trimmed(answer.hottest_degC, 1) + " °C on " + short_day(*answer.hottest) + ", coldest " +
                                      trimmed(answer.coldest_degC, 1) + " °C on " + short_day(*answer.coldest) + "; " + counted(answer.frost_nights, "night", "nights") + " of frost, " +
                                      counted(answer.hot_days, "day", "days") + " from 30 °C on.");
    drawing.blank();
    drawing.heading("Water");
    drawing.paragraph({2, 4}, counted(answer.pours, "pour", "pours") + " noted, " + litres_said(answer.poured_l, 1) + " of them told. Felt dry " + counted(answer.felt_dry, "time", "times") +
                                  ", wilted " + counted(answer.wilted, "time", "times") + ". Dry already on " + std::to_string(answer.listed_dry) + " of " +
                                  counted(answer.lists, "morning list", "morning lists") + ".");
    if (!answer.stages.empty()) {
        drawing.blank();
        drawing.heading("Stages");
        for (const auto& stage : answer.stages)
            drawing.paragraph({2, 4}, season_title(stage.stage) + ": " + (stage.from == "seen" ? "" : "about ") + short_day(stage.day) +
                                          (stage.from == "usual year" ? ", in a usual year" : stage.from == "weather" ? ", by the weather" : ""));
    }
    drawing.blank();
    drawing.heading("Jobs: " + std::to_string(answer.done) + " done, " + std::to_string(answer.passed) + " passed, " + std::to_string(answer.dropped) + " dropped");
    for (const auto& [job, ahead] : answer.jobs)
        drawing.paragraph({2, 6}, {{short_day(job.opens) + " to " + short_day(job.closes) + ": "}, {job.title, job.state <= JobState::this_week && !ahead ? Style::strong : Style::plain},
                                   {ahead ? ", ahead" : ", " + (job.state <= JobState::in_season ? std::string(state_word(job.state)) : when_said(job, today))}});
    return drawing.text();
}

}  // namespace tubgrove
