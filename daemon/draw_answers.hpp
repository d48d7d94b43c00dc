#pragma once
// Every other answer of the garden as text.
#include "garden/answers.hpp"
#include "terminal.hpp"

#include <string>

namespace tubgrove {

std::string draw_why(const WhyAnswer& answer, const Zone& zone, Page page);
std::string draw_weather(const WeatherAnswer& answer, const Zone& zone, Page page);
std::string draw_pots(const PotsAnswer& answer, Page page);
std::string draw_pot(const PotAnswer& answer, const Zone& zone, LocalDay today, Page page);
std::string draw_water(const WaterAnswer& answer, const Zone& zone, Page page);
std::string draw_words(const WordsAnswer& answer, Page page);
std::string draw_daybook(const DaybookAnswer& answer, const Zone& zone, Page page);
std::string draw_entries(const EntriesAnswer& answer, const Zone& zone, Page page);
// `command` is what would write it: "tubgrove pot take garden.yaml --apply"; empty where nothing is held back.
std::string draw_changes(const ChangesAnswer& answer, std::string_view command, Page page);
std::string draw_ingest(const IngestAnswer& answer, std::string_view file, Page page);

}  // namespace tubgrove
