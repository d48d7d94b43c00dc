#include "serve/drop_folder.hpp"

#include "serve/log.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>

#include <sys/inotify.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <fstream>

namespace tubgrove {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

constexpr std::uint32_t events = IN_CLOSE_WRITE | IN_MOVED_TO | IN_DELETE_SELF | IN_MOVE_SELF | IN_ONLYDIR;
// A file that nobody closed while we watched may still be written to; one that lay still for so long is whole.
constexpr auto lies_still = 5s;
constexpr auto try_again = 60s;

// A name in the folder that nothing has yet.
fs::path free_name(const fs::path& folder, const fs::path& name) {
    auto free = folder / name;
    std::error_code none;
    for (int number = 2; fs::exists(free, none); ++number)
        free = folder / (name.stem().string() + "-" + std::to_string(number) + name.extension().string());
    return free;
}

void write_why(const fs::path& beside, const TakenIn& taken) {
    std::ofstream out(beside.string() + ".txt");
    out << taken.fresh + taken.same + taken.changed << " readings were taken, ";
    if (taken.usable)
        out << taken.refused << " lines refused:\n";
    else
        out << "the file cannot be used:\n";
    for (const auto& line : taken.complaints) out << line << '\n';
    if (!out.flush()) throw std::runtime_error(beside.string() + ".txt cannot be written");
}

// On the garden's thread: reads the file, then puts it where it belongs. What could not be moved is told as a fault; it is
// taken again later and gives the same.
TakenIn take_file(Garden& garden, const View& view, const fs::path& path, const std::optional<std::string>& mapping) try {
    TakenIn taken{.usable = false};
    if (mapping) {
        std::ifstream in(path, std::ios::binary);
        if (!in) throw std::runtime_error(path.string() + " cannot be read");
        WeatherFile file{.name = path.filename().string(), .source = mapping->empty() ? "readings" : "", .mapping = *mapping, .issued = {}, .progress = {}};
        taken = take_in(garden, view, in, file);
        if (!taken.fault.empty()) return taken;
    } else {
        taken.complaints.push_back(path.filename().string() + ": no mapping of the configuration is called so; name the file after its mapping, " +
                                   "or readings.csv for Tubgrove's own layout");
    }
    const bool good = taken.usable && taken.complaints.empty();  // one that was cut short has no refused line to show
    const auto folder = path.parent_path() / (good ? "taken" : "refused");
    fs::create_directories(folder);
    const auto goal = free_name(folder, path.filename());
    if (!good) write_why(goal, taken);
    fs::rename(path, goal);
    return taken;
} catch (const std::exception& error) {
    return {.usable = false, .fault = error.what()};
}

}  // namespace

bool is_unfinished_name(std::string_view name) {
    constexpr std::array endings{std::string_view(".tmp"), std::string_view(".part"), std::string_view("~"), std::string_view(".swp")};
    return name.starts_with('.') || std::ranges::any_of(endings, [&](std::string_view end) { return name.ends_with(end); });
}

std::optional<std::string> mapping_of_file(std::string_view name, std::span<const std::string> mappings) {
    const auto begins = [&](std::string_view with) {
        return name.starts_with(with) && (name.size() == with.size() || std::string_view(".-_").find(name[with.size()]) != std::string_view::npos);
    };
    std::optional<std::string> longest;
    for (const auto& mapping : mappings)
        if (begins(mapping) && (!longest || mapping.size() > longest->size())) longest = mapping;
    if (!longest && begins("readings")) longest = "";
    return longest;
}

struct DropFolder::Inside : std::enable_shared_from_this<DropFolder::Inside> {
    Inside(Intake to, fs::path path, std::vector<std::string> names)
        : intake(std::move(to)), folder(std::move(path)), mappings(std::move(names)), watch(intake.loop.context()), timer(intake.loop),
          state{{.name = folder.string(), .way = "folder"}} {}
    Intake intake;
    fs::path folder;
    std::vector<std::string> mappings;
    boost::asio::posix::stream_descriptor watch;
    LoopTimer timer;
    SourceState state;
    std::deque<std::string> waiting;
    bool at_work = false, ended = false;
    alignas(inotify_event) std::array<char, 8192> buffer{};

