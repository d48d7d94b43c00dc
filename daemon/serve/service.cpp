#include "serve/service.hpp"

#include "door/finish.hpp"
#include "door/once.hpp"
#include "face.hpp"
#include "garden/json_writer.hpp"
#include "serve/log.hpp"
#include "serve/measures.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

constexpr std::size_t longest_queue = 32;  // half of the connections that there may be
// A page asks a dozen things when it opens; a hand that types codes fails a few times.
constexpr Rate asking{.a_second = 20, .burst = 200}, failing{.a_second = 0.1, .burst = 10};
constexpr std::size_t most_askers = 512;
constexpr Field pairing_fields[] = {{"code", FieldKind::text, true}};

Response wait_first(int seconds) {
    auto response = problem(429, "too many requests", "again in " + std::to_string(seconds) + " s");
    response.headers.emplace_back("retry-after", std::to_string(seconds));
    return response;
}

// Whom a request is counted for: its address, or the one that the proxy in front says, which it writes last.
std::string asker(const Request& head) {
    if (head.peer != Peer::proxy) return head.address;
    const auto chain = head.header("x-forwarded-for");
    const auto comma = chain.rfind(',');
    auto last = comma == std::string_view::npos ? chain : chain.substr(comma + 1);
    while (last.starts_with(' ')) last.remove_prefix(1);
    return "proxy " + std::string(last.substr(0, 64));
}

bool tries_a_secret(const Request& head) {
    return head.count("authorization") > 0 || head.target.starts_with("/api/v1/pairings") ||
           head.target.starts_with("/calendar.ics?");
}

std::string paired_json(const TokenBook::Claimed& claimed, const Zone& zone) {
    JsonWriter json;
    json.begin_object();
    if (claimed.token.calendar) json.text("path", calendar_path(claimed.secret));
    json.text("token", claimed.secret);
    json.integer("number", claimed.token.number);
    json.text("name", claimed.token.name);
    if (claimed.token.until)
        json.text("until", format_rfc3339(*claimed.token.until, zone));
    else
        json.null("until");
    json.end_object();
    return json.take();
}

// What the machine failed at is told once, here; the asker learns that it was not the request's fault.
Response fault_response(const std::exception& error) {
    log_error("an answer failed: {}", error.what());
    const auto* fault = dynamic_cast<const StoreFault*>(&error);
    const bool passes = fault && (fault->kind() == StoreFault::Kind::busy || fault->kind() == StoreFault::Kind::full);
    return problem(passes ? 503 : 500, fault ? fault->what() : "the machine failed; the log says how",
                   passes ? "the same again, with its key, in a while" : "the same again, with its key, when whoever keeps the machine has looked");
}

// What a monitor learns of a store that cannot be read, or that no entry can be written to. The log says more.
std::optional<Response> sickness_of(const Store& store) {
    std::string_view cannot = "read";
    try {
        (void)store.newest_learned();
        cannot = "written to";
        store.require_writable();
        return std::nullopt;
    } catch (const StoreFault& fault) {
        log_error("the store cannot be {}: {}", cannot, fault.what());
        const bool full = fault.kind() == StoreFault::Kind::full;
        return problem(503, "the store cannot be " + std::string(cannot) + (full ? ", since its disk is full" : "; the log says why"),
                       full ? "room on its disk" : "a data folder that is there and may be written");
    }
}

}  // namespace

Service::Service(EventLoop& loop, ServiceSettings settings)
    : loop_(loop),
      settings_(std::move(settings)),
      tokens_(settings_.places.data),
      asked_(asking, most_askers),
      failed_(failing, most_askers),
      server_(
          loop, HttpBounds{}, [this](const Request& head) { return admit(head); },
          [this](Request request, Reply reply) { handle(std::move(request), counted(std::move(reply))); }) {
    auto [opened, second] = open_garden_twice(settings_.places);
    known_at_start_ = opened.store->newest_learned().value_or(Instant{});
    rules_.person = [this](std::string_view secret) { return tokens_.person(secret, token_clock()); };
    take_rules(opened.garden->configuration());
    reckoning_ = std::make_unique<GardenBench>(std::move(opened), longest_queue);
    quick_ = std::make_unique<GardenBench>(std::move(second), longest_queue);
    kept_ = std::make_unique<KeptAnswers>(settings_.places.data);
}

