#include "intake/weather_rows.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace tubgrove {
namespace {

constexpr std::size_t batch_rows = 16384;
constexpr std::size_t step_rows = 64;       // rows that tell the step
constexpr std::size_t most_complaints = 100;

// Wide physical bounds in the stored unit: beyond them it is a slip of unit or a broken instrument, whatever the garden.
struct Bounds {
    double low, high;
};
constexpr std::array<Bounds, channel_count> bounds{{
    {-60, 60}, {-60, 60}, {-60, 60},        // air temperature, degC
    {-80, 45}, {-60, 50},                   // dew point, wet bulb
    {0, 105}, {0, 105}, {0, 105},           // humidity, %; instruments read a little above 100
    {0, 75}, {0, 115},                      // wind, gust, m s-1
    {-20, 1600},                            // radiation, W m-2; instruments cool below 0 at night
    {0, 24},                                // sunshine, h
    {0, 2000},                              // rain of one interval, mm
    {30, 110},                              // pressure, kPa
}};

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

bool plain_number(std::string_view text, double& into);

// "0.1 degC": services often write whole numbers of tenths. The factor, 1 where none stands there, and the unit behind it. "1" alone
// is a unit, and so is what follows a factor that is none.
std::pair<double, std::string_view> factor_before(std::string_view unit) {
    unit = trimmed(unit);
    const auto blank = unit.find(' ');
    double factor = 0;
    if (blank == std::string_view::npos || !plain_number(unit.substr(0, blank), factor) || !(factor > 0)) return {1, unit};
    return {factor, trimmed(unit.substr(blank))};
}

bool plain_number(std::string_view text, double& into) {
    auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), into);
    return error == std::errc() && end == text.data() + text.size() && std::isfinite(into);
}

}  // namespace

Parsed<PlannedColumn> plan_column(std::string name, Channel channel, std::string_view unit, bool counter) {
    PlannedColumn column{std::move(name), channel, {}, false, counter, false, false};
    const auto [times, plain_unit] = factor_before(unit);
    auto turned = conversion(plain_unit, channel_names[std::size_t(channel)].unit);
    if (channel == Channel::surface_downwelling_shortwave_flux_in_air_mean && !good(turned)) {
        auto energy = conversion(plain_unit, "J m-2");
        column.energy = good(energy) != nullptr;
        if (column.energy) turned = energy;
    }
    if (!good(turned)) return fault(turned);
    column.convert = *good(turned);
    column.convert.scale *= times;
    return column;
}

Parsed<PlannedColumn> plan_column(const Column& column) {
    auto planned = plan_column(column.from, column.channel, column.unit, column.counter);
    if (auto* found = std::get_if<PlannedColumn>(&planned)) {
        found->following = column.following;
        found->needed = column.needed;
    }
    return planned;
}

RowTaker::RowTaker(RowRules rules, const ObservationSink& sink, const WeatherProgress& progress, WeatherTaken& taken)
    : rules_(std::move(rules)), sink_(sink), progress_(progress), taken_(taken),
      last_(rules_.columns.size()), next_(last_), step_(rules_.time.span) {
    batch_.reserve(batch_rows);
    if (rules_.time.days()) step_ = std::chrono::seconds(0);   // intervals come whole
    for (const auto& column : rules_.columns) {
        energy_ = energy_ || column.energy;
        shifts_ = shifts_ || column.following;
        taken_.channels.push_back(column.channel);
    }
    for (const auto& mark : rules_.missing)
        if (double number = 0; plain_number(mark, number)) missing_numbers_.push_back(number);
}

RowTaker::Cell RowTaker::number(std::string_view text, double& into) const {
    text = trimmed(text);
    if (text.empty()) return Cell::missing;
    if (text.front() == '+') text.remove_prefix(1);
    if (plain_number(text, into)) return missing_mark(into) ? Cell::missing : Cell::value;
    if (std::ranges::find(rules_.missing, text) != rules_.missing.end()) return Cell::missing;
    auto comma = text.find(',');
    if (!rules_.decimal_comma || comma == std::string_view::npos || text.size() > 40) return Cell::bad;
    std::array<char, 40> copy{};
    std::ranges::copy(text, copy.begin());
    copy[comma] = '.';
    if (!plain_number({copy.data(), text.size()}, into)) return Cell::bad;
    return missing_mark(into) ? Cell::missing : Cell::value;
}

