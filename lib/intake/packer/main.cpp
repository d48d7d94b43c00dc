// pack-tables OUT FILE…: reads the tables while the program is built, and writes a source file that holds them packed.
#include "intake/yaml_pack.hpp"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

using namespace tubgrove;

namespace {

// As adjoining string literals, a line each, since one may not be longer than 65,535 bytes everywhere.
void write_literal(std::ostream& out, std::string_view bytes) {
    constexpr std::size_t a_line = 40;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        if (i % a_line == 0) out << (i == 0 ? "\"" : "\"\n    \"");
        const auto byte = static_cast<unsigned char>(bytes[i]);
        if (byte == '"' || byte == '\\' || byte == '?' || byte < ' ' || byte > '~')
            out << '\\' << char('0' + (byte >> 6)) << char('0' + (byte >> 3 & 7)) << char('0' + (byte & 7));
        else
            out << char(byte);
    }
    out << '"';
}

bool write_table(std::ostream& out, const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::stringstream text;
    text << in.rdbuf();
    const auto name = path.filename().string();
    const auto read = parse_yaml(name, text.str(), {.bytes = std::size_t(4) << 20});
    for (const auto& complaint : read.complaints) std::cerr << format(complaint) << '\n';
    const auto packed = pack_tree(read.value);
    out << "    PackedTable{\"" << name << "\", std::string_view(\n    ";
    write_literal(out, packed);
    out << ", " << packed.size() << ")},\n";
    return in && read.complaints.empty();
}

}  // namespace

int main(int count, char** words) {
    if (count < 3) return 2;
    std::ofstream out(words[1], std::ios::binary);
    out << "// Written by the build from config/; not to be edited.\n#include \"intake/yaml_pack.hpp\"\n\nnamespace tubgrove {\n\n"
           "static constexpr PackedTable trees[] = {\n";
    bool good = true;
    for (int i = 2; i < count; ++i) good = write_table(out, words[i]) && good;
    out << "};\n\nstd::span<const PackedTable> shipped_trees() { return trees; }\n\n}  // namespace tubgrove\n";
    return good && out.flush() ? 0 : 1;
}
