#pragma once
// When a source is fetched, how its address is filled in and what an answer means: plain functions without clock or socket.
#include "intake/configuration.hpp"
#include "serve/errands.hpp"

#include <string>
#include <string_view>

namespace tubgrove {

// What is remembered of a source between two fetches.
struct FetchMemory {
    std::string etag, last_modified;  // of the copy that was taken
    int failures = 0;                 // in a row
};

enum class Come : unsigned char { fresh, same, failed };

struct FetchVerdict {
    Come come = Come::failed;
    std::string why = {};   // of a failure
    bool hopeless = false;  // the service will not change its mind soon: an address that is not there, a wrong password
};
FetchVerdict judge(const Brought& brought);

struct Pace {
    std::string_view name;  // of the source; with the failures it decides on the jitter, so that many gardens do not ask at once
    std::chrono::seconds every{3600};
    int failures = 0;
    bool hopeless = false;
    std::optional<std::chrono::seconds> retry_after = {};
};
// After a success `every` and up to a twentieth more. After failures from a minute on twice as long each time, up to six hours,
// a quarter more or less; an hour at the least where it is hopeless; never sooner than the service asked for, of which
// a day is honoured at most.
std::chrono::milliseconds next_fetch(const Pace& pace);

// {latitude} and {longitude} with four decimals at most, {elevation} in whole metres, {day}, {day+N}, {day-N} as YYYY-MM-DD.
std::string fill_address(std::string_view url, const Site& site, LocalDay today);

// The courier's errand for a source.
Sent fetch_errand(const WeatherFetch& fetch, const FetchMemory& memory, const std::string& address, std::string_view version);

// "Tue, 14 Jul 2026 05:00:00 GMT" (Last-Modified); empty where it is none.
std::optional<Instant> http_date(std::string_view text);

}  // namespace tubgrove
