#pragma once
// Work shared among the machine's processors, by threads that live as long as one call: 16 at most, and fewer where the system gives no more.
#include <cstddef>
#include <functional>

namespace tubgrove {

// A ForEach (garden/garden.hpp): each idle processor takes the next piece. The first exception is thrown on when all have
// ended.
void on_all_processors(std::size_t count, const std::function<void(std::size_t)>& work);

}  // namespace tubgrove
