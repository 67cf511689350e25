# Run while building: cmake -D FOLDER=... -D OUT=... -P embed.cmake
# Writes the C file OUT with every .csv file of FOLDER byte for byte, so that the installed program
# needs no source tree.
file(GLOB paths ${FOLDER}/*.csv)
list(SORT paths)
set(arrays "")
set(entries "")
set(count 0)
foreach(path ${paths})
  get_filename_component(name ${path} NAME)
  file(READ ${path} bytes HEX)
  string(REGEX REPLACE "(..)" "0x\\1," bytes "${bytes}")
  string(REPLACE "0x0a," "0x0a,\n" bytes "${bytes}")
  string(APPEND arrays "static const unsigned char file_${count}[] = {\n${bytes}};\n")
  string(APPEND entries "    {\"${name}\", file_${count}, sizeof file_${count}},\n")
  math(EXPR count "${count} + 1")
endforeach()
file(WRITE ${OUT} "/* Made from the files of fixtures/demo while building. */\n#include \"demo.h\"\n\n"
  "${arrays}\nconst demo_file demo_files[] = {\n${entries}};\nconst size_t demo_file_count = ${count};\n")
