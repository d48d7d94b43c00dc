#pragma once
// The jobs of a garden on a day: what falls due, why, how pressing it is, and what of it stands on the morning's list.
#include "care/windows.hpp"
#include "plan/round.hpp"

#include <map>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

enum class JobState : unsigned char { due, this_week, in_season, waiting, done, dropped, passed };
std::string_view state_word(JobState);

struct Job {
    std::string id;                          // pot.rule.window: 7.stake-gale.2026-07-14
    std::string rule, pot, label, bay;
    int order = 0;
    std::string title, what;
    LocalDay opens{}, due{}, closes{};
    JobState state = JobState::in_season;
    bool joins = false;                      // open, and not resting or put off: it may go along on a line that stands anyway
    bool along = false;                      // not its time yet: told only where it goes along
    Rank rank = Rank::routine;
    int minutes = 0;
    std::string group = {};
    std::vector<Remark> because = {};
    std::vector<std::string> caution = {};   // lines, as the table has them
    std::string source = {};
    std::string water = {};                  // what an answer changes for the water; empty: nothing
    std::string answer = {};                 // the words that answer it: did 7 stake-checked
    std::string lapsed = {};                 // passed: what it means
    std::optional<LocalDay> waits_until = {};
    std::int64_t entry = 0;                  // that did or dropped it
    std::string told = {};                   // dropped: why
};

struct CareAsk {
    const CareTables& tables;
    const CareSite& site;
    std::span<const PotCare> pots;
    // The mornings on whose issued list a job stood, by its id.
    const std::map<std::string, std::vector<LocalDay>>& shown;
    int passed_d = 14;                       // how long answered and passed jobs are still told
    std::chrono::weekday care_day = std::chrono::Saturday;   // when what can wait stands on the morning's list
};

// Every job that is open today, and those answered or passed within `passed_d` days. In order: state, rank, closing, walking order.
std::vector<Job> jobs_of(const CareAsk&);
// One pot's jobs whose windows touch a span, the ones ahead included (state in_season; `because` says what is only expected).
std::vector<Job> jobs_in(const CareAsk&, const PotCare&, const WindowSpan&);

// One line of a list: jobs of one rule in several pots, or of rules that go together.
struct JobLine {
    std::vector<Job> jobs;
};
inline constexpr std::size_t most_lines = 3;   // on a morning's list
// The lines of the jobs that are due, most pressing first: by rank, then longer due, earlier close, more pots, walking order.
std::vector<JobLine> morning_lines(std::span<const Job>, std::size_t most = most_lines);
// The lines of a list that was shown before on the same morning: what stood on it and is still due stays, what was answered
// makes no room for more, and only harm or a loss by tomorrow may take a routine line's place. `before`: ids of its jobs, a line each.
std::vector<JobLine> revised_lines(std::span<const Job>, std::span<const std::vector<std::string>> before);
RoundJob line_of(const JobLine&);
// Adds a job's cautions to those of a line. What differs only in its figures is said once, with the largest.
void add_cautions(std::vector<std::string>& line, std::span<const std::string> cautions);
// As the morning's list has them: what is due and not on it is this week's, what went along is due.
void stand_as(std::vector<Job>&, std::span<const std::string> morning);

// Why a job may not wait until a day: its window ends before. Empty: it may.
std::optional<std::string> wait_refusal(const Job&, LocalDay until);
// Told once where no weather is known: what the list cannot say. Empty where it is.
std::string silent_without_weather(const CareSite&);

// Parts of an id; empty when it is none.
struct JobName {
    std::string pot, rule, window;
};
std::optional<JobName> parse_job_id(std::string_view id);

}  // namespace tubgrove
