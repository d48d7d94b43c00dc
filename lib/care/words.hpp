#pragma once
// Why a job stands there, in the garden's own numbers.
#include "care/windows.hpp"
#include "plan/round.hpp"

#include <string>
#include <vector>

namespace tubgrove {

// Reasons, the most telling first; what is only estimated says so.
std::vector<Remark> reasons_of(const CareRule&, const JobWindow&, const Situation&);
// A caution's line with {kg} and {kN/m2} filled in.
std::string caution_words(const CautionRow&, const Situation&);

}  // namespace tubgrove
