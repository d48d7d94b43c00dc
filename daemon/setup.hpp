#pragma once
// The interview that sets a garden up: site, bays, cans and the first pots, and the two files that it makes of them.
#include "intake/configuration.hpp"
#include "intake/facts.hpp"
#include "interview.hpp"

#include <string>
#include <vector>

namespace tubgrove {

struct FirstPot {
    std::string id, bay, size, species, stock, planted,
        since;  // stock: a rootstock's name or a vigour word; may be empty
};

struct FirstGarden {
    Configuration configuration;
    std::vector<FirstPot> pots;
};

struct SetupGiven {
    std::string machine_zone;  // proposed as the garden's
    LocalDay today{};
    double zone_off_sun_h = 12;  // how far a zone's clock may stand off its sun; 12: any
    Names names;  // species, rootstocks, vigours that the tables know
};

// Asks until all is answered. Throws InterviewEnded.
FirstGarden ask_for_garden(Interview& interview, const SetupGiven& given);

// The configuration file, with a comment for what a person might want to change.
std::string configuration_text(const Configuration& configuration);
// The garden file of the first pots.
std::string garden_text(const FirstGarden& garden, const Names& names);

// The zone that this machine is set to, from TZ, /etc/timezone or /etc/localtime; empty when it does not say.
std::string zone_of_machine();

}  // namespace tubgrove
