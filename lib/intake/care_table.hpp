#pragma once
// Rows of config/care.yaml.
#include "care/rule.hpp"
#include "intake/section.hpp"

namespace tubgrove {

void read_care_rule(Section& section, CareRule& row);
void read_caution(Section& section, CautionRow& row);
void read_care_species(Section& section, CareSpecies& row);

}  // namespace tubgrove
