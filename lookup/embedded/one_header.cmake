# Concatenates headers into one: cmake -DPARTS=… -DHEADER=… -DVERSION=… -P one_header.cmake
set(text "/* Thirstline ${VERSION}: the reader of embedded images as one header. Made from several; the\n")
string(APPEND text " * licence is the project's. The description is at its end, above THIRSTLINE_IMAGE_H. */\n")
foreach(part IN LISTS PARTS)
    file(READ "${part}" content)
    # Semicolons and brackets are special to CMake: text must not pass through a list.
    string(REGEX REPLACE "#include \"[^\"\n]*\"\n" "" content "${content}")
    string(APPEND text "\n${content}")
endforeach()
file(WRITE "${HEADER}.new" "${text}")
file(RENAME "${HEADER}.new" "${HEADER}")
