#include "progress.hpp"

#include "terminal.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdio>

namespace tubgrove {
namespace {

// The one thing that a signal handler may touch.
volatile std::sig_atomic_t stop_asked = 0;
void ask_to_stop(int) { stop_asked = 1; }

void handle(void (*handler)(int)) {
    struct sigaction action {};
    action.sa_handler = handler;
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, nullptr);
    sigaction(SIGTERM, &action, nullptr);
}

}  // namespace

std::string progress_line(const std::string& what, double share, long rows, int width) {
    const std::string name = without_controls(what);
    if (share < 0) return fmt::format("{}  {} rows", name, rows);
    const std::string tail = fmt::format(" {:3.0f} %, {} rows", std::clamp(share, 0.0, 1.0) * 100, rows);
    const int room = std::min(40, width - columns(name) - columns(tail) - 5);
    if (room < 5) return name + tail;
    const int filled = int(std::clamp(share, 0.0, 1.0) * room);
    return name + "  [" + std::string(std::size_t(filled), '=') + std::string(std::size_t(room - filled), ' ') + "]" +
           tail;
}

Progress::Progress(std::string what, std::function<double()> share)
    : what_(std::move(what)), share_(std::move(share)), terminal_(is_terminal(STDERR_FILENO)) {
    stop_asked = 0;
    handle(ask_to_stop);
}

Progress::~Progress() {
    handle(SIG_DFL);
    if (shown_) std::fputs("\r\x1b[K", stderr);
}

void Progress::step(long rows) {
    if (stop_asked != 0) throw Stopped{};
    const auto now = std::chrono::steady_clock::now();
    if (!terminal_ || now - last_ < std::chrono::milliseconds(100)) return;
    last_ = now;
    shown_ = true;
    std::fputs(("\r" + progress_line(what_, share_(), rows, page_of(STDERR_FILENO).width) + "\x1b[K").c_str(),
               stderr);
    std::fflush(stderr);
}

}  // namespace tubgrove
