// Makes a SqlFunction known to an SQLite connection, as a virtual table without a name of its own:
// SELECT * FROM name(arguments).
#pragma once

#include <memory>

#include "lookup/sql_extension/sql_function.hpp"

struct sqlite3;

namespace thirstline {

/// Returns SQLite's result code. An Error of the function becomes an error of the statement, with
/// the function's name and the Error's sentence and hint.
[[nodiscard]] int add_function(sqlite3* connection, std::shared_ptr<const SqlFunction> function);

}  // namespace thirstline
