// Detects changes of a file's content: a hash over everything, for `verify`, and a quick checksum
// over all but the large tables, checked whenever a file is opened.
//
// Both are computed over canonical dumps, so two files with the same content agree no matter how
// SQLite stored them. The dump of a table is the line "table NAME\n", then each row, ascending by
// the first column and then the second (the primary key of every table), each column in declared
// order as a letter, the value and "\n": i + decimal for an integer; t or b + length in bytes + ":"
// + the bytes for text and blobs.
#pragma once

#include <cstdint>
#include <string>

#include "schema/base/result.hpp"

struct sqlite3;

namespace thirstline {

/// SHA-256 over the dumps of all tables, ascending by name, without the metadata rows
/// "content_sha256" and "head_crc32": 64 hexadecimal digits, stored as metadata "content_sha256".
/// Errors: those of reading the tables.
[[nodiscard]] Result<std::string> content_sha256(sqlite3* connection, const std::string& path);

/// CRC-32 over the line "schema\n", then for each table and view, ascending by name, t + length +
/// ":" + the SQL that created it + "\n"; then the dumps of all tables except `tile`, `postal` and
/// `station`, ascending by name, without the metadata row "head_crc32". Stored there in decimal.
/// Errors: those of reading the tables.
[[nodiscard]] Result<std::uint32_t> head_crc32(sqlite3* connection, const std::string& path);

}  // namespace thirstline
