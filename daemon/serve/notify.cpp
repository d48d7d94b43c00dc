#include "serve/notify.hpp"

#include <sys/socket.h>
#include <sys/un.h>
#include <time.h>
#include <unistd.h>

#include <cstdlib>
#include <cstring>

namespace tubgrove {

void notify_systemd(std::string_view state) {
    const char* name = std::getenv("NOTIFY_SOCKET");
    if (name == nullptr || (name[0] != '/' && name[0] != '@')) return;
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    const std::size_t length = std::strlen(name);
    if (length >= sizeof(address.sun_path)) return;
    std::memcpy(address.sun_path, name, length);
    if (name[0] == '@') address.sun_path[0] = '\0';
    const int socket = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    if (socket < 0) return;
    const auto size = socklen_t(offsetof(sockaddr_un, sun_path) + length);
    (void)::sendto(socket, state.data(), state.size(), MSG_NOSIGNAL, reinterpret_cast<const sockaddr*>(&address), size);
    ::close(socket);
}

std::string reloading_state() {
    timespec now{};
    ::clock_gettime(CLOCK_MONOTONIC, &now);
    return "RELOADING=1\nMONOTONIC_USEC=" + std::to_string(now.tv_sec * 1'000'000LL + now.tv_nsec / 1000);
}

std::optional<std::chrono::milliseconds> watchdog_interval() {
    const char* wanted = std::getenv("WATCHDOG_USEC");
    const char* whose = std::getenv("WATCHDOG_PID");
    if (wanted == nullptr || (whose != nullptr && std::atol(whose) != ::getpid())) return std::nullopt;
    const long long microseconds = std::atoll(wanted);
    if (microseconds <= 0) return std::nullopt;
    return std::chrono::milliseconds(microseconds / 1000);
}

}  // namespace tubgrove