std::optional<Fault> RowTaker::no_time_of_readings(std::string_view text, const Interval& interval) const {
    static const Instant earliest = *parse_rfc3339("1850-01-01T00:00:00Z");   // about when weather services began to keep records, from memory
    if (interval.ends < earliest) return Fault{"the time " + tubgrove::quoted(text) + " lies before any record of weather", "a year from 1850 on"};
    if (!rules_.time.latest || interval.starts <= *rules_.time.latest) return std::nullopt;
    return Fault{"the time " + tubgrove::quoted(text) + " has not come yet", "what is foreseen is taken in as a forecast, with the time of its issue; else check clock and time zone of the station"};
}

bool RowTaker::missing_mark(double number) const { return std::ranges::find(missing_numbers_, number) != missing_numbers_.end(); }

std::optional<Fault> RowTaker::wrong(const PlannedColumn& column, double value, std::string_view text) const {
    auto channel = std::size_t(column.channel);
    auto limit = bounds[channel];
    if (column.energy) limit.high *= 24 * 3600;   // the longest interval; its length is not known yet
    if (column.energy) limit.low *= 24 * 3600;
    if (value >= limit.low && value <= limit.high) return std::nullopt;
    auto unit = column.energy ? std::string_view("J m-2") : channel_names[channel].unit;
    return Fault{fmt::format("{}: {} is out of range", column.name, tubgrove::quoted(text)),
                 fmt::format("{} {} to {} {} is possible; check the unit", decimal(limit.low), unit, decimal(limit.high), unit)};
}

std::optional<Fault> RowTaker::never_on_the_clock(std::string_view text, const Interval& interval) const {
    // An hourly station that keeps one time all year gives the moment of the change both of its names, and never a time between them.
    const bool both_names = !interval.skipped && time_before_ && !time_before_->skipped && time_before_->ends == interval.ends && time_before_->at_change.has_value() != interval.at_change.has_value();
    if (!interval.skipped && !both_names) return std::nullopt;
    const auto before = interval.skipped ? *interval.skipped : interval.at_change ? *interval.at_change : *time_before_->at_change;
    const auto east = std::chrono::duration_cast<std::chrono::hours>(before);
    const auto zone = east == before && east.count() != 0   // by POSIX the sign is turned round: Etc/GMT-2 is two hours east
                          ? fmt::format(", such as Etc/GMT{}{}", east.count() > 0 ? '-' : '+', std::abs(east.count())) : std::string();
    const auto why = both_names ? "the time {} is the same moment in {} as that of the row before: clocks went forward between them"
                                : "the time {} was never on a clock in {}: clocks went forward over it";
    return Fault{fmt::format(fmt::runtime(why), tubgrove::quoted(text), rules_.time.zone.name()),
                 "if the station keeps one time all year, the mapping says so with a timezone" + zone};
}

namespace {

// More than this does not fall between two rows, so what a total of the day shows after midnight may be all of a new day.
constexpr double most_after_midnight_mm = 20;   // own assumption
// A smaller fall is a counter's trembling and no new day.
constexpr double least_fall_share = 0.05;       // own assumption

}  // namespace

// A running total gives its increase. It is reset when it falls to less than half, or falls at all, to what can have fallen since,
// where a local day begins; any other fall is a fault of the counter.
std::optional<Fault> RowTaker::count_on(std::size_t i, double reading, const Observation& of, double& increment) {
    const auto before = last_[i].total;
    const auto day = rules_.time.zone.day_of(rules_.time.at_start ? of.starts : of.ends - std::chrono::seconds(1));
    const bool new_day = day > last_[i].day;
    next_[i] = {reading, day, of.ends};
    if (std::isnan(before)) {                      // the first reading tells nothing: increment stays missing
        taken_.first_counts.push_back({rules_.columns[i].name, rules_.columns[i].channel, of.ends});
    } else if (reading >= before) {
        increment = reading - before;
        // 0 on two days may be a day's total that began again between them, and says nothing of the day before.
        if (!rules_.columns[i].following && (reading > 0 || !new_day)) of_row_.push_back({i, last_[i].ends, of.ends, increment});
    } else if (reading < before / 2 ||
               (new_day && reading <= most_after_midnight_mm && reading <= (1 - least_fall_share) * before)) {
        increment = reading;
    } else {
        return Fault{fmt::format("{}: the running total fell from {} to {}", rules_.columns[i].name, decimal(before), decimal(reading)),
                     "a reset begins again near 0"};
    }
    return std::nullopt;
}

