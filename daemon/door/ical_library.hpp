#pragma once
// libical, loaded when a calendar is asked for and not before: it brings the tables of all the world's scripts along, which a
// garden without a calendar has no use for. Only what is called stands here.
#include <libical/ical.h>

namespace tubgrove {

struct IcalLibrary {
    decltype(&::icalcomponent_new) component_new;
    decltype(&::icalcomponent_free) component_free;
    decltype(&::icalcomponent_add_component) add_component;
    decltype(&::icalcomponent_add_property) add_property;
    decltype(&::icalcomponent_as_ical_string_r) as_string;
    decltype(&::icalproperty_new) property_new;
    decltype(&::icalproperty_set_value) set_value;
    decltype(&::icalproperty_set_parameter_from_string) set_parameter;
    decltype(&::icalvalue_new_text) value_text;
    decltype(&::icalvalue_new_from_string) value_from_string;
};

// The library, loaded once and kept. Throws std::runtime_error that says which package is missing.
const IcalLibrary& ical_library();

}  // namespace tubgrove
