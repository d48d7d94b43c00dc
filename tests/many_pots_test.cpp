// A garden of more pots than a list takes at a time: its lines do not depend on who works them out, nor on what was kept.
#include "bench/garden_made.hpp"
#include "bench/measure.hpp"
#include "catch.h"
#include "garden/json.hpp"
#include "processors.hpp"

#include <algorithm>
#include <atomic>
#include <stdexcept>
#include <sys/resource.h>
#include <sys/wait.h>
#include <system_error>
#include <thread>
#include <unistd.h>
#include <vector>

using namespace tubgrove;
using namespace tubgrove::bench;

namespace {

constexpr int pots = 70, days = 6;

Instant asked() { return season_start() + std::chrono::hours(24 * days) + std::chrono::minutes(1); }

std::string list_by(const std::filesystem::path& at, ForEach hands, bool forget) {
    if (forget)
        for (const char* suffix : {"", "-wal", "-shm"}) std::filesystem::remove(at / "data" / (std::string("tubgrove-cache.db") + suffix));
    MadeGarden made(at);
    made.garden().use(std::move(hands));
    View view{.now = asked()};
    view.recompute = true;
    const auto list = answer(made.garden().round(view));
    CHECK(list.round.pours.size() + list.round.no_water.size() == pots);
    return to_json(list, Zone::utc());
}

void backwards(std::size_t count, const std::function<void(std::size_t)>& work) {
    for (std::size_t i = count; i > 0; --i) work(i - 1);
}

}  // namespace

TEST_CASE("a list is the same forwards, backwards, on all processors, and from kept states") {
    const Folder folder;
    const auto at = folder.path() / "garden";
    plant(at, pots, days);
    const auto forwards = [](std::size_t count, const std::function<void(std::size_t)>& work) {
        for (std::size_t i = 0; i < count; ++i) work(i);
    };
    const std::string first = list_by(at, forwards, true);
    CHECK(list_by(at, backwards, true) == first);
    CHECK(list_by(at, on_all_processors, true) == first);
    CHECK(list_by(at, on_all_processors, false) == first);
}

TEST_CASE("work is all done also where the system gives no further thread") {
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        const rlimit alone{1, 1};
        if (geteuid() == 0 && setuid(65534) != 0) _exit(2);   // root stands above the limit
        if (setrlimit(RLIMIT_NPROC, &alone) != 0) _exit(2);
        bool refused = false;
        try {
            std::thread([] {}).join();
        } catch (const std::system_error&) {
            refused = true;
        }
        std::vector<std::atomic<int>> done(1000);
        try {
            on_all_processors(done.size(), [&](std::size_t i) { ++done[i]; });
        } catch (...) {
            _exit(3);
        }
        _exit(!refused ? 4 : std::ranges::all_of(done, [](const auto& d) { return d == 1; }) ? 0 : 5);
    }
    int status = 0;
    REQUIRE(waitpid(child, &status, 0) == child);
    CHECK(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 0);
}

TEST_CASE("work on all processors is all done, and an exception of one piece comes out") {
    std::vector<int> done(1000, 0);
    on_all_processors(done.size(), [&](std::size_t i) { ++done[i]; });
    CHECK(std::all_of(done.begin(), done.end(), [](int times) { return times == 1; }));
    on_all_processors(0, [](std::size_t) { throw std::logic_error("nothing was asked"); });
    CHECK_THROWS_WITH(on_all_processors(100, [](std::size_t i) { if (i == 37) throw std::runtime_error("piece 37"); }), "piece 37");
}
