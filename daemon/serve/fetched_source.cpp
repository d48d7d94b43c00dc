#include "serve/fetched_source.hpp"

#include "serve/log.hpp"

namespace tubgrove {

using namespace std::chrono_literals;

FetchedSource::FetchedSource(Intake intake, Errands& errands, const Site& site, const Mapping& mapping)
    : intake_(std::move(intake)), errands_(errands), site_(site), mapping_(mapping),
      state_{{.name = mapping.name, .way = "fetched"}}, timer_(intake_.loop) {
    fetch_in(100ms);
}

void FetchedSource::fetch() {
    const auto zone = Zone::find(site_.timezone).value_or(Zone::utc());
    const auto address = fill_address(mapping_.fetch->url, site_, zone.day_of(intake_.view().now));
    state_.next = {};
    errands_.send(fetch_errand(*mapping_.fetch, memory_, address, TUBGROVE_VERSION),
                  [this, here = std::weak_ptr(here_)](const Brought& brought) {
                      if (!here.expired()) take(brought);
                  });
}

void FetchedSource::wait(const Pace& pace) {
    const auto after = next_fetch(pace);
    state_.next = intake_.view().now + std::chrono::duration_cast<std::chrono::seconds>(after);
    fetch_in(after);
}

void FetchedSource::fetch_in(std::chrono::milliseconds wait) {
    timer_.after(wait, [this, here = std::weak_ptr(here_)] {
        if (!here.expired()) fetch();
    });
}

void FetchedSource::failed(const std::string& why, Pace pace) {
    note_error(state_, why, intake_.view().now);
    pace.failures = ++memory_.failures;
    wait(pace);
}

void FetchedSource::take(const Brought& brought) {
    const auto judged = judge(brought);
    Pace pace{.name = mapping_.name, .every = mapping_.fetch->every, .hopeless = judged.hopeless, .retry_after = brought.retry_after};
    if (judged.come == Come::failed) return failed(judged.why, pace);
    if (judged.come == Come::same) {
        memory_.failures = 0;
        note_success(state_, {.same = state_.fresh + state_.same + state_.changed}, intake_.view().now);
        return wait(pace);
    }
    WeatherFile file{.name = mapping_.name, .source = "", .mapping = mapping_.name, .issued = {}, .progress = {}};
    if (mapping_.issued == "header")
        if (const auto told = http_date(brought.last_modified)) file.issued = std::min(*told, intake_.view().now);
    intake_.take(std::move(file), brought.body,
                 [this, here = std::weak_ptr(here_), pace, etag = brought.etag, modified = brought.last_modified](const TakenIn& taken) {
                     if (here.expired()) return;
                     if (!taken.usable)
                         return failed(taken.fault.empty() ? taken.complaints.front() : taken.fault, pace);
                     // Only a copy that was taken whole is not asked for again: another may have been cut short on its way.
                     memory_ = taken.complaints.empty() ? FetchMemory{.etag = etag, .last_modified = modified} : FetchMemory{};
                     note_success(state_, taken, intake_.view().now);
                     wait(pace);
                 });
}

}  // namespace tubgrove
