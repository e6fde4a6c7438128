# Writes OUTPUT, a C++ source with a function for each text file, so that SQL and style sheets can be files of
# their own: page_style.css becomes const char* page_style_css(), which HEADER declares.
#   cmake -DOUTPUT=… -DHEADER=… -DFILES=a.sql;b.sql -P embed_texts.cmake
set(body "// Made from text files when the project is built.\n#include \"${HEADER}\"\n\n")
string(APPEND body "namespace thirstline {\n\n")
foreach(file IN LISTS FILES)
    get_filename_component(name "${file}" NAME)
    string(REPLACE "." "_" function "${name}")
    file(READ "${file}" text)
    string(APPEND body "const char* ${function}() {\n    return R\"text(${text})text\";\n}\n\n")
endforeach()
string(APPEND body "}  // namespace thirstline\n")
file(WRITE "${OUTPUT}" "${body}")
