#pragma once
// The store's files on the disk: who may touch them, how they come into being whole, and how much room is left.
#include "store/store.hpp"

#include <filesystem>
#include <string>

namespace tubgrove::store {

using Path = std::filesystem::path;

// Makes the directory when it is missing (0700); else throws StoreFault when its mode or owner is wrong for us.
void require_directory(const Path& directory);
// False when the file does not exist. Throws StoreFault when it is not one that we may use.
bool require_file(const Path& file);
// The mode of a new file in this directory: 0660 in one that a group shares, else 0600.
unsigned mode_for_files(const Path& directory);
// An empty file of that mode, of the directory's group, which must not exist yet.
void create_file(const Path& file, unsigned mode);
// Gives a finished file its name, unless the name is taken (false). Survives a power cut on return.
bool publish(const Path& finished, const Path& name);
// A name beside `file` that is not taken: "file.word", "file.word.2", …
Path free_name(const Path& file, const std::string& word);
void sync_directory(const Path& directory);
// Which file a name leads to now.
struct FileMark {
    unsigned long long device = 0, number = 0;
    friend bool operator==(const FileMark&, const FileMark&) = default;
};
FileMark mark_of(const Path& file);
// Throws StoreFault where the name leads to another file by now, or to none: its folder was moved, removed, put in from a copy or is no
// longer mounted. What is then written through an open descriptor would be in no file that anybody finds.
void require_in_place(const Path& file, const FileMark& opened);
// Throws StoreFault::Kind::full below a reserve. A disk that fills up under SQLite's shared memory would end the
// program instead of giving an error, so we stop before.
void require_room(const Path& file, std::uintmax_t bytes);

// Removes a file, and what SQLite put beside it, unless told to keep it.
class Scratch {
public:
    explicit Scratch(Path file) : file_(std::move(file)) {}
    Scratch(const Scratch&) = delete;
    ~Scratch();
    const Path& file() const { return file_; }

private:
    Path file_;
};

}  // namespace tubgrove::store