std::optional<Fault> RowTaker::fill(std::size_t i, std::string_view text, Observation& into) {
    const auto& column = rules_.columns[i];
    double raw = 0;
    auto cell = number(text, raw);
    if (cell == Cell::missing) return std::nullopt;
    if (cell == Cell::bad) return Fault{fmt::format("{}: {} is not a number", column.name, tubgrove::quoted(text)), "write a number with a decimal point, or leave the cell empty"};
    double value = column.convert(raw);
    if (column.counter) {
        double increment = std::numeric_limits<double>::quiet_NaN();
        if (auto fell = count_on(i, value, into, increment)) return fell;
        if (std::isnan(increment)) return std::nullopt;
        value = increment;
    }
    if (auto fault = wrong(column, value, text)) return fault;
    into[column.channel] = value;
    return std::nullopt;
}

std::optional<std::pair<std::size_t, Fault>> RowTaker::highest_below_lowest(const Observation& observation) const {
    constexpr std::array pairs{std::pair{Channel::air_temperature_max, Channel::air_temperature_min},
                               std::pair{Channel::relative_humidity_max, Channel::relative_humidity_min}};
    for (const auto& [highest, lowest] : pairs) {
        if (!(observation[highest] < observation[lowest])) continue;   // one that is missing is not below
        const auto high = std::ranges::find(rules_.columns, highest, &PlannedColumn::channel), low = std::ranges::find(rules_.columns, lowest, &PlannedColumn::channel);
        if (high->following != low->following) continue;               // of two intervals
        const auto unit = channel_names[std::size_t(highest)].unit;
        return std::pair{std::size_t(high - rules_.columns.begin()),
                         Fault{fmt::format("{}: {} {} is below {} with {} {}", high->name, decimal(observation[highest]), unit, low->name, decimal(observation[lowest]), unit),
                               "a highest is not below the lowest; check whether the two were exchanged"}};
    }
    return std::nullopt;
}

void RowTaker::refuse(const RowPlace& place, int column, Fault fault) {
    ++taken_.rows;
    ++taken_.refused;
    if (taken_.complaints.size() >= most_complaints) return;
    if (place.row > 0) fault.what = fmt::format("row {}: {}", place.row, fault.what);
    taken_.complaints.push_back({rules_.file, int(place.line), column, std::move(fault.what), std::move(fault.right)});
}

void RowTaker::keep(const Observation& observation, std::uint64_t bytes) {
    ++taken_.taken;
    batch_.push_back(observation);
    if (batch_.size() < batch_rows) return;
    flush();
    if (progress_) progress_(bytes, taken_.rows);
}

bool RowTaker::passed_over(const Observation& observation) const {
    return std::ranges::any_of(rules_.columns, [&](const PlannedColumn& c) { return c.needed && !observation.has(c.channel); });
}

void RowTaker::begin_counts() {
    for (std::size_t i = 0; i < last_.size(); ++i)
        if (std::isnan(last_[i].total)) last_[i] = next_[i];
}

void RowTaker::keep_shifted(Observation observation, std::uint64_t bytes) {
    Observation ahead(observation.ends, observation.ends + (observation.ends - observation.starts));
    bool told = false;
    for (const auto& column : rules_.columns) {
        if (!column.following) continue;
        told = told || observation.has(column.channel);
        ahead[column.channel] = observation[column.channel];
        observation[column.channel] = std::numeric_limits<double>::quiet_NaN();
    }
    if (ahead_ && ahead_->starts == observation.starts && ahead_->ends == observation.ends) {
        for (const auto& column : rules_.columns)
            if (column.following) observation[column.channel] = (*ahead_)[column.channel];
    } else if (ahead_) {
        keep(*ahead_, bytes);
    }
    ahead_ = told ? std::optional(ahead) : std::nullopt;
    keep(observation, bytes);
}

// The smallest step between neighbours among the first rows, so that a gap does not stretch an interval; an hour if none.
void RowTaker::find_step() {
    using std::chrono::seconds;
    seconds least = std::chrono::days(2);
    for (std::size_t i = 1; i < std::min(batch_.size(), step_rows); ++i) {
        auto gap = std::chrono::abs(batch_[i].ends - batch_[i - 1].ends);
        if (gap.count() > 0) least = std::min(least, gap);
    }
    step_ = least > std::chrono::days(1) ? seconds(3600) : least;
}

// 0 before the first row of a file.
std::chrono::seconds RowTaker::gap_before(std::size_t i) const {
    if (i > 0) return batch_[i].ends - batch_[i - 1].ends;
    return batch_before_ ? batch_[0].ends - *batch_before_ : std::chrono::seconds(0);
}

// Forecasts often go on in longer steps after some days, and some files in shorter ones. A shorter gap is a shorter step; two
// equal longer ones in a row are a longer step, while a single one is a hole.
std::chrono::seconds RowTaker::step_of(std::size_t i) const {
    const auto gap = gap_before(i);
    if (gap.count() <= 0 || gap > std::chrono::days(1)) return *step_;
    if (gap <= *step_) return gap;
    const auto earlier = i > 0 ? gap_before(i - 1) : gap_of_last_;
    const bool again = earlier == gap || (i + 1 < batch_.size() && gap_before(i + 1) == gap);
    return again ? gap : *step_;
}

