#pragma once
// The one loop that everything of the daemon runs on, in the thread that calls run(). The library behind it shows only in the
// files that need it.
#include <chrono>
#include <functional>
#include <memory>

namespace boost::asio {
class io_context;
}

namespace tubgrove {

class EventLoop {
public:
    EventLoop();
    ~EventLoop();
    EventLoop(const EventLoop&) = delete;
    EventLoop& operator=(const EventLoop&) = delete;

    void run();   // until stop()
    void stop();
    // Puts a call into the loop; from any thread.
    void post(std::function<void()> call);
    // Calls once each time one of these signals comes.
    void on_signal(int signal, std::function<void()> call);
    boost::asio::io_context& context();

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

// Calls once at a moment of the steady clock, or never; a new moment replaces the old one. Nothing wakes the loop while no
// timer is set.
class LoopTimer {
public:
    explicit LoopTimer(EventLoop& loop);
    ~LoopTimer();
    LoopTimer(const LoopTimer&) = delete;
    LoopTimer& operator=(const LoopTimer&) = delete;
    void after(std::chrono::milliseconds wait, std::function<void()> call);
    void cancel();

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

// Calls whenever the machine's clock was set, or the machine woke from sleep: the kernel says so, nobody has to look.
class ClockWatch {
public:
    ClockWatch(EventLoop& loop, std::function<void()> was_set);
    ~ClockWatch();
    ClockWatch(const ClockWatch&) = delete;
    ClockWatch& operator=(const ClockWatch&) = delete;

private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

// One thread that works calls off in their order, so that a long one never keeps the loop waiting. The queue is bounded.
class WorkBench {
public:
    // `rest` is called on the thread, once each time after it had nothing to do for two seconds, the first time after its start.
    WorkBench(std::size_t longest_queue, std::function<void()> rest);
    ~WorkBench();  // waits for the call at work; what still waits is dropped
    WorkBench(const WorkBench&) = delete;
    WorkBench& operator=(const WorkBench&) = delete;
    // False, and the call is not taken, when too many wait.
    [[nodiscard]] bool post(std::function<void()> call);

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace tubgrove
