#include "serve/errands.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/write.hpp>
#include <boost/json.hpp>

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <cstring>
#include <deque>
#include <set>

#include <fmt/format.h>

extern char** environ;

namespace tubgrove {
namespace {

namespace asio = boost::asio;
namespace json = boost::json;
using Pipe = asio::posix::stream_descriptor;
using Error = boost::system::error_code;

constexpr std::size_t longest_line = 16 * 1024;

Brought failed(std::string why) {
    Brought brought;
    brought.error = std::move(why);
    return brought;
}

// It set out, and nobody knows how far it came.
Brought lost(std::string why) {
    auto brought = failed(std::move(why));
    brought.unsure = true;
    return brought;
}

std::string text_of(const json::object& line, const char* key) {
    const auto* value = line.if_contains(key);
    return value != nullptr && value->is_string() ? std::string(value->get_string()) : std::string();
}

std::int64_t number_of(const json::object& line, const char* key) {
    const auto* value = line.if_contains(key);
    return value != nullptr && value->is_int64() ? value->get_int64() : 0;
}

bool is_true(const json::object& line, const char* key) {
    const auto* value = line.if_contains(key);
    return value != nullptr && value->is_bool() && value->get_bool();
}

struct Ends {
    int read = -1, write = -1;
};

bool open_pipe(Ends& ends) {
    std::array<int, 2> both{};
    if (::pipe2(both.data(), O_CLOEXEC) != 0) return false;
    ends = {both[0], both[1]};
    return true;
}

// A process with these as its standard input and output and nothing else of ours open. 0: it could not be started, and
// errno says why.
pid_t start(const std::string& program, int in, int out) {
    posix_spawn_file_actions_t files;
    posix_spawnattr_t how;
    posix_spawn_file_actions_init(&files);
    posix_spawnattr_init(&how);
    posix_spawn_file_actions_adddup2(&files, in, STDIN_FILENO);
    posix_spawn_file_actions_adddup2(&files, out, STDOUT_FILENO);
    posix_spawn_file_actions_addclosefrom_np(&files, STDERR_FILENO + 1);
    sigset_t none, ours;  // signals that we ignore or hold back are none of its business
    sigemptyset(&none);
    sigemptyset(&ours);
    sigaddset(&ours, SIGPIPE);
    posix_spawnattr_setsigmask(&how, &none);
    posix_spawnattr_setsigdefault(&how, &ours);
    posix_spawnattr_setflags(&how, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
    std::string name = program;
    std::array<char*, 2> words{name.data(), nullptr};
    pid_t pid = 0;
    const int fault = ::posix_spawn(&pid, program.c_str(), &files, &how, words.data(), environ);
    posix_spawn_file_actions_destroy(&files);
    posix_spawnattr_destroy(&how);
    errno = fault;
    return fault == 0 ? pid : 0;
}

// One courier under way. It keeps itself alive by its pending calls.
struct Trip : std::enable_shared_from_this<Trip> {
    Trip(asio::io_context& context, Sent errand) : sent(std::move(errand)), to(context), from(context), watch(context) {}
    ~Trip() { end_process(); }

    Sent sent;
    std::function<void(Brought)> home;  // empty: already told, or nobody waits
    Pipe to, from;
    asio::steady_timer watch;
    pid_t pid = 0;
    std::string output;
    std::array<char, 16 * 1024> piece{};
    bool late = false;

    bool set_out(const std::string& program) {
        Ends in, out;
        if (!open_pipe(in)) return false;
        to.assign(in.write);
        int fault = errno;
        if (open_pipe(out)) {
            from.assign(out.read);
            pid = start(program, in.read, out.write);
            fault = errno;
            ::close(out.write);
        }
        ::close(in.read);
        errno = fault;
        return pid > 0;
    }

    void go() {
        watch.expires_after(sent.longest);
        watch.async_wait([self = shared_from_this()](const Error& error) {
            if (error) return;
            self->late = true;
            self->arrive();
        });
        asio::async_write(to, asio::buffer(sent.errand), [self = shared_from_this()](const Error&, std::size_t) {
            Error ignored;
            self->to.close(ignored);  // the courier sets out when its words end
        });
        listen();
    }

    void listen() {
        from.async_read_some(asio::buffer(piece), [self = shared_from_this()](const Error& error, std::size_t size) {
            self->output.append(self->piece.data(), size);
            if (error || self->output.size() > longest_line + self->sent.bytes_max) return self->arrive();
            self->listen();
        });
    }

    // All was said, or it is ended here. What it said is judged by itself, so how the process ended does not matter.
    void arrive() {
        if (!home) return;
        Error ignored;
        watch.cancel();
        to.close(ignored);
        from.close(ignored);
        end_process();
        const auto tell = std::exchange(home, {});
        if (late) return tell(lost(fmt::format("no answer within {} s", sent.longest.count())));
        if (output.size() > longest_line + sent.bytes_max) return tell(lost("the answer is too large"));
        tell(read_brought(output));
    }

    // Its pipe is closed or it is too late: it is at its end, and waiting for that takes no time.
    void end_process() {
        if (pid <= 0) return;
        ::kill(pid, SIGKILL);
        while (::waitpid(pid, nullptr, 0) < 0 && errno == EINTR) {}
        pid = 0;
    }
};

}  // namespace

Brought read_brought(std::string_view output) {
    const auto end = output.find('\n');
    if (end == std::string_view::npos) return lost("the courier ended without a word");
    Error error;
    const auto told = json::parse({output.data(), end}, error);
    if (error || !told.is_object()) return lost("the courier's words cannot be understood");
    const auto& line = told.get_object();
    Brought brought{.status = long(number_of(line, "status")),
                    .error = text_of(line, "error"),
                    .unsure = is_true(line, "unsure"),
                    .etag = text_of(line, "etag"),
                    .last_modified = text_of(line, "last_modified"),
                    .retry_after = {},
                    .body = std::string(output.substr(end + 1))};
    if (line.contains("retry_after_s")) brought.retry_after = std::chrono::seconds(number_of(line, "retry_after_s"));
    if (brought.error.empty() && std::int64_t(brought.body.size()) != number_of(line, "bytes"))
        return lost("the courier was interrupted");
    return brought;
}

std::filesystem::path find_courier() {
    if (const char* named = std::getenv("TUBGROVE_COURIER"); named != nullptr && *named != '\0') return named;
    std::error_code none;
    const auto beside = std::filesystem::read_symlink("/proc/self/exe", none).parent_path();
    const std::filesystem::path name = "tubgrove-courier";
    for (const auto& place : {beside / name, beside.parent_path() / "libexec/tubgrove" / name, beside.parent_path() / "lib/tubgrove" / name})
        if (std::filesystem::exists(place, none)) return place;
    return beside / name;
}

struct Errands::Inside : std::enable_shared_from_this<Errands::Inside> {
    Inside(asio::io_context& loop, std::filesystem::path program, std::size_t most)
        : context(loop), courier(std::move(program)), most_at_once(most) {}
    asio::io_context& context;
    std::filesystem::path courier;
    std::size_t most_at_once;
    std::deque<std::shared_ptr<Trip>> waiting;
    std::set<std::shared_ptr<Trip>> under_way;

