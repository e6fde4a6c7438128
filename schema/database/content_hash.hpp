// What shows that a file still says what was written: a hash over everything, for `verify`, and a
// quick checksum over all but the great tables, tested whenever a file is opened.
//
// Both are taken over canonical dumps, so that two files with the same content agree whatever
// SQLite wrote them. The dump of a table is the line "table NAME\n", then each row, ascending by
// the first column and then the second (the primary key of every table), each column in declared
// order as a letter, the value and "\n": i + decimal for an integer; t or b + length in bytes + ":"
// + the bytes for text and blobs.
#pragma once

#include <cstdint>
#include <string>

#include "schema/base/result.hpp"

struct sqlite3;

namespace thirstline {

/// SHA-256 over the dumps of every table, ascending by name, without the metadata rows
/// "content_sha256" and "head_crc32": 64 hexadecimal digits, kept as metadata "content_sha256".
/// Errors are those of reading the tables.
[[nodiscard]] Result<std::string> content_sha256(sqlite3* connection, const std::string& path);

/// CRC-32 over the line "schema\n", then for each table and view, ascending by name, t + length +
/// ":" + the SQL that made it + "\n"; then the dumps of every table but `tile`, `postal` and
/// `station`, ascending by name, without the metadata row "head_crc32". Kept there in decimal.
/// Errors are those of reading the tables.
[[nodiscard]] Result<std::uint32_t> head_crc32(sqlite3* connection, const std::string& path);

}  // namespace thirstline
