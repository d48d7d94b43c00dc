#pragma once
// A folder whose files are weather: taken when they are whole, then moved to taken/, or to refused/ with a text beside them
// that says why. A file is named after its mapping: station.csv, station-2026-07-14.csv; readings….csv is our own layout.
#include "serve/source_state.hpp"

#include <deque>
#include <filesystem>
#include <set>

namespace tubgrove {

// The mapping that a file's name begins with, the longest one; "" for our own layout; empty: none. What is hidden, or ends
// as unfinished files do, is none either.
std::optional<std::string> mapping_of_file(std::string_view name, std::span<const std::string> mappings);
bool is_unfinished_name(std::string_view name);

class DropFolder {
public:
    DropFolder(Intake intake, const std::string& folder, std::vector<std::string> mappings);
    ~DropFolder();
    DropFolder(const DropFolder&) = delete;
    DropFolder& operator=(const DropFolder&) = delete;
    SourceState state() const;

private:
    struct Inside;
    std::shared_ptr<Inside> inside_;
};

}  // namespace tubgrove