void Service::begin() {
    if (settings_.stands_at) return;
    rounds_ = std::make_unique<RoundClock>(loop_, *reckoning_);
    rounds_->after_look([this] {
        if (notices_) notices_->look();
    });
    rounds_->look();
    errands_ = std::make_unique<Errands>(loop_, find_courier());
    weather_ = std::make_unique<WeatherIn>(loop_, *quick_, *errands_, settings_.places.data);
    weather_->take(configured_);
    notices_ = std::make_unique<NoticesOut>(loop_, *quick_, find_courier());
    notices_->take(configured_);
    seen_ = kept_->newest();
    watch_ = std::make_unique<StoreWatch>(loop_, settings_.places.data, [this] { written(); });
}

void Service::written() {
    const auto newest = kept_->newest();
    if (!newest || newest == seen_) return;  // weather, a cache, or a write that was given up
    seen_ = newest;
    rounds_->look();
}

void Service::take_rules(const Configuration& configuration) {
    rules_.names = configuration.doors.names;
    rules_.this_machine_open = configuration.doors.this_machine_open;
    listens_ = configuration.doors.listen;
    configured_ = configuration;
    if (!configuration.doors.socket.empty()) listens_.push_back(configuration.doors.socket);
}

void Service::open_doors() {
    for (const auto& door : listens_) {
        doors_.push_back(server_.open(door));
        log_info("listening: door={}", doors_.back());
    }
}

void Service::reload() try {
    auto [first, second] = open_garden_twice(settings_.places);
    const auto before = listens_;
    take_rules(first.garden->configuration());
    if (!reckoning_->replace(std::move(first)) || !quick_->replace(std::move(second)))
        return log_warn("too much is waiting to take the new configuration; ask again");
    kept_->forget();
    log_info("the configuration was read again");
    if (rounds_) rounds_->look();
    if (weather_) weather_->take(configured_);
    if (notices_) notices_->take(configured_);
    if (before != listens_) log_warn("other doors are taken at the next start");
} catch (const Refused& refused) {
    log_warn("the new configuration is not in order; the old one stays");
    for (const auto& line : refused.lines) log_warn("{}", line);
} catch (const std::exception& error) {
    log_warn("the new configuration cannot be taken, the old one stays: {}", error.what());
}

void Service::stop(std::function<void()> stopped) {
    watch_.reset();
    weather_.reset();
    errands_.reset();
    server_.stop([this, stopped = std::move(stopped)] {
        if (notices_)
            notices_->stop(stopped);
        else
            stopped();
    });
}

View Service::view_now() const {
    View view;
    view.now = settings_.stands_at.value_or(clock_now());
    view.replay = settings_.stands_at.has_value();
    if (view.replay) view.machine = machine_clock();
    return view;
}

Zone Service::zone() const { return Zone::find(configured_.site.timezone).value_or(Zone::utc()); }

Response Service::sources() const {
    const auto states = weather_ ? weather_->states() : std::vector<SourceState>();
    return sources_response(states, zone());
}

void Service::work_out(Request request, Reply reply, std::function<Response(Opened&)> answer) {
    const auto work = std::make_shared<std::pair<Request, Reply>>(std::move(request), std::move(reply));
    const bool taken = quick_->post([this, work, answer = std::move(answer)](Opened& opened) {
        Response response;
        try {
            response = answer(opened);
        } catch (const std::exception& error) {
            response = fault_response(error);
        }
        loop_.post([work, response = finished(work->first, std::move(response))]() mutable { work->second(std::move(response)); });
    });
    if (!taken) work->second(finished(work->first, problem(503, "too much is asked at once", "ask again in a moment")));
}

