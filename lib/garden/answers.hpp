#pragma once
// What the garden answers: one value type an answer, written once as JSON (garden/json.hpp) and drawn by each face.
#include "calendar.hpp"
#include "care/jobs.hpp"
#include "climate/day_record.hpp"
#include "daybook.hpp"
#include "garden/answers_ahead.hpp"
#include "intake/complaint.hpp"
#include "plan/round.hpp"

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace tubgrove {

// Why the garden did not do what was asked, and what would be right. Faces show it with exit status 2 (or 4xx).
struct Refusal {
    std::string what;
    std::string right;
    bool anothers = false;  // somebody else could write it, the asker may not
};

template <class Answer>
using Outcome = std::variant<Answer, Refusal>;

// From where a question is asked: the clock, and what may be seen.
struct View {
    Instant now{};
    bool replay = false;      // --at: `now` is a past or simulated moment
    bool hindsight = false;   // filter by when things happened instead of when they were learned
    bool recompute = false;   // compute a past round anew instead of showing the stored one
    bool shown_unkept = false;  // a list for which the disk has no room is shown with a notice, instead of a fault
    Clock clock = Clock::board;
    std::string by = {};      // whose hand writes; empty: the gardener's
    std::optional<Instant> machine = {};   // what the machine's own clock says, where `now` was set by hand
};

struct RoundAnswer {
    Round round;
    bool fresh = false;                  // computed now; false: the stored round
    std::vector<std::string> changed;    // against the list shown before for this walk: what and why, a sentence each
};

struct EntriesAnswer {
    std::vector<Entry> entries;
    std::vector<std::string> remarks;    // a sentence each: "pot 7 was not on a list; the pour is kept"
};

struct PotLine {
    std::string id, label, bay, trees;   // trees: "apple on M.27", joined by "; "
    std::string medium, medium_name;     // key of the table, and how people call it
    double size_l = 0;                   // brim-full volume
    std::optional<LocalDay> since;       // in this pot since
    std::optional<LocalDay> retired;
};
struct PotsAnswer {
    std::vector<PotLine> pots;
};

struct FactLine {
    std::string key, value;
    std::string from;                    // "stated", "default", "computed"
    std::optional<LocalDay> since;
    std::optional<std::int64_t> entry;   // the entry that says so
    std::string source;                  // of a default: citation, or "own assumption"
};
struct PotAnswer {
    PotLine pot;
    std::vector<FactLine> facts;
    bool has_water = false;              // the rest is set only where weather allows an estimate
    double depletion_l = 0, depletion_low_l = 0, depletion_high_l = 0, available_l = 0;
    std::optional<Instant> dry_at;
};

// What taking a garden file or changing facts would write, or wrote.
struct ChangesAnswer {
    std::vector<std::string> changes;    // a line each: "pot 7: medium bark_peat_sand (was shop_mix)"
    std::vector<std::string> complaints; // file:line:col: …
    std::vector<Entry> entries;
    bool applied = false;
};

struct WeatherAnswer {
    std::vector<DayRecord> days;
    std::map<LocalDay, std::vector<std::string>> by;   // whose names readings of a day came under
};

struct IngestAnswer {
    std::string source;
    long fresh = 0, same = 0, changed = 0;
    long empty = 0;                      // rows without any value, told among the remarks
    std::vector<std::string> refused;    // file:line: …
    long refused_count = 0;              // may be more than are listed
    std::vector<std::string> remarks;    // a sentence each: what the file could not tell
};

struct WhyStep {
    std::string about;                   // weather, bay, pot, tree, water, decision
    std::string label, value, unit;
    std::string equation;                // "FAO-56 eq. 6" or words
    std::string source;                  // citation key or 'own assumption'
    std::string note;
};
struct WhyAnswer {
    std::string pot, round;
    LocalDay day{};
    std::vector<WhyStep> steps;
    std::vector<Remark> because;
};

// How a pot's water went: what the members believed every few hours, what was poured, and the rain of each day.
struct WaterPoint {
    Instant at{};
    double depletion_l = 0, depletion_low_l = 0, depletion_high_l = 0, available_l = 0;
};
struct WaterPour {
    Instant at{};
    double pour_l = 0;
    std::string known;                   // "told", "answered" with its round, "silent": listed, and nobody said
    std::string round;
};
struct WaterRain {
    LocalDay day{};
    double rain_mm = 0;                  // in the open
};
struct WaterAnswer {
    std::string pot;
    LocalDay from{}, to{};
    std::vector<WaterPoint> points;
    std::vector<WaterPour> pours;
    std::vector<WaterRain> rain;
};

// The words that a face may offer.
struct FactWord {
    std::string key, kind, unit;         // '*' in the key stands for one part
    std::vector<std::string> words;      // allowed ones; empty: free
    std::vector<std::string> names;      // what people call each of them, in their order; empty: as they are
    std::string help, example;
};
struct ActionWord {
    std::string word, help, example;
};
struct WordsAnswer {
    std::vector<FactWord> facts;
    std::vector<ActionWord> actions;
};

struct DaybookAnswer {
    std::vector<Entry> entries;
    std::vector<std::int64_t> struck;    // ids among them that a later entry strikes
};

struct JobsAnswer {
    LocalDay day{};
    std::vector<Job> jobs;               // due, this week, in season, waiting, and what was answered or passed lately
    std::vector<std::string> morning;    // ids of those on the morning's list
    std::vector<std::string> remarks;    // a sentence each: what cannot be told
};

// The year of one pot, looking back: from the midwinter before the asked day, or a whole season that is over.
struct SeasonJob {
    Job job;
    bool ahead = false;                  // its window has not opened: only expected
};
struct SeasonStage {
    std::string stage;
    LocalDay day{};
    std::string from;                    // seen, weather, usual year, assumed
};
struct SeasonAnswer {
    PotLine pot;
    LocalDay from{}, to{};
    int weather_days = 0;                // days of it with readings
    double rain_mm = 0, et0_mm = 0;
    std::optional<LocalDay> hottest, coldest;
    double hottest_degC = 0, coldest_degC = 0;
    int frost_nights = 0, hot_days = 0;  // under 0 degC, from 30 degC on
    int pours = 0;                       // told by an entry or by the answer to a list
    double poured_l = 0;                 // all of them
    int felt_dry = 0, wilted = 0;
    int lists = 0, listed_dry = 0;       // mornings with a list; those on which the pot was dry already
    std::vector<SeasonStage> stages;
    std::vector<SeasonJob> jobs;         // by opening
    int done = 0, dropped = 0, passed = 0;
};

// What a calendar shows: the walks with their lists, and when each job of care has its time.
struct CalendarWalk {
    LocalDay day{};
    std::string walk;                    // morning | evening
    Instant starts{};
    std::optional<Round> round;          // its list; empty: not issued yet
    std::vector<std::string> expected;   // pots that the newest list expects on it
};
struct CalendarWindow {
    std::string rule, title, what;
    LocalDay opens{}, due{}, closes{};   // closes: its last day
    std::vector<std::string> pots;       // ids, in walking order
    std::vector<Remark> because;
    std::vector<std::string> caution;
    std::string source, answer;          // answer: the words for the first pot, did 7 stake-checked
    bool ahead = false;                  // it has not opened: only expected
};
struct CalendarAnswer {
    std::string site, id;                // id: the same for this garden in every calendar, letters and digits
    LocalDay day{};
    std::vector<CalendarWalk> walks;     // of the last week and the coming one
    std::vector<CalendarWindow> windows; // open now or opening within two months, not answered yet
};

struct ExportAnswer {
    std::string garden_yaml;
    std::string daybook_csv;
};

// Whether configuration, tables and the pots' names hold together, and what was understood.
struct CheckAnswer {
    std::string configuration;           // the file
    std::vector<Complaint> complaints;
    std::vector<std::string> understood; // a line each; empty when there are complaints
};

// What a command wrote: files, and lines of the daybook where it wrote some of those too.
struct FilesAnswer {
    struct File {
        std::string code, file;          // garden, daybook, backup, restored, kept, configuration
        std::string text;                // what it is, for people
    };
    std::vector<File> files;
    std::vector<std::string> changes;
};

}  // namespace tubgrove
