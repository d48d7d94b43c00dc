#include "serve/fetch_plan.hpp"

#include "intake/weather_time.hpp"

#include <boost/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using namespace std::chrono_literals;

constexpr std::chrono::seconds first_wait = 60s, longest_wait = 6h, longest_asked = 24h, hopeless_wait = 1h;
constexpr long errand_seconds = 60;

// Between 0 and 1, the same for the same words. FNV-1a, then mixed so that near words lie far apart.
double share_of(std::string_view words, int number) {
    std::uint64_t hash = 14695981039346656037u;
    for (const char c : fmt::format("{}/{}", words, number)) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211u;
    hash ^= hash >> 32;
    hash *= 0x9E3779B97F4A7C15u;
    return double(hash >> 11) / double(std::uint64_t(1) << 53);
}

// 47.9 of 47.90000
std::string short_number(double number, int decimals) {
    auto text = fmt::format("{:.{}f}", number, decimals);
    if (text.find('.') != std::string::npos) text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
    return text == "-0" ? "0" : text;
}

std::string filled(std::string_view name, const Site& site, LocalDay today) {
    if (name == "latitude") return short_number(degrees(site.latitude), 4);
    if (name == "longitude") return short_number(degrees(site.longitude), 4);
    if (name == "elevation") return short_number(metres(site.elevation), 0);
    const int days = name.size() > 4 ? std::atoi(std::string(name.substr(3)).c_str()) : 0;
    return format_day(today + std::chrono::days(days));
}

}  // namespace

FetchVerdict judge(const Brought& brought) {
    if (!brought.error.empty()) return {.why = brought.error};
    const auto status = brought.status;
    if (status == 304) return {.come = Come::same};
    if (status >= 200 && status < 300) return {.come = Come::fresh};
    const bool passes = status == 408 || status == 425 || status == 429;
    return {.why = fmt::format("the server answered {}", status), .hopeless = status >= 400 && status < 500 && !passes};
}

std::chrono::milliseconds next_fetch(const Pace& pace) {
    using std::chrono::milliseconds;
    const double share = share_of(pace.name, pace.failures);
    double wait_s = double(pace.every.count()) * (1 + share / 20);
    if (pace.failures > 0) {
        const double doubled = double(first_wait.count()) * std::pow(2, std::min(pace.failures - 1, 12));
        wait_s = std::min(doubled, double(longest_wait.count()) / 1.25) * (0.75 + share / 2);
        if (pace.hopeless) wait_s = std::max(wait_s, double(hopeless_wait.count()) * (1 + share / 4));
    }
    if (pace.retry_after) wait_s = std::max(wait_s, double(std::min(*pace.retry_after, longest_asked).count()));
    return milliseconds(std::int64_t(wait_s * 1000));
}

std::string fill_address(std::string_view url, const Site& site, LocalDay today) {
    std::string address;
    for (;;) {
        const auto open = url.find('{'), close = open == std::string_view::npos ? open : url.find('}', open);
        if (close == std::string_view::npos) return address.append(url);
        address.append(url.substr(0, open)).append(filled(url.substr(open + 1, close - open - 1), site, today));
        url.remove_prefix(close + 1);
    }
}

Sent fetch_errand(const WeatherFetch& fetch, const FetchMemory& memory, const std::string& address, std::string_view version) {
    boost::json::array headers{fmt::format("User-Agent: tubgrove/{}{}{}", version, fetch.contact.empty() ? "" : " ", fetch.contact)};
    for (const auto& header : fetch.headers) headers.emplace_back(header);
    boost::json::object errand{{"kind", "fetch"}, {"url", address}, {"headers", headers}, {"seconds", errand_seconds}, {"bytes_max", fetch.most_bytes}};
    const auto give = [&](const char* key, const std::string& value) {
        if (!value.empty()) errand[key] = value;
    };
    give("user", fetch.user);
    give("secret_file", fetch.secret_file);
    give("ca_file", fetch.ca_file);
    give("proxy", fetch.proxy);
    give("etag", memory.etag);
    give("last_modified", memory.last_modified);
    return {.errand = boost::json::serialize(errand), .longest = std::chrono::seconds(errand_seconds + 5), .bytes_max = std::size_t(fetch.most_bytes)};
}

std::optional<Instant> http_date(std::string_view text) {
    const auto comma = text.find(", ");
    if (comma == std::string_view::npos || !text.ends_with(" GMT")) return std::nullopt;
    text.remove_prefix(comma + 2);
    text.remove_suffix(4);
    const auto found = parse_interval(text, {.format = "%d %b %Y %H:%M:%S", .zone = Zone::utc(), .at_start = false, .span = {}});
    return found ? std::optional(found->ends) : std::nullopt;
}

}  // namespace tubgrove
