#include "message.hpp"

#include "serve/mosquitto_library.hpp"

#include <poll.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstring>
#include <memory>
#include <stdexcept>

namespace tubgrove::courier {

namespace {

using Clock = std::chrono::steady_clock;
constexpr int keepalive_s = 60;

struct Talk {
    const MosquittoLibrary& library;
    const Message& message;
    ::mosquitto* client = nullptr;
    std::string refused = {};
    bool sent = false, taken = false;

    std::string words(int fault) const { return fault == MOSQ_ERR_ERRNO ? std::strerror(errno) : library.strerror(fault); }

    void answered(int answer) {
        if (answer != 0) {
            refused = library.connack_string(answer);
            return;
        }
        const int fault = library.publish(client, nullptr, message.topic.c_str(), int(message.body.size()), message.body.data(), 1, true);
        if (fault != MOSQ_ERR_SUCCESS) refused = words(fault);
        sent = fault == MOSQ_ERR_SUCCESS;
    }

    std::string begin(const std::string& secret) {
        if (!message.way.user.empty() && library.username_pw_set(client, message.way.user.c_str(), secret.c_str()) != MOSQ_ERR_SUCCESS)
            return "name and password are not taken";
        if (message.tls) {
            const char* file = message.way.ca_file.empty() ? nullptr : message.way.ca_file.c_str();
            if (const int fault = library.tls_set(client, file, file ? nullptr : "/etc/ssl/certs", nullptr, nullptr, nullptr); fault != MOSQ_ERR_SUCCESS)
                return message.way.ca_file + ": " + words(fault);
        }
        library.connect_callback_set(client, [](::mosquitto*, void* self, int answer) { static_cast<Talk*>(self)->answered(answer); });
        library.publish_callback_set(client, [](::mosquitto*, void* self, int) { static_cast<Talk*>(self)->taken = true; });
        const int fault = library.connect(client, message.host.c_str(), message.port, keepalive_s);
        return fault == MOSQ_ERR_SUCCESS ? std::string() : words(fault);
    }

    // One look at the socket. Empty: go on.
    std::string step(int wait_ms) {
        pollfd line{.fd = library.socket(client), .events = short(POLLIN | (library.want_write(client) ? POLLOUT : 0)), .revents = 0};
        if (line.fd < 0) return "the broker closed the connection";
        if (::poll(&line, 1, wait_ms) < 0 && errno != EINTR) return std::strerror(errno);
        int fault = MOSQ_ERR_SUCCESS;
        if (line.revents & POLLOUT) fault = library.loop_write(client, 1);
        if (fault == MOSQ_ERR_SUCCESS && line.revents & (POLLIN | POLLHUP | POLLERR)) fault = library.loop_read(client, 1);
        if (fault == MOSQ_ERR_SUCCESS) fault = library.loop_misc(client);
        if (!refused.empty()) return refused;
        return fault == MOSQ_ERR_SUCCESS ? std::string() : words(fault);
    }
};

}  // namespace

Outcome publish(const Message& message, const std::string& secret) {
    using namespace std::chrono;
    const auto until = Clock::now() + seconds(message.way.seconds);
    Talk talk{.library = mosquitto_library(), .message = message};
    const std::unique_ptr<::mosquitto, decltype(MosquittoLibrary::destroy)> client(
        talk.library.create(message.client.c_str(), true, &talk), talk.library.destroy);
    if (!client) throw std::runtime_error("libmosquitto makes no connection");
    talk.client = client.get();
    Outcome outcome;
    outcome.error = talk.begin(secret);
    while (outcome.error.empty() && !talk.taken) {
        const auto left = duration_cast<milliseconds>(until - Clock::now());
        outcome.error = left.count() <= 0 ? "the broker does not answer" : talk.step(int(std::min<milliseconds::rep>(left.count(), 1000)));
    }
    outcome.unsure = talk.sent && !talk.taken;
    if (talk.taken) {
        outcome.error.clear();
        talk.library.disconnect(talk.client);
    }
    return outcome;
}

}  // namespace tubgrove::courier
