#pragma once
// Files that are either written whole or not at all, whatever ends the program in between.
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

namespace tubgrove {

// While it lives, Ctrl-C and the like wait: a write is short, and half of one is worth less than none.
class SignalsHeld {
public:
    SignalsHeld();
    ~SignalsHeld();
    SignalsHeld(const SignalsHeld&) = delete;
    SignalsHeld& operator=(const SignalsHeld&) = delete;

private:
    struct Mask;
    std::unique_ptr<Mask> before_;
};

// Makes the folders that are missing, writes a temporary file beside the target, forces it to the disk and renames
// it. Throws std::system_error with the file's name; the target is then as it was.
void write_whole(const std::filesystem::path& file, std::string_view text);

// The same for a file that must not exist yet. False, and nothing written, when it does.
[[nodiscard]] bool write_new(const std::filesystem::path& file, std::string_view text);

// The whole file, of 64 MiB at most. Throws std::system_error with the file's name.
std::string read_whole(const std::filesystem::path& file);

}  // namespace tubgrove
