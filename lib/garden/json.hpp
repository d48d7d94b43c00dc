#pragma once
// Every answer as JSON, written once: fixed key order, fixed decimals by the unit that a key's suffix names.
#include "garden/answers.hpp"

#include <string>

namespace tubgrove {

std::string to_json(const RoundAnswer&, const Zone&);
std::string to_json(const WhyAnswer&, const Zone&);
std::string to_json(const WaterAnswer&, const Zone&);
std::string to_json(const WordsAnswer&, const Zone&);
std::string to_json(const EntriesAnswer&, const Zone&);
std::string to_json(const DaybookAnswer&, const Zone&);
std::string to_json(const PotsAnswer&, const Zone&);
std::string to_json(const PotAnswer&, const Zone&);
std::string to_json(const ChangesAnswer&, const Zone&);
std::string to_json(const WeatherAnswer&, const Zone&);
std::string to_json(const ForecastsAnswer&, const Zone&);
std::string to_json(const HindcastAnswer&, const Zone&);
std::string to_json(const AheadAnswer&, const Zone&);
std::string to_json(const AbsenceAnswer&, const Zone&);
std::string to_json(const VisitAnswer&, const Zone&);
std::string to_json(const CompareAnswer&, const Zone&);
std::string to_json(const IngestAnswer&, const Zone&);
std::string to_json(const CheckAnswer&);
std::string to_json(const FilesAnswer&);
std::string to_json(const JobsAnswer&, const Zone&);
std::string to_json(const SeasonAnswer&, const Zone&);
std::string to_json(const Refusal&);

}  // namespace tubgrove
