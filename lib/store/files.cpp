#include "store/files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <grp.h>
#include <pwd.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace tubgrove::store {

namespace {

using Kind = StoreFault::Kind;

[[noreturn]] void fail(const Path& path, const char* doing) {
    int error = errno;
    Kind kind = error == ENOSPC || error == EDQUOT  ? Kind::full
                : error == EROFS                    ? Kind::read_only
                : error == EACCES || error == EPERM ? Kind::permissions
                                                    : Kind::disk;
    throw StoreFault(kind, fmt::format("{}: cannot {}: {}", path.string(), doing, std::strerror(error)));
}

std::string user_name(uid_t id) {
    auto* entry = getpwuid(id);
    return entry ? entry->pw_name : std::to_string(id);
}

std::string group_name(gid_t id) {
    auto* entry = getgrgid(id);
    return entry ? entry->gr_name : std::to_string(id);
}

struct stat status_of(const Path& path) {
    struct stat status {};
    if (stat(path.c_str(), &status) != 0) fail(path, "look at it");
    return status;
}

// SQLite's own words for a missing right are "unable to open database file"; these say whose it is and what to do.
void require_access(const Path& path, const struct stat& status, int rights) {
    if (faccessat(AT_FDCWD, path.c_str(), rights, AT_EACCESS) == 0) return;
    if (errno == EROFS)
        throw StoreFault(Kind::read_only, fmt::format("{}: is on a disk that cannot be written", path.string()));
    auto owner = user_name(status.st_uid), group = group_name(status.st_gid);
    throw StoreFault(Kind::permissions,
                     fmt::format("{}: belongs to {}:{} and {} may not write it; join the group {} or run as {}",
                                 path.string(), owner, group, user_name(geteuid()), group, owner));
}

void require_mode(const Path& path, const struct stat& status, unsigned widest) {
    unsigned mode = status.st_mode & 07777;
    if ((mode & ~widest) == 0) return;
    throw StoreFault(Kind::permissions,
                     fmt::format("{}: has mode {:04o}, which lets others in; right would be {:04o} or stricter "
                                 "(chmod {:04o} {})",
                                 path.string(), mode, widest, widest, path.string()));
}

bool is_there(const Path& path) {
    struct stat status {};
    if (lstat(path.c_str(), &status) == 0) return true;
    if (errno != ENOENT) fail(path, "look at it");
    return false;
}

void sync_path(const Path& path, int flags) {
    int descriptor = ::open(path.c_str(), flags | O_CLOEXEC);
    if (descriptor < 0) fail(path, "open it");
    int result = fsync(descriptor);
    int error = errno;
    close(descriptor);
    errno = error;
    // Some file systems cannot sync a directory and say EINVAL; their renames are then as safe as they get.
    if (result != 0 && error != EINVAL) fail(path, "make it safe on the disk");
}

}  // namespace

void require_directory(const Path& directory) {
    if (!is_there(directory)) {
        std::error_code error;
        if (directory.has_parent_path()) std::filesystem::create_directories(directory.parent_path(), error);
        if (mkdir(directory.c_str(), 0700) != 0 && errno != EEXIST) fail(directory, "make the directory");
    }
    auto status = status_of(directory);
    if (!S_ISDIR(status.st_mode))
        throw StoreFault(Kind::permissions, fmt::format("{}: is not a directory", directory.string()));
    require_mode(directory, status, 02770);
    require_access(directory, status, R_OK | W_OK | X_OK);
}

