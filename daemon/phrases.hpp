#pragma once
// Dates, times and quantities as the drawings say them. Metric, English, 24 hours.
#include "calendar.hpp"
#include "daybook.hpp"
#include "plan/plain_text.hpp"
#include "plan/round.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

std::string long_day(LocalDay day);   // Tuesday 14 July 2026
std::string short_day(LocalDay day);  // Tue 14 July
// Seen from a day: today, tomorrow, yesterday, a weekday within the coming six days, else the short day.
std::string day_from(LocalDay day, LocalDay seen_from);
std::string moment_from(Instant t, LocalDay seen_from, const Zone& zone);  // tomorrow 14:00

// The number and its unit on one line: "2.5 L". Litres of a pour are exact steps; others are rounded to 0.1.
std::string litres_said(double l, int decimals = 2);
// Litres of each of equal passes, where that is a number of half litres; else the cans tell how the pour is split.
std::optional<double> each_pass_l(double pour_l, int passes);
std::string passes_said(double pour_l, int passes);   // "twice 1.5 L", "in two pours"
std::string counted(long count, std::string_view one, std::string_view many);  // "1 pot", "3 pots"
std::string capitalised(std::string text);  // its first letter, where it is a plain one
std::string as_sentence(std::string text);  // with a full stop, where nothing closes it yet
std::string joined(const std::vector<std::string>& parts, std::string_view between);
std::string ordinal(int n);                 // 1st, 2nd, 3rd, 4th

// The values of an entry in words: amount_l=2.5 becomes "2.5 L", class=dry becomes "dry".
std::string values_said(const Entry& entry);
// "pot 7 watered 2.5 L"
std::string entry_said(const Entry& entry);


// The parts of a line of care by their rules, in the line's order.
std::vector<std::vector<RoundJobPart>> parts_by_rule(const RoundJob& job);
// What a line joins, with the pots of each: "Check stake and ties, pots 1, 2; loosen the ties, pot 3". Where all are for the same
// pots these stand once at the end.
std::string joined_titles(const RoundJob& job);

}  // namespace tubgrove
