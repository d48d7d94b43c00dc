#include "climate/hours.hpp"

#include <algorithm>
#include <tuple>

namespace tubgrove {

namespace {

constexpr std::chrono::seconds longest_hourly{6 * 3600}, longest_daily{36 * 3600};
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

enum class Statistic { mean, max, min, sum };

Statistic statistic_of(std::size_t channel) {
    const std::string_view word = channel_names[channel].statistic;
    return word == "max"   ? Statistic::max
           : word == "min" ? Statistic::min
           : word == "sum" ? Statistic::sum
                           : Statistic::mean;
}

Values no_values() {
    Values values;
    values.fill(nan);
    return values;
}

// Order that does not depend on how the observations came; NaN sorts before every number.
bool earlier(const Observation& a, const Observation& b) {
    if (a.starts != b.starts || a.ends != b.ends) return std::tie(a.starts, a.ends) < std::tie(b.starts, b.ends);
    const auto number_less = [](double x, double y) { return std::isnan(x) ? !std::isnan(y) : x < y; };
    return std::lexicographical_compare(a.values.begin(), a.values.end(), b.values.begin(), b.values.end(),
                                        number_less);
}

// Observations of one and the same interval become one: the mean of what they report.
Observation merged(std::span<const Observation> same) {
    Observation result = same.front();
    for (std::size_t c = 0; c < channel_count; ++c) {
        double sum = 0;
        int count = 0;
        for (const Observation& observation : same)
            if (!std::isnan(observation.values[c])) sum += observation.values[c], ++count;
        if (count > 1)
            result.values[c] = sum / count;
        else if (count == 1)
            result.values[c] = sum;
    }
    return result;
}

// Adds up what falls into one hour or day. Means are weighted by time, sums shared out by time.
class Gathering {
public:
    void add(const Observation& observation, double seconds, double of_seconds) {
        for (std::size_t c = 0; c < channel_count; ++c) {
            const double value = observation.values[c];
            if (std::isnan(value)) continue;
            const bool first = seconds_[c] == 0;
            switch (statistic_of(c)) {
                case Statistic::mean:
                    total_[c] += value * seconds;
                    break;
                case Statistic::sum:
                    total_[c] += value * (seconds / of_seconds);
                    break;
                case Statistic::max:
                    total_[c] = first ? value : std::max(total_[c], value);
                    break;
                case Statistic::min:
                    total_[c] = first ? value : std::min(total_[c], value);
                    break;
            }
            seconds_[c] += seconds;
        }
    }

    // Values of an hour of `length_s`: at least half of it must have been seen. Intervals that overlap are not
    // counted twice; sunshine is scaled up to a whole hour, rain is not.
    Values of_hour(double length_s) const {
        Values values = no_values();
        for (std::size_t c = 0; c < channel_count; ++c) {
            const double seen = seconds_[c] / length_s;
            if (seen < 0.5) continue;
            const bool sunshine = Channel(c) == Channel::duration_of_sunshine_sum;
            if (statistic_of(c) == Statistic::mean)
                values[c] = total_[c] / seconds_[c];
            else if (statistic_of(c) == Statistic::sum)
                values[c] = total_[c] / (sunshine ? seen : std::max(1.0, seen));
            else
                values[c] = total_[c];
        }
        return values;
    }

