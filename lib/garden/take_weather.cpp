// Use cases of weather: files in, values by hand, day records out.
#include "garden/inside.hpp"
#include "garden/past.hpp"
#include "garden/round_notices.hpp"
#include "garden/weather_seen.hpp"
#include "garden/weather_told.hpp"
#include "intake/quantity.hpp"
#include "intake/weather_json.hpp"
#include "intake/weather_reader.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <iterator>
#include <sstream>

namespace tubgrove {
namespace {

constexpr std::string_view by_hand_source = "by hand";

const Mapping* find_mapping(const Configuration& configuration, std::string_view name) {
    auto found = std::ranges::find(configuration.mappings, name, &Mapping::name);
    return found == configuration.mappings.end() ? nullptr : &*found;
}

Refusal no_mapping(const Configuration& configuration, std::string_view name) {
    std::vector<std::string> names;
    for (const auto& mapping : configuration.mappings) names.push_back(mapping.name);
    return {"the configuration has no weather mapping " + tubgrove::quoted(name),
            names.empty() ? "a mapping under `weather:`" : "one of " + one_of(names)};
}

// A file that is not in our own layout may be one that the configuration explains.
std::string mappings_hint(const Configuration& configuration) {
    std::string names;
    for (const auto& mapping : configuration.mappings) names += (names.empty() ? "" : ", ") + mapping.name;
    return "a file in another layout needs its mapping named, and there " + std::string(configuration.mappings.size() == 1 ? "is " : "are ") + names;
}

Series series_of(const WeatherFile& file, const Mapping* mapping, const Site& site) {
    Series series;
    series.source = !file.source.empty() ? file.source
                    : mapping            ? mapping->name
                    : file.name == "-"   ? "standard-input"
                                         : std::filesystem::path(file.name).stem().string();
    series.rung = file.issued ? Rung::published : mapping ? mapping->rung : Rung::own_readings;
    series.issued = file.issued;
    series.member = file.member;
    series.wind_height_m = metres(mapping ? mapping->wind_height : site.wind_height);
    return series;
}

// Values by hand as series: what fell into a gauge in the garden is a reading like any other; highest and lowest read off
// by a person stand below what somebody publishes.
std::vector<std::pair<Series, Observation>> by_hand(const WeatherNote& note, const Observation& day) {
    std::vector<std::pair<Series, Observation>> delivered;
    Observation air = day, gauge = day;
    bool any_air = false, any_rain = false;
    for (const auto& [channel, value] : note.values) {
        bool rain = channel == Channel::precipitation_amount_sum;
        (rain ? gauge : air)[channel] = value;
        (rain ? any_rain : any_air) = true;
    }
    Series series;
    series.source = by_hand_source;
    series.rung = Rung::by_hand;
    if (any_air) delivered.emplace_back(series, air);
    series.source = gauge_by_hand;
    series.rung = Rung::own_readings;
    if (any_rain) delivered.emplace_back(series, gauge);
    return delivered;
}

// A running total that goes on in a further file loses what fell between the files, unless the file begins with the last row
// of the one before; then that row is known already, and nothing is said.
std::optional<std::string> lost_between(const Store& store, const Series& series, const FirstCount& first, const Zone& zone) {
    constexpr std::chrono::days memory{40};
    ReadingsQuery query{.from = first.ends - memory, .to = first.ends, .learned_until = {}, .issued_until = {}, .forecasts = Forecasts::none};
    std::optional<Instant> newest;
    for (const auto& readings : store.readings(query)) {
        if (readings.series.source != series.source) continue;
        for (const auto& observation : readings.observations)
            if (observation.has(first.channel) && observation.ends <= first.ends && (!newest || observation.ends > *newest))
                newest = observation.ends;
    }
    if (!newest || *newest == first.ends) return std::nullopt;
    const auto moment = [&](Instant t) { return format_day(zone.day_of(t)) + " " + format_clock(zone.local(t)); };
    return first.column + ": this file's first reading of the running total tells no increase, so that what came between " +
           moment(*newest) + " and " + moment(first.ends) +
           " is not known. A file that begins with the last row of the one before loses nothing.";
}

// What was made of a running total over hours in which nobody read it; of many such gaps the first ones.
void tell_holes(std::vector<std::string>& remarks, std::span<const CountedHole> holes, const Zone& zone) {
    constexpr std::size_t most = 5;
    const auto moment = [&](Instant t) { return format_day(zone.day_of(t)) + " " + format_clock(zone.local(t)); };
    for (const auto& hole : holes.first(std::min(holes.size(), most))) {
        const auto unit = std::string(channel_names[std::size_t(hole.channel)].unit);
        remarks.push_back(hole.column + ": no reading between " + moment(hole.since) + " and " + moment(hole.ends) + "; " +
                          (!hole.rise      ? "that is too long for its running total to tell that time."
                           : *hole.rise > 0 ? "what its running total rose by, " + decimal(std::round(*hole.rise * 1000) / 1000) + " " + unit + ", is shared out evenly."
                                            : "its running total stood still, so that time has none."));
    }
    if (holes.size() > most) remarks.push_back("The running total has " + std::to_string(holes.size() - most) + " more such gaps.");
}

// A forecast, by its mapping. Clocks differ a little: what says that it comes from the future was issued now.
Outcome<IngestAnswer> add_forecast(Garden& garden, const View& view, std::istream& in, const WeatherFile& file, const std::string& issued) {
    auto forecast = file;
    forecast.issued = view.now;
    if (!issued.starts_with('/')) return garden.weather_add(view, in, forecast);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    const auto said = issued_in(text, issued, garden.zone());
    if (!good(said)) return Refusal{fault(said).what, fault(said).right};
    forecast.issued = std::min(*good(said), view.now);
    std::istringstream again(text);
    return garden.weather_add(view, again, forecast);
}

// Each name once a day from `first` to `last`, in the order in which they came. A reading is of the day in which its middle lies.
std::map<LocalDay, std::vector<std::string>> names_by_day(const std::vector<Teller>& tellers, const Zone& zone, LocalDay first, LocalDay last) {
    std::map<LocalDay, std::vector<std::string>> names;
    for (const auto& teller : tellers) {
        const auto day = zone.day_of(teller.starts + (teller.ends - teller.starts) / 2);
        if (day < first || day > last) continue;
        auto& known = names[day];
        if (std::ranges::find(known, teller.by) == known.end()) known.push_back(teller.by);
    }
    return names;
}

void add(IngestAnswer& answer, const IngestCounts& counts) {
    answer.fresh += counts.fresh;
    answer.same += counts.same;
    answer.changed += counts.changed;
    answer.empty += counts.empty;
}

}  // namespace

Outcome<IngestAnswer> Garden::weather_add(const View& view, std::istream& in, const WeatherFile& file) {
    const auto& configuration = inside_->configuration;
    const auto* mapping = file.mapping.empty() ? nullptr : find_mapping(configuration, file.mapping);
    if (!file.mapping.empty() && !mapping) return no_mapping(configuration, file.mapping);
    if (mapping && !mapping->issued.empty() && !file.issued) return add_forecast(*this, view, in, file, mapping->issued);
    if (file.issued && *file.issued > view.now) return Refusal{"a forecast cannot be issued in the future", "a time of issue that has passed"};
    if (auto refusal = inside_->too_far_ahead(view)) return *refusal;
    auto series = series_of(file, mapping, configuration.site);
    IngestAnswer answer{.source = series.source, .refused = {}, .remarks = {}};
    // Clocks of stations and of this machine differ a little. A clock that cannot be right refuses nothing.
    constexpr std::chrono::hours clocks_differ{1};
    const bool foreseen = file.issued || implausible_clock(view.now, inside_->store.newest_learned());
    const auto latest = foreseen ? std::nullopt : std::optional(view.now + clocks_differ);
    auto behind = view.replay ? Behind::refuse : Behind::lift;
    auto sink = [&](std::span<const Observation> batch) { add(answer, inside_->store.ingest(series, batch, view.now, behind, view.by)); };
    auto progress = [&](std::uint64_t, long rows) { if (file.progress) file.progress(rows); };
    try {
        auto taken = mapping ? read_weather(in, file.name, *mapping, inside_->zone, sink, progress, latest)
                             : read_weather_csv(in, file.name, inside_->zone, sink, progress, latest);
        if (!taken.usable) {
            auto refusal = refusal_of(taken.complaints);
            if (!mapping && !configuration.mappings.empty()) refusal.right += (refusal.right.empty() ? "" : "; ") + mappings_hint(configuration);
            return refusal;
        }
        for (const auto& first : taken.first_counts)
            if (auto lost = lost_between(inside_->store, series, first, inside_->zone)) answer.remarks.push_back(std::move(*lost));
        tell_holes(answer.remarks, taken.holes, inside_->zone);
        if (answer.empty > 0)
            answer.remarks.push_back(std::to_string(answer.empty) + (answer.empty == 1 ? " row holds no value and was" : " rows hold no value and were") + " passed over");
        answer.refused_count = taken.refused;
        for (const auto& complaint : taken.complaints) answer.refused.push_back(format(complaint));
    } catch (const LearnedBehind& behind_error) {
        return learned_behind(view, inside_->zone, behind_error);
    }
    return answer;
}

Outcome<IngestAnswer> Garden::weather_note(const View& view, std::span<const std::string> words, std::optional<LocalDay> day) {
    auto note = parse_weather_note(words);
    if (!note.ok()) return refusal_of(note.complaints);
    if (auto refusal = inside_->too_far_ahead(view)) return *refusal;
    auto on = day.value_or(inside_->zone.day_of(view.now));
    if (inside_->zone.start_of(on) > view.now + std::chrono::days(10))
        return Refusal{format_day(on) + " is too far ahead for a value by hand", "a day up to ten days from now"};
    const auto is_rain = [](const auto& value) { return value.first == Channel::precipitation_amount_sum; };
    if (inside_->zone.start_of(on) > view.now && std::ranges::any_of(note.value.values, is_rain))
        return Refusal{"the rain of " + format_day(on) + " has not fallen yet", "a day that has begun; what is expected comes with a forecast"};
    IngestAnswer answer{.source = std::string(by_hand_source), .refused = {}, .remarks = {}};
    try {
        for (const auto& [series, observation] : by_hand(note.value, {inside_->zone.start_of(on), inside_->zone.end_of(on)}))
            add(answer, inside_->store.ingest(series, {&observation, 1}, view.now, view.replay ? Behind::refuse : Behind::lift, view.by));
    } catch (const LearnedBehind& behind) {
        return learned_behind(view, inside_->zone, behind);
    }
    if (const auto wrong = highest_below_lowest(inside_->store, by_hand_source, inside_->zone.start_of(on), inside_->zone.end_of(on)))
        answer.remarks.push_back(format_day(on) + ": " + *wrong);
    if (!note.value.word.empty()) {
        auto entry = inside_->entry(view, {}, "weather");
        entry.when = std::min(inside_->zone.start_of(on), view.now);
        entry.values["feel"] = note.value.word;
        auto written = inside_->write(view, {entry});
        if (auto* refusal = std::get_if<Refusal>(&written)) return *refusal;
        ++answer.fresh;
    }
    return answer;
}

Outcome<WeatherAnswer> Garden::weather_show(const View& view, std::optional<LocalDay> from, std::optional<LocalDay> to) {
    auto today = inside_->zone.day_of(view.now);
    auto last = to.value_or(today);
    auto first = from.value_or(last - std::chrono::days(6));
    if (first > last) return Refusal{"the first day is after the last", "from before to"};
    if (last - first > std::chrono::days(3660)) return Refusal{"more than ten years at once", "a shorter span"};
    auto seen = weather_seen(inside_->store, view, inside_->configuration, inside_->zone, {first, last}, inside_->forecasts, WeatherMembers::middle);
    const auto tellers = inside_->store.tellers(inside_->zone.start_of(first), inside_->zone.end_of(last), learned_until(view));
    return WeatherAnswer{std::move(seen.members.front()), names_by_day(tellers, inside_->zone, first, last)};
}

}  // namespace tubgrove
