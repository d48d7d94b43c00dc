#pragma once
// What the list of the walk that stands now says of each pot, for questions that look beyond it. Private to this room.
#include "garden/inside.hpp"
#include "plan/decision.hpp"

#include <map>
#include <optional>

namespace tubgrove {

// The walk, the one after it and the one after that, as seen at `now`.
Chances chances_for(const Walk&, const Configuration&, const Zone&, Instant now, const IsHot&);

// What a list would decide of a pot.
Decision decision_of(const PotNow&, const Chances&, const GardenNow&, const Garden::Inside&);

// A walk's list as it is shown on being asked for: as issued, where nothing newer is known, else as it would be decided now. So one
// morning has one number, whichever question shows it.
class ListNow {
public:
    // The references must outlive it.
    ListNow(const Garden::Inside&, const View&, const GardenNow&, const Walk&, const IsHot&);
    // No litres: the pot rests. May be asked by several at once.
    Manner of(const PotNow&) const;

private:
    const Garden::Inside& inside_;
    const GardenNow& garden_;
    Chances chances_;
    Walk next_;
    const IssuedWalk* issued_ = nullptr;
    std::optional<std::map<std::string, Manner>> shown_;
};

// Of the first of `walks`; empty where that walk has no list yet.
struct WalkNamed;
std::optional<ListNow> list_of_first(const Garden::Inside&, const View&, const GardenNow&, std::span<const WalkNamed> walks, const IsHot&);

// This walk's list as it was shown before, if it was.
const IssuedWalk* issued_before(const GardenPast&, const Walk&);

}  // namespace tubgrove
