#include "places.hpp"

#include <pwd.h>
#include <unistd.h>

#include <cstdlib>

namespace tubgrove {
namespace {

namespace fs = std::filesystem;

std::string environment(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? "" : value;
}

// A timer's job may have no HOME; the machine's list of people knows where a person is at home all the same.
fs::path home_folder() {
    if (fs::path said = environment("HOME"); said.is_absolute()) return said;
    const passwd* person = ::getpwuid(::geteuid());
    return person == nullptr || person->pw_dir == nullptr ? "" : person->pw_dir;
}

// A base directory that is not absolute counts as unset, as the XDG specification asks.
fs::path base(const char* variable, std::string_view under_home) {
    if (const fs::path named = environment(variable); named.is_absolute()) return named;
    const fs::path home = home_folder();
    return home.is_absolute() ? home / under_home : fs::path();
}

bool stands(const fs::path& path) {
    std::error_code unreadable;
    return fs::exists(path, unreadable);
}

// Beside an installed program in share/, beside a build folder in config/.
fs::path shipped_demo() {
    std::error_code none;
    const fs::path program = fs::read_symlink("/proc/self/exe", none).parent_path();
    for (const fs::path& folder : {program / "../share/tubgrove/demo", program / "../config/demo"})
        if (stands(folder / "daybook.txt")) return folder.lexically_normal();
    return "/usr/share/tubgrove/demo";
}

}  // namespace

Places places_of(const Asked& asked) {
    const fs::path own = base("XDG_CONFIG_HOME", ".config") / "tubgrove/tubgrove.yaml";
    const fs::path system = "/etc/tubgrove/tubgrove.yaml";
    // Root without a garden of its own means the system's, also before it has a configuration.
    const bool asked_for = ::geteuid() == 0 && stands("/var/lib/tubgrove");
    const bool of_the_system = (stands(system) || asked_for) && !stands(own);
    Places places;
    places.configuration = asked.value("--config");
    if (places.configuration.empty()) places.configuration = environment("TUBGROVE_CONFIG");
    const bool named = !places.configuration.empty();
    if (!named) places.configuration = of_the_system ? system : own;
    places.data = asked.value("--data");
    if (places.data.empty()) places.data = environment("TUBGROVE_DATA");
    if (places.data.empty())
        places.data = of_the_system && !named ? fs::path("/var/lib/tubgrove")
                                              : base("XDG_DATA_HOME", ".local/share") / "tubgrove";
    places.demo = shipped_demo();
    places.demo_garden = base("XDG_DATA_HOME", ".local/share") / "tubgrove-demo";
    return places;
}

}  // namespace tubgrove
