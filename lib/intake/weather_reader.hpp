#pragma once
// Weather files of any size to observations, in bounded memory. A bad line is refused by itself with its number; the good
// ones are kept.
#include "intake/complaint.hpp"
#include "intake/configuration.hpp"
#include "weather.hpp"

#include <cstdint>
#include <functional>
#include <iosfwd>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tubgrove {

// Gets the observations in the file's order, some thousand at a time; the span lives only during the call.
using ObservationSink = std::function<void(std::span<const Observation>)>;
// Called now and then with how far the reading is; may be empty.
using WeatherProgress = std::function<void(std::uint64_t bytes, long rows)>;

// The first reading of a running total, which tells no increase by itself.
struct FirstCount {
    std::string column;
    Channel channel{};
    Instant ends{};
};

// A running total without a reading for some steps. Its rise, in the unit that is kept, is shared out evenly over them; empty: too long ago,
// nothing is told of that time. `ends`: where the reading that closes it lies, of whole days where its day begins.
struct CountedHole {
    std::string column;
    Channel channel{};
    Instant since{}, ends{};
    std::optional<double> rise;
};

struct WeatherTaken {
    long rows = 0;            // rows with data that were seen
    long taken = 0;           // observations given to the sink
    long refused = 0;         // rows refused, each whole: a line with one impossible value is not to be trusted
    Complaints complaints;    // the first hundred refusals and all faults of header or mapping
    bool usable = true;       // false: header or mapping could not be understood; nothing was taken
    std::vector<Channel> channels;   // what the file carries
    std::vector<FirstCount> first_counts;
    std::vector<CountedHole> holes;
};

// Our own CSV (RFC 4180): first column `time` (RFC 3339, the interval's end) or `day` (local date), then
// `CF name[:statistic] [unit]`. With `time` the interval is the smallest step between the first rows, an hour in a file
// of one row; where later rows come closer, or two in a row equally wider, it is theirs. `zone` is the site's: it bounds local days. A row that begins after `latest` is refused.
WeatherTaken read_weather_csv(std::istream& in, std::string_view file, const Zone& zone, const ObservationSink& sink,
                              const WeatherProgress& progress = {}, std::optional<Instant> latest = {});

// Any other layout, CSV or JSON, by a mapping of the configuration. A CSV whose mapping names all columns by number has no
// line of names (skip_lines skips one). With a separator other than the comma, a decimal comma is taken. A counter gives
// nothing in its first row; what it rose by over a gap of 31 days at most, in which rows that are passed over
// count as none, is shared out evenly over the gap's steps, or over ten minutes each where these would be too many.
// A JSON file with `rows` streams; one of columns of arrays is read whole and refused above 16 MiB.
WeatherTaken read_weather(std::istream& in, std::string_view file, const Mapping& mapping, const Zone& site_zone,
                          const ObservationSink& sink, const WeatherProgress& progress = {}, std::optional<Instant> latest = {});

// `max=31degC min=17degC rain=3mm`, or one of the words cool, usual, hot.
struct WeatherNote {
    std::string word;                        // cool | usual | hot, or empty
    std::vector<std::pair<Channel, double>> values;
};
Read<WeatherNote> parse_weather_note(std::span<const std::string> words);

}  // namespace tubgrove
