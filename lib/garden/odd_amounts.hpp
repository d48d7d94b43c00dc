#pragma once
// Amounts told that a pot can hardly have: more litres than it can take up (a slip of the hand, or a hose left on), more kilograms
// than it can weigh, a saucer as large as the pot. They are kept and asked about. Days that have not come are refused. Private to this room.
#include "ensemble/priors.hpp"
#include "garden/pot_life.hpp"
#include "plan/round.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

struct MuchPoured {
    std::string pot;
    std::int64_t entry = 0;
    double poured_l = 0;
    double brim_l = 0;      // what fills the empty pot to its brim
};
// Of an entry about a pot whose size is known, with more litres than `doubted_pour` of its brim-full volume; else empty.
std::optional<MuchPoured> much_poured(const Entry&, const PotLife&, const Priors&);

// What is said of it when it is written down.
std::string remark_of(const MuchPoured&);

// What lists say of it: that of the day when it was told and of the day after, unless it was struck or a note goes with it.
std::vector<Notice> much_poured_notices(std::span<const PotLife> lives, const Priors&, LocalDay day, const Zone&);

// A weight that a pot of this size cannot have, were it full of rock; else empty.
std::optional<std::string> weight_remark(const Entry&, const PotLife&);

// A saucer that holds so much beside its pot that it may be a slip; else empty, as where nothing was told of the container now.
std::optional<std::string> saucer_remark(std::string_view pot, std::span<const Fact> told, const Facts&, const Container&);

// Days of trees among the facts that lie ahead: what was planted, grafted, measured or seen has been.
Complaints days_to_come(std::string_view pot, std::span<const Fact>, LocalDay today);

}  // namespace tubgrove
