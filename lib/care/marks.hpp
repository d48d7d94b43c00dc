#pragma once
// The marks of a tree's years: seen, from heat sums, or from the months' usual days.
#include "care/rule.hpp"
#include "care/site.hpp"
#include "tree/species.hpp"

#include <array>
#include <map>
#include <string>
#include <vector>

namespace tubgrove {

enum class MarkFrom : unsigned char {
    seen, heat_sum, usual,
    assumed,   // no cold for the leaves to fall, no rest for an evergreen; of buds: their winter was too short of chill to tell
};

struct MarkDay {
    LocalDay day{};
    MarkFrom from = MarkFrom::heat_sum;
};

// Each mark's days, oldest first, one a season at most.
struct TreeYears {
    std::array<std::vector<MarkDay>, mark_count> marks;

    const std::vector<MarkDay>& of(Mark m) const { return marks[std::size_t(m)]; }
    // The newest day of a mark not after `day`, and the first one from `day` on.
    const MarkDay* last(Mark m, LocalDay day) const;
    const MarkDay* next(Mark m, LocalDay day) const;
    // The newest of our stages that has passed in the season of `day`, as a word of stage_names; "dormant" before the first.
    std::string_view stage(LocalDay day) const;
    // Whether a winter follows a leaf fall: cold brought it, and buds had not moved by then.
    bool has_winter(const MarkDay& fall) const;
    // Whether the stage at `day` rests on readings or on what was seen, and not on usual days.
    bool stage_is_known(LocalDay day) const;
};

// `observed`: the grower's stages by name (green-tip, first-leaf, full-bloom, petal-fall, leaf-fall), of any year. An observed
// stage beats the computed one and moves all later ones. Swelling is taken at 0.6 of the sum of green tip, cluster, colour and
// first bloom at 0.35, 0.55 and 0.9 of the way from green tip to full bloom, fruit set ten days after petal fall, harvest
// `harvest_d` days after full bloom (0: no such mark), of deciduous kinds as their leaves begin to fall should they fall before: own
// assumptions. Kinds without a sum for green tip begin their year when the mean of ten days passes the species' base; their first leaf
// is the water model's, by its sum. Growth ends at leaf fall, of evergreens when the mean of ten days falls under their base. Where no
// cold brings that, old leaves are assumed to give way after midwinter, nothing opens by it, and the stages of the spring that follows
// are no more than assumed unless that winter had six tenths of the chill that the species needs.
TreeYears tree_years(const CareSite&, const Species&, int harvest_d, const std::map<std::string, LocalDay>& observed);

}  // namespace tubgrove
