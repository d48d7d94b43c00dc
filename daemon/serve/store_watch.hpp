#pragma once
// Says that something was written into the store's folder, by this process or another: the kernel tells it, so nobody has to look
// while nothing happens.
#include "serve/event_loop.hpp"

#include <filesystem>
#include <functional>
#include <memory>

namespace tubgrove {

class StoreWatch {
public:
    // Calls in the loop, half a second after the first write of a row of writes, so that a busy hour costs no more than two calls a
    // second. Files come and go in the folder and some writes are undone, so whoever is called asks the store what is new. Where
    // the kernel watches no more folders, the log says so, and nothing is called.
    StoreWatch(EventLoop& loop, const std::filesystem::path& folder, std::function<void()> written);
    ~StoreWatch();
    StoreWatch(const StoreWatch&) = delete;
    StoreWatch& operator=(const StoreWatch&) = delete;

private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

}  // namespace tubgrove
