#include "door/reach.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <netinet/in.h>

#include <algorithm>
#include <string_view>

namespace tubgrove {
namespace {

// An address of this machine that others may know; empty when there is none.
std::string own_address() {
    ifaddrs* all = nullptr;
    if (::getifaddrs(&all) != 0) return {};
    std::string found;
    for (const ifaddrs* one = all; one != nullptr && found.empty(); one = one->ifa_next) {
        if (one->ifa_addr == nullptr || one->ifa_addr->sa_family != AF_INET) continue;
        sockaddr_in address{};
        std::copy_n(reinterpret_cast<const char*>(one->ifa_addr), sizeof(address), reinterpret_cast<char*>(&address));
        char text[INET_ADDRSTRLEN];
        if (::inet_ntop(AF_INET, &address.sin_addr, text, sizeof(text)) == nullptr) continue;
        if (!std::string_view(text).starts_with("127.")) found = text;
    }
    ::freeifaddrs(all);
    return found;
}

bool only_this_machine(const std::string& door) { return door.starts_with("127.") || door.starts_with("[::1]"); }

}  // namespace

Reach reach_of(const Doors& doors) {
    if (!doors.link.empty()) return {doors.link};
    for (const auto& door : doors.listen) {
        if (only_this_machine(door)) continue;
        const auto colon = door.rfind(':');
        std::string host = door.substr(0, colon);
        if (!doors.names.empty())
            host = doors.names.front();
        else if (host == "0.0.0.0" || host == "[::]")
            host = own_address();
        if (!host.empty()) return {"http://" + host + door.substr(colon)};
    }
    return {doors.listen.empty() ? "" : "http://" + doors.listen.front(), false};
}

}  // namespace tubgrove
