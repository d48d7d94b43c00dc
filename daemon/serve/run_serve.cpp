// `tubgrove serve`: from words to a running service, and back to an orderly end.
#include "run.hpp"
#include "serve/log.hpp"
#include "serve/notify.hpp"
#include "serve/service.hpp"
#include "store/memory.hpp"

#include <csignal>

namespace tubgrove {
namespace {

// Life signs for systemd, where it asked for them: no other timer runs while nothing is due.
void keep_alive(LoopTimer& timer, std::chrono::milliseconds every) {
    timer.after(every, [&timer, every] {
        notify_systemd("WATCHDOG=1");
        keep_alive(timer, every);
    });
}

}  // namespace

ExitStatus run_serve(const Places& places, const Asked& asked, const Face&) {
    start_log(LogLevel::info);
    keep_store_memory_small();
    ServiceSettings settings{.places = places, .stands_at = {}};
    if (asked.has("--at")) settings.stands_at = view_of(asked, *open_garden(places).garden).now;
    std::signal(SIGPIPE, SIG_IGN);
    EventLoop loop;
    Service service(loop, std::move(settings));
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
