# Writes OUT: a .cpp that holds the table files named in TABLES (a list), so that the program needs no file beside it.
set(text "// Written by the build from config/; not to be edited.\n#include \"intake/tables.hpp\"\n\n#include <array>\n\nnamespace tubgrove {\n\n")
string(APPEND text "std::span<const TableText> shipped_tables() {\n    static const std::array tables{\n")
foreach(table IN LISTS TABLES)
  file(READ ${table} yaml)
  get_filename_component(name ${table} NAME)
  # One string literal may not be longer than 65,535 bytes everywhere: adjoining pieces, one a line.
  string(REPLACE "\\" "\\\\" yaml "${yaml}")
  string(REPLACE "\"" "\\\"" yaml "${yaml}")
  string(REPLACE "\n" "\\n\"\n                  \"" yaml "${yaml}")
  string(APPEND text "        TableText{\"${name}\",\n                  \"${yaml}\"},\n")
endforeach()
string(APPEND text "    };\n    return tables;\n}\n\n}  // namespace tubgrove\n")
file(WRITE ${OUT} "${text}")
