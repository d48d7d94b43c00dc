#include "phrases.hpp"

#include "terminal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cmath>

namespace tubgrove {
namespace {

struct Suffix {
    std::string_view ending, unit;
};
constexpr std::array suffixes{Suffix{"_l", "L"},   Suffix{"_cm", "cm"}, Suffix{"_kg", "kg"},
                              Suffix{"_mm", "mm"}, Suffix{"_pct", "%"}, Suffix{"_degC", "°C"}};

// A number that was turned from another unit, such as 31.7514659, to three decimals; nobody reads a scale finer.
std::string read_by_growers(const std::string& value) {
    const auto point = value.find('.'), ends = std::min(value.find_first_not_of("-0123456789."), value.size());
    if (point == std::string::npos || point == 0 || point >= ends || ends - point <= 4 || (ends < value.size() && value[ends] != ' ')) return value;
    double number = 0;
    const auto read = std::from_chars(value.data(), value.data() + ends, number);
    if (read.ec != std::errc() || read.ptr != value.data() + ends) return value;
    std::string rounded = fmt::format("{:.3f}", number);
    rounded.erase(rounded.find_last_not_of('0') + 1);
    if (rounded.back() == '.') rounded.pop_back();
    return rounded + value.substr(ends);
}

std::string value_said(std::string_view key, const std::string& written) {
    const bool words = key == "text" || key == "job";
    const std::string value = words ? written : read_by_growers(written);
    for (const auto& [ending, unit] : suffixes)
        if (key.ends_with(ending)) return value + std::string(nbsp) + std::string(unit);
    return value;
}

std::string crown_said(const Entry& entry) {
    std::string said;
    for (const auto& [key, before] : {std::pair{"across_1_cm", ""}, {"across_2_cm", " by "}, {"height_cm", " high "}})
        if (const auto found = entry.values.find(key); found != entry.values.end())
            said += before + value_said(key, found->second);
    return said;
}

}  // namespace

std::string long_day(LocalDay day) {
    const std::chrono::year_month_day date{day};
    return fmt::format("{} {} {} {}", weekday_name(day), unsigned(date.day()), month_name(day), int(date.year()));
}

std::string short_day(LocalDay day) {
    const std::chrono::year_month_day date{day};
    return fmt::format("{} {} {}", weekday_name(day).substr(0, 3), unsigned(date.day()), month_name(day));
}

std::string day_from(LocalDay day, LocalDay seen_from) {
    const auto ahead = (day - seen_from).count();
    if (ahead == 0) return "today";
    if (ahead == 1) return "tomorrow";
    if (ahead == -1) return "yesterday";
    if (ahead > 1 && ahead < 7) return std::string(weekday_name(day));
    return short_day(day);
}

std::string moment_from(Instant t, LocalDay seen_from, const Zone& zone) {
    return day_from(zone.day_of(t), seen_from) + std::string(nbsp) + format_clock(zone.local(t));
}

std::string litres_said(double l, int decimals) { return plain(l, decimals) + std::string(nbsp) + "L"; }

std::string counted(long count, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::optional<double> each_pass_l(double pour_l, int passes) {
    const double half_litres = 2 * pour_l / passes;
    return std::abs(half_litres - std::round(half_litres)) > 1e-6 ? std::nullopt : std::optional(half_litres / 2);
}

std::string passes_said(double pour_l, int passes) {
    const auto each_l = each_pass_l(pour_l, passes);
    if (!each_l) return "in " + (passes == 2 ? "two" : std::to_string(passes)) + " passes";
    return (passes == 2 ? "twice " : std::to_string(passes) + " times ") + litres_said(*each_l);
}

std::string capitalised(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = char(text[0] - 'a' + 'A');
    return text;
}

std::string as_sentence(std::string text) {
    if (!text.empty() && text.back() != '.' && text.back() != '!' && text.back() != '?') text += '.';
    return text;
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
    std::string out;
    for (const auto& part : parts) out += (out.empty() ? "" : std::string(between)) + part;
    return out;
}

std::string ordinal(int n) {
    const int tens = n % 100;
    const bool th = tens >= 11 && tens <= 13;
    return fmt::format("{}{}", n, th ? "th" : n % 10 == 1 ? "st" : n % 10 == 2 ? "nd" : n % 10 == 3 ? "rd" : "th");
}

std::string values_said(const Entry& entry) {
    if (entry.action == "crown") return crown_said(entry);
    std::string said;
    const bool dotted_facts = entry.values.size() > 1 || find_action(entry.action) == nullptr;
    for (const auto& [key, value] : entry.values) {
        if (!said.empty()) said += ", ";
        if (key.find('.') != std::string::npos || (dotted_facts && key.find('_') == std::string::npos))
            said += key + " ";
        said += value_said(key, value);
    }
    return said;
}

std::string entry_said(const Entry& entry) {
    std::string said = entry.pot.empty() ? "" : "pot " + entry.pot + " ";
    said += entry.action;
    if (const std::string values = values_said(entry); !values.empty()) said += " " + values;
    return said;
}

std::vector<std::vector<RoundJobPart>> parts_by_rule(const RoundJob& job) {
    std::vector<std::vector<RoundJobPart>> rules;
    for (const auto& part : job.parts) {
        const auto same = std::ranges::find_if(rules, [&](const auto& parts) { return parts.front().rule == part.rule; });
        if (same == rules.end()) rules.push_back({part});
        else same->push_back(part);
    }
    return rules;
}

namespace {

std::string pots_named(const std::vector<RoundJobPart>& parts) {
    std::vector<std::string> pots;
    for (const auto& part : parts)
        if (std::ranges::find(pots, part.pot) == pots.end()) pots.push_back(part.pot);
    return (pots.size() == 1 ? "pot " : "pots ") + joined(pots, ", ");
}

bool same_pots(const std::vector<RoundJobPart>& a, const std::vector<RoundJobPart>& b) {
    return std::ranges::is_permutation(a, b, {}, &RoundJobPart::pot, &RoundJobPart::pot);
}

}  // namespace

std::string joined_titles(const RoundJob& job) {
    const auto rules = parts_by_rule(job);
    const bool alike = std::ranges::all_of(rules, [&](const auto& parts) { return same_pots(parts, rules.front()); });
    if (alike) return capitalised(job.title) + ", " + pots_named(job.parts);
    std::string text;
    for (const auto& parts : rules) text += (text.empty() ? "" : "; ") + parts.front().title + ", " + pots_named(parts);
    return capitalised(text);
}

}  // namespace tubgrove
