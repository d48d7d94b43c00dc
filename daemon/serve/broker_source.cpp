#include "serve/broker_source.hpp"

#include "serve/fetch_plan.hpp"
#include "serve/log.hpp"
#include "serve/mosquitto_library.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>

#include <sys/stat.h>

#include <cerrno>
#include <cstring>
#include <deque>
#include <fstream>
#include <mutex>
#include <stdexcept>
#include <thread>

namespace tubgrove {
namespace {

using namespace std::chrono_literals;

constexpr int keepalive_s = 120;
constexpr auto look_after = 60s;     // pings are due at half of it at the latest
constexpr auto longest_greeting = 30s;
constexpr std::size_t longest_message = 1u << 20;
// The library says neither how many packets lie unread nor whether TLS holds some back: so often it is asked after one came.
constexpr int reads_at_once = 32;

std::string read_secret(const std::string& name) {
    struct stat about {};
    if (::stat(name.c_str(), &about) != 0) throw std::runtime_error(name + ": the secret's file cannot be read");
    if ((about.st_mode & (S_IRWXG | S_IRWXO) & ~S_IRGRP) != 0)
        throw std::runtime_error(name + ": others may read this secret; right would be: chmod 640 or 600");
    std::ifstream in(name);
    std::string secret;
    if (!std::getline(in, secret) || secret.empty()) throw std::runtime_error(name + ": no secret stands in the first line");
    return secret;
}

// A connection, kept alive by whoever still uses it: the thread that connects, or the loop.
struct Session {
    const MosquittoLibrary* library = nullptr;
    ::mosquitto* client = nullptr;
    ~Session() {
        if (client != nullptr) library->destroy(client);
    }
};

// How the thread that connects tells the loop; empty once nobody wants to know, for the loop may be gone then.
struct Mailbox {
    std::mutex mutex;
    EventLoop* loop = nullptr;
    void post(std::function<void()> call) {
        const std::lock_guard lock(mutex);
        if (loop != nullptr) loop->post(std::move(call));
    }
    void shut() {
        const std::lock_guard lock(mutex);
        loop = nullptr;
    }
};

// Looks the name up and connects, which may take minutes; so on a thread of its own. Empty: it did.
std::string greet(Session& session, const Broker& broker) try {
    const auto& library = *session.library;
    if (!broker.user.empty() &&
        library.username_pw_set(session.client, broker.user.c_str(), read_secret(broker.secret_file).c_str()) != MOSQ_ERR_SUCCESS)
        return "name and password are not taken";
    if (broker.tls) {
        const char* file = broker.ca_file.empty() ? nullptr : broker.ca_file.c_str();
        if (const int fault = library.tls_set(session.client, file, file ? nullptr : "/etc/ssl/certs", nullptr, nullptr, nullptr); fault != MOSQ_ERR_SUCCESS)
            return broker.ca_file + ": " + library.strerror(fault);
    }
    const int fault = library.connect(session.client, broker.host.c_str(), broker_port(broker), keepalive_s);
    if (fault == MOSQ_ERR_SUCCESS) return {};
    return fault == MOSQ_ERR_ERRNO ? std::string(std::strerror(errno)) : library.strerror(fault);
} catch (const std::exception& error) {
    return error.what();
}

}  // namespace

struct BrokerSource::Inside : std::enable_shared_from_this<BrokerSource::Inside> {
    Inside(Intake to, Mapping from, std::string id)
        : intake(std::move(to)), mapping(std::move(from)), client_id(std::move(id)), watch(intake.loop.context()), timer(intake.loop),
          state{{.name = mapping.name, .way = "messages"}, false} {
        mailbox->loop = &intake.loop;
    }
    std::shared_ptr<Mailbox> mailbox = std::make_shared<Mailbox>();
    Intake intake;
    Mapping mapping;
    std::string client_id;
    boost::asio::posix::stream_descriptor watch;
    LoopTimer timer;
    SourceState state;
    std::shared_ptr<Session> session;  // none while nothing is under way
    std::deque<std::string> inbox;     // received, not yet in the store
    int failures = 0;
    bool greeted = false, committing = false, waits_to_write = false, ended = false;
    std::string refused;  // what the broker answered, if not yes

    Instant now() const { return intake.view().now; }

    void in(std::chrono::milliseconds wait, void (*call)(Inside&)) {
        timer.after(wait, [self = weak_from_this(), call] {
            if (const auto here = self.lock(); here && !here->ended) call(*here);
        });
    }

    void begin() {
        if (ended) return;
        state.next = {};
        try {
            session = std::make_shared<Session>(Session{.library = &mosquitto_library(), .client = nullptr});
        } catch (const std::exception& error) {
            return lose(error.what());
        }
        session->client = session->library->create(client_id.c_str(), false, this);
        if (session->client == nullptr) return lose("the library makes no connection");
        // Said to be used by several threads, the library queues what it sends until we write: so an acknowledgement leaves
        // only when we let it.
        session->library->threaded_set(session->client, true);
        set_callbacks();
        // It may sit in a look-up when the daemon ends, so nobody waits for it, and it touches nothing of ours.
        std::thread([box = mailbox, self = weak_from_this(), ours = session, broker = *mapping.broker] {
            box->post([self, ours, why = greet(*ours, broker)] {
                if (const auto here = self.lock(); here && here->session == ours) here->come(why);
            });
        }).detach();
    }

