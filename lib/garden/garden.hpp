#pragma once
// The one door that every face uses. Use cases over model rooms, intake and store; it never asks the time.
#include "daybook.hpp"
#include "garden/answers.hpp"
#include "intake/configuration.hpp"

#include <functional>
#include <iosfwd>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace tubgrove {

struct Tables;                            // plan/tables.hpp
class Store;                              // store/store.hpp

// What an issued round rests on beside readings and entries, as documents.
struct GardenTexts {
    std::string configuration;            // the configuration file
    std::string tables;                   // every table in effect, one after the other (table_text)
};

inline constexpr std::string_view model_version = "8";   // rises when a round could come out differently

struct WeatherFile {
    std::string name;                     // for complaints; "-" for standard input
    std::string source;                   // series name; empty: taken from the mapping or the file's name
    std::string mapping;                  // name of a mapping of the configuration; empty: our own CSV
    std::optional<Instant> issued;        // set: a forecast
    int member = 0;
    std::function<void(long rows)> progress;   // may be empty
};

// Does work(0) … work(count - 1), in any order and perhaps several at once; none of them touches what another one does. An
// exception of one ends the whole.
using ForEach = std::function<void(std::size_t count, const std::function<void(std::size_t)>& work)>;

class Garden {
public:
    // The texts are kept with each issued round, once per distinct copy. Tables and store must outlive the garden.
    // Throws std::invalid_argument when the machine's zone database does not know the site's zone.
    Garden(Configuration configuration, GardenTexts texts, const Tables& tables, Store& store);
    ~Garden();
    Garden(Garden&&) noexcept;

    // How the pots of a list are worked through; without, one after the other. The answers are the same to the last digit.
    void use(ForEach);

    const Configuration& configuration() const;
    const Zone& zone() const;
    // `--at` with a bare date: that morning's hour of issue.
    Instant hour_of_issue(LocalDay day) const;

    // The list of a walk. Without day and walk: the current one, which is issued and stored. Asked again it is the same
    // unless newer input exists.
    Outcome<RoundAnswer> round(const View&, std::optional<LocalDay> day = {}, std::string_view walk = {});
    // The list that was issued last, within ten days, as it was shown; nothing is worked out.
    std::optional<Round> newest_round(const View&) const;
    // The name of the walk that the view's moment belongs to; told from the weather alone, nothing is issued.
    std::string walk_now(const View&);
    Outcome<WhyAnswer> why(const View&, std::string_view pot, std::optional<LocalDay> day = {});

    // The course of a pot's water; without days, of the last fortnight.
    Outcome<WaterAnswer> water(const View&, std::string_view pot, std::optional<LocalDay> from, std::optional<LocalDay> to);
    // The facts and actions that this garden takes, with the names that they may hold.
    Outcome<WordsAnswer> words(const View&);

    // The words after `did`, as typed: "7 8 watered 2.5L", "round all", "7 repotted container.size=50L".
    struct DidOptions {
        std::optional<Instant> when;
        std::string by, note, round;
        bool on_a_visit = false;  // somebody writes who waters meanwhile: no other action than a visit's is taken
    };
    Outcome<EntriesAnswer> did(const View&, std::span<const std::string> words, const DidOptions&);
    Outcome<EntriesAnswer> strike(const View&, std::int64_t entry, std::string_view note = {});
    // Who wrote an entry, empty for the gardener; nothing where there is no such entry.
    std::optional<std::string> writer(const View&, std::int64_t entry);
    Outcome<EntriesAnswer> clock_confirm(const View&);
    Outcome<DaybookAnswer> daybook(const View&, std::string_view pot, std::optional<LocalDay> from, std::optional<LocalDay> to);

    // Care. `day`: today, a day before, or as far ahead as the weather is seen.
    Outcome<JobsAnswer> jobs(const View&, std::optional<LocalDay> day = {}, std::string_view pot = {});
    // Writes the entry that answers the job: `more` are the words that its action needs, such as 60L.
    Outcome<EntriesAnswer> job_done(const View&, std::string_view id, std::span<const std::string> more, const DidOptions&);
    Outcome<EntriesAnswer> job_wait(const View&, std::string_view id, LocalDay until);
    Outcome<EntriesAnswer> job_drop(const View&, std::string_view id, std::string_view because);
    Outcome<SeasonAnswer> season(const View&, std::string_view pot, std::optional<int> year = {});

    // Walks and windows of care for a calendar. Nothing is issued.
    Outcome<CalendarAnswer> calendar(const View&);

    Outcome<PotsAnswer> pots(const View&, bool with_retired = false);
    Outcome<PotAnswer> pot(const View&, std::string_view id);
    Outcome<ChangesAnswer> pot_add(const View&, std::string_view id, std::span<const std::string> facts);
    Outcome<ChangesAnswer> pot_change(const View&, std::string_view id, std::span<const std::string> facts,
                                      std::optional<LocalDay> since);
    Outcome<ChangesAnswer> pot_retire(const View&, std::string_view id, std::string_view because);
    Outcome<ChangesAnswer> pot_take(const View&, std::string_view file_name, std::string_view yaml, bool apply);

    Outcome<IngestAnswer> weather_add(const View&, std::istream&, const WeatherFile&);
    Outcome<IngestAnswer> weather_note(const View&, std::span<const std::string> words, std::optional<LocalDay> day);
    // How good each source's forecasts were here, over the days that config/ahead.yaml says.
    Outcome<ForecastsAnswer> forecasts(const View&);
    // What `ahead` foresaw of the pots on some past mornings, beside what came.
    Outcome<HindcastAnswer> hindcast(const View&);
    // What is coming: demand, dryness, rain's help, walks to plan, water against what a tap holds, and heat. `days` 1 to 10.
    Outcome<AheadAnswer> ahead(const View&, int days = 10);
    // Away from the first day to the last; the filling on leaving is on the evening before, the return on the morning after.
    Outcome<AbsenceAnswer> absence(const View&, LocalDay from, LocalDay to);
    // For somebody who waters while the gardener is away until `to`: whether they must come today, and what they pour.
    // It looks 30 days ahead at most.
    Outcome<VisitAnswer> visit(const View&, LocalDay to);
    // A pot's past season and a typical one with other facts.
    Outcome<CompareAnswer> compare(const View&, std::string_view pot, std::span<const std::string> facts);
    Outcome<WeatherAnswer> weather_show(const View&, std::optional<LocalDay> from, std::optional<LocalDay> to);

    Outcome<ExportAnswer> export_all(const View&);
    Outcome<ChangesAnswer> take_daybook(const View&, std::string_view file_name, std::string_view csv, bool apply);

    // What the pots of today name and nobody knows any more: a bay gone from the configuration, a species, rootstock or
    // medium gone from the tables. The model then goes on with its defaults, so that this must be told.
    Complaints unknown_names(const View&);
    // Ids that completion offers: pots that are not retired.
    std::vector<std::string> pot_ids(const View&);

    struct Inside;                        // garden/inside.hpp, this room only

private:
    std::unique_ptr<Inside> inside_;
};

}  // namespace tubgrove