    // Values of a day, from intervals that were booked to it whole.
    Values of_day() const {
        Values values = no_values();
        for (std::size_t c = 0; c < channel_count; ++c)
            if (seconds_[c] > 0) values[c] = statistic_of(c) == Statistic::mean ? total_[c] / seconds_[c] : total_[c];
        return values;
    }

private:
    std::array<double, channel_count> total_{}, seconds_{};
};

int hour_at(const Calendar& calendar, Instant t) {
    const auto after = std::upper_bound(calendar.hours.begin(), calendar.hours.end(), t,
                                        [](Instant moment, const Stretch& hour) { return moment < hour.starts; });
    return int(after - calendar.hours.begin()) - 1;
}

using Gatherings = std::map<int, Gathering>;

void gather_hours(const Observation& observation, const Calendar& calendar, Gatherings& hours) {
    const double of_seconds = double((observation.ends - observation.starts).count());
    for (int place = std::max(0, hour_at(calendar, observation.starts)); place < int(calendar.hours.size());
         ++place) {
        const Stretch& hour = calendar.hours[place];
        if (hour.starts >= observation.ends) break;
        const auto overlap = std::min(ends_of(hour), observation.ends) - std::max(hour.starts, observation.starts);
        if (overlap.count() > 0) hours[place].add(observation, double(overlap.count()), of_seconds);
    }
}

// Readings come in order of time, so that of equal gusts the first one stays.
void note_gust(const Observation& observation, const Calendar& calendar, std::map<int, GustSeen>& gusts) {
    const double m_s = observation.values[std::size_t(Channel::wind_speed_of_gust_max)];
    if (std::isnan(m_s)) return;
    for (int place : {hour_at(calendar, observation.starts), hour_at(calendar, observation.ends - std::chrono::seconds(1))}) {
        if (place < 0 || place >= int(calendar.hours.size())) continue;
        auto& day = gusts.try_emplace(calendar.day_of[place], GustSeen{-1, {}}).first->second;
        if (m_s > day.m_s) day = {m_s, {observation.starts, observation.ends}};
    }
}

// An interval of several days, such as a gauge read once a week: its sums are shared out, its means hold for each
// day, and its extremes belong to no day in particular.
void gather_days(const Observation& observation, const Calendar& calendar, Gatherings& days) {
    const double of_seconds = double((observation.ends - observation.starts).count());
    for (int day = 0; day < int(calendar.days.size()); ++day) {
        const Instant day_ends = day + 1 < int(calendar.days.size()) ? calendar.starts(day + 1) : calendar.ends();
        const auto overlap =
            std::min(day_ends, observation.ends) - std::max(calendar.starts(day), observation.starts);
        if (overlap.count() <= 0) continue;
        Observation part = observation;
        for (std::size_t c = 0; c < channel_count; ++c)
            if (statistic_of(c) == Statistic::max || statistic_of(c) == Statistic::min) part.values[c] = nan;
        days[day].add(part, double(overlap.count()), of_seconds);
    }
}

void gather_day(const Observation& observation, const Calendar& calendar, Gatherings& days) {
    if (observation.ends - observation.starts > longest_daily) return gather_days(observation, calendar, days);
    const Instant middle = observation.starts + (observation.ends - observation.starts) / 2;
    if (middle < calendar.hours.front().starts || middle >= calendar.ends()) return;
    const double seconds = double((observation.ends - observation.starts).count());
    days[calendar.day_of[hour_at(calendar, middle)]].add(observation, seconds, seconds);
}

// A reading without a duration speaks for the hour that it ends.
Observation with_duration(Observation observation) {
    if (observation.starts == observation.ends) observation.starts -= std::chrono::hours(1);
    return observation;
}

SeriesTable table_of(const Series& series, std::vector<Observation> observations, const Calendar& calendar) {
    SeriesTable table;
    table.series = series;
    std::sort(observations.begin(), observations.end(), earlier);
    Gatherings hours, days;
    for (std::size_t i = 0, next = 0; i < observations.size(); i = next) {
        for (next = i; next < observations.size() && observations[next].starts == observations[i].starts &&
                       observations[next].ends == observations[i].ends;)
            ++next;
        const Observation one = merged({&observations[i], next - i});
        const bool hourly = one.ends - one.starts <= longest_hourly;
        hourly ? gather_hours(one, calendar, hours) : gather_day(one, calendar, days);
        if (hourly) note_gust(one, calendar, table.gusts);
        const int at = hour_at(calendar, one.starts);
        if (next - i > 1 && at >= 0) table.doubled.push_back(calendar.day_of[at]);
    }
    if (!hours.empty()) {
        table.first_hour = hours.begin()->first;
        table.hours.assign(hours.rbegin()->first - table.first_hour + 1, no_values());
    }
    for (const auto& [place, gathering] : hours)
        table.hours[place - table.first_hour] = gathering.of_hour(3600 * calendar.hours[place].length_h);
    for (const auto& [place, gathering] : days) table.days[place] = gathering.of_day();
    return table;
}

auto rank(const SeriesReadings& part) {
    const Series& s = part.series;
    const auto issued = s.issued ? -s.issued->time_since_epoch().count() : 0;
    return std::make_tuple(s.rung, s.issued.has_value(), part.preference, issued, s.source, s.member, s.wind_height_m);
}

}  // namespace

Instant ends_of(const Stretch& hour) { return hour.starts + std::chrono::seconds(std::lround(3600 * hour.length_h)); }

Instant Calendar::ends() const { return ends_of(hours.back()); }

Calendar calendar_of(const Zone& zone, DaySpan span) {
    Calendar calendar;
    for (LocalDay day = span.first; day <= span.last; day += std::chrono::days(1)) {
        calendar.days.push_back(day);
        calendar.first_hour.push_back(int(calendar.hours.size()));
        const Instant ends = zone.end_of(day);
        for (Instant hour = zone.start_of(day); hour < ends; hour += std::chrono::hours(1)) {
            const auto length = std::min(ends - hour, std::chrono::seconds(3600));
            calendar.hours.push_back({hour, double(length.count()) / 3600});
            calendar.day_of.push_back(int(calendar.days.size()) - 1);
        }
    }
    calendar.first_hour.push_back(int(calendar.hours.size()));
    return calendar;
}

bool SeriesTable::touches(const Calendar& calendar, int day) const {
    const int from = calendar.first_hour[day], to = calendar.first_hour[day + 1];
    return days.contains(day) || (from < first_hour + int(hours.size()) && to > first_hour);
}

std::vector<SeriesTable> tables_of(std::span<const SeriesReadings> readings, const Calendar& calendar) {
    std::map<decltype(rank({})), std::pair<Series, std::vector<Observation>>> parts;
    std::map<decltype(rank({})), std::vector<int>> upside_down;
    for (const SeriesReadings& part : readings) {
        auto& [series, observations] = parts[rank(part)];
        series = part.series;
        for (const Observation& observation : part.observations) {
            if (observation.ends < calendar.hours.front().starts || observation.starts > calendar.ends()) continue;
            if (observation.ends < observation.starts)
                upside_down[rank(part)].push_back(calendar.day_of[hour_at(calendar, observation.ends)]);
            else
                observations.push_back(with_duration(observation));
        }
    }
    std::vector<SeriesTable> tables;
    for (auto& [key, part] : parts) {
        tables.push_back(table_of(part.first, std::move(part.second), calendar));
        tables.back().upside_down = upside_down[key];
    }
    return tables;
}

}  // namespace tubgrove
