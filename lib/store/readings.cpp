#include "store/inside.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace tubgrove {

using namespace store;

namespace {

constexpr std::chrono::seconds longest_span = std::chrono::days(32);
constexpr std::array<std::string_view, 4> rung_words{"own_readings", "published", "by_hand", "normals"};

using Values = std::array<double, channel_count>;

// The columns stand in the order of Channel.
#define TUBGROVE_READING_COLUMNS                                                                              \
    "air_temperature_mean_degC, air_temperature_max_degC, air_temperature_min_degC, "                         \
    "dew_point_temperature_mean_degC, wet_bulb_temperature_mean_degC, relative_humidity_mean_pct, "           \
    "relative_humidity_max_pct, relative_humidity_min_pct, wind_speed_mean_m_s, wind_speed_of_gust_max_m_s, " \
    "surface_downwelling_shortwave_flux_in_air_mean_W_m2, duration_of_sunshine_sum_h, "                       \
    "precipitation_amount_sum_mm, air_pressure_mean_kPa"

constexpr const char* select_series_id =
    "SELECT id FROM series WHERE source = ? AND IFNULL (issued, -9223372036854775808) = IFNULL (?, "
    "-9223372036854775808)"
    " AND member = ?";
constexpr const char* insert_series = "INSERT INTO series (source, issued, member) VALUES (?, ?, ?)";
constexpr const char* insert_delivery =
    "INSERT INTO deliveries (series, rung, wind_height_m, learned, author) VALUES (?, ?, ?, ?, ?)";
constexpr const char* newest_end = "SELECT MAX (ends) FROM readings WHERE series = ?";
constexpr const char* newest_version =
    "SELECT readings.delivery, rung, wind_height_m, " TUBGROVE_READING_COLUMNS
    " FROM readings JOIN deliveries ON deliveries.id = readings.delivery"
    " WHERE readings.series = ? AND ends = ? AND span_s = ? ORDER BY readings.delivery DESC LIMIT 1";
constexpr const char* put_reading =
    "INSERT OR REPLACE INTO readings (series, ends, span_s, delivery, " TUBGROVE_READING_COLUMNS
    ")"
    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)";
constexpr const char* select_readings =
    "SELECT ends, span_s, delivery, " TUBGROVE_READING_COLUMNS
    " FROM readings"
    " WHERE series = ?1 AND ends > ?2 AND ends < ?3 AND ends - span_s < ?4 AND delivery <= ?5"
    " ORDER BY ends, span_s, delivery";
constexpr const char* select_first_reading =
    "SELECT ends - span_s FROM readings WHERE series = ?1 AND ends > ?2 AND ends - span_s < ?3 AND delivery <= ?4"
    " ORDER BY ends, span_s LIMIT 1";
constexpr const char* select_tellers =
    "SELECT ends - span_s, ends, author FROM readings JOIN deliveries ON deliveries.id = delivery"
    " WHERE readings.series = ?1 AND ends > ?2 AND ends < ?3 AND ends - span_s < ?4 AND delivery <= ?5 AND author <> ''"
    " ORDER BY ends, span_s, delivery";
constexpr const char* select_versions =
    "SELECT ends, span_s, source, issued, member, rung, wind_height_m, learned, " TUBGROVE_READING_COLUMNS
    " FROM series JOIN readings ON readings.series = series.id JOIN deliveries ON deliveries.id = delivery"
    " WHERE source = ? AND ends > ? AND ends <= ? ORDER BY issued, member, ends, span_s, delivery";

// Series of which anything was delivered by then; of forecasts none (0), those of each source's newest issue (1), or all (2).
constexpr const char* select_series = R"sql(
    WITH known AS (
      SELECT id, source, issued, member FROM series
      WHERE EXISTS (SELECT 1 FROM deliveries WHERE deliveries.series = series.id AND deliveries.id <= ?1)
        AND (issued IS NULL OR (?2 > 0 AND (?3 IS NULL OR issued <= ?3))))
    SELECT id, source, issued, member FROM known
    WHERE issued IS NULL OR ?2 = 2
      OR issued = (SELECT MAX (other.issued) FROM known AS other WHERE other.source = known.source)
    ORDER BY source, issued, member)sql";

Values values_in(const Query& row, int column) {
    Values values;
    for (std::size_t i = 0; i < channel_count; ++i) values[i] = row.real_or_nan(column + static_cast<int>(i));
    return values;
}

Rung rung_of(const std::string& word) {
    auto found = std::find(rung_words.begin(), rung_words.end(), word);
    return found == rung_words.end() ? Rung::normals : Rung(found - rung_words.begin());
}

std::int64_t seconds_of(const Observation& o) { return (o.ends - o.starts).count(); }

