#pragma once
// The file's form: numbered steps, each taken once and never edited after a release.
#include <SQLiteCpp/SQLiteCpp.h>
#include <filesystem>
#include <span>

namespace tubgrove::store {

inline constexpr int application_id = 0x54756267;  // "Tubg", so that another program's file is told apart

struct Migration {
    int version;  // of the file after this step
    const char* sql;
};

std::span<const Migration> migrations();

enum class CopyFirst : unsigned char { no, yes };

// Brings the file to the newest of the steps, in one transaction. With CopyFirst::yes an older store is first copied
// to `file.version-N`. Throws StoreFault when the file is newer, or of another program.
void migrate(SQLite::Database& database, const std::filesystem::path& file, CopyFirst copy,
             std::span<const Migration> steps = migrations());

}  // namespace tubgrove::store
