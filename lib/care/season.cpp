#include "care/season.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

LocalDay longest_day(int year, bool south) {
    using namespace std::chrono;
    const auto month = south ? December : June;
    return LocalDay{year_month_day{std::chrono::year(year), month, day(21)}};
}

std::optional<int> month_here(int northern_month, double latitude_deg) {
    if (std::fabs(latitude_deg) < 23.5) return std::nullopt;
    return latitude_deg > 0 ? northern_month : (northern_month + 5) % 12 + 1;
}

LocalDay feed_stop(LocalDay longest, std::optional<LocalDay> first_frost) {
    const LocalDay by_light = longest + std::chrono::days(45);
    return first_frost ? std::min(by_light, *first_frost - std::chrono::days(56)) : by_light;
}

}  // namespace tubgrove