    void in(std::chrono::milliseconds wait, void (*call)(Inside&)) {
        timer.after(wait, [self = weak_from_this(), call] {
            if (const auto here = self.lock(); here && !here->ended) call(*here);
        });
    }

    void begin() {
        std::error_code error;
        fs::create_directories(folder, error);
        const int descriptor = ::inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
        if (descriptor < 0 || ::inotify_add_watch(descriptor, folder.c_str(), events) < 0) {
            const std::string why = std::strerror(errno);
            if (descriptor >= 0) ::close(descriptor);
            return begin_later(folder.string() + " cannot be watched: " + why);
        }
        watch.assign(descriptor);
        listen();
        look_through();
    }

    void begin_later(const std::string& why) {
        note_error(state, why, intake.view().now);
        boost::system::error_code ignored;
        watch.close(ignored);
        in(10min, [](Inside& self) { self.begin(); });
    }

    void listen() {
        watch.async_read_some(boost::asio::buffer(buffer), [self = shared_from_this()](const boost::system::error_code& error, std::size_t size) {
            if (error || self->ended) return;
            if (!self->notice(size)) return self->begin_later(self->folder.string() + " is gone");
            self->listen();
        });
    }

    // False: the folder itself is gone.
    bool notice(std::size_t size) {
        for (std::size_t at = 0; at + sizeof(inotify_event) <= size;) {
            inotify_event event{};
            std::memcpy(&event, buffer.data() + at, sizeof(event));
            if ((event.mask & (IN_DELETE_SELF | IN_MOVE_SELF | IN_IGNORED)) != 0) return false;
            if ((event.mask & IN_Q_OVERFLOW) != 0) look_through();
            if (event.len > 0 && (event.mask & IN_ISDIR) == 0) put(buffer.data() + at + sizeof(event));
            at += sizeof(event) + event.len;
        }
        next();
        return true;
    }

    void put(const std::string& name) {
        if (!is_unfinished_name(name) && std::ranges::find(waiting, name) == waiting.end()) waiting.push_back(name);
    }

    // What lay there before we watched.
    void look_through() {
        std::error_code error;
        bool moving = false;
        for (const auto& entry : fs::directory_iterator(folder, error)) {
            std::error_code gone;
            if (!entry.is_regular_file(gone)) continue;
            const auto age = fs::file_time_type::clock::now() - entry.last_write_time(gone);
            const bool still = age > lies_still || age < -1h;
            if (still) put(entry.path().filename().string());
            moving = moving || !still;
        }
        if (moving) in(lies_still + 1s, [](Inside& self) { self.look_through(); });
        next();
    }

    void next() {
        if (at_work || waiting.empty() || ended) return;
        const auto name = waiting.front();
        waiting.pop_front();
        at_work = true;
        auto path = folder / name;
        auto& loop = intake.loop;
        const bool posted = intake.bench.post([&loop, self = shared_from_this(), path, view = intake.view(), mapping = mapping_of_file(name, mappings)](Opened& opened) {
            std::error_code none;
            const bool there = fs::is_regular_file(fs::symlink_status(path, none));
            loop.post([self, there, path, taken = there ? take_file(*opened.garden, view, path, mapping) : TakenIn{}] {
                if (!self->ended) self->done(there, path.filename().string(), taken);
            });
        });
        if (!posted) done(true, name, {.usable = false, .fault = "too much is waiting to be written"});
    }

    void done(bool there, const std::string& name, const TakenIn& taken) {
        at_work = false;
        const auto now = intake.view().now;
        if (there && !taken.fault.empty()) {
            note_error(state, name + ": " + taken.fault, now);
            in(try_again, [](Inside& self) { self.look_through(); });
        } else if (there && !taken.usable) {
            note_error(state, name + " was refused: " + taken.complaints.front(), now);
        } else if (there) {
            note_success(state, taken, now);
        }
        next();
    }
};

DropFolder::DropFolder(Intake intake, const std::string& folder, std::vector<std::string> mappings)
    : inside_(std::make_shared<Inside>(std::move(intake), folder, std::move(mappings))) {
    inside_->begin();
}

DropFolder::~DropFolder() {
    inside_->ended = true;
    inside_->timer.cancel();
    boost::system::error_code ignored;
    inside_->watch.close(ignored);
}

SourceState DropFolder::state() const { return inside_->state; }

}  // namespace tubgrove