void require_interval(const Observation& o) {
    if (o.ends > o.starts && o.ends - o.starts <= longest_span) return;
    throw StoreRefusal(
        fmt::format("an observation from {} to {} is none: it must end after it starts, within 32 days",
                    format_rfc3339(o.starts, Zone::utc()), format_rfc3339(o.ends, Zone::utc())));
}

bool has_wind(const Observation& o) {
    return o.has(Channel::wind_speed_mean) || o.has(Channel::wind_speed_of_gust_max);
}

struct Version {
    std::int64_t delivery;
    Rung rung;
    double wind_height_m;
    Values values;
};

// What an observation adds to the version before it.
struct Merged {
    Values values;
    bool adds = false;         // a channel that was not reported before
    bool contradicts = false;  // a channel with another value than before
};

Merged merged(const Values& before, const Values& now) {
    Merged result{before};
    for (std::size_t i = 0; i < channel_count; ++i) {
        if (std::isnan(now[i]) || now[i] == before[i]) continue;
        (std::isnan(before[i]) ? result.adds : result.contradicts) = true;
        result.values[i] = now[i];
    }
    return result;
}

// One batch on its way in, inside the caller's write transaction.
class Intake {
public:
    Intake(SQLite::Database& database, const Series& series, Instant learned, std::string_view by)
        : database_(database), series_(series), learned_(learned), by_(by), id_(series_id()) {
        Query newest(database, newest_end);
        if (newest.bind(id_).next()) newest_end_ = newest.maybe_instant(0).value_or(Instant::min());
    }

    void take(const Observation& o) {
        require_interval(o);
        if (std::all_of(o.values.begin(), o.values.end(), [](double v) { return std::isnan(v); })) {
            ++counts_.empty;
            return;
        }
        // Files mostly continue where the last one ended: beyond the newest end there is nothing to look up.
        auto before = o.ends > newest_end_ ? std::nullopt : version_of(o);
        if (before) return revise(o, *before);
        write(o, o.values, delivery(series_.wind_height_m));
        newest_end_ = std::max(newest_end_, o.ends);
        ++counts_.fresh;
    }
    IngestCounts counts() const { return counts_; }

private:
    std::int64_t series_id() {
        Query find(database_, select_series_id);
        if (find.bind(series_.source, series_.issued, series_.member).next()) return find.integer(0);
        Query insert(database_, insert_series);
        insert.bind(series_.source, series_.issued, series_.member).run();
        return database_.getLastInsertRowid();
    }

    std::optional<Version> version_of(const Observation& o) {
        if (!newest_version_.bind(id_, o.ends, seconds_of(o)).next()) return std::nullopt;
        return Version{newest_version_.integer(0), rung_of(newest_version_.text(1)), newest_version_.real(2),
                       values_in(newest_version_, 3)};
    }

    void revise(const Observation& o, const Version& before) {
        double height_m = has_wind(o) ? series_.wind_height_m : before.wind_height_m;
        auto now = merged(before.values, o.values);
        bool moved = before.rung != series_.rung || before.wind_height_m != height_m;
        if (!now.adds && !now.contradicts && !moved) {
            ++counts_.same;
            return;
        }
        // Two lines of one batch may complete each other in one row; where they contradict, both stay findable.
        auto into = delivery(height_m);
        if (now.contradicts && into == before.delivery) into = new_delivery(height_m);
        write(o, now.values, into);
        ++counts_.changed;
    }

    // Deliveries come into being with the first row that needs one, so that a batch without news writes nothing.
    std::int64_t delivery(double wind_height_m) {
        auto known = deliveries_.find(wind_height_m);
        return known != deliveries_.end() ? known->second : new_delivery(wind_height_m);
    }
    std::int64_t new_delivery(double wind_height_m) {
        Query insert(database_, insert_delivery);
        insert.bind(id_, rung_words[std::size_t(series_.rung)], wind_height_m, learned_, by_).run();
        return deliveries_[wind_height_m] = database_.getLastInsertRowid();
    }

    void write(const Observation& o, const Values& values, std::int64_t delivery_id) {
        put_.bind(id_, o.ends, seconds_of(o), delivery_id, values).run();
    }

    SQLite::Database& database_;
    const Series& series_;
    Instant learned_;
    std::string_view by_;
    std::int64_t id_;
    Instant newest_end_ = Instant::min();
    std::map<double, std::int64_t> deliveries_;  // of this batch, by wind height
    Query newest_version_{database_, newest_version}, put_{database_, put_reading};
    IngestCounts counts_;
};

struct Setting {
    Rung rung;
    double wind_height_m;
};

// Ids of deliveries never fall as `learned` rises, so one id says all that was known at a moment.
std::int64_t last_delivery(const SQLite::Database& database, std::optional<Instant> learned_until) {
    Query query(database, "SELECT id FROM deliveries WHERE ?1 IS NULL OR learned <= ?1 ORDER BY id DESC LIMIT 1");
    return query.bind(learned_until).next() ? query.integer(0) : 0;
}

