#include "serve/store_watch.hpp"

#include "serve/log.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>

#include <sys/inotify.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>

namespace tubgrove {

struct StoreWatch::Inside : std::enable_shared_from_this<StoreWatch::Inside> {
    Inside(EventLoop& loop, std::function<void()> call) : events(loop.context()), timer(loop), written(std::move(call)) {}
    boost::asio::posix::stream_descriptor events;
    LoopTimer timer;
    std::function<void()> written;

    // What happens until the timer rings is not read: the kernel keeps alike events as one, so writes wake nobody.
    void wait() {
        events.async_wait(boost::asio::posix::stream_descriptor::wait_read, [weak = weak_from_this()](const boost::system::error_code& error) {
            const auto here = weak.lock();
            if (error || !here) return;
            here->timer.after(std::chrono::milliseconds(500), [weak] {
                if (const auto still = weak.lock()) still->tell();
            });
        });
    }

    void tell() {
        std::array<char, 8192> thrown{};
        while (::read(events.native_handle(), thrown.data(), thrown.size()) > 0) continue;
        wait();
        written();
    }
};

StoreWatch::StoreWatch(EventLoop& loop, const std::filesystem::path& folder, std::function<void()> written)
    : inside_(std::make_shared<Inside>(loop, std::move(written))) {
    const int descriptor = ::inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
    if (descriptor >= 0) inside_->events.assign(descriptor);
    if (descriptor < 0 || ::inotify_add_watch(descriptor, folder.c_str(), IN_MODIFY | IN_ONLYDIR) < 0) {
        log_warn("{} cannot be watched, so a revised list or a confirmed clock is noticed late: {}", folder.string(), std::strerror(errno));
        return;
    }
    inside_->wait();
}

StoreWatch::~StoreWatch() {
    inside_->timer.cancel();
    boost::system::error_code ignored;
    inside_->events.close(ignored);
}

}  // namespace tubgrove
