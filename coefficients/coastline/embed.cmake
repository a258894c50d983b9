# Run at build time: checks coastline.txt against the SHA-256 of its sidecar and writes it as a string literal into one
# source file. Arguments: DIR, OUT.
file(STRINGS ${DIR}/about.txt about REGEX "^sha256: ")
string(REGEX REPLACE "^sha256: " "" stated "${about}")
file(SHA256 ${DIR}/coastline.txt found)
if(NOT stated STREQUAL found)
  message(FATAL_ERROR "${DIR}/coastline.txt: its SHA-256 is ${found}, but ${DIR}/about.txt states '${stated}'.")
endif()
file(READ ${DIR}/coastline.txt text)
file(WRITE ${OUT} "// Written by coefficients/coastline/embed.cmake; not edited by hand.
#include \"coefficients/coastline/coastline.hpp\"

namespace agonic::coefficients {
std::string_view coastline_text() noexcept { return R\"agonic(${text})agonic\"; }
}  // namespace agonic::coefficients
")
