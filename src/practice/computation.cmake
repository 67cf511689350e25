# Run while building: cmake -D ROOT=... -D CORE=room,room... -D OUT=... -P computation.cmake
# Writes the C file OUT with a hash of everything that a summary depends on, so that nobody has to
# think of raising a number when the computation changes.
string(REPLACE "," ";" CORE "${CORE}")
set(paths "")
foreach(file assess held outlook situation summary)
  list(APPEND paths ${ROOT}/src/practice/${file}.c)
endforeach()
foreach(room ${CORE})
  file(GLOB sources ${ROOT}/src/${room}/*.[ch] ${ROOT}/include/midcourse/${room}.h)
  list(APPEND paths ${sources})
endforeach()
list(SORT paths)
set(hashes "")
foreach(path ${paths})
  file(SHA256 ${path} hash)
  string(APPEND hashes ${hash})
endforeach()
string(SHA256 hash "${hashes}")
file(WRITE ${OUT} "/* Made while building. */\n#include \"summary.h\"\n\n"
  "const char summary_computation[] = \"${hash}\";\n")
