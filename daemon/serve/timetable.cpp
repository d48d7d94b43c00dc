#include "serve/timetable.hpp"

#include <algorithm>
#include <vector>

namespace tubgrove {
namespace {

void add_day(std::vector<NextIssue>& all, LocalDay day, const Walks& walks, const Zone& zone) {
    if (zone.day_of(zone.start_of(day)) != day) return;  // a zone that changed sides of the date line left it out
    const auto add = [&](const Walk& walk) { all.push_back({walk, std::max(walk.issues, zone.start_of(day))}); };
    add(morning_walk(walks, zone, day));
    if (const auto evening = evening_walk(walks, zone, day); evening && walks.evening_on_hot_days) add(*evening);
}

// The latest of today's walks that has come and is open, unless a later one was issued.
std::optional<NextIssue> due(const std::vector<NextIssue>& today, Instant now, const StandOf& stand_of) {
    for (auto one = today.rbegin(); one != today.rend(); ++one) {
        if (one->at > now) continue;
        const auto stand = stand_of(one->walk);
        if (stand == Stand::issued) return std::nullopt;
        if (stand == Stand::open) return *one;
    }
    return std::nullopt;
}

}  // namespace

NextIssue next_issue(Instant now, const Walks& walks, const Zone& zone, const StandOf& stand_of) {
    const auto today = zone.day_of(now);
    std::vector<NextIssue> of_today;
    add_day(of_today, today, walks, zone);
    if (auto found = due(of_today, now, stand_of)) return *found;
    // A day whose clock was set forward over every walk, or whose rounds were issued under a wrong clock, is passed over.
    for (auto day = today;; day += std::chrono::days(1)) {
        std::vector<NextIssue> of_day;
        add_day(of_day, day, walks, zone);
        for (const auto& one : of_day)
            if (one.at > now && (stand_of(one.walk) != Stand::issued || day > today + std::chrono::days(366))) return one;
    }
}

bool is_plausible(Instant now, const ClockSigns& signs) {
    if (now < signs.built) return false;
    if (!signs.newest_learned || now + std::chrono::minutes(5) >= *signs.newest_learned) return true;
    return signs.confirmed && *signs.confirmed <= now;
}

Instant built_at() { return Instant(std::chrono::seconds(TUBGROVE_BUILT)); }

}  // namespace tubgrove
