#pragma once
// Gardens and weather made by rule for the benchmarks: any number of pots, any number of hours, always the same.
#include "climate/complete.hpp"
#include "garden/garden.hpp"
#include "plan/tables.hpp"
#include "store/store.hpp"

#include <filesystem>
#include <iosfwd>
#include <memory>
#include <span>
#include <stdexcept>
#include <variant>
#include <vector>

namespace tubgrove::bench {

inline constexpr int season_hours = 24 * 105;  // April to the middle of July

Instant season_start();  // an hour of issue, so that whole days later are, too
Series own_series();
SiteClimate made_climate();
// Warm days, dry spells and showers; every channel that ET0 can use.
std::vector<Observation> made_weather(Instant start, int hours);
void write_csv(std::ostream& out, std::span<const Observation> hours);

// A garden with its store in a folder, which is made when it is not there.
class MadeGarden {
public:
    explicit MadeGarden(const std::filesystem::path& folder);
    Garden& garden() { return *garden_; }

private:
    std::unique_ptr<Tables> tables_;
    std::unique_ptr<Store> store_;
    std::unique_ptr<Garden> garden_;
};

// The hours as a file, at the moment when the last of them has ended.
void add_weather(Garden& garden, std::span<const Observation> hours);

// A garden of so many pots of several kinds that lived through the season's weather; nobody asked for a list, and nobody
// wrote anything down.
void plant(const std::filesystem::path& folder, int pots, int days = season_hours / 24);
// The same garden with somebody in it: a list each morning, which is answered on two days of three.
void tend(const std::filesystem::path& folder, int pots);

template <class Answer>
Answer answer(Outcome<Answer> outcome) {
    if (auto* refusal = std::get_if<Refusal>(&outcome)) throw std::runtime_error("refused: " + refusal->what);
    return std::get<Answer>(std::move(outcome));
}

}  // namespace tubgrove::bench
