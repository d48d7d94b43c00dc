#pragma once
// An open garden, from its configuration to its door.
#include "garden/garden.hpp"
#include "intake/complaint.hpp"
#include "places.hpp"
#include "plan/tables.hpp"
#include "store/store.hpp"
#include "times.hpp"

#include <memory>
#include <utility>

namespace tubgrove {

struct Opened {
    Places places;
    std::shared_ptr<const Tables> tables;  // plain values; gardens side by side share them
    std::unique_ptr<Store> store;
    std::unique_ptr<Garden> garden;  // last in, first out: it knows the others
};

// The configuration as it was read, whether in order or not.
struct ReadSettings {
    std::string text;
    Configuration configuration;
    Tables tables;
    std::string tables_text;  // every table in effect, one after the other
    Complaints complaints;
};

// Throws Refused where there is no configuration file.
ReadSettings read_settings(const Places& places);
// Throws Refused with every complaint where the configuration is not in order, StoreFault where the store is not.
Opened open_garden(const Places& places);
// Two of the same, each with its own connection, for two threads; what both read is read once.
std::pair<Opened, Opened> open_garden_twice(const Places& places);

Instant clock_now();
// The machine's clock as a view holds it; empty where TUBGROVE_CLOCK=set says that a garden lives under clocks set by hand,
// as tests and simulations do.
std::optional<Instant> machine_clock();
// --at, --hindsight and --recompute as a view. Throws Refused.
View view_of(const Asked& asked, const Garden& garden);

}  // namespace tubgrove
