#pragma once
// A message to a broker, by libmosquitto.
#include "transfer.hpp"

namespace tubgrove::courier {

// Connects, publishes, waits for the broker's word that it has the message, and leaves. Source: [MQTT311] 3.3, 4.3.2.
Outcome publish(const Message&, const std::string& secret);

}  // namespace tubgrove::courier