bool require_file(const Path& file) {
    if (!is_there(file)) return false;
    struct stat status {};
    if (lstat(file.c_str(), &status) != 0) fail(file, "look at it");
    if (!S_ISREG(status.st_mode))
        throw StoreFault(Kind::permissions,
                         fmt::format("{}: is not a plain file; a store must be one", file.string()));
    require_mode(file, status, 0660);
    auto home = status_of(file.parent_path());
    if (status.st_uid != home.st_uid && status.st_gid != home.st_gid)
        throw StoreFault(Kind::permissions,
                         fmt::format("{0}: belongs to {1}:{2}, its directory to {3}:{4}, so that not all who use the "
                                     "directory can open it (chown {3}:{4} {0})",
                                     file.string(), user_name(status.st_uid), group_name(status.st_gid),
                                     user_name(home.st_uid), group_name(home.st_gid)));
    require_access(file, status, R_OK | W_OK);
    return true;
}

unsigned mode_for_files(const Path& directory) { return status_of(directory).st_mode & 0660; }

void create_file(const Path& file, unsigned mode) {
    int descriptor = ::open(file.c_str(), O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0600);
    if (descriptor < 0) fail(file, "make the file");
    auto home = status_of(file.parent_path().empty() ? Path(".") : file.parent_path());
    struct stat made {};
    // Root makes it for the directory's owner; others can at most hand it to a group of theirs, and need not manage. Where the
    // directory hands its group on by itself nothing is asked for, since a service may be forbidden to ask.
    bool given = fstat(descriptor, &made) == 0 && made.st_gid == home.st_gid && (geteuid() != 0 || made.st_uid == home.st_uid);
    given = given || fchown(descriptor, geteuid() == 0 ? home.st_uid : uid_t(-1), home.st_gid) == 0;
    int result = fchmod(descriptor, given ? mode : mode & 0600);
    close(descriptor);
    if (result != 0) fail(file, "set its mode");
}

bool publish(const Path& finished, const Path& name) {
    sync_path(finished, O_RDONLY);
    if (renameat2(AT_FDCWD, finished.c_str(), AT_FDCWD, name.c_str(), RENAME_NOREPLACE) != 0) {
        if (errno == EEXIST) return false;
        if (errno != EINVAL && errno != ENOSYS) fail(name, "give the finished file this name");
        // A file system without the careful rename: look first.
        if (is_there(name)) return false;
        if (rename(finished.c_str(), name.c_str()) != 0) fail(name, "give the finished file this name");
    }
    sync_directory(name.parent_path());
    return true;
}

Path free_name(const Path& file, const std::string& word) {
    Path base = file.string() + "." + word;
    Path name = base;
    for (int n = 2; is_there(name); ++n) name = fmt::format("{}.{}", base.string(), n);
    return name;
}

void sync_directory(const Path& directory) {
    sync_path(directory.empty() ? Path(".") : directory, O_RDONLY | O_DIRECTORY);
}

FileMark mark_of(const Path& file) {
    const auto status = status_of(file);
    return {.device = status.st_dev, .number = status.st_ino};
}

void require_in_place(const Path& file, const FileMark& opened) {
    struct stat status {};
    const bool there = stat(file.c_str(), &status) == 0;
    if (!there && errno != ENOENT && errno != ENOTDIR) fail(file, "look at it");
    if (there && FileMark{.device = status.st_dev, .number = status.st_ino} == opened) return;
    throw StoreFault(Kind::disk, fmt::format("{}: {}, so nothing was written; bring the folder back and start the program again", file.string(),
                                             there ? "is another file than the one that was opened" : "is gone"));
}

void require_room(const Path& file, std::uintmax_t bytes) {
    struct statvfs room {};
    if (statvfs(file.c_str(), &room) != 0) fail(file, "see how much room its disk has");
    if (std::uintmax_t(room.f_bavail) * room.f_frsize >= bytes) return;
    throw StoreFault(Kind::full,
                     fmt::format("{}: the disk is full (less than {} KiB left); nothing was written, make "
                                 "room and try again",
                                 file.string(), bytes / 1024));
}

Scratch::~Scratch() {
    for (const char* suffix : {"", "-wal", "-shm", "-journal"}) unlink((file_.string() + suffix).c_str());
}

}  // namespace tubgrove::store
