#include "told.hpp"

#include "phrases.hpp"
#include "terminal.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

// Plain text breaks where it likes, so no space is held together.
std::string plain(std::string text) {
    for (auto at = text.find(nbsp); at != std::string::npos; at = text.find(nbsp, at)) text.replace(at, nbsp.size(), " ");
    return text;
}

std::string sentence(std::string text) { return as_sentence(capitalised(std::move(text))); }

std::string pots_said(const std::vector<std::string>& pots) { return (pots.size() == 1 ? "pot " : "pots ") + joined(pots, ", "); }

std::string because_said(const std::vector<Remark>& because) {
    std::vector<std::string> parts;
    for (const auto& remark : because) parts.push_back(remark.text);
    return parts.empty() ? "" : sentence(joined(parts, "; "));
}

// An id, and its label where that says more.
std::string named(const std::string& pot, const std::string& label) { return label.empty() || label == pot ? pot : pot + " (" + label + ")"; }

std::string pour_said(const PourLine& line, bool said_for_all) {
    std::string text = named(line.pot, line.label) + ": " + litres_said(line.pour_l);
    if (line.passes > 1) text += " in " + std::to_string(line.passes) + " passes";
    if (line.until == Until::run_through && !said_for_all) text += ", stop when it runs through";
    return text;
}

std::string job_said(const RoundJob& job, LocalDay day) {
    std::string text = joined_titles(job) + ", until " + day_from(job.closes, day) + ".";
    if (const auto why = because_said(job.because); !why.empty()) text += " " + why;
    for (const auto& line : job.caution) text += "\n  Care: " + line;
    return text;
}

std::string no_water_said(const Round& round) {
    std::vector<std::string> pots;
    std::optional<LocalDay> next;
    for (const auto& line : round.no_water) {
        pots.push_back(line.pot);
        if (line.next_day && (!next || *line.next_day < *next)) next = line.next_day;
    }
    const std::string when = !next ? "" : (pots.size() == 1 ? " until " : *next == round.day ? "; the first of them " : "; the first of them on ") +
                                                (*next == round.day ? "this evening" : short_day(*next));
    return "No water for " + pots_said(pots) + when + ".";
}

bool all_run_through(const Round& round) {
    return std::ranges::all_of(round.pours, [](const PourLine& line) { return line.until == Until::run_through; });
}

// Texts under headings, with an empty line between.
class Letter {
public:
    void paragraph(std::string_view text) {
        if (!text_.empty()) text_ += '\n';
        text_ += text;
        text_ += '\n';
    }
    void heading(std::string_view text) { paragraph(text); }
    void line(std::string_view text) { text_ += "- " + std::string(text) + "\n"; }
    std::string take() { return plain(std::move(text_)); }

private:
    std::string text_;
};

void tell_notices(Letter& letter, const Round& round, bool pressing) {
    for (const auto& notice : round.notices)
        if ((notice.severity != Severity::note) == pressing) letter.paragraph(sentence(notice.text));
}

}  // namespace

bool asks_for_something(const Round& round) {
    const auto presses = [](const Notice& notice) { return notice.severity != Severity::note || notice.code == days_off_code; };
    return !round.pours.empty() || !round.jobs.empty() || std::ranges::any_of(round.notices, presses);
}

std::string round_title(const Round& round) {
    std::string text = capitalised(round.walk) + ": ";
    text += round.pours.empty() ? std::string("no water needed")
                                : counted(long(round.pours.size()), "pot", "pots") + ", " + litres_said(round.total_l);
    if (!round.jobs.empty()) text += ", " + counted(long(round.jobs.size()), "job", "jobs");
    return plain(text);
}

std::string round_told(const Round& round, std::string_view link) {
    Letter letter;
    letter.paragraph(round.site.empty() ? long_day(round.day) : round.site + ", " + long_day(round.day));
    tell_notices(letter, round, true);
    if (round.question) letter.paragraph(round.question->text);
    const bool for_all = all_run_through(round);
    if (round.pours.empty())
        letter.paragraph("No pot needs water on this walk.");
    else
        letter.heading(for_all ? "Water, in walking order. Stop when it runs through." : "Water, in walking order:");
    for (const auto& line : round.pours) letter.line(pour_said(line, for_all));
    if (!round.pours.empty() && !round.no_water.empty()) letter.paragraph(no_water_said(round));
    if (!round.jobs.empty()) letter.heading("Care:");
    for (const auto& job : round.jobs) letter.line(job_said(job, round.day));
    tell_notices(letter, round, false);
    if (!link.empty()) letter.paragraph("With reasons, and to tick off: " + std::string(link) + "/");
    return letter.take();
}

std::string windows_title(const Windows& windows) {
    std::vector<std::string> pots;
    for (const auto* window : windows) pots.insert(pots.end(), window->pots.begin(), window->pots.end());
    return plain(capitalised(windows.front()->title) + ": " + pots_said(pots));
}

std::string windows_told(const Windows& windows) {
    Letter letter;
    const auto& first = **std::ranges::min_element(windows, {}, [](const CalendarWindow* window) { return window->closes; });
    letter.paragraph(sentence(first.what));
    if (windows.size() == 1) {
        if (const auto why = because_said(first.because); !why.empty()) letter.paragraph(why);
        if (first.due > first.opens && first.due <= first.closes) letter.paragraph("Good from " + short_day(first.due) + " on.");
    } else {
        letter.heading("Time for it is until:");
        for (const auto* window : windows) letter.line(short_day(window->closes) + ", " + pots_said(window->pots));
    }
    if (first.ahead) letter.paragraph("Only expected: the weather may move it.");
    for (const auto& line : first.caution) letter.paragraph("Care: " + line);
    if (!first.source.empty()) letter.paragraph("Source: " + first.source);
    return letter.take();
}

std::string walk_title(const CalendarWalk& walk) {
    return walk.round ? round_title(*walk.round) : capitalised(walk.walk) + " walk";
}

std::string walk_told(const CalendarWalk& walk, std::string_view link) {
    if (walk.round) return round_told(*walk.round, link);
    Letter letter;
    letter.paragraph("The list is made before the walk.");
    // Pots that get water until then may be on it as well, which nobody knows yet; so this is no title.
    if (!walk.expected.empty()) letter.paragraph("Expected back on it: " + pots_said(walk.expected) + ".");
    return letter.take();
}

}  // namespace tubgrove
