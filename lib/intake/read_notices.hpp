#pragma once
// How issued lists are told to people and machines, as the configuration says it.
#include "intake/configuration.hpp"
#include "intake/section.hpp"

namespace tubgrove {

void read_notices(const YamlNode& node, const Desk& desk, Notices& notices);
// A line each, for `check`.
std::vector<std::string> describe_notices(const Notices& notices);
// How many mails, posts and messages one list becomes.
int told_to(const Notices& notices);

}  // namespace tubgrove
