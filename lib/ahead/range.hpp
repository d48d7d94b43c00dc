#pragma once
// A quantity with its range over the members.

namespace tubgrove {

struct Range80 {
    double low = 0, median = 0, high = 0;    // 10th, 50th, 90th percentile
};

}  // namespace tubgrove