// Well is a service that answers, can read its store and write to it, and whose lists are not held back by the clock. It is asked without a
// token, so no more is told; and however many ask at once, the store is looked at once for all of them.
void Service::health(Request request, Reply reply) {
    health_asked_.emplace_back(std::move(request), std::move(reply));
    if (health_asked_.size() > 1) return;
    const bool taken = quick_->post([this, believed = !rounds_ || rounds_->clock_believed()](Opened& opened) {
        Response response{.body = "{\n  \"status\": \"ok\"\n}\n", .headers = {}};
        if (!believed) response = problem(503, "this machine's clock cannot be right, so no list is issued", "set it, or tubgrove clock confirm");
        if (auto sick = sickness_of(*opened.store)) response = std::move(*sick);
        loop_.post([this, response = std::move(response)] { tell_health(response); });
    });
    if (!taken) tell_health(problem(503, "too much is asked at once", "ask again in a moment"));
}

void Service::tell_health(const Response& response) {
    for (auto& [request, reply] : std::exchange(health_asked_, {})) reply(finished(request, response));
}

void Service::metrics(Request request, Reply reply) {
    Measures measures{.version = TUBGROVE_VERSION, .model = std::string(model_version)};
    measures.clock_believed = !rounds_ || rounds_->clock_believed();
    measures.next_issue = rounds_ ? rounds_->due_next() : std::nullopt;
    if (weather_) measures.sources = weather_->states();
    if (notices_) measures.channels = notices_->states();
    measures.answered = answered_;
    work_out(std::move(request), std::move(reply), [measures = std::move(measures), view = view_now()](Opened& opened) mutable {
        measures.round = opened.garden->newest_round(view);
        return metrics_response(measures);
    });
}

Response Service::channels() const {
    const auto states = notices_ ? notices_->states() : std::vector<ChannelState>();
    return channels_response(states, zone());
}

Instant Service::token_clock() const { return std::max(clock_now(), known_at_start_); }

std::optional<Response> Service::too_many(const Request& head) {
    const auto now = std::chrono::steady_clock::now();
    const auto who = asker(head);
    if (head.peer != Peer::this_machine && !asked_.take(who, now)) return wait_first(asked_.wait_s(who, now));
    if (tries_a_secret(head) && !failed_.has(who, now)) return wait_first(failed_.wait_s(who, now));
    return std::nullopt;
}

Reply Service::counted(Reply reply) {
    return [this, reply = std::move(reply)](Response response) {
        ++answered_[response.status];
        reply(std::move(response));
    };
}

Admission Service::admit(const Request& head) {
    auto admission = judged(head);
    if (const auto* response = std::get_if<Response>(&admission)) ++answered_[response->status];
    return admission;
}

Admission Service::judged(const Request& head) try {
    if (auto refused = too_many(head)) return finished(head, std::move(*refused));
    auto judged = judge(head, rules_);
    if (const auto* admitted = std::get_if<Admitted>(&judged)) return admitted->body_limit;
    auto& response = std::get<Response>(judged);
    if (response.status == 401 && tries_a_secret(head) && !failed_.take(asker(head), std::chrono::steady_clock::now()))
        log_debug("wrong tokens from {}", asker(head));
    return finished(head, std::move(response));
} catch (const std::exception& error) {
    return finished(head, fault_response(error));
}

void Service::handle(Request request, Reply reply) try {
    auto judged = judge(request, rules_);
    if (auto* response = std::get_if<Response>(&judged)) return reply(finished(request, std::move(*response)));
    auto& admitted = std::get<Admitted>(judged);
    if (const auto* file = std::get_if<WantedFile>(&admitted.wants))
        return reply(finished(request, page_response(file->path)));
    if (const auto* service = std::get_if<WantedService>(&admitted.wants)) {
        if (service->path == "/health") return health(std::move(request), std::move(reply));
        if (service->path == "/metrics") return metrics(std::move(request), std::move(reply));
        if (service->path == "/api/v1/me") {
            const bool back = settings_.stands_at && *settings_.stands_at < known_at_start_;
            return reply(finished(request, person_response(admitted.person, zone(), back ? settings_.stands_at : std::nullopt)));
        }
        if (service->path == "/api/v1/sources") return reply(finished(request, sources()));
        if (service->path == "/api/v1/channels") return reply(finished(request, channels()));
        if (service->path == "/api/v1/openapi.json") return reply(finished(request, document_response()));
        if (service->path == "/api/v1/calendars") return make_calendar(std::move(request), admitted.person, std::move(reply));
        return pair(std::move(request), std::move(reply));
    }
    operate(std::move(request), std::move(admitted), std::move(reply));
} catch (const std::exception& error) {
    auto response = fault_response(error);
    if (reply) reply(finished(request, std::move(response)));
}

