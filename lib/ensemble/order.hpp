#pragma once
// The rising order of a few hundred keys, as std::stable_sort would give it and some times faster: every day of every
// member begins with it. The keys are thrown into as many buckets, and what is left is put right by insertion.
#include <algorithm>
#include <cstddef>
#include <numeric>
#include <span>
#include <vector>

namespace tubgrove {

// `bucket_of` gives 0..keys.size()-1 and rises with the key. Returns the indices of the keys, equal ones in their order.
template <class Key, class BucketOf>
std::vector<int> rising_order(std::span<const Key> keys, BucketOf bucket_of) {
    const std::size_t n = keys.size();
    std::vector<int> order(n), begins(n + 1, 0), bucket(n);
    for (std::size_t i = 0; i < n; ++i) ++begins[std::size_t(bucket[i] = int(bucket_of(keys[i]))) + 1];
    std::partial_sum(begins.begin(), begins.end(), begins.begin());
    for (std::size_t i = 0; i < n; ++i) order[std::size_t(begins[std::size_t(bucket[i])]++)] = int(i);
    for (std::size_t k = 1; k < n; ++k) {
        const int moved = order[k];
        std::size_t to = k;
        for (; to > 0 && keys[std::size_t(moved)] < keys[std::size_t(order[to - 1])]; --to) order[to] = order[to - 1];
        order[to] = moved;
    }
    return order;
}

// Of numbers, none of them NaN; infinities are allowed.
inline std::vector<int> rising_order(std::span<const double> values) {
    if (values.empty()) return {};
    const auto [least, most] = std::minmax_element(values.begin(), values.end());
    const double low = *least, range = *most - *least, last = double(values.size() - 1);
    if (range > 0 && range < 1e300) {
        const double scale = last / range;
        return rising_order(values, [=](double x) { return std::min((x - low) * scale, last); });
    }
    std::vector<int> order(values.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return values[std::size_t(a)] < values[std::size_t(b)]; });
    return order;
}

}  // namespace tubgrove
