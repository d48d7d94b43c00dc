#pragma once
// Tables of config/ to values. The shipped ones are part of the program; rows of a grower's own folder override them by key
// or add to them.
#include "intake/complaint.hpp"
#include "intake/facts.hpp"
#include "plan/tables.hpp"

#include <span>
#include <string>
#include <vector>

namespace tubgrove {

struct TableText {
    std::string file;   // for complaints
    std::string yaml;
};

// The files of config/ as they were when the program was built.
std::span<const TableText> shipped_tables();
// The shipped tables and a grower's own as one text, each under its file's name: what a round keeps of them, and what kept
// states are told apart by.
std::string tables_text(std::span<const TableText> own = {});

// Every .yaml file of a folder, in order of name. A folder or file that can not be read is complained of.
Read<std::vector<TableText>> read_table_folder(const std::string& folder);

// The shipped tables with `own` laid over them: a row whose key exists changes the fields that it gives, a new key is a new
// row. Every row of a grower needs its own `source`. Complaints have file, line and column.
Read<Tables> read_tables(std::span<const TableText> own = {});

// What facts may refer to: names of the tables, and the bays and pots that the caller knows.
Names names_of(const Tables& tables, std::vector<std::string> bays = {}, std::vector<std::string> pots = {});

}  // namespace tubgrove
