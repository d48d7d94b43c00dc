#include "door/ical_library.hpp"

#include "shared_library.hpp"

namespace tubgrove {
namespace {

IcalLibrary load() {
    const SharedLibrary library("libical", "libical.so.3",
                                "a calendar needs libical, which is not on this machine; right would be: apt install libical3");
    IcalLibrary found{};
    library.find("icalcomponent_new", found.component_new);
    library.find("icalcomponent_free", found.component_free);
    library.find("icalcomponent_add_component", found.add_component);
    library.find("icalcomponent_add_property", found.add_property);
    library.find("icalcomponent_as_ical_string_r", found.as_string);
    library.find("icalproperty_new", found.property_new);
    library.find("icalproperty_set_value", found.set_value);
    library.find("icalproperty_set_parameter_from_string", found.set_parameter);
    library.find("icalvalue_new_text", found.value_text);
    library.find("icalvalue_new_from_string", found.value_from_string);
    return found;
}

}  // namespace

const IcalLibrary& ical_library() {
    static const IcalLibrary library = load();
    return library;
}

}  // namespace tubgrove
