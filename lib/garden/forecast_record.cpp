#include "garden/forecast_record.hpp"

#include "garden/past.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

// What was read of each day, the best rung first for each quantity.
std::map<LocalDay, DayValues> days_read(std::span<const StoredReadings> stored, const Zone& zone) {
    std::map<LocalDay, DayValues> days;
    for (Rung rung : {Rung::own_readings, Rung::published, Rung::by_hand})
        for (const auto& readings : stored) {
            if (readings.series.issued || readings.series.rung != rung) continue;
            for (const auto& [day, values] : days_of(readings.observations, zone)) {
                auto& known = days.emplace(day, no_values).first->second;
                for (std::size_t q = 0; q < foreseen_count; ++q)
                    if (std::isnan(known[q])) known[q] = values[q];
            }
        }
    return days;
}

std::string key_of(const Store& store, const View& view, const Zone& zone) {
    const auto mark = store.input_mark(learned_until(view));
    return format_day(zone.day_of(view.now)) + "/" + std::to_string(mark.delivery) + (view.hindsight ? "/hindsight" : "");
}

}  // namespace

const std::map<std::string, SourceRecord>& forecast_record(ForecastKnowledge& knowledge, const Store& store, const View& view,
                                                           const Zone& zone) {
    const auto key = key_of(store, view, zone);
    if (key == knowledge.key) return knowledge.known;
    const auto today = zone.day_of(view.now);
    const auto first = today - std::chrono::days(int(knowledge.figures[FigureKey::forecast_history_d]));
    const auto stored = store.readings({.from = zone.start_of(first), .to = zone.start_of(today), .learned_until = learned_until(view),
                                        .issued_until = view.now, .issued_from = zone.start_of(first), .forecasts = Forecasts::daily});
    knowledge.read = days_read(stored, zone);
    const auto& read = knowledge.read;
    knowledge.known.clear();
    for (const auto& readings : stored) {
        if (!readings.series.issued) continue;
        const auto issued_day = zone.day_of(*readings.series.issued);
        auto& record = knowledge.known[readings.series.source];
        for (const auto& [day, values] : days_of(readings.observations, zone)) {
            const auto came = read.find(day);
            // The day of issue had begun: what was forecast of it is in part what had been seen.
            if (came == read.end() || day < issued_day || day >= today) continue;
            record.compared.push_back({.lead = int((day - issued_day).count()), .day = day, .forecast = values, .came = came->second});
        }
    }
    for (auto& [source, record] : knowledge.known) record.errors = learn(record.compared, knowledge.figures);
    knowledge.key = key;
    return knowledge.known;
}

ForecastErrors errors_of(const ForecastKnowledge& knowledge, const std::string& source) {
    const auto found = knowledge.known.find(source);
    return found == knowledge.known.end() ? learn({}, knowledge.figures) : found->second.errors;
}

}  // namespace tubgrove
