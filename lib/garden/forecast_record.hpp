#pragma once
// How good each source's forecasts were here: what was issued, day by day, beside what was read later. Private to this room.
#include "ahead/forecast_errors.hpp"
#include "garden/answers.hpp"
#include "store/store.hpp"

#include <map>
#include <string>
#include <vector>

namespace tubgrove {

struct SourceRecord {
    std::vector<Compared> compared;          // one issue a day, the day's first; of several members the first
    ForecastErrors errors;
};

// Learned once for a day and what had been delivered by then; `known` may be dropped at any time.
struct ForecastKnowledge {
    const Figures& figures;
    std::string key = {};
    std::map<std::string, SourceRecord> known = {};
    std::map<LocalDay, DayValues> read = {};     // of the same days
    std::string heat_key = {};
    std::map<LocalDay, double> highest = {};     // of days around the present in earlier years, degC
};

// By source, over the days before the view's that config/ahead.yaml says. A source without a record is not among them.
const std::map<std::string, SourceRecord>& forecast_record(ForecastKnowledge&, const Store&, const View&, const Zone&);
// Of a source: its record's, or the prior alone.
ForecastErrors errors_of(const ForecastKnowledge&, const std::string& source);

}  // namespace tubgrove
