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

void ask_on(int signal, struct sigaction& before) {
    struct sigaction action {};
    action.sa_handler = ask_to_stop;
    sigemptyset(&action.sa_mask);
    sigaction(signal, &action, &before);
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
    ask_on(SIGINT, interrupted_before_);
    ask_on(SIGTERM, terminated_before_);
    ask_on(SIGHUP, hung_up_before_);
    if (interrupted_before_.sa_handler != ask_to_stop) stop_asked = 0;   // the outermost
}

Progress::~Progress() {
    sigaction(SIGINT, &interrupted_before_, nullptr);
    sigaction(SIGTERM, &terminated_before_, nullptr);
    sigaction(SIGHUP, &hung_up_before_, nullptr);
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
