#pragma once
// A data directory of a test's own, gone when the test ends.
#include "store/store.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>

inline const tubgrove::Instant morning = tubgrove::parse_rfc3339("2026-07-14T05:00:00Z").value();

class Room {
public:
    Room() {
        std::string name = std::filesystem::temp_directory_path() / "tubgrove-test-XXXXXX";
        if (!mkdtemp(name.data())) throw std::runtime_error("no directory for the test");
        folder_ = name;
        std::filesystem::create_directory(folder_ / "data");
        chmod(data().c_str(), 0700);
    }
    Room(const Room&) = delete;
    ~Room() {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }

    std::filesystem::path folder() const { return folder_; }  // for files beside the data directory
    std::filesystem::path data() const { return folder_ / "data"; }
    std::filesystem::path file() const { return data() / "tubgrove.db"; }
    tubgrove::Store open() const { return tubgrove::Store::open(data()); }

    // A file of the data directory, of mode 0600.
    void write(const std::string& name, const std::string& bytes) const {
        std::ofstream(data() / name, std::ios::binary) << bytes;
        chmod((data() / name).c_str(), 0600);
    }

private:
    std::filesystem::path folder_;
};
