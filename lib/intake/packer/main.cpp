// pack-tables OUT FILE…: reads the tables while the program is built, and writes a source file that holds them packed.
#include "intake/yaml_pack.hpp"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

using namespace tubgrove;

namespace {

// As an array of characters, since compilers need not take a string literal beyond 65,536 bytes, which a table may outgrow.
void write_bytes(std::ostream& out, std::string_view bytes) {
    constexpr std::size_t a_line = 20;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        const auto byte = static_cast<unsigned char>(bytes[i]);
        out << (i % a_line == 0 ? "\n    " : " ") << "'\\" << char('0' + (byte >> 6)) << char('0' + (byte >> 3 & 7)) << char('0' + (byte & 7)) << "',";
    }
}

bool write_table(std::ostream& out, const std::filesystem::path& path, int number) {
    std::ifstream in(path, std::ios::binary);
    std::stringstream text;
    text << in.rdbuf();
    const auto read = parse_yaml(path.filename().string(), text.str(), {.bytes = std::size_t(4) << 20});
    for (const auto& complaint : read.complaints) std::cerr << format(complaint) << '\n';
    out << "static constexpr char bytes_" << number << "[] = {";
    write_bytes(out, pack_tree(read.value));
    out << "};\n";
    return in && read.complaints.empty();
}

}  // namespace

int main(int count, char** words) {
    if (count < 3) return 2;
    std::ofstream out(words[1], std::ios::binary);
    out << "// Written by the build from config/; not to be edited.\n#include \"intake/yaml_pack.hpp\"\n\nnamespace tubgrove {\n\n";
    bool good = true;
    for (int i = 2; i < count; ++i) good = write_table(out, words[i], i) && good;
    out << "\nstatic constexpr PackedTable trees[] = {\n";
    for (int i = 2; i < count; ++i)
        out << "    PackedTable{\"" << std::filesystem::path(words[i]).filename().string() << "\", std::string_view(bytes_" << i << ", sizeof bytes_" << i << ")},\n";
    out << "};\n\nstd::span<const PackedTable> shipped_trees() { return trees; }\n\n}  // namespace tubgrove\n";
    return good && out.flush() ? 0 : 1;
}
