#pragma once
// What the garden answers about what is coming: forecasts and how good they were, the days ahead, being away, a change tried out.
#include "ahead/heat.hpp"
#include "ahead/range.hpp"
#include "ahead/verify.hpp"
#include "calendar.hpp"
#include "plan/round.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

// Days from today to the last one of an absence, at most: beyond them nothing can be said. Own assumption.
inline constexpr std::chrono::days furthest_away{90};

// How good each source's forecasts were here.
struct SourceVerified {
    std::string source;
    std::vector<Verified> lines;                 // by quantity, then lead
    std::optional<Instant> newest_issue;
    bool stale = false;                          // its newest issue says nothing more of what lies ahead
};
struct ForecastsAnswer {
    LocalDay from{}, to{};                       // days compared
    std::vector<SourceVerified> sources;
    // ET0 as the garden foresaw it on each of the past mornings, all sources and ranges together, beside what it came to.
    std::vector<Verified> et0;                   // mm, by lead; the quantity's name is not used
};

// What `ahead` foresaw of the pots on past mornings, beside what the garden now takes to have come.
struct HindcastAnswer {
    LocalDay from{}, to{};                       // days compared
    std::vector<LocalDay> mornings;              // from which it was looked ahead: a sample
    int pots = 0;
    std::vector<Verified> demand;                // litres a pot and day if water is free, by lead; the quantity's name is not used
    std::vector<VerifiedChance> dry;             // an hour dry on a day, where it is told what was poured
    std::vector<std::string> remarks;
};

struct DayAheadLine {
    LocalDay day{};
    Range80 max_degC, et0_mm, rain_mm;
    std::string from;                            // forecast, usual
};
struct PotDayLine {
    LocalDay day{};
    Range80 demand_l, rain_l;
    double dry_share = 0, dry_planned_share = 0; // chances: dry by then if nobody waters; dry at some hour although the walks are done
};
struct PotAheadLine {
    std::string pot, label, bay;
    std::optional<Instant> dry_early_at, dry_at, dry_late_at;   // 10th, 50th, 90th percentile, without water
    Range80 total_l;
    std::vector<PotDayLine> days;
};
struct WalkPour {
    std::string pot, label;
    Range80 pour_l;                              // likely: what the pot takes until its gardener stops
    double most_l = 0;                           // most: the ceiling where it is poured until it runs through; whole marks of the can, all passes
    int passes = 1;
    Until until = Until::run_through;            // amount: nothing drains
};
struct WalkAheadLine {
    LocalDay day{};
    std::string walk;
    Instant at{};
    bool listed = false;                         // its pots and their most are those of the walk's list; else planned by rule
    std::vector<WalkPour> pours;
    Range80 total_l;                             // likely
    double total_most_l = 0;
};
// Water at hand against water needed.
struct StockLine {
    std::string tap;
    double holds_l = 0;
    Range80 needed_l;
    std::optional<LocalDay> lasts_until;         // the last day for which it is enough by the high figure; empty: all of them
    double lacking_l = 0;                        // by the high figure
    std::string instead;                         // the tap whose water does not end; empty: there is none, so that water must be brought
};

// What would help a pot through the hottest day, as worked out for that pot.
struct Help {
    std::string what;                            // shade, move, group, saucer, mulch; or the best pair: move-and-saucer
    std::string bay;                             // of a move
    double saved_l = 0;                          // median: less used on that day
    double gained_h = 0;                         // longer that a filling surely lasts (plan/filling.hpp)
    std::string kept;                            // of the pot with it
    std::string text;
};
struct HeatPot {
    std::string pot, label, bay;
    Range80 use_l;                               // on the hottest day, if water is free
    Range80 lasts_h;                             // from a filling on its morning, filled on the evening before as well
    double lasts_surely_h = 0;                   // the same as it is judged by (plan/filling.hpp); infinity: longer than can be seen
    double lasts_evening_surely_h = 0;           // from one more filling on its evening
    // one-filling: from the morning's to the next morning's walk; two-walks: from the morning's to the evening's, and from that one to the
    // next morning's; perhaps-two-walks: that is likely, but not sure; not-by-hand: not even likely.
    std::string kept;
    std::string root_heat;                       // low, raised, high
    std::vector<Help> helps;                     // best first
    std::string text;
};
struct HeatAhead {
    HeatEpisode episode;
    LocalDay hottest{};
    std::vector<HeatPot> pots;
    std::string text;
};

