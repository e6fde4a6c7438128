# Writes OUTPUT, a C++ source that holds the text of each SQL file as a string: SQL has one home.
# cmake -DOUTPUT=… -DSQL_FILES=a.sql;b.sql -P embed_sql.cmake
set(body "// Made from schema/database/sql/*.sql when the project is built.\n#include \"schema/database/sql_text.hpp\"\n\n")
string(APPEND body "namespace thirstline {\n\n")
foreach(file IN LISTS SQL_FILES)
    get_filename_component(name "${file}" NAME_WE)
    file(READ "${file}" text)
    string(APPEND body "const char* ${name}_sql() {\n    return R\"sql(${text})sql\";\n}\n\n")
endforeach()
string(APPEND body "}  // namespace thirstline\n")
file(WRITE "${OUTPUT}" "${body}")
