// What a file may be made of. It is looked at before anything in it is asked: a view or a virtual
// table that has the name of one of the tables, or a column that is computed, could run for ever.
#pragma once

#include <string>

#include "schema/base/result.hpp"

struct sqlite3;

namespace thirstline {

/// Tables, views and indexes together: those of section 3 of FORMAT.md and what a later minor
/// version adds.
inline constexpr int kMaxSchemaRows = 200;

/// Errors (bad_database): a table of the format that is missing, is not a table, lacks one of its
/// columns or has another primary key; a virtual table, a trigger, an index other than a key's, a
/// view other than `plain_layer`, `point` and `profile`, a computed column; a table whose name has
/// other characters than small letters, digits and underscores; more than kMaxSchemaRows.
[[nodiscard]] Result<void> check_schema(sqlite3* connection, const std::string& path);

}  // namespace thirstline
