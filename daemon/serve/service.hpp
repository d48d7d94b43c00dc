#pragma once
// The daemon while it runs: the garden behind its doors, on one loop.
#include "door/gate.hpp"
#include "door/limits.hpp"
#include "door/tokens.hpp"
#include "serve/garden_bench.hpp"
#include "serve/http.hpp"
#include "serve/kept_answers.hpp"
#include "serve/notices_out.hpp"
#include "serve/rounds.hpp"
#include "serve/store_watch.hpp"
#include "serve/weather_in.hpp"

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>

namespace tubgrove {

struct ServiceSettings {
    Places places;
    std::optional<Instant> stands_at;  // --at: the clock stands still there
};

class Service {
public:
    Service(EventLoop& loop, ServiceSettings settings);

    void open_doors();
    // From here on rounds are issued at their hours.
    void begin();
    // Reads the configuration again; keeps the old one, and says why, where it is not in order.
    void reload();
    void stop(std::function<void()> stopped);

private:
    View view_now() const;
    Zone zone() const;
    Response sources() const;
    Response channels() const;
    void health(Request request, Reply reply);
    void tell_health(const Response& response);
    void metrics(Request request, Reply reply);
    // Works an answer out on the quick bench; what the machine fails at becomes a problem.
    void work_out(Request request, Reply reply, std::function<Response(Opened&)> answer);
    Admission admit(const Request& head);
    Admission judged(const Request& head);
    void handle(Request request, Reply reply);
    Reply counted(Reply reply);
    void operate(Request request, Admitted admitted, Reply reply);
    void pair(Request request, Reply reply);
    void make_calendar(Request request, const Person& person, Reply reply);
    // Too many requests, or too many wrong tokens; empty when it may go on.
    std::optional<Response> too_many(const Request& head);
    // The clock that tokens end by; it never falls behind what was known at the start, however a board woke.
    Instant token_clock() const;
    void take_rules(const Configuration& configuration);
    // Somebody wrote to the store, perhaps another process: a list may be revised, or the clock confirmed.
    void written();

    EventLoop& loop_;
    ServiceSettings settings_;
    GateRules rules_;
    Configuration configured_;
    TokenBook tokens_;
    Buckets asked_, failed_;
    std::map<int, long> answered_;      // requests by the status of their answer
    std::vector<std::pair<Request, Reply>> health_asked_;  // while the store is being looked at
    Instant known_at_start_{};
    std::vector<std::string> doors_;    // as they are open
    std::vector<std::string> listens_;  // as the configuration names them
    HttpServer server_;
    std::unique_ptr<RoundClock> rounds_;  // none where the clock stands still
    std::unique_ptr<Errands> errands_;
    std::unique_ptr<WeatherIn> weather_;  // none where the clock stands still
    std::unique_ptr<NoticesOut> notices_;  // likewise
    std::unique_ptr<KeptAnswers> kept_;
    std::unique_ptr<StoreWatch> watch_;   // none where the clock stands still
    std::optional<KeptAnswers::Newest> seen_;  // when it last called
    std::unique_ptr<GardenBench> quick_, reckoning_;  // end first: a call at work may speak to what stands above
};

}  // namespace tubgrove