    void next() {
        while (!waiting.empty() && under_way.size() < most_at_once) {
            auto trip = std::move(waiting.front());
            waiting.pop_front();
            under_way.insert(trip);
            if (trip->set_out(courier.string())) {
                trip->go();
                continue;
            }
            const auto tell = std::exchange(trip->home, {});
            tell(failed(fmt::format("{} cannot be started: {}", courier.string(), std::strerror(errno))));
        }
    }
};

Errands::Errands(EventLoop& loop, std::filesystem::path courier, std::size_t most_at_once)
    : inside_(std::make_shared<Inside>(loop.context(), std::move(courier), most_at_once)) {}

Errands::~Errands() {
    inside_->waiting.clear();
    for (const auto& trip : std::exchange(inside_->under_way, {})) {
        trip->home = {};
        Error ignored;
        trip->watch.cancel();
        trip->to.close(ignored);
        trip->from.close(ignored);
        trip->end_process();
    }
}

void Errands::send(Sent sent, std::function<void(Brought)> back) {
    auto trip = std::make_shared<Trip>(inside_->context, std::move(sent));
    // The way home: others may set out. Told from the loop, never from within this call.
    trip->home = [inside = std::weak_ptr(inside_), way = std::weak_ptr(trip), back = std::move(back)](Brought brought) {
        const auto still = inside.lock();
        if (!still) return;
        asio::post(still->context, [inside, way = way.lock(), back, brought = std::move(brought)]() mutable {
            const auto here = inside.lock();
            if (!here) return;
            here->under_way.erase(way);
            back(std::move(brought));
            if (!inside.expired()) here->next();
        });
    };
    inside_->waiting.push_back(std::move(trip));
    inside_->next();
}

}  // namespace tubgrove
