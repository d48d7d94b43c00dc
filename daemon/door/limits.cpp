#include "door/limits.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

double Buckets::left(const std::string& who, Moment now) const {
    const auto found = buckets_.find(who);
    if (found == buckets_.end()) return rate_.burst;
    const double passed_s = std::chrono::duration<double>(now - found->second.at).count();
    return std::min(rate_.burst, found->second.left + std::max(0.0, passed_s) * rate_.a_second);
}

bool Buckets::has(const std::string& who, Moment now) const { return left(who, now) >= 1; }

int Buckets::wait_s(const std::string& who, Moment now) const {
    return std::max(1, int(std::ceil((1 - left(who, now)) / rate_.a_second)));
}

bool Buckets::take(const std::string& who, Moment now) {
    const double there = left(who, now);
    if (there < 1) return false;
    if (!buckets_.contains(who) && buckets_.size() >= most_) forget(now);
    buckets_[who] = {there - 1, now};
    return true;
}

// The full buckets say nothing; if none is full, the fullest says least.
void Buckets::forget(Moment now) {
    std::erase_if(buckets_, [&](const auto& item) { return left(item.first, now) >= rate_.burst; });
    if (buckets_.size() < most_) return;
    const auto fullest = std::ranges::max_element(buckets_, {}, [&](const auto& item) { return left(item.first, now); });
    buckets_.erase(fullest);
}

}  // namespace tubgrove
