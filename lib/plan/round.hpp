#pragma once
// The answer of a round: exactly what its JSON holds (DEVELOPERS.md, contracts), as values.
#include "calendar.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// A reason or a notice: a code for programs, values with the unit in the key, a sentence for people.
struct Remark {
    std::string code;
    std::map<std::string, std::string> values;  // canonical decimals and ids
    std::string text;
};

enum class Severity : unsigned char { note, warning, danger };

struct Notice {
    std::string code;
    Severity severity = Severity::note;
    std::map<std::string, std::string> values;
    std::string text;
};

// Of the notice that tells what days without a walk would mean; it is told because somebody wanted it.
inline constexpr std::string_view days_off_code = "days-off";

enum class Until : unsigned char { amount, run_through };

struct PourLine {
    std::string pot, label, bay;
    int order = 0;                      // place in the walk, from 1
    double pour_l = 0;                  // all passes together; with Until::run_through a ceiling
    int passes = 1;
    double low_l = 0, high_l = 0;       // 10th and 90th percentile of the need
    Until until = Until::amount;
    double depletion_l = 0, available_l = 0;   // medians
    std::optional<Instant> dry_at;      // median first moment of running dry without water; empty: not within 10 days
    std::vector<Remark> because;
};

struct RestLine {
    std::string pot, label, bay;
    std::optional<LocalDay> next_day;   // when it is expected on the list; empty: not within 10 days
    double depletion_l = 0, available_l = 0;
};

struct CanPour {
    std::string pot;
    double l = 0;
    int pass = 1;
};
struct Can {
    double can_l = 0;                   // what to fill into it
    std::vector<CanPour> pours;
};
struct Trip {
    std::string tap;
    std::vector<Can> cans;              // carried together
};

// The question that opens the list: about the newest round that nobody answered.
struct Question {
    std::string round;                  // id
    std::string text;
    int unanswered = 0;                 // rounds in a row
    std::vector<std::string> feel_first;  // pots, after two unanswered rounds
};

// A care job on the list: one line, for one pot or several, of one rule or of rules that go together.
struct RoundJobPart {
    std::string id;                     // pot.rule.window, for job done, wait and drop
    std::string rule, title, pot, label, bay;
    std::string answer;                 // the words that answer it: did 7 stake-checked
};
struct RoundJob {
    std::string title, what;
    int rank = 6;                       // 1 harm to people … 6 routine
    int minutes = 0;                    // of all parts together
    LocalDay opens{}, due{}, closes{};  // of the part that closes first
    std::vector<Remark> because;
    std::vector<std::string> caution;
    std::string source;
    std::vector<RoundJobPart> parts;
};

struct Round {
    std::string id;                     // 2026-07-14-morning, a revision .2
    LocalDay day{};
    std::string walk;                   // morning | evening
    std::string site;
    Instant issued{};
    Instant inputs_until{};             // newest input used
    std::string model;                  // the model's version
    double et0_mm = 0, rain_mm = 0;     // of the day: et0 expected, rain since the last round
    std::string weather_from;           // rung and source in words
    std::optional<Question> question;
    std::vector<PourLine> pours;
    std::vector<RestLine> no_water;
    std::vector<Trip> trips;
    double total_l = 0;
    std::vector<Notice> notices;
    std::vector<RoundJob> jobs;         // at most three lines
};

}  // namespace tubgrove