struct AheadAnswer {
    LocalDay from{}, to{};
    std::string weather_from;
    int members = 1;                             // of the forecast
    std::vector<DayAheadLine> days;
    std::vector<WalkAheadLine> walks;
    std::vector<PotAheadLine> pots;
    Range80 total_l;
    std::vector<StockLine> stocks;
    std::vector<HeatAhead> heat;
    std::vector<std::string> cautions, remarks;
};

// When somebody comes.
struct WalkOn {
    LocalDay day{};
    std::string walk;                            // morning, evening
};

// Being away.
struct Precaution {
    std::string what;                            // as-is, fill-twice, saucer, shade, shade-and-saucer, move, move-and-saucer
    std::string bay;                             // of a move: the best one
    Range80 checked_h, harmed_h;                 // from the filling on leaving
    std::optional<Instant> safe_until;           // empty: beyond the return
};
struct AwayPot {
    std::string pot, label, bay;
    std::vector<Precaution> tried;               // least trouble first
    std::string chosen;                          // of tried
    std::string to_bay;                          // of a move that is chosen
    WalkPour fill;                               // on leaving, as chosen
    std::optional<Instant> checked_at, harmed_at;   // medians, as chosen; empty: beyond the return
    bool safe = false;                           // to the return, without a visit
    bool kept = true;                            // with a visit at each walk that was looked at
    bool little_known = false;                   // how long it lasts is a wide range, and nobody weighed it or told that it ran through
};
struct AwayVisit {
    LocalDay day{};
    std::string walk;                            // morning, evening
    Instant at{};
    std::vector<WalkPour> pours;
    double total_l = 0;                          // of the most of each
};
// A line of the sheet for whoever helps. kind: leaving (what is done before), nobody (need come), visit, water (that may not be there), how
// (to pour), watch (for).
struct SheetLine {
    std::string kind;
    std::optional<LocalDay> from, to;            // of a visit: its days, one after the other
    std::string when;                            // of a visit, in words
    std::string what;
    std::vector<std::string> parts = {};         // of a visit: what says the same, a pot each
    std::string text() const { return when.empty() ? what : when + ": " + what; }
};
struct AbsenceAnswer {
    LocalDay from{}, to{};
    Instant leaves{}, returns{};
    LocalDay leaves_on{};
    std::vector<AwayPot> pots;
    bool safe = false;                           // a plan is safe: of itself, or with the visits, and with the water that is there
    std::vector<AwayVisit> visits;
    std::vector<StockLine> stocks;               // the filling on leaving counts, too
    std::optional<std::vector<WalkOn>> kept_visits;   // where some pots are not kept: the fewest visits for those that are; empty: all are, or none is
    double bring_l = 0;                          // water that may lack, and that no tap gives
    bool safe_with_water = false;                // a plan is safe once that is brought
    std::vector<SheetLine> sheet;
    std::vector<std::string> cautions, remarks;
};

// Somebody comes by while the gardener is away.
struct VisitPour {
    std::string pot, label, bay;
    double pour_l = 0;                           // of all passes; the ceiling where it is poured until it runs through
    int passes = 2;
    Until until = Until::run_through;            // amount: nothing drains
    Range80 need_l;                              // likely: what it takes
    std::optional<double> list_l;                // what the list of this walk says of it, 0 where it rests there; empty: no list speaks of this visit
};
struct VisitRest {
    std::string pot, label;
};
struct VisitAnswer {
    Instant at{};                                // of asking
    LocalDay to{};                               // last day of the absence
    Instant returns{};
    std::optional<LocalDay> day;                 // of the next visit that is needed; empty: none until the return
    std::string walk;                            // of it: morning, evening
    bool due = false;                            // it is the one that is to be made now
    bool safe = false;                           // with it and the later ones no pot comes to harm
    std::vector<LocalDay> later;                 // days of the visits after it; a day with two visits stands twice
    std::vector<WalkOn> later_visits;
    std::vector<VisitPour> pours;                // of that visit, in walking order
    std::vector<VisitRest> rests;                // pots that are safe to the return as they stand
    std::vector<Trip> trips;
    double total_l = 0;
    std::vector<std::string> cautions, remarks;
};

// A change tried out.
struct SeasonLine {
    Range80 poured_l, dry_h, used_l, walks;
};
struct SeasonCompared {
    std::string season;                          // past, typical
    LocalDay from{}, to{};
    SeasonLine without, with;
    Range80 litres, dry_h, walks;                // with less without, possible pot by possible pot
    bool worth_having = false;
    std::string text;
};
struct CompareAnswer {
    std::string pot;
    std::vector<std::string> changes;
    std::vector<SeasonCompared> seasons;
    std::vector<std::string> remarks;
};

}  // namespace tubgrove
