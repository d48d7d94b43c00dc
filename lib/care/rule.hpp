#pragma once
// Rows of config/care.yaml as values: which job, for whom, when it opens, what stops it and what answers it. Plain values; the
// few kinds of trigger are worked by windows.hpp, and every quantity that a condition may name by values.hpp.
#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

enum class Trigger : unsigned char {
    season,    // once a window between two marks of the year
    interval,  // every so many days since it was last done, within a season
    event,     // when conditions come to hold: weather, or a state of the pot
    after,     // so many days after an entry
    rider,     // never alone: its caution goes with other jobs
    change,    // never alone: it shortens other rows' intervals
};
inline constexpr std::array<std::string_view, 6> trigger_names{"season", "interval", "event", "after", "rider", "change"};

// Marks of a tree's year, in its order, and of its life. A species skips what it lacks.
enum class Mark : unsigned char {
    midwinter, swelling, green_tip, first_leaf, cluster, colour, first_bloom, full_bloom, petal_fall, fruit_set, longest_day,
    feed_stop, harvest, growth_end, leaf_fall, entry, planted, grafted, graft_awake, added,
};
inline constexpr std::array<std::string_view, 20> mark_names{
    "midwinter", "swelling", "green-tip", "first-leaf", "cluster", "colour", "first-bloom", "full-bloom", "petal-fall", "fruit-set",
    "longest-day", "feed-stop", "harvest", "growth-end", "leaf-fall", "entry", "planted", "grafted", "graft-awake", "added"};
inline constexpr std::size_t mark_count = mark_names.size();

// "leaf-fall + 30 d", "green-tip - 14 d", "full-bloom".
struct MarkOffset {
    Mark mark = Mark::midwinter;
    int days = 0;
};
std::optional<MarkOffset> parse_mark(std::string_view text);
std::string text_of(const MarkOffset&);

// What a condition may ask. Yes-or-no quantities are 1 or 0; what is not known is NaN and fulfils no condition.
enum class CareValue : unsigned char {
    // the bay's weather
    mean_7d_degC, mean_10d_degC, lowest_mean_7d_degC, max_degC, max_2d_degC, max_5d_degC, min_2d_degC, min_5d_degC, rain_1d_mm, rain_2d_mm,
    rain_past_3d_mm, rain_past_14d_mm, wind_2d_m_s, gust_m_s, gust_2d_m_s, gust_news, topple_share,
    // roots, flowers, diseases
    medium_degC, medium_min_2d_degC, medium_min_5d_degC, medium_max_degC, medium_low_degC, medium_high_degC, thaw_after_d, cold_news_K, root_margin_K, frost_margin_K, move_in_margin_K, scab, curl,
    blight, moth_dd, dd10_since_done,
    // the tree's year and life
    bloom_d, in_leaf, growing, flowering, fruiting, bearing, winterless, dormant, planted_y, graft_w, graft_awake_w, graft_proven, graft_failed, own_rooted, evergreen,
    dwarfing, staked, stake_known, stake_for_life, crown_cm, self_fertile, partner_here,
    // the pot and its place
    in_pot_y, pot_l, pot_kg, mulch_cm, mulched, has_saucer, fabric, indoors, under_roof, balcony, on_grass, dark_wall, colour_untold, in_sun, sheltered,
    wrapped, covered, dry_share, drained_volumes,
    // entries: days since one; 100,000 when there was none
    days_since,
};
// Told by the forecast: what it says of a day changes until the day has come.
bool is_foretold(CareValue);
std::optional<CareValue> find_quantity(std::string_view name);
std::string_view name_of(CareValue);
std::span<const std::string_view> quantity_names();

// "mean_7d_degC < 8", "indoors", "not staked", "days_since mulched < 90", "days_since saw:blight < 30".
struct Condition {
    CareValue quantity = CareValue::indoors;
    std::string entry;     // of days_since: an action, or action:word
    char compare = '>';    // '<' or '>', the bound itself included in neither
    double bound = 0.5;
    std::string text;      // as written
};
std::optional<Condition> parse_condition(std::string_view text);

// How pressing a job is, best first; 1 to 6.
enum class Rank : unsigned char { harm = 1, lost_by_tomorrow, loss_in_days, closing, crop, routine };

struct CareRule {
    std::string key;
    bool on = true;
    std::string title;                       // on the list: "check stake and ties"
    std::string what;                        // a sentence or two: what to look for, what to do
    std::string lapsed;                      // what it means that the window passed
    Trigger trigger = Trigger::season;
    Rank rank = Rank::routine;
    int minutes = 5;                         // a pot
    std::string group;                       // jobs of one group join into one line
    std::string group_at_rest;               // the same while nothing grows; empty: as `group`

    std::vector<std::string> species, not_species;
    std::optional<MarkOffset> opens, due, closes;   // season, after: the window; interval, event: the season
    std::string after;                       // the entry whose days are the mark `entry`
    int every_d = 0;                         // interval
    double every_dd10 = 0;                   // interval: or so many degree days above 10 degC, whichever is first
    int least_d = 0;                         // interval: but not before
    int due_d = 0, open_d = 14;              // interval, event: days after opening
    int early_d = 0;                         // an entry so many days before the opening counts
    int rest_d = 0;                          // event: days after an answer before it may come again
    int along_d = 0;                         // interval: so long before its time it goes along where its line stands anyway
    std::vector<Condition> along;            // event: what is enough, instead of `when`, to go along
    std::vector<Condition> when, unless;     // facts on the day that it opens (event: on each day)
    std::vector<Condition> hold;             // holds it back for a day
    std::vector<Condition> ends;             // closes the window early
    std::vector<std::string> done_by;        // entries that answer it; the first is what `job done` writes
    std::vector<std::string> with;           // rider, change: keys of rows, or groups
    double factor = 1;                       // change: on every_d
    std::vector<std::string> cautions;       // codes
    bool needs_weather = false;              // silent without readings or a forecast
    std::string water;                       // what an answer does to the water model; empty: nothing
    std::string source;
    std::string note;
};

struct CautionRow {
    std::string key;                         // K1
    std::string hazard;
    std::string text;
    std::string defers_to;
    std::string source;
};

// What care needs to know of a species beside the tree room's row.
struct CareSpecies {
    std::string key;
    double root_plan_degC = -7;              // medium that a stock without a published figure is planned for
    std::optional<double> move_in_degC, move_in_bare_degC;   // forecast minimum to move under a roof: in leaf, and bare
    std::string pollination = "self";        // self, partner
    int harvest_d = 0;                       // usual days from full bloom; 0: no rule
    double chill_portions = 0;               // 0: no rule
    std::string source;
    std::string note;
};

struct CareTables {
    std::vector<CareRule> rules;
    std::vector<CautionRow> cautions;
    std::vector<CareSpecies> species;

    const CareRule* rule(std::string_view key) const {
        for (const auto& row : rules)
            if (row.key == key) return &row;
        return nullptr;
    }
    const CautionRow* caution(std::string_view code) const {
        for (const auto& row : cautions)
            if (row.key == code) return &row;
        return nullptr;
    }
    const CareSpecies* one_species(std::string_view key) const {
        for (const auto& row : species)
            if (row.key == key) return &row;
        return nullptr;
    }
};

// What a row lacks to be worked: sentences, empty when it is whole.
std::vector<std::string> complaints_of(const CareRule&, const CareTables&);

}  // namespace tubgrove