namespace {

// A total that was not read for longer may have been out of use; it tells no rain of that time. Own assumption
constexpr std::chrono::days longest_hole{31};
// A logger of seconds would make millions of rows of a long hole, and nothing asks what fell in one of them. Own assumption
constexpr std::chrono::minutes long_hole_step{10};

}  // namespace

// Gives each step of a hole, and the row at its end, its part by time of what the total rose by. Rows in the hole that lack only this
// quantity get theirs; the answer is a row for each other step.
std::vector<Observation> RowTaker::shared_out(const Hole& hole, std::size_t row) {
    const auto channel = rules_.columns[hole.column].channel;
    const auto step = batch_[row].ends - batch_[row].starts, open = batch_[row].starts - hole.since;
    if (step.count() <= 0 || open.count() <= 0 || open < step / 2) return {};   // half a second is none in whole ones
    const bool too_long = open > longest_hole;
    const auto closes = rules_.time.days() ? batch_[row].starts : batch_[row].ends;   // a whole day's row is a reading of all of it
    taken_.holes.push_back({rules_.columns[hole.column].name, channel, hole.since, closes, too_long ? std::nullopt : std::optional(hole.rise)});
    if (too_long) {
        batch_[row][channel] = std::numeric_limits<double>::quiet_NaN();
        return {};
    }
    const double per_second = hole.rise / double((batch_[row].ends - hole.since).count());
    batch_[row][channel] = per_second * double(step.count());
    std::vector<Observation> added;
    const bool in_steps = open / step <= longest_hole / long_hole_step;
    const std::chrono::seconds shared = in_steps ? step : std::max<std::chrono::seconds>(step, long_hole_step);
    auto from = hole.since;
    for (auto at = row; from < batch_[row].starts;) {
        auto to = rules_.time.days() ? rules_.time.zone.end_of(rules_.time.zone.day_of(from)) : from + shared;
        if (batch_[row].starts - to < shared / 2) to = batch_[row].starts;
        const double part = per_second * double((to - from).count());
        while (at > 0 && batch_[at - 1].ends > hole.since) --at;   // the first row in the hole, should it hold any
        const auto same = std::find_if(batch_.begin() + std::ptrdiff_t(at), batch_.begin() + std::ptrdiff_t(row),
                                       [&](const Observation& o) { return in_steps && o.ends == to; });
        if (same != batch_.begin() + std::ptrdiff_t(row)) {
            (*same)[channel] = part;
        } else {
            added.emplace_back(from, to)[channel] = part;
        }
        from = to;
    }
    return added;
}

void RowTaker::share_out_holes() {
    std::vector<Observation> whole;
    std::size_t copied = 0, row = 0;
    for (const Hole& hole : holes_) {
        while (row < batch_.size() && batch_[row].ends != hole.ends) ++row;
        if (row == batch_.size()) break;
        const auto added = shared_out(hole, row);
        if (added.empty()) continue;
        whole.insert(whole.end(), batch_.begin() + std::ptrdiff_t(copied), batch_.begin() + std::ptrdiff_t(row));
        whole.insert(whole.end(), added.begin(), added.end());
        copied = row;
        taken_.taken += long(added.size());
    }
    holes_.clear();
    if (whole.empty()) return;
    whole.insert(whole.end(), batch_.begin() + std::ptrdiff_t(copied), batch_.end());
    batch_ = std::move(whole);
}

void RowTaker::flush() {
    if (batch_.empty()) return;
    if (!step_) find_step();
    for (std::size_t i = 0; i < batch_.size(); ++i)
        if (batch_[i].starts == batch_[i].ends) batch_[i].starts = batch_[i].ends - step_of(i);
    gap_of_last_ = gap_before(batch_.size() - 1);
    batch_before_ = batch_.back().ends;
    share_out_holes();
    for (auto& observation : batch_) {
        if (!energy_) continue;
        auto& flux = observation[Channel::surface_downwelling_shortwave_flux_in_air_mean];
        flux /= double((observation.ends - observation.starts).count());
    }
    if (sink_) sink_(batch_);
    batch_.clear();
}

void RowTaker::finish(std::uint64_t bytes) {
    if (const auto last = std::exchange(ahead_, std::nullopt)) keep(*last, bytes);
    flush();
    if (progress_) progress_(bytes, taken_.rows);
}

}  // namespace tubgrove
