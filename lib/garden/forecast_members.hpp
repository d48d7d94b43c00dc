#pragma once
// What the forecasts of all sources become as members of the weather. Private to this room.
#include "ahead/spread.hpp"
#include "climate/complete.hpp"
#include "garden/forecast_record.hpp"

#include <deque>
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

// The day on which two sources lie furthest apart, where even their ranges from the 10th to the 90th percentile do not meet.
struct ForecastsDiffer {
    LocalDay day{};
    std::string warm, cool;                  // sources
    double warm_degC = 0, cool_degC = 0;     // the day's highest, each source's middle
    double warm_share = 0;                   // of the members
};

// Each source that speaks of what lies ahead is judged by itself: one without members of its own is spread by its errors here, one
// with members gives those. Alone a source has all members; several share them by how far each erred. Member 0 is the middle of
// the source that counts most. What a member's own source does not speak of, the others tell it, in the order of their shares.
class ForecastMembers {
public:
    // `stored` must outlive this; readings that are no forecasts are passed by.
    ForecastMembers(std::span<const StoredReadings> stored, Instant now, const ForecastKnowledge&, const SpreadPlace&);

    int count() const { return 1 + members_; }
    // The forecasts of one member; the readings made for it are put into `made` and must outlive its use.
    std::vector<SeriesReadings> of(int member, std::deque<std::vector<Observation>>& made) const;
    std::optional<ForecastsDiffer> differ(const DaySpan&) const;

private:
    struct Issue {
        Instant issued{};
        std::vector<const StoredReadings*> parts;
        int members = 0;
    };
    struct Source {
        std::string name;
        ForecastErrors errors;
        std::vector<Issue> issues;           // newest first
        int share = 0;                       // of the members
        bool speaks = false;                 // of what lies ahead
        double relative_miss = 0;
    };
    struct Foretold {
        double low = 0, middle = 0, high = 0;
    };
    struct Slot {
        int member = 0, of = 0;              // 0: the middle
    };
    void gather(std::span<const StoredReadings>, Instant now, const ForecastKnowledge&);
    void share();
    std::vector<std::vector<Observation>> own_members(const Issue&) const;
    void add(const Source&, Slot, int preference, std::vector<SeriesReadings>&, std::deque<std::vector<Observation>>&) const;
    std::map<LocalDay, Foretold> highest(const Source&, const DaySpan&) const;

    const Figures& figures_;
    SpreadPlace place_;
    std::vector<Source> sources_;            // who counts most, first
    int members_ = 0;                        // beside the middle
};

// In words, for the list and for looking ahead.
std::string differ_text(const ForecastsDiffer&);

}  // namespace tubgrove
