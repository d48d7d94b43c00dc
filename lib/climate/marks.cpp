#include "climate/marks.hpp"

#include <algorithm>

namespace tubgrove {

void Mark::add(const Found& found) {
    const std::string word = (found.forecast ? "forecast:" : "") + std::string(found.how);
    if (std::find(words_.begin(), words_.end(), word) == words_.end()) words_.push_back(word);
    origin_ = std::max(origin_, found.origin);
}

Marked Mark::of(double value) const {
    std::string how;
    for (const std::string& word : words_) how += (how.empty() ? "" : "+") + word;
    return {value, origin_, how};
}

}  // namespace tubgrove
