// `tubgrove serve`: from words to a running service, and back to an orderly end.
#include "run.hpp"
#include "serve/log.hpp"
#include "serve/notify.hpp"
#include "serve/service.hpp"
#include "store/memory.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <filesystem>
#include <optional>

namespace tubgrove {
namespace {

// Life signs for systemd, where it asked for them: no other timer runs while nothing is due.
void keep_alive(LoopTimer& timer, std::chrono::milliseconds every) {
    timer.after(every, [&timer, every] {
        notify_systemd("WATCHDOG=1");
        keep_alive(timer, every);
    });
}

// While it lives no second service takes the same data folder: two would both fetch weather, empty a drop folder and tell lists. The
// folder itself is what they quarrel about, so that nothing is left behind; where a file system knows no such locks, nobody is stopped.
class OnlyService {
public:
    explicit OnlyService(const std::filesystem::path& data) : folder_(::open(data.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
        if (folder_ < 0 || ::flock(folder_, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK) return;
        ::close(folder_);
        refuse("another service runs on the data folder " + data.string() + " already", "that one alone, or another folder: --data DIR");
    }
    ~OnlyService() {
        if (folder_ >= 0) ::close(folder_);
    }
    OnlyService(const OnlyService&) = delete;

private:
    int folder_;
};

}  // namespace

ExitStatus run_serve(const Places& places, const Asked& asked, const Face&) {
    start_log(LogLevel::info);
    keep_store_memory_small();
    ServiceSettings settings{.places = places, .stands_at = {}};
    if (asked.has("--at")) settings.stands_at = view_of(asked, *open_garden(places).garden).now;
    std::signal(SIGPIPE, SIG_IGN);
    EventLoop loop;
    const auto data = settings.places.data;
    const bool lives = !settings.stands_at;  // one whose clock stands still only shows
    Service service(loop, std::move(settings));
    std::optional<OnlyService> only;
    if (lives) only.emplace(data);
    const auto end = [&] {
        notify_systemd("STOPPING=1");
        log_info("stopping");
        service.stop([&] { loop.stop(); });
    };
    loop.on_signal(SIGTERM, end);
    loop.on_signal(SIGINT, end);
    loop.on_signal(SIGHUP, [&] {
        notify_systemd(reloading_state());
        service.reload();
        notify_systemd("READY=1");
    });
    service.open_doors();
    LoopTimer life(loop);
    if (const auto every = watchdog_interval()) keep_alive(life, *every / 2);
    notify_systemd("READY=1");
    service.begin();
    loop.run();
    log_info("stopped");
    return ExitStatus::done;
}

}  // namespace tubgrove
