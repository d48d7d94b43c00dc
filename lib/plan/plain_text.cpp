#include "plan/plain_text.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace tubgrove {

std::string plain(double number, int decimals) {
    char text[400];   // any double: up to 309 digits before the point
    const auto end = std::to_chars(text, text + sizeof text, number, std::chars_format::fixed, decimals).ptr;
    std::string s(text, end);
    if (s.find('.') != std::string::npos) {
        s.erase(s.find_last_not_of('0') + 1);
        if (s.back() == '.') s.pop_back();
    }
    return s == "-0" ? "0" : s;
}

std::string litres_text(double litres) { return plain(litres, 1) + " L"; }

std::string hours_text(double hours) {
    if (hours < 48) {
        const double whole = std::max(1.0, std::round(hours));
        return plain(whole, 0) + (whole == 1 ? " hour" : " hours");
    }
    return plain(std::round(hours / 24), 0) + " days";
}

}  // namespace tubgrove
