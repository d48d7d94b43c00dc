#pragma once
// How often one may ask: buckets that fill steadily and are emptied by asking. The clock is an argument.
#include <chrono>
#include <map>
#include <string>

namespace tubgrove {

struct Rate {
    double a_second;
    double burst;
};

class Buckets {
public:
    // Remembers as many askers as `most`; beyond that the fullest, who have asked least, are forgotten first.
    Buckets(Rate rate, std::size_t most) : rate_(rate), most_(most) {}

    using Moment = std::chrono::steady_clock::time_point;
    // Takes one; false, and nothing is taken, when there is none.
    [[nodiscard]] bool take(const std::string& who, Moment now);
    // Whether there is one, without taking it.
    bool has(const std::string& who, Moment now) const;
    // Seconds until there is one again.
    int wait_s(const std::string& who, Moment now) const;
    std::size_t size() const { return buckets_.size(); }

private:
    struct Bucket {
        double left;
        Moment at;
    };
    double left(const std::string& who, Moment now) const;
    void forget(Moment now);

    Rate rate_;
    std::size_t most_;
    std::map<std::string, Bucket> buckets_;
};

}  // namespace tubgrove
