#include "serve/event_loop.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/executor_work_guard.hpp>

#include <sys/timerfd.h>
#include <time.h>
#include <unistd.h>

#include <condition_variable>
#include <deque>
#include <list>
#include <mutex>
#include <thread>

namespace tubgrove {

namespace asio = boost::asio;

struct EventLoop::Inside {
    asio::io_context context{1};
    asio::executor_work_guard<asio::io_context::executor_type> stays{context.get_executor()};
    std::list<asio::signal_set> signals;

    void wait_for(asio::signal_set& set, std::function<void()> call) {
        set.async_wait([this, &set, call = std::move(call)](const boost::system::error_code& error, int) {
            if (error) return;
            call();
            wait_for(set, call);
        });
    }
};

EventLoop::EventLoop() : inside_(std::make_unique<Inside>()) {}
EventLoop::~EventLoop() = default;
void EventLoop::run() { inside_->context.run(); }
void EventLoop::stop() { inside_->context.stop(); }
void EventLoop::post(std::function<void()> call) { asio::post(inside_->context, std::move(call)); }
asio::io_context& EventLoop::context() { return inside_->context; }

void EventLoop::on_signal(int signal, std::function<void()> call) {
    inside_->wait_for(inside_->signals.emplace_back(inside_->context, signal), std::move(call));
}

struct LoopTimer::Inside {
    asio::steady_timer timer;
};

LoopTimer::LoopTimer(EventLoop& loop) : inside_(new Inside{asio::steady_timer(loop.context())}) {}
LoopTimer::~LoopTimer() = default;

void LoopTimer::after(std::chrono::milliseconds wait, std::function<void()> call) {
    inside_->timer.expires_after(wait);
    inside_->timer.async_wait([call = std::move(call)](const boost::system::error_code& error) {
        if (!error) call();
    });
}

void LoopTimer::cancel() { inside_->timer.cancel(); }

// A timer on the machine's own clock, a century from now, that the kernel cancels when the clock is set.
struct ClockWatch::Inside : std::enable_shared_from_this<ClockWatch::Inside> {
    Inside(asio::io_context& context, std::function<void()> call) : descriptor(context), was_set(std::move(call)) {}
    asio::posix::stream_descriptor descriptor;
    std::function<void()> was_set;

    void arm() {
        itimerspec far{};
        far.it_value.tv_sec = ::time(nullptr) + 100LL * 366 * 86400;
        ::timerfd_settime(descriptor.native_handle(), TFD_TIMER_ABSTIME | TFD_TIMER_CANCEL_ON_SET, &far, nullptr);
    }

    void wait() {
        descriptor.async_wait(asio::posix::stream_descriptor::wait_read,
                              [self = shared_from_this()](const boost::system::error_code& error) {
                                  if (error) return;
                                  std::uint64_t count = 0;
                                  (void)!::read(self->descriptor.native_handle(), &count, sizeof(count));
                                  self->arm();
                                  self->wait();
                                  self->was_set();
                              });
    }
};

ClockWatch::ClockWatch(EventLoop& loop, std::function<void()> was_set)
    : inside_(std::make_shared<Inside>(loop.context(), std::move(was_set))) {
    const int descriptor = ::timerfd_create(CLOCK_REALTIME, TFD_NONBLOCK | TFD_CLOEXEC);
    if (descriptor < 0) return;  // an old kernel: the clock is looked at when something is due
    inside_->descriptor.assign(descriptor);
    inside_->arm();
    inside_->wait();
}

ClockWatch::~ClockWatch() {
    boost::system::error_code ignored;
    inside_->descriptor.close(ignored);
}

struct WorkBench::Inside {
    std::size_t longest;
    std::function<void()> rest;
    std::mutex mutex = {};
    std::condition_variable bell = {};
    std::deque<std::function<void()>> queue = {};
    bool ends = false;
    std::thread thread = {};

    bool called() const { return ends || !queue.empty(); }

    void work() {
        std::unique_lock lock(mutex);
        for (bool rested = false;;) {
            if (!rested && !bell.wait_for(lock, std::chrono::seconds(2), [this] { return called(); })) {
                lock.unlock();
                rest();
                lock.lock();
                rested = true;
            }
            bell.wait(lock, [this] { return called(); });
            if (ends) return;
            auto call = std::move(queue.front());
            queue.pop_front();
            lock.unlock();
            call();
            call = nullptr;
            rested = false;
            lock.lock();
        }
    }
};

WorkBench::WorkBench(std::size_t longest_queue, std::function<void()> rest) : inside_(new Inside{.longest = longest_queue, .rest = std::move(rest)}) {
    inside_->thread = std::thread([inside = inside_.get()] { inside->work(); });
}

WorkBench::~WorkBench() {
    {
        const std::lock_guard lock(inside_->mutex);
        inside_->ends = true;
    }
    inside_->bell.notify_one();
    inside_->thread.join();
}

bool WorkBench::post(std::function<void()> call) {
    {
        const std::lock_guard lock(inside_->mutex);
        if (inside_->queue.size() >= inside_->longest) return false;
        inside_->queue.push_back(std::move(call));
    }
    inside_->bell.notify_one();
    return true;
}

}  // namespace tubgrove
