#pragma once
// What of a site cannot well be true together: its position against its time zone.
#include "calendar.hpp"
#include "intake/complaint.hpp"
#include "intake/configuration.hpp"
#include "plan/round.hpp"

#include <optional>

namespace tubgrove {

// How far the zone's standard clock stands from the mean sun of a longitude, in hours, -12 to 12; positive: the clock is ahead.
// clock - longitude/15, brought into a day's half. Source: [analytic], a day turns 360 degrees in 24 h
double hours_off_the_sun(Degrees longitude, const Zone&, Instant t);

// True for the north, false for the south of the equator, by the half of the year in which the zone's clock is put forward;
// empty for a zone without summer time.
std::optional<bool> summer_in_the_north(const Zone&, Instant t);

// `most_h`: the row zone_off_sun_h of config/priors.yaml. Complaints without a place.
Complaints site_doubts(const Site&, const Zone&, Instant now, double most_h);

// The list's warning about them; empty when there are none.
std::optional<Notice> site_notice(const Complaints& doubts);

}  // namespace tubgrove
