#pragma once
// What is coming, as text.
#include "garden/answers.hpp"
#include "terminal.hpp"

#include <string>

namespace tubgrove {

std::string draw_forecasts(const ForecastsAnswer& answer, const Zone& zone, Page page);
std::string draw_hindcast(const HindcastAnswer& answer, Page page);
std::string draw_ahead(const AheadAnswer& answer, const Zone& zone, Page page);
std::string draw_absence(const AbsenceAnswer& answer, const Zone& zone, Page page);
std::string draw_visit(const VisitAnswer& answer, const Zone& zone, Page page);
std::string draw_compare(const CompareAnswer& answer, Page page);

}  // namespace tubgrove
