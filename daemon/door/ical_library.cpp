#include "door/ical_library.hpp"

#include <dlfcn.h>

#include <stdexcept>
#include <string>

namespace tubgrove {
namespace {

template <class Function>
void find(void* library, const char* name, Function& into) {
    into = reinterpret_cast<Function>(::dlsym(library, name));
    if (into == nullptr) throw std::runtime_error(std::string("libical has no ") + name);
}

IcalLibrary load() {
    void* library = ::dlopen("libical.so.3", RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) throw std::runtime_error("a calendar needs libical, which is not on this machine; right would be: apt install libical3");
    IcalLibrary found{};
    find(library, "icalcomponent_new", found.component_new);
    find(library, "icalcomponent_free", found.component_free);
    find(library, "icalcomponent_add_component", found.add_component);
    find(library, "icalcomponent_add_property", found.add_property);
    find(library, "icalcomponent_as_ical_string_r", found.as_string);
    find(library, "icalproperty_new", found.property_new);
    find(library, "icalproperty_set_value", found.set_value);
    find(library, "icalproperty_set_parameter_from_string", found.set_parameter);
    find(library, "icalvalue_new_text", found.value_text);
    find(library, "icalvalue_new_from_string", found.value_from_string);
    return found;
}

}  // namespace

const IcalLibrary& ical_library() {
    static const IcalLibrary library = load();
    return library;
}

}  // namespace tubgrove
