#include "safe_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <fstream>
#include <iterator>
#include <system_error>

namespace tubgrove {
namespace {

[[noreturn]] void fail(int error, const std::string& what) {
    throw std::system_error(error, std::generic_category(), what);
}

class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0) close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    int number() const { return number_; }
    int shut() {
        const int result = close(number_);
        number_ = -1;
        return result;
    }

private:
    int number_;
};

void put_all(int descriptor, std::string_view text, const std::string& name) {
    while (!text.empty()) {
        const ssize_t written = write(descriptor, text.data(), text.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail(errno, "cannot write " + name);
        text.remove_prefix(std::size_t(written));
    }
}

void sync_folder(const std::filesystem::path& folder) {
    const Descriptor opened(open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (opened.number() >= 0) fsync(opened.number());  // some file systems cannot; the rename stands all the same
}

std::filesystem::path folder_of(const std::filesystem::path& file) {
    return file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
}

// The temporary file, written and forced to the disk.
std::filesystem::path written_beside(const std::filesystem::path& file, std::string_view text) {
    std::filesystem::create_directories(folder_of(file));
    std::string name = (folder_of(file) / ("." + file.filename().string() + ".XXXXXX")).string();
    Descriptor made(mkostemp(name.data(), O_CLOEXEC));
    if (made.number() < 0) fail(errno, "cannot write " + file.string());
    try {
        put_all(made.number(), text, file.string());
        if (fchmod(made.number(), 0644) != 0) fail(errno, "cannot write " + file.string());
        if (fsync(made.number()) != 0 || made.shut() != 0) fail(errno, "cannot write " + file.string());
    } catch (...) {
        unlink(name.c_str());
        throw;
    }
    return name;
}

}  // namespace

struct SignalsHeld::Mask {
    sigset_t set;
};

SignalsHeld::SignalsHeld() : before_(std::make_unique<Mask>()) {
    sigset_t held;
    sigemptyset(&held);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGTSTP}) sigaddset(&held, signal);
    pthread_sigmask(SIG_BLOCK, &held, &before_->set);
}

SignalsHeld::~SignalsHeld() { pthread_sigmask(SIG_SETMASK, &before_->set, nullptr); }

void write_whole(const std::filesystem::path& file, std::string_view text) {
    const SignalsHeld held;
    const auto temporary = written_beside(file, text);
    if (rename(temporary.c_str(), file.c_str()) != 0) {
        const int error = errno;
        unlink(temporary.c_str());
        fail(error, "cannot write " + file.string());
    }
    sync_folder(folder_of(file));
}

bool write_new(const std::filesystem::path& file, std::string_view text) {
    const SignalsHeld held;
    const auto temporary = written_beside(file, text);
    // A hard link is refused when the name exists, so nobody's file is lost in a race.
    const int linked = link(temporary.c_str(), file.c_str());
    const int error = errno;
    unlink(temporary.c_str());
    if (linked != 0 && error == EEXIST) return false;
    if (linked != 0) fail(error, "cannot write " + file.string());
    sync_folder(folder_of(file));
    return true;
}

std::string read_whole(const std::filesystem::path& file) {
    std::error_code none;
    if (std::filesystem::is_directory(file, none)) fail(EISDIR, "cannot read " + file.string());
    errno = 0;
    std::ifstream in(file, std::ios::binary);
    if (!in) fail(errno == 0 ? EIO : errno, "cannot read " + file.string());
    // A device without end would take all of the machine's memory.
    constexpr std::size_t most_bytes = std::size_t(64) << 20;
    std::string text;
    for (char block[1 << 16]; in.read(block, sizeof block) || in.gcount() > 0;) {
        text.append(block, std::size_t(in.gcount()));
        if (text.size() > most_bytes) fail(EFBIG, "cannot read " + file.string());
    }
    if (in.bad()) fail(EIO, "cannot read " + file.string());
    return text;
}

}  // namespace tubgrove