void Service::pair(Request request, Reply reply) {
    const auto fields = read_fields(request.body, pairing_fields);
    if (!good(fields)) return reply(finished(request, problem(400, fault(fields).what, fault(fields).right)));
    const auto work = std::make_shared<std::pair<Request, Reply>>(std::move(request), std::move(reply));
    const auto code = good(fields)->text("code");
    // The book is written to the disk, so not in the loop. The loop's own sees by the file's date that it changed.
    const bool taken = quick_->post([this, work, code](Opened& opened) {
        Response response;
        bool failed = false;
        try {
            const auto claimed = TokenBook(opened.places.data).claim(code, token_clock());
            failed = !claimed;
            if (claimed)
                response = {.status = 201, .body = paired_json(*claimed, opened.garden->zone()), .headers = {}};
            else
                response = problem(403, "this code is unknown, used or too old", "tubgrove pair makes a new one");
        } catch (const std::exception& error) {
            response = fault_response(error);
        }
        loop_.post([this, work, failed, response = finished(work->first, std::move(response))]() mutable {
            if (failed && !failed_.take(asker(work->first), std::chrono::steady_clock::now()))
                log_debug("wrong codes from {}", asker(work->first));
            work->second(std::move(response));
        });
    });
    if (!taken) work->second(finished(work->first, problem(503, "too much is asked at once", "ask again in a moment")));
}

void Service::make_calendar(Request request, const Person& person, Reply reply) {
    const auto fields = read_fields(request.body, {});
    if (!good(fields)) return reply(finished(request, problem(400, fault(fields).what, fault(fields).right)));
    work_out(std::move(request), std::move(reply), [person, now = token_clock()](Opened& opened) {
        const auto made = TokenBook(opened.places.data).calendar(person.name, {}, now, person.token);
        if (!made) return problem(422, "too many tokens hold already", "tubgrove pair end NUMBER ends one");
        return Response{.status = 201, .body = paired_json(*made, opened.garden->zone()), .headers = {}};
    });
}

void Service::operate(Request request, Admitted admitted, Reply reply) {
    struct Work {
        Request request;
        Admitted admitted;
        Reply reply;
        View view;
        std::optional<KeptAnswers::Mark> mark = {};  // of a read
        const Found& wanted() const { return std::get<WantedOperation>(admitted.wants).found; }
    };
    auto work = std::make_shared<Work>(Work{std::move(request), std::move(admitted), std::move(reply), view_now()});
    const auto& operation = *work->wanted().operation;
    if (!operation.writes()) {
        work->mark = kept_->mark(work->view.now);
        const auto* known = work->mark ? kept_->find(work->request.target, *work->mark) : nullptr;
        if (known) return work->reply(finished(work->request, *known));
    }
    auto& bench = operation.bench == Bench::quick ? *quick_ : *reckoning_;
    const bool taken = bench.post([this, work](Opened& opened) {
        Response response;
        try {
            response = answer_once(*opened.store, *opened.garden, work->wanted(), work->request, work->admitted.target,
                                        {.view = work->view, .by = work->admitted.person.name, .helps = work->admitted.person.until.has_value()});
        } catch (const std::exception& error) {
            response = fault_response(error);
        }
        if (work->mark) response = tagged(std::move(response));
        loop_.post([this, work, response = std::move(response)]() mutable {
            if (work->mark) kept_->keep(work->request.target, *work->mark, response);
            work->reply(finished(work->request, std::move(response)));
        });
    });
    if (!taken) work->reply(finished(work->request, problem(503, "too much is asked at once", "ask again in a moment")));
}

}  // namespace tubgrove
