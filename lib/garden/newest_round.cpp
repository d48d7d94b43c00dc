// The list that was shown last.
#include "garden/garden.hpp"
#include "garden/inside.hpp"
#include "garden/past.hpp"
#include "garden/round_reader.hpp"

namespace tubgrove {

std::optional<Round> Garden::newest_round(const View& view) const {
    const auto today = inside_->zone.day_of(view.now);
    const auto issued = inside_->store.rounds(today - std::chrono::days(10), today + std::chrono::days(2), learned_until(view));
    if (issued.empty()) return std::nullopt;
    const auto stored = inside_->store.round(issued.back().id);
    return stored ? std::optional(round_from_json(stored->json)) : std::nullopt;
}

}  // namespace tubgrove
