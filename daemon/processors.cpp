#include "processors.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace tubgrove {
namespace {

// More would hold more pots in memory at once, and come near the tasks that the service's unit allows. Own assumption
constexpr std::size_t most_hands = 16;

}  // namespace

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
        const std::size_t hands = std::min<std::size_t>({count, std::thread::hardware_concurrency(), most_hands});
        try {
            for (std::size_t i = 1; i < hands; ++i) helpers.emplace_back(take);
        } catch (const std::system_error&) {
            // The system gives no more of them: those that are there do it all.
        }
        take();
    }
    if (failed) std::rethrow_exception(failed);
}

}  // namespace tubgrove
