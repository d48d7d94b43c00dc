#pragma once
// How a day's many hours become one marked value. Used by complete.cpp and rain.cpp.
#include "climate/ladder.hpp"

#include <string>
#include <vector>

namespace tubgrove {

// Collects the marks of a day's hours into one.
class Mark {
public:
    void add(const Found& found);
    Marked of(double value) const;  // the words joined by "+", the least certain origin

private:
    Origin origin_ = Origin::measured;
    std::vector<std::string> words_;
};

}  // namespace tubgrove
