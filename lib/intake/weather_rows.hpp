#pragma once
// Rows of cells to observations: what CSV and JSON readers share.
#include "intake/quantity.hpp"
#include "intake/weather_reader.hpp"
#include "intake/weather_time.hpp"

#include <limits>

namespace tubgrove {

struct PlannedColumn {
    std::string name;            // as the file calls it, for messages
    Channel channel{};
    Conversion convert;
    bool energy = false;         // J m-2 of the interval, to be divided by its length
    bool counter = false;
    bool following = false;      // of the interval that the row's time begins
    bool needed = false;         // a row without it is passed over
};

// The conversion of a file's unit to the channel's; radiation may also be an energy per area.
Parsed<PlannedColumn> plan_column(std::string name, Channel channel, std::string_view unit, bool counter);
// Of a mapping, with all that it says of the column.
Parsed<PlannedColumn> plan_column(const Column& column);

struct RowRules {
    std::string file;
    TimeRule time;
    std::vector<PlannedColumn> columns;
    std::vector<std::string> missing;
    bool decimal_comma = false;
};

// Where a row stands in its file; `row` is set where lines do not tell rows apart (JSON).
struct RowPlace {
    std::uint64_t line = 0;
    long row = 0;
    int time_column = 0;
};

class RowTaker {
public:
    RowTaker(RowRules rules, const ObservationSink& sink, const WeatherProgress& progress, WeatherTaken& taken);

    // One row: its time, and a cell for each planned column in their order. `column_of(i)` is the place of a cell, 0 if unknown.
    template <class ColumnOf>
    void take(const RowPlace& place, std::string_view time, std::span<const std::string_view> cells, std::uint64_t bytes, ColumnOf column_of);
    // A row that is bad before its cells are known.
    void refuse(const RowPlace& place, int column, Fault fault);
    // Gives what is left to the sink.
    void finish(std::uint64_t bytes);

private:
    // What a total rose by over steps that have no reading of it, up to the row that ends so.
    struct Hole {
        std::size_t column = 0;
        Instant since, ends;
        double rise = 0;
    };
    enum class Cell : unsigned char { value, missing, bad };
    Cell number(std::string_view text, double& into) const;
    bool missing_mark(double number) const;
    // Empty: it fits.
    std::optional<Fault> no_time_of_readings(std::string_view text, const Interval& interval) const;
    std::optional<Fault> never_on_the_clock(std::string_view text, const Interval& interval) const;
    std::optional<Fault> wrong(const PlannedColumn& column, double value, std::string_view text) const;
    std::optional<Fault> count_on(std::size_t i, double reading, const Observation& of, double& increment);
    std::optional<Fault> fill(std::size_t i, std::string_view text, Observation& into);
    // The column of a highest that lies below the lowest of the same interval, and what is wrong with it.
    std::optional<std::pair<std::size_t, Fault>> highest_below_lowest(const Observation& observation) const;
    void keep(const Observation& observation, std::uint64_t bytes);
    bool passed_over(const Observation& observation) const;
    // What a row that is passed over says of totals: where one begins. A rise is left to the next row, which shares it out.
    void begin_counts();
    // Holds back what is of the following interval until the row that ends it.
    void keep_shifted(Observation observation, std::uint64_t bytes);
    void flush();
    void share_out_holes();
    std::vector<Observation> shared_out(const Hole& hole, std::size_t row);
    void find_step();
    std::chrono::seconds gap_before(std::size_t i) const;
    std::chrono::seconds step_of(std::size_t i) const;

    RowRules rules_;
    std::vector<double> missing_numbers_;
    const ObservationSink& sink_;
    const WeatherProgress& progress_;
    WeatherTaken& taken_;
    TimesInOrder in_order_;
    std::optional<Interval> time_before_;
    struct Count {
        double total = std::numeric_limits<double>::quiet_NaN();
        LocalDay day{};
        Instant ends{};
    };
    std::vector<Count> last_, next_;           // of counters: reading before this row, reading of this row
    std::vector<Hole> holes_, of_row_;         // of this batch; of the row that is read
    std::vector<Observation> batch_;
    std::optional<std::chrono::seconds> step_; // found from the first rows, where the rule has no span
    std::optional<Instant> batch_before_;      // end of the last row of the batch before
    std::chrono::seconds gap_of_last_{0};      // and the gap before that row
    bool energy_ = false;
    bool shifts_ = false;                      // some column is of the following interval
    std::optional<Observation> ahead_;         // what the last row said of the interval after it
};

template <class ColumnOf>
void RowTaker::take(const RowPlace& place, std::string_view time, std::span<const std::string_view> cells, std::uint64_t bytes, ColumnOf column_of) {
    ++taken_.rows;
    auto interval = parse_interval(time, rules_.time);
    if (!interval) {
        --taken_.rows;
        return refuse(place, place.time_column, {"the time " + tubgrove::quoted(time) + " is not one", "write " + time_example(rules_.time)});
    }
    interval = in_order_.in_order(*interval);
    auto odd_time = no_time_of_readings(time, *interval);
    if (!odd_time) odd_time = never_on_the_clock(time, *interval);
    time_before_ = interval;
    if (odd_time) {
        --taken_.rows;
        return refuse(place, place.time_column, std::move(*odd_time));
    }
    Observation observation(interval->starts, interval->ends);
    next_ = last_;
    of_row_.clear();
    for (std::size_t i = 0; i < rules_.columns.size(); ++i)
        if (auto fault = fill(i, cells[i], observation)) {
            --taken_.rows;
            return refuse(place, column_of(i), std::move(*fault));
        }
    if (auto turned = highest_below_lowest(observation)) {
        --taken_.rows;
        return refuse(place, column_of(turned->first), std::move(turned->second));
    }
    if (passed_over(observation)) return begin_counts();
    std::swap(last_, next_);
    holes_.insert(holes_.end(), of_row_.begin(), of_row_.end());
    shifts_ ? keep_shifted(std::move(observation), bytes) : keep(observation, bytes);
}

}  // namespace tubgrove
