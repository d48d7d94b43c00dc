// Use case: how good each source's forecasts were here.
#include "garden/inside.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

Outcome<ForecastsAnswer> Garden::forecasts(const View& view) {
    auto& inside = *inside_;
    const auto& figures = inside.tables.figures;
    const auto today = inside.zone.day_of(view.now);
    ForecastsAnswer answer{.from = today - std::chrono::days(int(figures[FigureKey::forecast_history_d])), .to = today - std::chrono::days(1),
                           .sources = {}};
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