std::map<std::int64_t, Setting> settings_of(const SQLite::Database& database, std::int64_t series) {
    Query query(database, "SELECT id, rung, wind_height_m FROM deliveries WHERE series = ? ORDER BY id");
    query.bind(series);
    std::map<std::int64_t, Setting> settings;
    while (query.next()) settings.emplace(query.integer(0), Setting{rung_of(query.text(1)), query.real(2)});
    return settings;
}

// Puts each observation under the setting that it came with. A handful of settings: a linear search.
class BySetting {
public:
    BySetting(const Series& series, const std::map<std::int64_t, Setting>& settings)
        : series_(series), settings_(settings) {}

    void add(const Observation& o, std::int64_t delivery) {
        auto [rung, wind_height_m] = settings_.at(delivery);
        for (auto& part : parts_)
            if (part.series.rung == rung && part.series.wind_height_m == wind_height_m)
                return part.observations.push_back(o);
        auto series = series_;
        series.rung = rung;
        series.wind_height_m = wind_height_m;
        parts_.push_back({series, {o}});
    }
    std::vector<StoredReadings> take() { return std::move(parts_); }

private:
    Series series_;
    const std::map<std::int64_t, Setting>& settings_;
    std::vector<StoredReadings> parts_;
};

Observation observation_in(const Query& row, int ends, int values) {
    auto end = row.instant(ends);
    Observation o(end - std::chrono::seconds(row.integer(ends + 1)), end);
    o.values = values_in(row, values);
    return o;
}

// Versions of one interval follow each other, so each row waits until the next one is of another interval.
std::vector<StoredReadings> read_series(const SQLite::Database& database, std::int64_t id, const Series& series,
                                        const ReadingsQuery& query, std::int64_t until) {
    auto settings = settings_of(database, id);
    BySetting parts(series, settings);
    Query rows(database, select_readings);
    rows.bind(id, query.from, query.to + longest_span, query.to, until);
    std::optional<Observation> waiting;
    std::int64_t delivery = 0;
    while (rows.next()) {
        auto next = observation_in(rows, 0, 3);
        if (waiting && (next.ends != waiting->ends || next.starts != waiting->starts)) parts.add(*waiting, delivery);
        waiting = next;
        delivery = rows.integer(2);
    }
    if (waiting) parts.add(*waiting, delivery);
    return parts.take();
}

Series series_in(const Query& row, int source) {
    Series series;
    series.source = row.text(source);
    series.issued = row.maybe_instant(source + 1);
    series.member = static_cast<int>(row.integer(source + 2));
    return series;
}

struct KnownSeries {
    std::int64_t id;
    Series series;
};

bool says_temperature(const Observation& o) {
    return o.has(Channel::air_temperature_mean) || o.has(Channel::air_temperature_max) || o.has(Channel::air_temperature_min);
}

// What of a stretch of time the newer issues of a source leave open.
class Open {
public:
    Open(Instant from, Instant to) { if (from < to) gaps_.push_back({from, to}); }

    bool none() const { return gaps_.empty(); }
    Instant from() const { return gaps_.front().from; }
    Instant to() const { return gaps_.back().to; }
    bool touches(const Observation& o) const {
        return std::ranges::any_of(gaps_, [&](const Gap& gap) { return o.starts < gap.to && o.ends > gap.from; });
    }
    void close(std::span<const StoredReadings> issue) {
        std::vector<Gap> said;
        for (const auto& part : issue)
            for (const Observation& o : part.observations)
                if (says_temperature(o)) said.push_back({o.starts, o.ends});
        std::ranges::sort(said, {}, &Gap::from);
        std::vector<Gap> left;
        for (Gap gap : gaps_) {
            for (const Gap& one : said) {
                if (one.to <= gap.from) continue;
                if (one.from >= gap.to) break;
                if (one.from > gap.from) left.push_back({gap.from, one.from});
                gap.from = one.to;
                if (gap.from >= gap.to) break;
            }
            if (gap.from < gap.to) left.push_back(gap);
        }
        gaps_ = std::move(left);
    }

private:
    struct Gap {
        Instant from, to;
    };
    std::vector<Gap> gaps_;
};

