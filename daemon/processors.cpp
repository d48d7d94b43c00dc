#include "processors.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace tubgrove {

void on_all_processors(std::size_t count, const std::function<void(std::size_t)>& work) {
    std::atomic<std::size_t> next{0};
    std::exception_ptr failed;
    std::mutex failing;
    const auto take = [&] {
        try {
            for (std::size_t i = next++; i < count; i = next++) work(i);
        } catch (...) {
            const std::lock_guard lock(failing);
            if (!failed) failed = std::current_exception();
            next = count;
        }
    };
    {
        std::vector<std::jthread> helpers;
        const std::size_t hands = std::min<std::size_t>(count, std::thread::hardware_concurrency());
        for (std::size_t i = 1; i < hands; ++i) helpers.emplace_back(take);
        take();
    }
    if (failed) std::rethrow_exception(failed);
}

}  // namespace tubgrove
