// Use case: how good each source's forecasts were here.
#include "garden/inside.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

constexpr std::chrono::days hindcast_days{30};

bool read(const DayRecord& day) {
    return day.complete && (day.rung == Rung::own_readings || day.rung == Rung::published);
}

// Each of the past mornings is looked ahead from again, with what was known on it.
std::vector<Verified> et0_hindcast(const Garden::Inside& inside, const View& view) {
    const auto today = inside.zone.day_of(view.now);
    const LocalDay first = today - hindcast_days, last = today - std::chrono::days(1);
    const auto came = weather_seen(inside.store, view, inside.configuration, inside.zone, {first - std::chrono::days(1), last}, inside.forecasts,
                                   WeatherMembers::middle).members.front();
    const auto of_day = [&](LocalDay day) -> const DayRecord& { return came[std::size_t((day - came.front().day).count())]; };
    std::vector<ForeseenDay> days;
    for (auto morning = first; morning <= last; morning += std::chrono::days(1)) {
        View then{.now = morning_walk(inside.configuration.walks, inside.zone, morning).issues, .replay = true};
        ForecastKnowledge knowledge{.figures = inside.tables.figures};
        const auto seen = weather_seen(inside.store, then, inside.configuration, inside.zone, {morning, std::min(last, morning + std::chrono::days(leads - 1))}, knowledge);
        if (!seen.has_forecast) continue;
        const auto& before = of_day(morning - std::chrono::days(1));
        for (std::size_t d = 0; d < seen.members.front().size(); ++d) {
            const auto& foreseen = seen.members.front()[d];
            const auto& day = of_day(foreseen.day);
            if (foreseen.rung != Rung::published || !read(day)) continue;
            std::vector<double> et0;
            for (const auto& member : seen.members) et0.push_back(member[d].et0_mm);
            days.push_back({.lead = int(d), .low = sample_quantile(et0, 0.1), .middle = foreseen.et0_mm, .high = sample_quantile(et0, 0.9), .came = day.et0_mm,
                            .same = read(before) ? before.et0_mm : NAN});
        }
    }
    return tally(days);
}

}  // namespace

Outcome<ForecastsAnswer> Garden::forecasts(const View& view) {
    auto& inside = *inside_;
    const auto& figures = inside.tables.figures;
    const auto today = inside.zone.day_of(view.now);
    ForecastsAnswer answer{.from = today - std::chrono::days(int(figures[FigureKey::forecast_history_d])), .to = today - std::chrono::days(1),
                           .sources = {}, .et0 = et0_hindcast(inside, view)};
    for (const auto& [source, record] : forecast_record(inside.forecasts, inside.store, view, inside.zone))
        answer.sources.push_back({.source = source, .lines = verify(record.compared, inside.forecasts.read, figures), .newest_issue = {}, .stale = false});
    const auto newest = inside.store.readings({.from = view.now - std::chrono::days(40), .to = view.now + std::chrono::days(40),
                                               .learned_until = learned_until(view), .issued_until = view.now, .forecasts = Forecasts::newest});
    const std::chrono::hours stale(std::lround(24 * figures[FigureKey::forecast_stale_d]));
    for (const auto& readings : newest) {
        if (!readings.series.issued) continue;
        auto line = std::ranges::find(answer.sources, readings.series.source, &SourceVerified::source);
        if (line == answer.sources.end())
            line = answer.sources.insert(line, {.source = readings.series.source, .lines = {}, .newest_issue = {}, .stale = false});
        line->newest_issue = readings.series.issued;
        line->stale = view.now - *readings.series.issued > stale;
    }
    return answer;
}

}  // namespace tubgrove