// One source's forecasts, in order of issue.
std::vector<StoredReadings> read_standing(const SQLite::Database& database, std::span<const KnownSeries> of_source,
                                          const ReadingsQuery& query, std::int64_t until) {
    std::vector<StoredReadings> found;
    Open open(std::max(query.from, query.issued_until.value_or(query.from)), query.to);
    for (auto end = of_source.size(); end > 0;) {
        const auto issued = of_source[end - 1].series.issued;
        const bool newest = end == of_source.size();
        if (!newest && (open.none() || (query.issued_from && issued < query.issued_from))) break;
        auto part_of = query;
        if (!newest) part_of.from = open.from(), part_of.to = open.to();
        std::vector<StoredReadings> issue;
        for (; end > 0 && of_source[end - 1].series.issued == issued; --end)
            for (auto& part : read_series(database, of_source[end - 1].id, of_source[end - 1].series, part_of, until)) {
                if (!newest) std::erase_if(part.observations, [&](const Observation& o) { return !open.touches(o); });
                if (!part.observations.empty()) issue.push_back(std::move(part));
            }
        open.close(issue);
        std::ranges::move(issue, std::back_inserter(found));
    }
    return found;
}

// Series come by source, then by issue: which of them is a day's first.
class Days {
public:
    bool first_of(const Series& series) {
        const auto day = std::chrono::floor<std::chrono::days>(*series.issued);
        if (series.member != 0 || (series.source == source_ && day == day_)) return false;
        source_ = series.source;
        day_ = day;
        return true;
    }

private:
    std::string source_;
    std::chrono::sys_days day_{};
};

}  // namespace

IngestCounts Store::ingest(const Series& series, std::span<const Observation> observations, Instant learned,
                           Behind behind, std::string_view by) {
    if (observations.empty()) return {};
    return writing(*inside_, [&] {
        Intake intake(inside_->database, series, settle_learned(inside_->database, learned, behind), by);
        for (const auto& observation : observations) intake.take(observation);
        return intake.counts();
    });
}

std::vector<StoredReadings> Store::readings(const ReadingsQuery& query) const {
    return guarded(inside_->file, [&] {
        auto& database = inside_->database;
        const Snapshot snapshot(*inside_);
        auto until = last_delivery(database, query.learned_until);
        Query all(database, select_series);
        const int of_issues = query.forecasts == Forecasts::none ? 0 : query.forecasts == Forecasts::newest ? 1 : 2;
        all.bind(until, of_issues, query.issued_until);
        std::vector<StoredReadings> found;
        std::vector<KnownSeries> standing;
        const auto read_source = [&] {
            std::ranges::move(read_standing(database, standing, query, until), std::back_inserter(found));
            standing.clear();
        };
        Days days;
        while (all.next()) {
            auto series = series_in(all, 1);
            if (query.forecasts == Forecasts::standing && series.issued) {
                if (!standing.empty() && standing.front().series.source != series.source) read_source();
                standing.push_back({all.integer(0), std::move(series)});
                continue;
            }
            if (series.issued && query.issued_from && *series.issued < *query.issued_from) continue;
            if (query.forecasts == Forecasts::daily && series.issued && !days.first_of(series)) continue;
            for (auto& part : read_series(database, all.integer(0), series, query, until)) found.push_back(std::move(part));
        }
        read_source();
        return found;
    });
}

std::optional<Instant> Store::first_reading(Instant from, Instant to, std::optional<Instant> learned_until) const {
    return guarded(inside_->file, [&] {
        auto& database = inside_->database;
        const Snapshot snapshot(*inside_);
        auto until = last_delivery(database, learned_until);
        Query all(database, select_series), first(database, select_first_reading);
        all.bind(until, static_cast<int>(Forecasts::none), std::optional<Instant>());
        std::optional<Instant> oldest;
        while (all.next())
            if (first.bind(all.integer(0), from, to, until).next() && (!oldest || first.instant(0) < *oldest)) oldest = first.instant(0);
        return oldest;
    });
}

std::vector<Teller> Store::tellers(Instant from, Instant to, std::optional<Instant> learned_until) const {
    return guarded(inside_->file, [&] {
        auto& database = inside_->database;
        const Snapshot snapshot(*inside_);
        auto until = last_delivery(database, learned_until);
        Query all(database, select_series), told(database, select_tellers);
        all.bind(until, static_cast<int>(Forecasts::none), std::optional<Instant>());
        std::vector<Teller> found;
        while (all.next()) {
            told.bind(all.integer(0), from, to + longest_span, to, until);
            while (told.next()) found.push_back({told.instant(0), told.instant(1), told.text(2)});
        }
        return found;
    });
}

std::vector<ReadingVersion> Store::versions(std::string_view source, Instant from, Instant to) const {
    return guarded(inside_->file, [&] {
        Query rows(inside_->database, select_versions);
        rows.bind(source, from, to);
        std::vector<ReadingVersion> found;
        while (rows.next()) {
            auto series = series_in(rows, 2);
            series.rung = rung_of(rows.text(5));
            series.wind_height_m = rows.real(6);
            found.push_back({series, observation_in(rows, 0, 8), rows.instant(7)});
        }
        return found;
    });
}

}  // namespace tubgrove
