#pragma once
// Pots worked through for a question about all of them, a handful at a time. Private to this room.
#include "ahead/pot_ahead.hpp"
#include "garden/inside.hpp"
#include "garden/water_now.hpp"

#include <functional>
#include <span>

namespace tubgrove {

// Calls work(index, pot) for each pot of which something can be said, perhaps several at once; they write to places of their
// own. Indices are those of `lives`. A pot that nothing can be said of is left out.
void each_pot(const Garden::Inside&, const GardenNow&, std::span<const PotLife* const> lives,
              const std::function<void(std::size_t, const PotNow&)>& work);

// A pot with other words than it has: what it would be believed to be, and its members run on as such.
struct Otherwise {
    Belief belief;
    std::vector<std::vector<DayCourse>> days;
    Outlook outlook(const PotNow& pot, const Priors& priors, const Zone& zone, Instant until) const {
        return {pot.ensemble, belief, priors, zone, days, until};
    }
};
// Empty where such a pot cannot be.
std::optional<Otherwise> otherwise(const PotNow&, const PotSetup&, const Tables&, const Zone&);

// The walks from now on, each with the one after it, up to `until`.
struct WalkNamed {
    Walk walk;
    Instant at{}, next{};
};
std::vector<WalkNamed> walks_ahead(const GardenNow&, const Configuration&, const Zone&, const IsHot&, Instant until);

Pouring pouring_of(const Configuration&, const Figures&);

}  // namespace tubgrove
