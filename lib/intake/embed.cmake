# Writes OUT: a .cpp that holds the files named in TABLES (a list), so that the program needs no file beside it. HEADER
# declares TYPE, of a name and a text, and FUNCTION, which gives them all; NAMES is NAME, or NAME_WE for names without ending.
set(text "// Written by the build from config/; not to be edited.\n#include \"${HEADER}\"\n\n#include <array>\n\nnamespace tubgrove {\n\n")
string(APPEND text "std::span<const ${TYPE}> ${FUNCTION}() {\n    static const std::array tables{\n")
foreach(table IN LISTS TABLES)
  file(READ ${table} yaml)
  get_filename_component(name ${table} ${NAMES})
  # One string literal may not be longer than 65,535 bytes everywhere: adjoining pieces, one a line.
  string(REPLACE "\\" "\\\\" yaml "${yaml}")
  string(REPLACE "\"" "\\\"" yaml "${yaml}")
  string(REPLACE "\n" "\\n\"\n                  \"" yaml "${yaml}")
  string(APPEND text "        ${TYPE}{\"${name}\",\n                  \"${yaml}\"},\n")
endforeach()
string(APPEND text "    };\n    return tables;\n}\n\n}  // namespace tubgrove\n")
file(WRITE ${OUT} "${text}")
