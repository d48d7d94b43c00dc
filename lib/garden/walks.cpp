#include "garden/walks.hpp"

#include <charconv>

namespace tubgrove {
namespace {

Walk walk_at(const Walks& walks, const Zone& zone, LocalDay day, std::string name, std::chrono::minutes clock) {
    auto starts = zone.at(LocalTime(day) + clock);
    return {.day = day, .name = std::move(name), .issues = starts - walks.issue_before, .starts = starts};
}

}  // namespace

Walk morning_walk(const Walks& walks, const Zone& zone, LocalDay day) {
    return walk_at(walks, zone, day, "morning", walks.morning);
}

std::optional<Walk> evening_walk(const Walks& walks, const Zone& zone, LocalDay day) {
    if (!walks.evening) return std::nullopt;
    return walk_at(walks, zone, day, "evening", *walks.evening);
}

Walk current_walk(const Walks& walks, const Zone& zone, Instant now, const IsHot& is_hot) {
    auto day = zone.day_of(now);
    auto evening = evening_walk(walks, zone, day);
    if (evening && walks.evening_on_hot_days && now >= evening->issues && is_hot(day)) return *evening;
    return morning_walk(walks, zone, day);
}

Walk walk_after(const Walks& walks, const Zone& zone, const Walk& walk, const IsHot& is_hot) {
    if (walk.name == "morning" && walks.evening_on_hot_days)
        if (auto evening = evening_walk(walks, zone, walk.day); evening && is_hot(walk.day)) return *evening;
    return morning_walk(walks, zone, walk.day + std::chrono::days(1));
}

std::string format_round_name(const RoundName& name) {
    auto id = format_day(name.day) + "-" + name.walk;
    return name.revision > 1 ? id + "." + std::to_string(name.revision) : id;
}

std::optional<RoundName> parse_round_name(std::string_view id) {
    if (id.size() < 12 || id[10] != '-') return std::nullopt;
    auto day = parse_day(id.substr(0, 10));
    if (!day) return std::nullopt;
    RoundName name{.day = *day, .walk = {}, .revision = 1};
    auto rest = id.substr(11);
    if (auto dot = rest.find('.'); dot != std::string_view::npos) {
        auto digits = rest.substr(dot + 1);
        auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), name.revision);
        if (error != std::errc() || end != digits.data() + digits.size() || name.revision < 2) return std::nullopt;
        rest = rest.substr(0, dot);
    }
    if (rest != "morning" && rest != "evening") return std::nullopt;
    name.walk = rest;
    return name;
}

}  // namespace tubgrove
