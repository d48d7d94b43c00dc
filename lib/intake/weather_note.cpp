// `weather note max=31degC min=17degC rain=3mm`, or cool, usual, hot.
#include "intake/quantity.hpp"
#include "intake/weather_reader.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace tubgrove {
namespace {

struct NoteKey {
    std::string_view key;
    Channel channel;
    Wanted wanted;
};
constexpr std::array keys{
    NoteKey{"max", Channel::air_temperature_max, {"degC", -60, 60, "31degC", true}},
    NoteKey{"min", Channel::air_temperature_min, {"degC", -60, 60, "17degC", true}},
    NoteKey{"rain", Channel::precipitation_amount_sum, {"mm", 0, 1000, "3mm", true}},
    NoteKey{"wind", Channel::wind_speed_mean, {"m s-1", 0, 75, "3m/s", true}},
    NoteKey{"sun", Channel::duration_of_sunshine_sum, {"h", 0, 24, "9h", true}},
    NoteKey{"humidity", Channel::relative_humidity_mean, {"%", 0, 100, "60%", true}},
};
constexpr std::array key_names{std::string_view("max"), std::string_view("min"), std::string_view("rain"), std::string_view("wind"),
                               std::string_view("sun"), std::string_view("humidity")};
constexpr std::array words_for_a_day{std::string_view("cool"), std::string_view("usual"), std::string_view("hot")};

Fault not_understood(std::string_view word) {
    std::vector<std::string_view> known(key_names.begin(), key_names.end());
    known.insert(known.end(), words_for_a_day.begin(), words_for_a_day.end());
    auto near = nearest(word.substr(0, word.find('=')), known);
    return {fmt::format("{} is not understood", quoted(word)),
            did_you_mean(near, "write max=31degC min=17degC rain=3mm, or cool, usual or hot")};
}

std::optional<double> value_of(const WeatherNote& note, Channel channel) {
    auto found = std::ranges::find(note.values, channel, &std::pair<Channel, double>::first);
    return found == note.values.end() ? std::nullopt : std::optional(found->second);
}

// Empty: taken into the note.
std::optional<Fault> take(std::string_view word, WeatherNote& note) {
    if (std::ranges::find(words_for_a_day, word) != words_for_a_day.end()) {
        if (!note.word.empty()) return Fault{fmt::format("{} and {} are both given", note.word, word), "keep one of them"};
        note.word = word;
        return std::nullopt;
    }
    auto equals = word.find('=');
    auto key = std::ranges::find(keys, word.substr(0, equals), &NoteKey::key);
    if (equals == std::string_view::npos || key == keys.end()) return not_understood(word);
    if (value_of(note, key->channel)) return Fault{fmt::format("{} is given twice", key->key), "keep one of them"};
    auto parsed = parse_quantity(word.substr(equals + 1), key->wanted);
    if (!good(parsed)) return Fault{fmt::format("{}: {}", key->key, fault(parsed).what), fault(parsed).right};
    note.values.emplace_back(key->channel, *good(parsed));
    return std::nullopt;
}

}  // namespace

Read<WeatherNote> parse_weather_note(std::span<const std::string> words) {
    Read<WeatherNote> read;
    int place = 0;
    auto complain = [&](Fault f) { read.complaints.push_back({"", 0, place, std::move(f.what), std::move(f.right)}); };
    for (const auto& word : words) {
        ++place;
        if (auto wrong = take(word, read.value)) complain(std::move(*wrong));
    }
    place = 0;
    auto max = value_of(read.value, Channel::air_temperature_max), min = value_of(read.value, Channel::air_temperature_min);
    if (max && min && *min > *max) complain({fmt::format("min {} degC is above max {} degC", decimal(*min), decimal(*max)), "change them over"});
    if (!read.value.word.empty() && (max || min)) complain({"both a word and a temperature are given", "keep one of them"});
    if (words.empty()) complain({"nothing was said", "write max=31degC min=17degC rain=3mm, or cool, usual or hot"});
    return read;
}

}  // namespace tubgrove
