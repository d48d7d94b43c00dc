#pragma once
// Telling systemd how the service is, by its own small protocol: one datagram to the socket named in NOTIFY_SOCKET. A
// library for this would bring six others along.
#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace tubgrove {

// Does nothing where nobody listens.
void notify_systemd(std::string_view state);
// RELOADING=1 with the moment that systemd wants beside it.
std::string reloading_state();
// How often a life sign is wanted at the least; empty where none is.
std::optional<std::chrono::milliseconds> watchdog_interval();

}  // namespace tubgrove
