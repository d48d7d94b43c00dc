// What days without a walk would mean, on the list before them.
#include "care/words.hpp"
#include "garden/away_sheet.hpp"
#include "garden/stay_away.hpp"
#include "plan/plain_text.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

std::string name_of(const AwayPot& pot) { return pot.label.empty() ? pot.pot : pot.label; }

// "7 and lemon: fill twice, half an hour apart"
std::string to_do(const AbsenceAnswer& away) {
    std::vector<std::string> whats;
    const auto what_of = [](const AwayPot& pot) { return words_of(pot.chosen, pot.to_bay); };
    for (const auto& pot : away.pots)
        if (std::ranges::find(whats, what_of(pot)) == whats.end()) whats.push_back(what_of(pot));
    std::string text;
    for (const auto& what : whats) {
        std::string names;
        for (const auto& pot : away.pots)
            if (what_of(pot) == what) names += (names.empty() ? "" : ", ") + name_of(pot);
        text += (text.empty() ? "" : "; ") + (whats.size() == 1 ? std::string("all pots") : names) + ": " + what;
    }
    return text;
}

std::string short_of(const AbsenceAnswer& away, const Zone& zone) {
    std::string text;
    for (const auto& pot : away.pots) {
        if (pot.safe) continue;
        text += (text.empty() ? "" : ", ") + name_of(pot);
        if (pot.harmed_at) text += " (likely harmed " + day_text(zone.day_of(*pot.harmed_at)) + " about " + format_clock(zone.local(*pot.harmed_at)) + ")";
    }
    return text;
}

// Those that no walk of these days keeps.
std::string not_kept(const AbsenceAnswer& away) {
    std::string names;
    for (const auto& pot : away.pots)
        if (!pot.kept) names += (names.empty() ? "" : ", ") + name_of(pot);
    return names;
}

std::vector<WalkOn> walks_of(const AbsenceAnswer& away) {
    std::vector<WalkOn> walks;
    for (const auto& visit : away.visits) walks.push_back({visit.day, visit.walk});
    return walks;
}

}  // namespace

std::optional<Notice> days_off_notice(const Garden::Inside& inside, const View& view, const Walk& walk) {
    const auto& off = inside.configuration.notices.days_off;
    if (!off || walk.name != "morning" || walk.day < inside.zone.day_of(view.now)) return std::nullopt;
    if (std::chrono::weekday(walk.day).c_encoding() != unsigned(off->told_on)) return std::nullopt;
    const auto from = walk.day + std::chrono::days(1), to = walk.day + std::chrono::days(off->days);
    const auto outcome = be_away(inside, view, from, to);
    const auto* away = std::get_if<AbsenceAnswer>(&outcome);
    if (!away || away->pots.empty()) return std::nullopt;
    const std::string days = from == to ? day_text(from) : day_text(from) + " to " + day_text(to);
    const bool none = away->safe && away->visits.empty();
    Notice notice{.code = std::string(days_off_code), .severity = none ? Severity::note : Severity::warning,
                  .values = {{"from", format_day(from)}, {"to", format_day(to)}, {"visits", std::to_string(away->visits.size())}},
                  .text = {}};
    if (none) {
        notice.text = "Without a walk on " + days + " every pot lasts, if this is done on the evening before: " + to_do(*away) + ".";
        return notice;
    }
    notice.text = "Without a walk on " + days + " these do not last, even with the most that can be done before: " + short_of(*away, inside.zone) + ". ";
    const std::string before = ", after this on the evening before: " + to_do(*away) + ".";
    if (away->safe_with_water) {
        notice.text += (away->visits.size() == 1 ? "One walk is enough: " : std::to_string(away->visits.size()) + " walks are enough: ") + walks_said(walks_of(*away)) + before;
    } else {
        const bool evenings = has_evenings(inside.configuration.walks);
        notice.text += "Even a walk each morning" + std::string(evenings ? " and evening" : "") + " may not keep " + not_kept(*away) + ". ";
        if (away->kept_visits) notice.text += "The others are safe with " + visits_said(*away->kept_visits, "walk", "walks") + before + " ";
        notice.text += "absence " + format_day(from) + " " + format_day(to) + " says more.";
    }
    return notice;
}

}  // namespace tubgrove
