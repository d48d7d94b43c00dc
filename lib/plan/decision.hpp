#pragma once
// What one pot gets in a walk: the candidate with the least expected loss over the members, run to the walk after next.
#include "ensemble/outlook.hpp"
#include "plan/prices.hpp"

#include <optional>

namespace tubgrove {

// When somebody comes by with water.
struct Chances {
    Instant walk;      // the one that is decided
    Instant next;      // the one after it
    Instant after;     // and the one after that
};

struct Means {
    double mark_l = 0.5;         // the can's smallest mark, above 0
    int passes = 2;              // 1 or 2
    double dry_hour_l = 1;       // an hour dry in litres, caution and stage applied (dry_hour_price)
    bool drains = true;          // false: nothing runs through, so that no pour can stop by it
    double due_chance = 0.2;     // plan/filling.hpp: of what a filled pot is judged by
};

// Caution and what the tree is doing, as a price.
enum class Stage : unsigned char { dormant, first_year, bloom_to_set, fruit, other };
enum class Care : unsigned char { low, usual, high };
double dry_hour_price(const Prices&, Care, Stage);

struct Loss {
    double dry_h = 0;            // expected hours dry before the next walk
    double dry_later_h = 0;      // and between the next two
    double drained_l = 0;        // expected litres lost at the bottom
    double given_l = 0;          // expected litres given
    double total_l = 0;          // all of it in litres
};

struct Decision {
    Manner manner;               // pour_l 0: the pot rests
    Loss loss;                   // of the choice
    Loss none;                   // of giving nothing
    Percentiles need_l;          // litres missing at the walk
    double available_l = 0;      // median
    double rooted_share = 1;     // median
    std::vector<double> dry_after_h;   // each member's hours from the walk until it runs dry without water
    Percentiles dry_h;           // of these; infinity: not within the outlook
    double day_use_l = 0;        // median use from the walk to 24 h later if water is free
    double free_l = 0;           // median water taken up freely from a full pot, R_r
    double filled_free_l = 0;    // the same from the pot as a filling at the walk leaves it, which seldom is quite full
    double filled_lasts_h = 0;   // hours for which it likely lasts from a filling at the walk (FilledLasts::likely_h)
    bool beyond_walks = false;   // filled it hardly gets through to the next walk (FilledLasts::through)
};

// Marks of a pour where nothing drains, `missing_l` being the median need: no more than is missing, since what is too much stands in
// the pot; one mark where less is missing; none where it is a tenth of a mark or less. Own assumption
int marks_where_nothing_drains(double missing_l, double mark_l);

// `outlook` holds the members now; they are run to chances.walk first. `means` are those of the gardener and of this tree.
Decision decide(const Outlook&, const Chances&, const Prices&, const Means&);

// The loss of one candidate, for the reasons and for tests.
Loss loss_of(const Outlook&, const Outlook::Run& at_walk, const Manner&, const Chances&, const Prices&, const Means&);

}  // namespace tubgrove
