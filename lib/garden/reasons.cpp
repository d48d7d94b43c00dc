#include "garden/reasons.hpp"

#include <algorithm>
#include <array>

namespace tubgrove {

ReasonKind kind_of(const Remark& reason) {
    struct Row {
        std::string_view code;
        ReasonKind kind;
    };
    static constexpr Row rows[] = {
        {"missing", ReasonKind::line},
        {"dry-at", ReasonKind::line},
        {"dry-early", ReasonKind::line},
        {"until-run-through", ReasonKind::line},
        {"two-passes", ReasonKind::line},
        {"rain-caught", ReasonKind::today},
        {"holds-less-than-a-day", ReasonKind::advice},
        {"new-planting", ReasonKind::advice},
        {"drain-blocked", ReasonKind::advice},
        {"frozen", ReasonKind::advice},
        {"frozen-morning", ReasonKind::advice},
        {"unanswered", ReasonKind::range},
    };
    for (const Row& row : rows)
        if (row.code == reason.code) return row.kind;
    return reason.values.empty() ? ReasonKind::range : ReasonKind::today;
}

std::string_view kind_word(ReasonKind kind) {
    constexpr std::array<std::string_view, 4> words{"line", "today", "advice", "range"};
    return words[std::size_t(kind)];
}

bool told_by_notice(const Remark& reason, const Round& round) {
    return std::ranges::find(round.notices, reason.code, &Notice::code) != round.notices.end();
}

}  // namespace tubgrove
