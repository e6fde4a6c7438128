// The tables, views and indexes that a file may have. They are checked before any query: a view or
// virtual table with the name of one of the tables, or a computed column, could run forever.
#pragma once

#include <string>

#include "schema/base/result.hpp"

struct sqlite3;

namespace thirstline {

/// Maximum number of tables, views and indexes: those of section 3 of FORMAT.md and any that a
/// later minor version adds.
inline constexpr int kMaxSchemaRows = 200;

/// Errors (bad_database): a table of the format that is missing, is not a table, lacks one of its
/// columns or has another primary key; a virtual table, a trigger, an index other than a key's, a
/// view other than `plain_layer`, `point` and `profile`, a computed column; a table that is not
/// STRICT, or whose name has characters other than small letters, digits and underscores; more than
/// kMaxSchemaRows rows.
[[nodiscard]] Result<void> check_schema(sqlite3* connection, const std::string& path);

}  // namespace thirstline