    void set_callbacks() {
        const auto& library = *session->library;
        library.connect_callback_set(session->client, [](::mosquitto*, void* self, int answer) { static_cast<Inside*>(self)->answered(answer); });
        library.subscribe_callback_set(session->client, [](::mosquitto*, void* self, int, int count, const int* granted) {
            static_cast<Inside*>(self)->subscribed(count > 0 && granted[0] < 128);
        });
        library.message_callback_set(session->client, [](::mosquitto*, void* self, const ::mosquitto_message* message) {
            static_cast<Inside*>(self)->received(*message);
        });
    }

    void come(const std::string& why) {
        if (ended) return;
        if (!why.empty()) return lose(why);
        watch.assign(session->library->socket(session->client));
        in(longest_greeting, [](Inside& self) { self.lose("the broker does not answer"); });
        wait_to_read();
        write();
    }

    void answered(int answer) {
        if (answer != 0) {
            refused = session->library->connack_string(answer);
            return;
        }
        session->library->subscribe(session->client, nullptr, mapping.broker->topic.c_str(), 1);
    }

    void subscribed(bool granted) {
        if (!granted) {
            refused = "the broker does not let us read " + mapping.broker->topic;
            return;
        }
        greeted = true;
        failures = 0;
        state.connected = true;
        log_info("messages are listened to: source={} topic={}", mapping.name, mapping.broker->topic);
        look_after_later();
    }

    void received(const ::mosquitto_message& message) {
        const auto size = std::size_t(message.payloadlen);
        if (size > longest_message)
            note_error(state, "a message of " + std::to_string(size) + " bytes is too long", now());
        else
            inbox.emplace_back(static_cast<const char*>(message.payload), size);
    }

    void look_after_later() {
        in(look_after, [](Inside& self) {
            self.look_after_later();
            if (self.committing) return;
            const auto& library = *self.session->library;
            if (const int fault = library.loop_misc(self.session->client); fault != MOSQ_ERR_SUCCESS) return self.lose(library.strerror(fault));
            self.read();
        });
    }

    void wait_to_read() {
        watch.async_wait(boost::asio::posix::stream_descriptor::wait_read, [self = shared_from_this(), ours = session](const boost::system::error_code& error) {
            if (error || self->ended || self->session != ours) return;
            self->read();
            if (self->session == ours && !self->committing) self->wait_to_read();
        });
    }

    void read() {
        const auto ours = session;
        for (int i = 0; i < reads_at_once; ++i) {
            const auto before = inbox.size();
            const int fault = ours->library->loop_read(ours->client, 1);
            if (!refused.empty()) return lose(std::exchange(refused, {}));
            if (fault != MOSQ_ERR_SUCCESS) return lose(fault == MOSQ_ERR_ERRNO ? std::strerror(errno) : ours->library->strerror(fault));
            if (inbox.size() == before && i > 0) break;
        }
        if (inbox.empty()) return write();
        commit();
    }

    // Nothing is read or written meanwhile, so nothing is acknowledged that is not in the store.
    void commit() {
        committing = true;
        WeatherFile file{.name = mapping.name, .source = "", .mapping = mapping.name, .issued = {}, .progress = {}};
        auto text = std::move(inbox.front());
        inbox.pop_front();
        intake.take(std::move(file), std::move(text), [self = shared_from_this(), ours = session](const TakenIn& taken) {
            if (!self->ended && self->session == ours) self->committed(taken);
        });
    }

    void committed(const TakenIn& taken) {
        committing = false;
        if (!taken.fault.empty()) return lose("readings cannot be written: " + taken.fault);
        // What cannot be understood now will not be later: it is told, and acknowledged.
        if (taken.usable)
            note_success(state, taken, now());
        else
            note_error(state, taken.complaints.front(), now());
        if (!inbox.empty()) return commit();
        write();
        if (session) wait_to_read();
    }

    void write() {
        const auto ours = session;
        const auto& library = *ours->library;
        if (library.want_write(ours->client)) {
            if (const int fault = library.loop_write(ours->client, 1); fault != MOSQ_ERR_SUCCESS)
                return lose(fault == MOSQ_ERR_ERRNO ? std::strerror(errno) : library.strerror(fault));
        }
        // Before the greeting is over the library wants to write what it may not yet; the next answer brings us here again.
        if (!greeted || waits_to_write || !library.want_write(ours->client)) return;
        waits_to_write = true;
        watch.async_wait(boost::asio::posix::stream_descriptor::wait_write, [self = shared_from_this(), ours](const boost::system::error_code& error) {
            self->waits_to_write = false;
            if (!error && !self->ended && self->session == ours && !self->committing) self->write();
        });
    }

    void close() {
        if (watch.is_open()) watch.release();  // the library closes it
        session.reset();
        inbox.clear();
        greeted = committing = false;
        state.connected = false;
    }

    void lose(const std::string& why) {
        close();
        note_error(state, mapping.broker->host + ": " + why, now());
        const auto after = next_fetch({.name = mapping.name, .every = 1min, .failures = ++failures});
        state.next = now() + std::chrono::duration_cast<std::chrono::seconds>(after);
        in(after, [](Inside& self) { self.begin(); });
    }
};

BrokerSource::BrokerSource(Intake intake, const Mapping& mapping, std::string id)
    : inside_(std::make_shared<Inside>(std::move(intake), mapping, std::move(id))) {
    inside_->begin();
}

// A message under way stays unacknowledged and comes again.
BrokerSource::~BrokerSource() {
    inside_->ended = true;
    inside_->mailbox->shut();
    inside_->timer.cancel();
    inside_->close();
}

SourceState BrokerSource::state() const { return inside_->state; }

}  // namespace tubgrove
