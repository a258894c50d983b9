# Run at build time: checks the table of one model against the SHA-256 of its sidecar and writes both, with the
# check tables that exist, as string literals into one source file. Arguments: ID, DIR, OUT.
file(STRINGS ${DIR}/about.txt about REGEX "^sha256: ")
string(REGEX REPLACE "^sha256: " "" stated "${about}")
file(SHA256 ${DIR}/table.txt found)
if(NOT stated STREQUAL found)
  message(FATAL_ERROR "${DIR}/table.txt: its SHA-256 is ${found}, but ${DIR}/about.txt states '${stated}'. "
                      "The table was changed, or its sidecar was not.")
endif()
set(body "// Written by coefficients/embed.cmake from the folder ${ID}; not edited by hand.
#include \"coefficients/built_in.hpp\"

namespace agonic::coefficients {
extern const BuiltIn k_${ID};
const BuiltIn k_${ID}{\"${ID}\"")
foreach(name table about check_values poles dip_poles)
  if(EXISTS ${DIR}/${name}.txt)
    file(READ ${DIR}/${name}.txt text)
    string(APPEND body ",\nR\"agonic(${text})agonic\"")
  else()
    string(APPEND body ",\n\"\"")
  endif()
endforeach()
file(WRITE ${OUT} "${body}};\n}  // namespace agonic::coefficients\n")
